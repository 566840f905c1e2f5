"""What the composition models share: terms, the range they were tested in, and their intervals.

A term is an oxide, a group of oxides, ``other`` (whatever the model does not name), or a product such as
``R2O*Al2O3``; each stands for mole fractions (0-1).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import CompositionError
from glazecalc.estimate.result import Region, check_level
from glazecalc.files.shipped import load_data
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import AXIS, INDEX, R2O, RO

__all__ = (
    "MODEL_GROUPS",
    "REGIONS",
    "Interval",
    "ManyGlazes",
    "Place",
    "TestedRange",
    "design_matrix",
    "in_blocks",
    "plain_number",
    "refuse_unknown",
    "sum_of_terms",
)

Floats = NDArray[np.float64]
Limits: TypeAlias = Mapping[str, Sequence[float]]
REGIONS: tuple[Region, ...] = get_args(Region)

_ALKALIS = tuple(oxide for oxide in R2O if oxide not in ("Rb2O", "Cs2O"))
_ROWS_AT_A_TIME = 4096
_EARTHS = tuple(oxide for oxide in RO if oxide != "PbO")
MODEL_GROUPS: Mapping[str, tuple[str, ...]] = FrozenDict(
    {"R2O": _ALKALIS, "RO": _EARTHS, "R2O+RO": (*_ALKALIS, *_EARTHS, "PbO")}
)
"""The groups of the axis as the models count them: their glasses hold no Rb2O or Cs2O, and of lead a trace at most."""


def design_matrix(mole_percent: Floats, terms: Sequence[str]) -> Floats:
    """Return the terms of a model for compositions (n, k) [mol %], iron as Fe2O3: mole fractions and products (n, terms)."""
    return np.stack([np.prod(mole_percent @ _factors(term.split("*"), terms), axis=1) for term in terms], axis=1)


def _factors(names: Sequence[str], terms: Sequence[str]) -> Floats:
    """Return which oxides each factor of a term adds up, as mole fractions per mol % (k, factors); `other` is what `terms` leave out."""
    groups = {**MODEL_GROUPS, "other": tuple(oxide for oxide in AXIS if oxide not in terms)}
    columns = np.zeros((len(AXIS), len(names)))
    for place, name in enumerate(names):
        columns[[INDEX[oxide] for oxide in groups.get(name, (name,))], place] = 0.01
    return columns


def in_blocks(function: Callable[[Floats], Floats], mole_percent: Floats) -> Floats:
    """Return ``function(mole_percent)`` (n,) of compositions (n, k), some rows at a time, so that a million need little memory."""
    if len(mole_percent) <= _ROWS_AT_A_TIME:
        return function(mole_percent)
    result = np.empty(len(mole_percent))
    for start in range(0, len(mole_percent), _ROWS_AT_A_TIME):
        rows = slice(start, start + _ROWS_AT_A_TIME)
        result[rows] = function(mole_percent[rows])
    return result


def sum_of_terms(mole_percent: Floats, coefficients: Mapping[str, float]) -> Floats:
    """Return the sum (n,) of a model's terms, each by its coefficient."""
    single, factors, products = _sum_made_ready(tuple(coefficients.items()))
    total: Floats = mole_percent @ single
    if products:
        amounts = mole_percent @ factors
        for columns, coefficient in products:
            product = amounts[:, columns[0]].copy()
            for column in columns[1:]:
                product *= amounts[:, column]
            product *= coefficient
            total += product
    return total


@lru_cache(maxsize=32)
def _sum_made_ready(
    coefficients: tuple[tuple[str, float], ...],
) -> tuple[Floats, Floats, tuple[tuple[tuple[int, ...], float], ...]]:
    """Return a sum of terms as two small matrices: (k,) for single terms, (k, factors) for products and what to multiply."""
    terms = [term for term, _ in coefficients]
    alone = {term: coefficient for term, coefficient in coefficients if "*" not in term}
    single = _factors(list(alone), terms) @ np.array(list(alone.values()))
    names = list(dict.fromkeys(factor for term in terms if "*" in term for factor in term.split("*")))
    products = tuple(
        (tuple(names.index(factor) for factor in term.split("*")), coefficient)
        for term, coefficient in coefficients
        if "*" in term
    )
    return single, _factors(names, terms), products


def plain_number(value: float) -> str:
    """Return a number with one decimal, two where it is small."""
    return f"{value:.1f}" if abs(value) >= 1 else f"{value:.2f}"


def refuse_unknown(mole_percent: Mapping[str, float], known: Collection[str], model: str) -> dict[str, float]:
    """Return the oxides of a glaze that a model has no number for [mol %]; CompositionError where they are more than a trace."""
    trace = _trace(model)
    unknown = {oxide: value for oxide, value in mole_percent.items() if value > 0 and oxide not in known}
    if sum(unknown.values()) > trace:
        main = {oxide: value for oxide, value in unknown.items() if value >= 0.05} or unknown
        named = ", ".join(f"{oxide} {plain_number(value)}" for oxide, value in main.items())
        text = f"{model} has no number for {named} mol %."
        raise CompositionError(text, f"Up to {trace:g} mol % is accepted as a trace.")
    return unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a glaze lies in the range that a model was tested in.

    Glazes in the dark region hold colouring oxides but are inside in all else; beyond everything that the model was fitted to no
    interval is known. What lies outside the tested range, or beyond the data, is named with its number.
    """

    region: Region
    outside: tuple[str, ...]
    beyond: tuple[str, ...]
    unseen: Mapping[str, float]  # oxides of which the model knows nothing [mol %]

    @property
    def notes(self) -> tuple[str, ...]:
        """A sentence that names the oxides without data, or nothing."""
        return (f"Traces without data: {', '.join(self.unseen)}.",) if self.unseen else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TestedRange:
    """The range of composition that a model was tested in. Limits: oxide, group or ``other`` -> lowest and highest [mol %]."""

    limits: Limits
    dark: Limits = field(default_factory=dict)  # what replaces these for glazes dark with colouring oxides
    dark_is_tested: bool = False  # such glazes count as tested
    wide: Limits = field(default_factory=dict)  # of all that was fitted to
    seen: frozenset[str]  # the oxides that the model knows; of others in a glaze:
    trace_mole_percent: float  # up to this they move it out of no region
    unseen_mole_percent: float  # above this they put it beyond the data
    tested: str = "tested"  # how to say that an amount lies outside
    unseen_is: str = "no such glass in the data"

    @classmethod
    def from_data(cls, entry: Mapping[str, Any], *, seen: Iterable[str] = (), **words: str) -> TestedRange:
        """Read the entry ``tested_range`` of a data file; `seen` where the entry has none."""
        fields: dict[str, Any] = {**entry, "seen": frozenset(entry.get("seen", seen)), **words}
        return cls(**fields)

    def place(self, mole_percent: Mapping[str, float]) -> Place:
        """Return where a glaze [mol %] lies."""
        unseen = {oxide: value for oxide, value in mole_percent.items() if value > 0 and oxide not in self.seen}
        without = sum(unseen.values())
        strange: tuple[str, ...] = ()
        if without > self.trace_mole_percent:
            strange = self.say_unseen({oxide: value for oxide, value in unseen.items() if oxide not in self.limits})
        beyond = self._outside(mole_percent, self.wide, "data")
        clear = self._outside(mole_percent, self.limits, self.tested)
        dark = self._outside(mole_percent, {**self.limits, **self.dark}, self.tested)
        region: Region = "outside"
        if beyond or without > self.unseen_mole_percent:
            region = "beyond"
        elif not strange and not (clear and dark):
            region = "dark" if clear else "inside"
        outside = (dark if self.dark_is_tested else clear) + strange
        return Place(region=region, outside=outside, beyond=beyond, unseen=unseen)

    def regions(self, mole_percent: Floats) -> tuple[NDArray[np.int8], NDArray[np.bool_]]:
        """Return where many glazes (n, k) [mol %] lie, as `place` says it of one: places in `REGIONS`, and which are outside nothing."""
        unseen = mole_percent @ self._unseen
        beyond = (unseen > self.unseen_mole_percent) | self._misses(mole_percent, self.wide)
        clear = self._misses(mole_percent, self.limits)
        dark = self._misses(mole_percent, {**self.limits, **self.dark}) if self.dark else clear
        strange = unseen > self.trace_mole_percent
        region = np.where(clear, REGIONS.index("dark"), REGIONS.index("inside"))
        region[strange | (clear & dark)] = REGIONS.index("outside")
        region[beyond] = REGIONS.index("beyond")
        return region.astype(np.int8), ~((dark if self.dark_is_tested else clear) | strange)

    @property
    def _unseen(self) -> Floats:
        return np.array([0.0 if oxide in self.seen else 1.0 for oxide in AXIS])

    def _misses(self, mole_percent: Floats, limits: Limits) -> NDArray[np.bool_]:
        """Return which of many glazes (n, k) have an amount outside the limits."""
        if not limits:
            return np.zeros(len(mole_percent), dtype=np.bool_)
        sums, ends = self.sums_and_ends(limits)
        amounts = sums @ mole_percent.T  # (limits, n): what is asked of each limit lies in one row
        missed: NDArray[np.bool_] = amounts < ends[:, :1] - 1e-9
        missed |= amounts > ends[:, 1:] + 1e-9
        return np.asarray(missed.any(axis=0))

    def sums_and_ends(self, limits: Limits) -> tuple[Floats, Floats]:
        """Return which oxides each limit counts, (limits, k), and its lowest and highest [mol %], (limits, 2)."""
        return _sums_and_ends(tuple((name, low, high) for name, (low, high) in limits.items()), self.seen)

    def say_unseen(self, unseen: Mapping[str, float]) -> tuple[str, ...]:
        """Name oxides that the model does not know, each with its number."""
        return tuple(f"{oxide} {plain_number(value)} mol % ({self.unseen_is})" for oxide, value in unseen.items())

    def _outside(self, mole_percent: Mapping[str, float], limits: Limits, tested: str) -> tuple[str, ...]:
        """Name each amount outside its limits, e.g. ``MgO 18.2 mol % (tested 0 to 15)``; `other` is all without a limit."""
        named = {oxide for name in limits for oxide in MODEL_GROUPS.get(name, (name,))}
        others = [oxide for oxide in mole_percent if oxide in self.seen and oxide not in named]
        found = []
        for name, (low, high) in limits.items():
            oxides = others if name == "other" else MODEL_GROUPS.get(name, (name,))
            amount = sum(mole_percent.get(oxide, 0.0) for oxide in oxides)
            if not low - 1e-9 <= amount <= high + 1e-9:
                shown = name if name != "other" else " + ".join(oxide for oxide in oxides if mole_percent[oxide] > 0)
                found.append(f"{shown} {_unlike(amount, low, high)} mol % ({tested} {low:g} to {high:g})")
        return tuple(found)


@lru_cache(maxsize=32)
def _sums_and_ends(limits: tuple[tuple[str, float, float], ...], seen: frozenset[str]) -> tuple[Floats, Floats]:
    named = {oxide for name, _, _ in limits for oxide in MODEL_GROUPS.get(name, (name,))}
    others = [oxide for oxide in AXIS if oxide in seen and oxide not in named]
    groups = [others if name == "other" else MODEL_GROUPS.get(name, (name,)) for name, _, _ in limits]
    sums = np.array([[1.0 if oxide in group else 0.0 for oxide in AXIS] for group in groups])
    ends = np.array([(low, high) for _, low, high in limits], dtype=np.float64)
    return sums.reshape(len(groups), len(AXIS)), ends.reshape(-1, 2)


def _unlike(amount: float, low: float, high: float) -> str:
    """Return an amount with as many decimals as tell it from its limits."""
    shown = (plain_number(amount), f"{amount:.2f}", f"{amount:.3f}")
    return next((text for text in shown if float(text) not in (low, high)), f"{amount:.3g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Half widths of a calibrated interval by region and level in per cent; a region without its own takes those inside."""

    half_width: Mapping[str, Mapping[str, Any]]  # at each knot, where there are knots
    factor: Mapping[str, Mapping[str, float | None]]  # on the half width inside; None where too few sources exist
    knots_c: tuple[float, ...]  # temperatures [deg C] of the widths; empty where they do not depend on temperature

    @classmethod
    def from_data(cls, entry: Mapping[str, Any]) -> Interval:
        """Read the entry that the calibration wrote."""
        knots_c = tuple(entry.get("knots_c", ()))
        return cls(half_width=entry["half_width"], factor=entry.get("factor", {}), knots_c=knots_c)

    def at(self, level: float, *, region: Region, temperature_c: float | None = None) -> float | None:
        """Return the half width at `level` (0-1) in a region; None where it is not known."""
        factor = self.factor_of(level, region=region)
        if factor is None:
            return None
        widths = self.half_width.get(region, self.half_width["inside"])[str(check_level(level))]
        if not self.knots_c:
            return factor * float(widths)
        assert temperature_c is not None  # such a model asks at a temperature
        return factor * float(np.interp(temperature_c, self.knots_c, widths))

    def factor_of(self, level: float, *, region: Region) -> float | None:
        """Return the factor of a region on the width that holds for it; None where it is not known."""
        if region in self.half_width:
            return 1.0
        return self.factor.get(region, {}).get(str(check_level(level)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ManyGlazes:
    """A model that answers for many glazes at once, as it does for one."""

    quantity: str
    unit: str
    values: Callable[[Floats], Floats]  # of compositions (n, k) [mol %], iron as Fe2O3
    known: frozenset[str]  # with a number
    model: str  # the name under which its trace stands
    tested: TestedRange | None = None
    interval: Interval | None = None
    temperature_c: float | None = None
    temperature_is_tested: bool = True

    def of(self, mole_percent: Floats, level: float) -> tuple[Floats, Floats, Floats, NDArray[np.bool_]]:
        """Return value, low, high and whether it lies in the tested range, each (n,); NaN where the model has none."""
        value = self.values(mole_percent)
        strangers = np.array([oxide not in self.known for oxide in AXIS])
        if strangers.any():
            value = np.where(mole_percent @ strangers.astype(np.float64) > _trace(self.model), np.nan, value)
        if self.tested is None:
            inside, region = np.isfinite(value), np.zeros(len(value), dtype=np.int8)
        else:
            region, inside = self.tested.regions(mole_percent)
        if not self.temperature_is_tested:
            region[:], inside[:] = REGIONS.index("beyond"), False
        half = np.full(len(REGIONS), np.nan)
        if self.interval is not None:
            widths = [self.interval.at(level, region=name, temperature_c=self.temperature_c) for name in REGIONS]
            half = np.array([np.nan if width is None else width for width in widths])
        reach = half[region]
        return value, value - reach, value + reach, inside & np.isfinite(value)


def _trace(model: str) -> float:
    traces = load_data("unknown_oxides.yaml")["trace_mole_percent"]
    return float(traces.get(model, traces["any"])["value"])
