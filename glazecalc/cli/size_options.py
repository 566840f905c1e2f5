"""How large a batch is asked for: the options that `scale` and `cost` share."""

from __future__ import annotations

from dataclasses import dataclass

import click

from glazecalc.amounts import parse_material_amount, parse_percent
from glazecalc.cli.call import goes_with
from glazecalc.cli.quantities import (
    APPLICATION,
    AREA_DM2,
    LITRES,
    MASS,
    MATERIAL_MASS,
    NUMBER,
    QuantityType,
)
from glazecalc.errors import UnitError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.units import parse_quantity
from glazecalc.workshop.forms import dry_basis_percent
from glazecalc.workshop.pieces import GlazeNeed, need_from_area, need_from_gains
from glazecalc.workshop.practice import usual_gravities
from glazecalc.workshop.scale import scale
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("SIZE_OPTIONS", "AskedSize", "moist_option", "step_option")


def _moisture(text: str) -> tuple[str, float]:
    """Return a material and its moisture [% of the dry weight] from ``"kaolin 8.7%"`` or ``"kaolin 8% of wet"``."""
    try:
        name, amount = parse_material_amount(text)
        words = amount.lower().split()
        percent = parse_percent(" ".join(word for word in words if word not in ("of", "the", "wet", "dry")))
    except UnitError:
        raise UnitError(f"'{text}': a material and a moisture were expected, as in 'kaolin 8.7%'.") from None
    return name, dry_basis_percent(percent) if words[-1] == "wet" else percent


def _spare(text: str) -> dict[str, float]:
    """Return a spare as what `need_from_gains` calls it: a share in %, or slurry that stays in the bucket [l]."""
    try:
        read = {"spare_percent": parse_percent(text)}
    except UnitError:
        try:
            read = {"reserve_l": parse_quantity(text, "volume").base / 1000}
        except UnitError as error:
            raise UnitError(f"'{text}': a share or a volume was expected.", "Write it like 10% or 2l.") from error
    if min(read.values()) < 0:
        raise UnitError(f"'{text}': zero or more was expected.")
    return read


step_option = click.option("--step", type=MASS, help="Step of your scale; the lines are rounded to it: 0.1g.")
moist_option = click.option(
    "--moist",
    multiple=True,
    type=QuantityType("material and moisture", _moisture),
    metavar="TEXT",
    help='Water in a bag, in % of its dry weight: "kaolin 8.7%"; or "kaolin 8% of wet"; may repeat.',
)
SIZE_OPTIONS = (
    click.option(
        "--all-in", "all_in", type=MASS, help="Dry weight of the total batch, base and additions together: 5kg."
    ),
    click.option("--base", type=MASS, help="Dry weight of the base; the additions come on top: 300g."),
    click.option("--fill", type=LITRES, help="Volume of slurry to make: 10l, 3 us gal. Needs --sg."),
    click.option("--sg", type=NUMBER, metavar="G", help="Specific gravity of the slurry: 1.45."),
    click.option(
        "--solids-density", type=NUMBER, metavar="D", help="Density of the dry powder [g/cm3]; else from the materials."
    ),
    click.option("--bucket", type=LITRES, help="Size of the bucket; more than fits is refused."),
    click.option("--pieces", type=int, help="Number of pieces, with --gain or --area."),
    click.option(
        "--gain",
        "gains",
        type=MASS,
        multiple=True,
        help="Dry weight that a test piece gained: 63g; repeat for each piece.",
    ),
    click.option("--area", type=AREA_DM2, help="Glazed area of one piece: 8dm2."),
    click.option(
        "--coat",
        type=APPLICATION,
        help="Your own dry coat: 6.5g/dm2 [default: a typical range, shown with the result].",
    ),
    click.option(
        "--spare",
        "spares",
        type=QuantityType("share or volume", _spare),
        metavar="SHARE|VOLUME",
        multiple=True,
        help="Extra for brush and bucket: 10%; or slurry that never leaves the bucket: 2l (needs --sg). Give one of each for both.",
    ),
    click.option(
        "--limit",
        "limits",
        multiple=True,
        type=MATERIAL_MASS,
        metavar="TEXT",
        help='The largest batch from what is left: "kaolin 800 g"; may repeat.',
    ),
    step_option,
    moist_option,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedSize:
    """What the options say about the size of a batch; masses in g, volumes in l, the area of a piece in dm2."""

    all_in: float | None
    base: float | None
    fill: float | None
    sg: float | None
    solids_density: float | None
    bucket: float | None
    pieces: int | None
    gains: tuple[float, ...]
    area: float | None
    coat: float | None
    spares: tuple[dict[str, float], ...]
    limits: tuple[tuple[str, float], ...]
    step: float | None
    moist: tuple[tuple[str, float], ...]

    def scaled(self, recipe: Recipe, materials: MaterialLibrary, *, capacity_g: float | None = None) -> ScaledBatch:
        """Return the weighing list that was asked for."""
        self._check()
        return scale(
            recipe,
            materials,
            all_in_g=self.all_in,
            base_g=self.base,
            volume_l=self.fill,
            need=self._need(),
            left_g=dict(self.limits) or None,
            specific_gravity=self.sg,
            solids_density_g_cm3=self.solids_density,
            bucket_l=self.bucket,
            step_g=self.step,
            capacity_g=capacity_g,
            moisture_percent=dict(self.moist),
        )

    @property
    def named(self) -> list[str]:
        """The options given that each say how much."""
        said = {
            "--all-in": self.all_in, "--base": self.base, "--fill": self.fill, "--pieces": self.pieces, "--limit": self.limits or None,
        }  # fmt: skip
        return [name for name, value in said.items() if value is not None]

    def _need(self) -> GlazeNeed | None:
        if self.pieces is None:
            return None
        spare = {name: amount for one in self.spares for name, amount in one.items()}
        if self.area is None:
            return need_from_gains(self.pieces, self.gains, **spare)
        return need_from_area(self.pieces, self.area, coat_g_per_dm2=self.coat, **spare)

    def _check(self) -> None:
        """Refuse a call that says nothing, or two things, about the size."""
        if len(self.named) > 1:
            raise click.UsageError(f"{' and '.join(self.named)} each say how much; give one.")
        if not self.named:
            raise click.UsageError(
                "how much? Give the dry weight of the base (--base 300g) or of the total batch (--all-in 300g), a bucket (--fill 10l --sg 1.45), "
                'an order (--pieces 60 --gain 63g) or what is left of a material (--limit "kaolin 800 g").'
            )
        if self.fill is not None and self.sg is None:
            raise click.UsageError(f"at which specific gravity? Add --sg 1.45. {usual_gravities()}")
        if self.pieces is not None and bool(self.gains) == (self.area is not None):
            raise click.UsageError(
                "what does a piece take? Weigh test pieces (--gain 63g, repeated) or give its area (--area 8dm2), one of the two."
            )
        order = (self.gains or None, self.area, self.coat, self.spares or None)
        if self.pieces is None and any(value is not None for value in order):
            raise click.UsageError("--gain, --area, --coat and --spare belong to --pieces.")
        kinds = [name for one in self.spares for name in one]
        if len(kinds) > len(set(kinds)):
            raise click.UsageError("--spare stands once for a share, and once for a volume.")
        if self.sg is None and "reserve_l" in kinds:
            raise click.UsageError(f"--spare in volume is slurry: at which gravity? Add --sg 1.45. {usual_gravities()}")
        if self.sg is None:
            goes_with("--sg", solids_density=self.solids_density, bucket=self.bucket)
        if self.coat is not None and self.area is None:
            raise click.UsageError("--coat is a weight per area; add --area 8dm2.")
