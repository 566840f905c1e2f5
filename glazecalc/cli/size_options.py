"""How large a batch is asked for: the options that `scale` and `cost` share, and what they make."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeVar

import click

from glazecalc.amounts import parse_material_amount, parse_percent
from glazecalc.cli.quantities import APPLICATION, AREA, MASS, NUMBER, PERCENT, VOLUME
from glazecalc.convert.batch import Batch
from glazecalc.errors import GlazeError, Notice, UnitError, WorkshopError
from glazecalc.files.shipped import load_data
from glazecalc.library import MaterialLibrary
from glazecalc.units import parse_compound, parse_quantity
from glazecalc.workshop.forms import dry_basis_percent
from glazecalc.workshop.pieces import GlazeNeed, need_from_area, need_from_gains
from glazecalc.workshop.scale import (
    ScaledBatch,
    batch_density,
    fill_batch,
    limit_factor,
    recipe_lines,
    scale,
    scale_lines,
    with_water,
)

__all__ = ("ask_which", "check_one_size", "moisture_of", "scaled_batch", "size_options")

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--all-in", "all_in", type=MASS, help="Dry mass of base and additions together: 5kg."),
    click.option("--base", type=MASS, help="Dry mass of the base; the additions come on top: 300g."),
    click.option("--fill", type=VOLUME, help="Volume of slurry to make: 10l, 3 us gal. Needs --sg."),
    click.option("--sg", type=NUMBER, metavar="G", help="Specific gravity of the slurry: 1.45."),
    click.option(
        "--solids-density", type=NUMBER, metavar="D", help="Density of the dry solids [g/cm3]; else from the materials."
    ),
    click.option("--bucket", type=VOLUME, help="What the bucket holds; a fill above it is refused."),
    click.option("--pieces", type=int, help="Number of pieces, with --gain or --area."),
    click.option(
        "--gain",
        "gains",
        type=MASS,
        multiple=True,
        help="Dry weight that a test piece gained: 63g; repeat for each piece.",
    ),
    click.option("--area", type=AREA, help="Glazed area of one piece: 8dm2."),
    click.option("--coat", type=APPLICATION, help="Your own dry coat: 6.5g/dm2 [default: a typical range, said]."),
    click.option("--spare", type=PERCENT, default=None, help="On top for brush and bucket: 10%."),
    click.option(
        "--limit",
        "limits",
        multiple=True,
        metavar="TEXT",
        help='The largest batch from what is left: "kaolin 800 g"; may repeat.',
    ),
    click.option("--step", type=MASS, help="Step of the scale, to which the lines are rounded: 0.1g."),
    click.option(
        "--moist",
        multiple=True,
        metavar="TEXT",
        help='Moisture of a bag, on the dry weight: "kaolin 8.7%"; "kaolin 8% of wet".',
    ),
)


def size_options(function: F) -> F:
    """Add the options that say how large a batch is."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def check_one_size(given: dict[str, Any], mass: str | None) -> None:
    """Refuse a call that says nothing, or two things, about the size."""
    asked = {
        "--all-in": given["all_in"], "--base": given["base"], "--fill": given["fill"], "--pieces": given["pieces"], "--limit": given["limits"] or None,
    }  # fmt: skip
    named = [name for name, value in asked.items() if value is not None]
    if mass is not None and named:
        raise click.UsageError(f"'{mass}' and {named[0]} both say how much; give one.")
    if len(named) > 1:
        raise click.UsageError(f"{' and '.join(named)} each say how much; give one.")
    if not named and mass is None:
        raise click.UsageError(
            "how much? Give the dry mass of the base (--base 300g) or all-in with the additions (--all-in 300g), a bucket (--fill 10l --sg 1.45), "
            'an order (--pieces 60 --gain 63g) or what is left (--limit "kaolin 800 g").'
        )
    if given["fill"] is not None and given["sg"] is None:
        raise click.UsageError(f"at which gravity? Add --sg 1.45. {_usual_gravities()}")
    if given["pieces"] is not None and bool(given["gains"]) == (given["area"] is not None):
        raise click.UsageError(
            "what does a piece take? Weigh test pieces (--gain 63g, repeated) or give its area (--area 8dm2), one of the two."
        )
    if given["pieces"] is None and (
        given["gains"] or given["area"] is not None or given["coat"] is not None or given["spare"] is not None
    ):
        raise click.UsageError("--gain, --area, --coat and --spare belong to --pieces.")
    if given["coat"] is not None and given["area"] is None:
        raise click.UsageError("--coat is a weight per area; add --area 8dm2.")
    if given.get("gum_solution") is not None and given["gum"] is None:
        raise click.UsageError("--gum-solution says how the gum is stirred up; how much gum? Add --gum 1%.")


def _usual_gravities() -> str:
    rows = load_data("workshop_practice.yaml")["gravity"]["rows"]
    spans: dict[str, tuple[float, float]] = {}
    for row in rows:
        low, high = spans.get(row["use"], tuple(row["range"]))
        spans[row["use"]] = (min(low, row["range"][0]), max(high, row["range"][1]))
    return "Potters name " + ", ".join(f"{low:.2f} to {high:.2f} to {use}" for use, (low, high) in spans.items()) + "."


def ask_which(mass: str, batch: Batch) -> None:
    """Answer a bare mass with the question which one is meant."""
    try:
        parse_compound(mass, "mass")
    except UnitError as error:
        raise click.UsageError(f"{error.message} {error.hint}".strip()) from None
    if any(batch.addition):
        question = f"is {mass} the base alone, or all-in with the additions?"
        raise click.UsageError(f"{question} Say --base {mass} or --all-in {mass}.")
    raise click.UsageError(f"say --base {mass} or --all-in {mass}; this recipe has no additions, so both are the same.")


def moisture_of(texts: tuple[str, ...], library: MaterialLibrary, batch: Batch) -> dict[str, float]:
    """Return material -> moisture [% of the dry weight] from the texts given."""
    found = {}
    ids = {m.id for m in batch.materials}
    for text in texts:
        try:
            name, amount = parse_material_amount(text)
            wet_basis = amount.lower().rstrip().endswith("wet")
            percent = parse_percent(
                amount.lower().replace("of", "").replace("the", "").replace("wet", "").replace("dry", "")
            )
        except UnitError:
            raise click.BadParameter(
                f"'{text}': a material and a moisture were expected, as in 'kaolin 8.7%'.", param_hint="'--moist'"
            ) from None
        material = _in_batch(name, library, batch)
        if material not in ids:
            raise WorkshopError(
                f"{name} is not in the recipe.", f"It has {', '.join(m.name for m in batch.materials)}."
            )
        found[material] = dry_basis_percent(percent) if wet_basis else percent
    return found


def _in_batch(name: str, library: MaterialLibrary, batch: Batch) -> str:
    own = MaterialLibrary(batch.materials)
    try:
        return own.find(name)[0].id
    except GlazeError:
        return library.find(name)[0].id


def scaled_batch(
    batch: Batch, given: dict[str, Any], moist: dict[str, float], library: MaterialLibrary
) -> tuple[ScaledBatch, GlazeNeed | None]:
    """Return the batch that the options ask for, and the need of an order where pieces were given."""
    scaled, need = _sized(batch, given, moist, library)
    if given["bucket"] is not None and (scaled.volume_ml or 0.0) > given["bucket"]:
        raise WorkshopError(
            f"{(scaled.volume_ml or 0.0) / 1000:.2f} l do not fit into a bucket of {given['bucket'] / 1000:g} l.",
            "Ask for less, and leave some headroom.",
        )
    return scaled, need


def _sized(
    batch: Batch, given: dict[str, Any], moist: dict[str, float], library: MaterialLibrary
) -> tuple[ScaledBatch, GlazeNeed | None]:
    step, need = given["step"], None
    if given["fill"] is not None:
        density = batch_density(batch, given["solids_density"])
        filled = fill_batch(
            batch,
            volume_ml=given["fill"],
            specific_gravity=given["sg"],
            density=density,
            step_g=step,
            moisture_percent=moist,
        )
        return filled, None
    if given["limits"]:
        lines, notices = recipe_lines(batch)
        left = {}
        for text in given["limits"]:
            try:
                name, amount = parse_material_amount(text)
                grams = parse_quantity(amount, "mass").base
            except UnitError as error:
                raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--limit'") from None
            material = _in_batch(name, library, batch)
            if step is not None and step > 0:
                grams = (
                    math.floor(grams / step * (1 + 1e-12)) * step
                )  # the rounded line must not ask for more than is left
            left[material] = grams / (1 + moist.get(material, 0.0) / 100)
        factor, name = limit_factor(lines, left)
        limited = Notice("limited-by", f"{name} sets the size of the batch.")
        scaled = scale_lines(batch, factor, lines, (*notices, limited), step_g=step, moisture_percent=moist)
    elif given["pieces"] is not None:
        spare = given["spare"] or 0.0
        if given["gains"]:
            need = need_from_gains(given["pieces"], given["gains"], spare_percent=spare)
        else:
            need = need_from_area(given["pieces"], given["area"], coat_g_per_dm2=given["coat"], spare_percent=spare)
        scaled = scale(batch, all_in_g=need.dry_g, step_g=step, moisture_percent=moist)
    else:
        scaled = scale(batch, all_in_g=given["all_in"], base_g=given["base"], step_g=step, moisture_percent=moist)
    if given["sg"] is not None:
        scaled = with_water(scaled, given["sg"], batch_density(batch, given["solids_density"]))
    return scaled, need
