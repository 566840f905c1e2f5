"""What a search is asked: what is wanted, what may be used, which lines stay, and how the batch may look."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, get_args

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, BatchLine
from glazecalc.errors import CompositionError, Notice
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import Term, goal_terms, hold
from glazecalc.oxides import INDEX, molar_mass
from glazecalc.price import Shelf
from glazecalc.recipe import Recipe
from glazecalc.reformulate.at_hand import AtHand
from glazecalc.target import parse_range

__all__ = ("Limits", "Preference", "Question", "Wanted", "limits_of", "on_shelf", "wanted_of")

Names = str | Iterable[str]
Numbers = Mapping[str, float]
Preference = Literal["fewest-new", "loss", "cost"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How the batch may look: base lines in all, ends of a material's parts by its id and of raw clay, per 100 of base.

    Raw clay that nobody asked for, because practice wants it in a glaze, is given up where no batch has it; with
    `clay_yields` also where it costs too much.
    """

    max_materials: int
    least: Numbers = field(default_factory=FrozenDict)
    most: Numbers = field(default_factory=FrozenDict)
    raw_clay: tuple[float, float] | None = None
    clay_by_practice: bool = False
    clay_yields: bool = False

    def __post_init__(self) -> None:
        for what, bounds in (("least", self.least), ("most", self.most)):
            for name, value in bounds.items():
                if not 0 <= value <= 100:
                    raise CompositionError(f"the {what} of {name} is {value}; parts per 100 of base were expected.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the batch is to come to: all `terms` that count, those of oxides not wanted at all included.

    `moles` has the oxides that are wanted by one number, `ratios` the ends of each ratio. With `base_only` the additions do not
    count in the unity formula.
    """

    terms: tuple[Term, ...]
    moles: Numbers
    ratios: Mapping[str, tuple[float, float]]
    convention: Convention
    base_only: bool

    @property
    def ends(self) -> FrozenDict[str, tuple[float, float]]:
        """All that is asked for: oxide, sum or ratio -> lowest and highest."""
        numbers = {t.label: (t.low, t.high) for t in self.terms if t.stated and t.high > 0 and not t.is_ratio}
        return FrozenDict({**numbers, **self.ratios})

    @property
    def oxides(self) -> set[str]:
        """The oxides that are asked for."""
        return {oxide for t in self.terms if t.stated and t.high > 0 for oxide in t.oxides}


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Everything that a search needs.

    The answers take over the header of `template` and have `base_total` parts of base, in steps of `parts_step`. The search may
    choose from `at_hand`; the lines of `fixed` are not among it and keep their number. `prices` [per kg] and `stock_g` stand by
    the id of a material, for a batch of `batch_mass_g`, all-in. `batch` is the recipe as it was.
    """

    name: str
    template: Recipe
    library: MaterialLibrary
    wanted: Wanted
    at_hand: AtHand
    fixed: tuple[BatchLine, ...]
    base_total: float
    limits: Limits
    parts_step: float | None
    prices: Numbers
    stock_g: Numbers
    batch_mass_g: float | None
    answers: int
    prefer: Preference
    time_limit_s: float
    batch: Batch | None
    notices: tuple[Notice, ...]

    def __post_init__(self) -> None:
        if self.prefer not in get_args(Preference):
            known = ", ".join(get_args(Preference))
            raise CompositionError(f"'{self.prefer}' is not a second aim.", f"Known: {known}.")
        if self.answers < 1 or self.limits.max_materials < 1:
            raise CompositionError("the number of answers and of materials is 1 or more.")
        for what, value, unit in (
            ("step", self.parts_step, "parts"),
            ("mass of the batch", self.batch_mass_g, "grams"),
            ("time limit", self.time_limit_s, "seconds"),
        ):
            if value is not None and not (math.isfinite(value) and value > 0):
                raise CompositionError(f"the {what} is {value}; a positive number of {unit} was expected.")
        if self.free_total <= 1e-9:
            raise CompositionError("every line of the base is fixed: there is nothing to change.")
        if self.parts_step is not None and self.parts_step > self.free_total / choice("fewest_steps"):
            text = f"a step of {self.parts_step:g} parts is too coarse for a base of {self.free_total:g}."
            raise CompositionError(text, "Take a finer step.")
        if self.parts_step is not None and self.parts_step < self.free_total / choice("most_steps"):
            text = f"a step of {self.parts_step:g} parts is too fine for a base of {self.free_total:g}."
            raise CompositionError(text, "Take a coarser step.")
        ids = {material.id for material in self.at_hand.materials}
        if absent := [self.library[name].name for name in self.limits.least if name not in ids]:
            text = f"a least amount is asked of {absent[0]}, which the search may not choose."
            raise CompositionError(text, "Bring it in with --also, or leave its line as it is.")

    @property
    def free_total(self) -> float:
        """The base total without its fixed lines."""
        return self.base_total - math.fsum(line.parts for line in self.fixed if not line.addition)

    @property
    def is_dark(self) -> bool:
        """True where the glaze holds so much iron that a red clay tints nothing that shows."""
        masses = {oxide: moles * molar_mass(oxide) for oxide, moles in self.wanted.moles.items()}
        iron = masses.get("Fe2O3", 0.0) + masses.get("FeO", 0.0)
        return iron > 0 and 100.0 * iron >= choice("dark_iron_percent") * math.fsum(masses.values())

    @property
    def before(self) -> dict[str, float]:
        """Material id -> parts that the recipe had of it, as far as they count to what is wanted."""
        summed: dict[str, float] = {}
        if self.batch is not None:
            for line in self.batch.base if self.wanted.base_only else self.batch.lines:
                summed[line.material.id] = summed.get(line.material.id, 0.0) + line.parts
        return summed


def wanted_of(
    unity: Mapping[str, object], keep: Names, tolerances: Numbers | None, convention: Convention, *, base_only: bool
) -> Wanted:
    """Return what a unity formula, and a list of what to keep exactly, ask for; raise for what is none."""
    terms = goal_terms(unity, convention=convention, tolerances=tolerances)
    ends = {label: parse_range(value, label) for label, value in unity.items()}
    moles = {label: low for label, (low, high) in ends.items() if low == high and label in INDEX}
    ratios = FrozenDict({label: pair for label, pair in ends.items() if ":" in label})
    held, numbers = hold(terms, keep, moles), FrozenDict(moles)
    return Wanted(terms=held, moles=numbers, ratios=ratios, convention=convention, base_only=base_only)


def limits_of(
    library: MaterialLibrary,
    own: Sequence[Material],
    usual_lines: int,
    max_materials: int | None,
    *,
    least: Numbers | None,
    most: Numbers | None,
    raw_clay: tuple[float, float] | None,
    usual_clay: float,
    clay_yields: bool = False,
) -> tuple[Limits, list[Notice]]:
    """Return the limits, with the names of materials looked up, and what is to be said about the names.

    Without `max_materials` a batch may have `usual_lines`; without `raw_clay` it keeps `usual_clay` [parts per 100 of base].
    """
    lowest, about_least = _by_id(least, "least", library, own)
    highest, about_most = _by_id(most, "most", library, own)
    asked = raw_clay is not None
    clay = parse_range(raw_clay, "the raw clay") if asked else (usual_clay, 100.0) if usual_clay > 0 else None
    limits = Limits(
        max_materials=usual_lines if max_materials is None else max_materials,
        least=lowest,
        most=highest,
        raw_clay=clay,
        clay_by_practice=not asked,
        clay_yields=clay_yields,
    )
    return limits, [*about_least, *about_most]


def on_shelf(
    library: MaterialLibrary, stock: object, prices: Numbers | Shelf | None, batch_mass_g: float | None
) -> tuple[FrozenDict[str, float], FrozenDict[str, float], list[Notice]]:
    """Return what is on the shelf [g] and what it costs [per kg], by the id of each material, and what is to be said about it.

    Without `prices` those of the shelf are taken, the cheapest pack of each, if they are in one currency. A batch mass without
    a stock that says its amounts is refused.
    """
    shelf = stock if isinstance(stock, Shelf) else Shelf()
    stock_g = FrozenDict({material: float(mass) for material, mass in shelf.stock_g.items() if mass is not None})
    if batch_mass_g is not None and not stock_g:
        text = "the size of the batch is compared with the amounts on the shelf; none are given."
        raise CompositionError(text, "Give a stock with amounts: a list 'material,stock', or a Shelf.")
    if prices is not None and not isinstance(prices, Shelf):
        per_kg, said = _by_id(prices, "price", library)
        return stock_g, per_kg, [*shelf.notices, *said]
    cheapest = {material: packs[0] for material, packs in (prices or shelf).prices.items()}
    per_kg = FrozenDict({material: float(price.per_kg) for material, price in cheapest.items()})
    currencies = sorted({price.currency for price in cheapest.values()})
    said = [*shelf.notices, *(prices.notices if prices is not None else ())]
    if len(currencies) > 1:
        text = f"the prices are in {' and '.join(currencies)}; one currency was expected."
        if prices is not None:
            raise CompositionError(text, "Convert them by a rate of your own.")
        return stock_g, FrozenDict(), [*said, Notice("several-currencies", f"{text} No cost is calculated.")]
    if currencies:
        text = f"costs are in {currencies[0]} per kg of dry batch; an answer with an unpriced material has none."
        said.append(Notice("prices", text))
    elif prices is not None:
        said.append(Notice("no-prices", "the price list holds no prices."))
    return stock_g, per_kg, said


def _by_id(
    numbers: Numbers | None, what: str, library: MaterialLibrary, own: Sequence[Material] = ()
) -> tuple[FrozenDict[str, float], list[Notice]]:
    """Return material id -> number for material name -> number, and what is to be said about the names."""
    found: dict[str, float] = {}
    notices: list[Notice] = []
    for name, number in (numbers or {}).items():
        material, said = library.find_in(name, own)
        notices.extend(said)
        if not 0 <= number < math.inf:
            raise CompositionError(f"the {what} of {name} is {number}; a number of zero or more was expected.")
        found[material.id] = float(number)
    return FrozenDict(found), notices
