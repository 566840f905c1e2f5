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
from glazecalc.oxides import INDEX
from glazecalc.price import Shelf
from glazecalc.recipe import Recipe
from glazecalc.reformulate.at_hand import AtHand
from glazecalc.target import parse_range

__all__ = ("PREFERENCES", "Limits", "Preference", "Question", "Wanted", "limits_of", "wanted_of")

Preference = Literal["fewest-new", "loss", "cost"]
PREFERENCES: tuple[Preference, ...] = get_args(Preference)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How the batch may look.

    Attributes
    ----------
    max_materials : int
        At most so many base lines, fixed ones not counted.
    least, most : Mapping
        Material id -> parts per 100 of base.
    raw_clay : tuple of float or None
        Least and most raw clay [parts per 100 of base].
    parts_step : float or None
        Round the parts to this step [parts].
    answers : int
        How many structurally different answers at most.
    prefer : str
        The second aim, one of `PREFERENCES`.
    prices : Mapping
        Material id -> price of one kilogram, in any currency.
    batch_mass_g : float or None
        All-in mass of the batch to be mixed [g].
    stock_g : Mapping
        Material id -> what the shelf holds of it [g].
    time_limit_s : float
        For the search of all answers together [s].
    """

    max_materials: int
    least: Mapping[str, float] = field(default_factory=FrozenDict)
    most: Mapping[str, float] = field(default_factory=FrozenDict)
    raw_clay: tuple[float, float] | None = None
    parts_step: float | None = None
    answers: int = 5
    prefer: Preference = "fewest-new"
    prices: Mapping[str, float] = field(default_factory=FrozenDict)
    batch_mass_g: float | None = None
    stock_g: Mapping[str, float] = field(default_factory=FrozenDict)
    time_limit_s: float = 5.0

    def __post_init__(self) -> None:
        if self.prefer not in PREFERENCES:
            raise CompositionError(f"'{self.prefer}' is not a second aim.", f"Known: {', '.join(PREFERENCES)}.")
        if self.answers < 1 or self.max_materials < 1:
            raise CompositionError("the number of answers and of materials is 1 or more.")
        for what, value, expected in (
            ("step", self.parts_step, "a positive number of parts"),
            ("mass of the batch", self.batch_mass_g, "a positive number of grams"),
            ("time limit", self.time_limit_s, "a positive number of seconds"),
        ):
            if value is not None and not (math.isfinite(value) and value > 0):
                raise CompositionError(f"the {what} is {value}; {expected} was expected.")
        for what, bounds in (("least", self.least), ("most", self.most)):
            for name, value in bounds.items():
                if not 0 <= value <= 100:
                    raise CompositionError(f"the {what} of {name} is {value}; parts per 100 of base were expected.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the batch is to come to.

    Attributes
    ----------
    terms : tuple of Term
        All that counts, what is not wanted at all included.
    moles : Mapping
        Oxide -> moles wanted, as far as it is one number.
    ratios : Mapping
        Ratio -> lowest and highest.
    convention : Convention
    base_only : bool
        True where the target is that of the base alone; False where the additions count in the unity formula.
    """

    terms: tuple[Term, ...]
    moles: Mapping[str, float]
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

    Attributes
    ----------
    name : str
        Title of the answers.
    template : Recipe
        Whose header they take over.
    library : MaterialLibrary
    wanted : Wanted
    at_hand : AtHand
        What the search may choose from; fixed lines are not among it.
    fixed : tuple of BatchLine
        Lines that keep their number, in the answers' measure.
    base_total : float
        Of the answers [parts].
    limits : Limits
    batch : Batch or None
        The recipe as it was.
    notices : tuple of Notice
    """

    name: str
    template: Recipe
    library: MaterialLibrary
    wanted: Wanted
    at_hand: AtHand
    fixed: tuple[BatchLine, ...]
    base_total: float
    limits: Limits
    batch: Batch | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def free_total(self) -> float:
        """The base total without its fixed lines."""
        return self.base_total - math.fsum(line.parts for line in self.fixed if not line.addition)

    @property
    def before(self) -> dict[str, float]:
        """Material id -> parts that the recipe had of it, as far as they count to what is wanted."""
        summed: dict[str, float] = {}
        if self.batch is not None:
            for line in self.batch.base if self.wanted.base_only else self.batch.lines:
                summed[line.material.id] = summed.get(line.material.id, 0.0) + line.parts
        return summed

    @property
    def unit(self) -> str:
        """Unit of the answers' lines: that of the recipe."""
        return "g" if self.batch is not None and self.batch.recipe.has_mass_units else ""


def wanted_of(
    unity: Mapping[str, object],
    *,
    keep: str | Iterable[str],
    tolerances: Mapping[str, float] | None,
    convention: Convention,
    base_only: bool,
) -> Wanted:
    """Return what a unity formula, and a list of what to keep exactly, ask for.

    Raises
    ------
    CompositionError, UnknownNameError
        For what is no unity formula.
    """
    terms = goal_terms(unity, convention=convention, tolerances=tolerances)
    ends = {label: parse_range(value, label) for label, value in unity.items()}
    moles = {label: low for label, (low, high) in ends.items() if low == high and label in INDEX}
    return Wanted(
        terms=hold(terms, keep, moles),
        moles=FrozenDict(moles),
        ratios=FrozenDict({label: pair for label, pair in ends.items() if ":" in label}),
        convention=convention,
        base_only=base_only,
    )


def limits_of(
    library: MaterialLibrary,
    own: Sequence[Material],
    stock: object,
    *,
    usual_lines: int,
    max_materials: int | None,
    least: Mapping[str, float] | None,
    most: Mapping[str, float] | None,
    raw_clay: tuple[float, float] | None,
    parts_step: float | None,
    answers: int,
    prefer: Preference,
    prices: Mapping[str, float] | Shelf | None,
    batch_mass_g: float | None,
    time_limit_s: float,
) -> tuple[Limits, list[Notice]]:
    """Return the limits that the arguments of `substitute` and `match` ask for, and what is to be said about them.

    `usual_lines` is how many lines the batch may have where `max_materials` does not say it, if it is more than usual.

    Raises
    ------
    CompositionError
        For limits that cannot be, and for a batch mass without a shelf that says its amounts.
    UnknownNameError, AmbiguousNameError
        For names.
    """
    shelf = stock if isinstance(stock, Shelf) else Shelf()
    stock_g = {material: float(amount) for material, amount in shelf.stock_g.items() if amount is not None}
    if batch_mass_g is not None and not stock_g:
        raise CompositionError(
            "the mass of the batch is held against the amounts on the shelf; none are given.",
            "Give a stock with amounts: a list 'material,stock', or a Shelf.",
        )
    lowest, about_least = _by_id(least, "least", library, own)
    highest, about_most = _by_id(most, "most", library, own)
    per_kg, about_prices = _prices_per_kg(prices, shelf, library)
    limits = Limits(
        max_materials=max_materials if max_materials is not None else max(int(choice("most_lines")), usual_lines),
        least=lowest,
        most=highest,
        raw_clay=None if raw_clay is None else parse_range(raw_clay, "the raw clay"),
        parts_step=parts_step,
        answers=answers,
        prefer=prefer,
        prices=per_kg,
        batch_mass_g=batch_mass_g,
        stock_g=FrozenDict(stock_g),
        time_limit_s=time_limit_s,
    )
    return limits, [*shelf.notices, *about_least, *about_most, *about_prices]


def _prices_per_kg(
    prices: Mapping[str, float] | Shelf | None, shelf: Shelf, library: MaterialLibrary
) -> tuple[FrozenDict[str, float], list[Notice]]:
    """Return material id -> price of one kilogram, the cheapest pack of each, and what is to be said.

    Without `prices` those of the `shelf` are taken, if they are in one currency.
    """
    if prices is not None and not isinstance(prices, Shelf):
        return _by_id(prices, "price", library)
    priced = shelf if prices is None else prices
    cheapest = {material: packs[0] for material, packs in priced.prices.items()}
    currencies = sorted({price.currency for price in cheapest.values()})
    said = [] if prices is None else list(priced.notices)
    if not currencies:
        return FrozenDict(), said if prices is None else [*said, Notice("no-prices", "the price list holds no prices.")]
    if len(currencies) > 1:
        text = f"the prices are in {' and '.join(currencies)}; one currency was expected."
        if prices is not None:
            raise CompositionError(text, "Convert them by a rate of your own.")
        return FrozenDict(), [Notice("several-currencies", f"{text} No cost is calculated.")]
    text = f"costs are in {currencies[0]} per kg of dry batch; an answer with an unpriced material has none."
    per_kg = {material: float(price.per_kg) for material, price in cheapest.items()}
    return FrozenDict(per_kg), [*said, Notice("prices", text)]


def _by_id(
    numbers: Mapping[str, float] | None, what: str, library: MaterialLibrary, own: Sequence[Material] = ()
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
