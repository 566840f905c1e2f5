"""A weighing list: what the scale must show, line by line, the water that makes it a slurry, and the order of weighing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import Notice
from glazecalc.material import Material
from glazecalc.recipe import Recipe
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.density import SolidsDensity
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.steps import weigh_rounds

__all__ = ("RoundedMoles", "ScaledBatch", "SheetRow", "WeighLine", "printed_decimals", "sheet_rows")


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighLine:
    """One line of a weighing list.

    Attributes
    ----------
    material : str
        Id of the material; the name as written where no library was used.
    mass_g, exact_g : float
        Dry mass, and before rounding to the scale's step [g].
    moisture_percent : float
        Water in the bag [% of the dry weight]: `weigh_g` is larger than `mass_g` by it.
    rounds_g : tuple of float or None
        The weighings that it is split into [g]; None where the capacity of the scale was not given.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        "material", "name", "mass_g", "addition", "exact_g", "weigh_g", "moisture_percent", "rounds_g",
    )  # fmt: skip
    material: str
    name: str
    mass_g: float
    addition: bool
    exact_g: float
    moisture_percent: float = 0.0
    rounds_g: tuple[float, ...] | None = None

    @property
    def weigh_g(self) -> float:
        """What the scale must show [g]: the dry mass with the water that the bag holds."""
        return self.mass_g * (1 + self.moisture_percent / 100)


@dataclass(frozen=True, slots=True)
class RoundedMoles:
    """One oxide of the unity formula [mol per mol of flux]: by the recipe, and by the rounded weights."""

    exact: float
    rounded: float


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class ScaledBatch(Shown):
    """A weighing list.

    Attributes
    ----------
    lines : tuple of WeighLine
        In the order of the recipe.
    factor : float
        Grams for one part of the recipe (or for one of its grams).
    materials : tuple of Material
        The material of each line; empty where no library was used.
    water_g, volume_ml, specific_gravity, density : float, SolidsDensity or None
        Of the slurry; None where no gravity was asked for.
    step_g, capacity_g : float or None
        The scale's step, and what it holds beside its pan [g]; None where nothing was rounded, or split.
    rounding : Mapping or None
        Oxide -> what rounding made of it in the unity formula; None where nothing was rounded or no library was used.
    need : GlazeNeed or None
        The order of pieces that it is for.
    """

    PAGE: ClassVar[str] = "sheet"
    JSON: ClassVar[tuple[str, ...]] = (
        "lines", "dry_mass_g", "base_g", "additions_g", "water_g", "pour_water_g", "volume_ml", "specific_gravity",
        "solids_density=density.g_cm3", "solids_density_given=density.given", "density_unknown", "step_g",
        "exact_dry_mass_g=exact_dry_g", "factor", "rounding", "pieces=need", "notices",
    )  # fmt: skip
    recipe: Recipe
    lines: tuple[WeighLine, ...]
    factor: float
    materials: tuple[Material, ...] = ()
    water_g: float | None = None
    volume_ml: float | None = None
    specific_gravity: float | None = None
    density: SolidsDensity | None = None
    step_g: float | None = None
    capacity_g: float | None = None
    rounding: Mapping[str, RoundedMoles] | None = None
    need: GlazeNeed | None = None
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<ScaledBatch {self.recipe.name!r}: {self.dry_mass_g:.1f} g dry in {len(self.lines)} lines>"

    @property
    def dry_mass_g(self) -> float:
        """Sum of all lines, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines)

    @property
    def base_g(self) -> float:
        """Sum of the base, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines if not line.addition)

    @property
    def additions_g(self) -> float:
        """Sum of the additions, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines if line.addition)

    @property
    def exact_dry_g(self) -> float:
        """Sum of all lines before rounding [g]."""
        return math.fsum(line.exact_g for line in self.lines)

    @property
    def pour_water_g(self) -> float | None:
        """Water to pour [g]: `water_g` less what moist materials bring."""
        if self.water_g is None:
            return None
        return self.water_g - math.fsum(line.weigh_g - line.mass_g for line in self.lines)

    @property
    def litres(self) -> float | None:
        """Volume of the slurry [l]; None where no gravity was asked for."""
        return None if self.volume_ml is None else self.volume_ml / 1000

    @property
    def density_unknown(self) -> tuple[str, ...]:
        """Names of the materials whose density is not known."""
        return self.density.unknown if self.density else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One line to weigh, as printed in the unit of the sheet: its mass, the running total of printed masses, its weighings."""

    line: WeighLine
    printed: Decimal
    running: Decimal
    rounds: tuple[Decimal, ...]


def printed_decimals(scaled: ScaledBatch, unit: str) -> int:
    """Return the decimals that a list in `unit` is printed with: those of the step, or what its smallest line needs."""
    if unit != "g":
        return 2 if unit == "oz" else 3
    if scaled.step_g is not None:
        exponent = Decimal(str(scaled.step_g)).normalize().as_tuple().exponent
        return min(max(0, -int(exponent)), 3)  # a step of 0.1 oz has no end in grams
    smallest = min((line.weigh_g for line in scaled.lines if line.weigh_g > 0), default=1.0)
    return 2 if smallest < 1 else 1


def sheet_rows(scaled: ScaledBatch, *, unit: str = "g") -> tuple[SheetRow, ...]:
    """Return the rows in the order of weighing: the base, largest first, then the additions, largest first."""
    place = Decimal(1).scaleb(-printed_decimals(scaled, unit))
    factor = float(MASS_UNITS[unit])
    running = Decimal(0)
    rows = []
    for line in sorted(scaled.lines, key=lambda line: (line.addition, -line.weigh_g)):
        rounds = _rounds(line, scaled, factor, place)
        printed = sum(rounds, Decimal(0))
        running += printed
        rows.append(SheetRow(line=line, printed=printed, running=running, rounds=rounds))
    return tuple(rows)


def _rounds(line: WeighLine, scaled: ScaledBatch, factor: float, place: Decimal) -> tuple[Decimal, ...]:
    printed = Decimal(repr(line.weigh_g / factor)).quantize(place, ROUND_HALF_UP)
    if scaled.capacity_g is None or line.weigh_g <= scaled.capacity_g:
        return (printed,)
    step = round(scaled.step_g / factor, 9) if scaled.step_g is not None else float(place)
    rounds = weigh_rounds(float(printed), scaled.capacity_g / factor, step)
    return tuple(Decimal(str(mass)).quantize(place) for mass in rounds)
