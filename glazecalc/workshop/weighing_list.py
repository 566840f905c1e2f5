"""A weighing list: what the scale must show, line by line, the water that makes it a slurry, and the order of weighing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import ClassVar

from glazecalc.display import Shown, Tabular
from glazecalc.errors import Notice
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.bags import Bags
from glazecalc.workshop.density import SolidsDensity
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import weigh_rounds, whole_ounces

__all__ = (
    "WEIGH_COLUMNS",
    "GumSolution",
    "ListUnit",
    "RoundedMoles",
    "ScaledBatch",
    "SheetRow",
    "WeighLine",
    "list_unit",
    "sheet_rows",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighLine(Shown):
    """One line of a weighing list.

    Attributes
    ----------
    material : str
        Id of the material; the name as written where no library was used.
    mass_g, exact_g : float
        Dry mass, and before rounding to the scale's step [g].
    moisture_percent : float
        Water in the bag [% of the dry weight]: `weigh_g` is larger than `mass_g` by it.
    in_solution : bool
        True for gum that comes stirred up: it is not weighed dry.
    fine_scale : bool
        True where the scale's step would lose the line, or move it too far: it is weighed as it is, on a finer scale.
    rounds_g : tuple of float or None
        The weighings that it is split into [g]; None where the capacity of the scale was not given.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        "material", "name", "mass_g", "addition", "exact_g", "weigh_g", "fine_scale", "in_solution", "moisture_percent", "rounds_g",
    )  # fmt: skip
    material: str
    name: str
    mass_g: float
    addition: bool
    exact_g: float
    moisture_percent: float = 0.0
    fine_scale: bool = False
    in_solution: bool = False
    rounds_g: tuple[float, ...] | None = None

    @property
    def weigh_g(self) -> float:
        """What the scale must show [g]: the dry mass with the water that the bag holds."""
        return self.mass_g * (1 + self.moisture_percent / 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class GumSolution:
    """Gum stirred up beforehand: the water that it brings, and that to pour beside it (None: the slurry's is not known) [g]."""

    g_per_l: float
    water_g: float
    plain_water_g: float | None


@dataclass(frozen=True, slots=True)
class RoundedMoles:
    """One oxide of the unity formula [mol per mol of flux]: by the recipe, and by the rounded weights."""

    JSON: ClassVar[tuple[str, ...]] = ("exact", "rounded", "moved")
    exact: float
    rounded: float

    @property
    def moved(self) -> float:
        """By how much rounding moved it."""
        return self.rounded - self.exact


WEIGH_COLUMNS: Mapping[str, str] = FrozenDict(
    {"material": "", "name": "", "mass_g": "g", "exact_g": "g", "addition": ""}
)
"""The columns of a frame of `WeighLine`, with their units."""


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class ScaledBatch(Tabular):
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
    gum_solution : GumSolution or None
        Where the gum comes stirred up.
    bags : tuple of Bags
        The bags to open, where a price list gave the packs.
    jug_ml : float
        What the jug holds that measures the water [ml].
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = WEIGH_COLUMNS
    PAGE: ClassVar[str] = "sheet"
    JSON: ClassVar[tuple[str, ...]] = (
        "lines", "dry_mass_g", "base_g", "additions_g", "water_g", "pour_water_g", "hold_back_g", "jug_ml", "volume_ml", "specific_gravity",
        "solids_density=density.g_cm3", "solids_density_given=density.given", "density_unknown", "step_g",
        "exact_dry_mass_g=exact_dry_g", "factor", "rounding", "pieces=need", "gum_solution", "bags",
        "notices",
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
    gum_solution: GumSolution | None = None
    bags: tuple[Bags, ...] = ()
    jug_ml: float = field(default_factory=lambda: choice("jug_ml"))
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<ScaledBatch {self.recipe.name!r}: {self.dry_mass_g:.1f} g dry in {len(self.lines)} lines>"

    @property
    def as_weighed(self) -> Recipe:
        """The recipe in grams, as rounding made it; its materials by id where a library was used."""
        lines = (Ingredient(material=x.material, amount=x.mass_g, unit="g", addition=x.addition) for x in self.lines)
        return replace(self.recipe, ingredients=tuple(lines), text="", notices=())

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
    def hold_back_g(self) -> float | None:
        """The part of the water to keep until the gravity is measured [g]."""
        plain = self._plain_water_g
        if plain is None or self.pour_water_g is None:
            return None
        return min(plain, self.pour_water_g * choice("hold_back_percent") / 100)

    @property
    def first_water_g(self) -> float | None:
        """The water to pour first [g], beside that of a gum solution and without what is held back."""
        plain, held = self._plain_water_g, self.hold_back_g
        return None if plain is None or held is None else plain - held

    @property
    def _plain_water_g(self) -> float | None:
        return self.pour_water_g if self.gum_solution is None else self.gum_solution.plain_water_g

    @property
    def litres(self) -> float | None:
        """Volume of the slurry [l]; None where no gravity was asked for."""
        return None if self.volume_ml is None else self.volume_ml / 1000

    @property
    def density_unknown(self) -> tuple[str, ...]:
        """Names of the materials whose density is not known."""
        return self.density.unknown if self.density else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ListUnit:
    """How a list writes its weights.

    `counted_in` is the unit of its numbers, `decimals` those of its lines; `in_pounds` writes ounces as pounds and ounces.
    """

    counted_in: str
    decimals: int
    in_pounds: bool = False

    @property
    def heading(self) -> str:
        """The unit over a column of bare numbers, empty where each weight names its own."""
        return "" if self.in_pounds else self.counted_in

    def number(self, amount: Decimal) -> str:
        """Return a weight as it stands in a column."""
        if not self.in_pounds:
            return str(amount)
        pounds, ounces = divmod(amount, 16)
        return f"{pounds:f} lb {ounces:f} oz" if pounds else f"{ounces:f} oz"

    def weight(self, amount: Decimal) -> str:
        """Return a weight with its unit."""
        return self.number(amount) if self.in_pounds else f"{amount} {self.counted_in}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One line to weigh, as printed in the unit of the sheet: its mass, the running total of printed masses, its weighings."""

    line: WeighLine
    printed: Decimal
    running: Decimal
    rounds: tuple[Decimal, ...]


_USUAL_DECIMALS = {"g": 1, "kg": 3, "oz": 2, "lb": 3}


def list_unit(scaled: ScaledBatch, unit: str) -> ListUnit:
    """Return how a list asked for in `unit` is written: as fine as its step, and as its smallest line needs.

    Pounds are pounds and ounces where the step is in ounces.
    """
    ounces = whole_ounces(scaled.step_g) if unit in ("lb", "oz") else None
    if ounces is not None:
        return ListUnit(counted_in="oz", decimals=_decimals_of(ounces), in_pounds=unit == "lb")
    smallest = min((x.weigh_g for x in scaled.lines if x.weigh_g > 0 and not x.fine_scale), default=1.0)
    usual = _USUAL_DECIMALS[unit]
    if scaled.step_g is not None and unit in ("g", "kg"):
        of_step = min(_decimals_of(Fraction(str(scaled.step_g))), 3)  # a step of 0.1 oz has no end in grams
        usual = of_step if unit == "g" else usual + of_step
        return ListUnit(counted_in=unit, decimals=usual)
    return ListUnit(counted_in=unit, decimals=max(usual, _two_digits(smallest / float(MASS_UNITS[unit]))))


def _decimals_of(step: Fraction) -> int:
    exponent = Decimal(repr(float(step))).normalize().as_tuple().exponent
    return max(0, -int(exponent))


def _two_digits(amount: float) -> int:
    """Return the decimals that show two digits of an amount."""
    return max(0, 1 - math.floor(math.log10(amount))) if amount > 0 else 0


def sheet_rows(scaled: ScaledBatch, *, unit: str = "g") -> tuple[SheetRow, ...]:
    """Return the rows in the order of weighing: the base, largest first, then the additions, largest first."""
    written = list_unit(scaled, unit)
    running = Decimal(0)
    rows = []
    for line in sorted(scaled.lines, key=lambda line: (line.addition, -line.weigh_g)):
        if line.in_solution:
            continue
        rounds = _rounds(line, scaled, written)
        printed = sum(rounds, Decimal(0))
        running += printed
        rows.append(SheetRow(line=line, printed=printed, running=running, rounds=rounds))
    return tuple(rows)


def _rounds(line: WeighLine, scaled: ScaledBatch, written: ListUnit) -> tuple[Decimal, ...]:
    factor = float(MASS_UNITS[written.counted_in])
    amount, decimals = line.weigh_g / factor, written.decimals
    if line.fine_scale:
        decimals = max(decimals, 2, _two_digits(amount))
    place = Decimal(1).scaleb(-decimals)
    printed = Decimal(repr(amount)).quantize(place, ROUND_HALF_UP)
    if scaled.capacity_g is None or line.weigh_g <= scaled.capacity_g:
        return (printed,)
    step = round(scaled.step_g / factor, 9) if scaled.step_g is not None and not line.fine_scale else float(place)
    rounds = weigh_rounds(float(printed), scaled.capacity_g / factor, step)
    return tuple(Decimal(str(mass)).quantize(place) for mass in rounds)
