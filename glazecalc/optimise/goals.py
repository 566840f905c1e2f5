"""What is to be met: terms on the oxides with their tolerances, from a unity formula, ranges, sums and ratios."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.arguments import the_names
from glazecalc.convention import Convention
from glazecalc.errors import CompositionError
from glazecalc.files.shipped import load_data
from glazecalc.optimise.choices import choice
from glazecalc.oxides import AXIS, FLUXES, INDEX, check_oxide
from glazecalc.target import check_label, parse_range

__all__ = ("Goals", "Term", "goal_terms", "hold", "row_of", "split_list", "tolerance_of")

Floats = NDArray[np.float64]
Oxides = tuple[str, ...]
Tolerances = Mapping[str, float] | None  # of the caller: oxide -> mol


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Term:
    """One thing that counts: ``low <= coefficients . moles <= high``, where `moles` (k,) stand per mole of flux.

    A deviation of one `tolerance` [mol] costs 1. A term is `stated` where the target names it; others follow (an oxide that is
    not wanted, a sum of two wanted ones). What is `held` is met exactly if that is possible.
    """

    label: str
    oxides: Oxides
    coefficients: Floats
    low: float
    high: float
    tolerance: float
    stated: bool = True
    held: bool = False

    @property
    def is_ratio(self) -> bool:
        """True for ``"SiO2:Al2O3"``: its coefficients stand against zero."""
        return ":" in self.label

    @property
    def is_single(self) -> bool:
        """True where it is about one oxide."""
        return len(self.oxides) == 1

    def deviation(self, moles: Floats) -> float:
        """Return by how much `moles` (k,) miss the target: negative when short, positive when over."""
        value = float(self.coefficients @ moles)
        return min(0.0, value - self.low) + max(0.0, value - self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Goals:
    """All that is to be met together: held terms weigh `hold_factor` times as much; the moles of `basis` (k,) sum to one."""

    terms: tuple[Term, ...]
    basis: NDArray[np.bool_]
    hold_factor: float = 1.0

    @property
    def held(self) -> tuple[Term, ...]:
        """The terms to be met exactly if that is possible."""
        return tuple(term for term in self.terms if term.held)

    @property
    def coefficients(self) -> Floats:
        """Over the oxide axis, (terms, k)."""
        return np.array([term.coefficients for term in self.terms])

    @property
    def weights(self) -> Floats:
        """What a deviation of one mole costs, (terms,)."""
        return np.array([(self.hold_factor if term.held else 1.0) / term.tolerance for term in self.terms])

    def wanted(self) -> Floats:
        """Return the largest number that any term names for each oxide, (k,)."""
        ends = [max(abs(end) for end in (term.low, term.high, 0.0) if np.isfinite(end)) for term in self.terms]
        most: Floats = ((self.coefficients != 0) * np.array(ends)[:, None]).max(axis=0, initial=0.0)
        return most

    def score(self, moles: Floats) -> float:
        """Return the deviation of `moles` (k,), each term by its tolerance alone [tolerances]."""
        return math.fsum(abs(term.deviation(moles)) / term.tolerance for term in self.terms)

    def weighted(self, moles: Floats) -> float:
        """Return the deviation of `moles` (k,) with held terms in their weight [tolerances]."""
        return math.fsum(w * abs(term.deviation(moles)) for w, term in zip(self.weights, self.terms, strict=True))


def tolerance_of(oxide: str, tolerances: Tolerances = None) -> float:
    """Return the tolerance of an oxide [mol]; `tolerances` of the caller go first."""
    if tolerances and oxide in tolerances:
        return tolerances[oxide]
    table = load_data("reformulate_tolerances.yaml")["oxides"]
    return float(table.get(oxide, table["other"])["tolerance"])


def _pair_tolerances(tolerances: Tolerances) -> dict[Oxides, float]:
    """Return the sums that are held tighter than their oxides, but for those whose oxides have a tolerance of the caller."""
    table, own = load_data("reformulate_tolerances.yaml")["sums"], set(tolerances or {})
    return {tuple(one["oxides"]): float(one["tolerance"]) for one in table if not own & set(one["oxides"])}


def row_of(oxides: Iterable[str], factor: float = 1.0) -> Floats:
    """Return the coefficients (k,) of a sum of oxides."""
    coefficients = np.zeros(len(AXIS))
    coefficients[[INDEX[oxide] for oxide in oxides]] = factor
    return coefficients


def _sum(oxides: Oxides, low: float, high: float, tolerance: float, label: str = "", *, stated: bool = True) -> Term:
    label, row = label or "+".join(oxides), row_of(oxides)
    return Term(label=label, oxides=oxides, coefficients=row, low=low, high=high, tolerance=tolerance, stated=stated)


def goal_terms(
    target: Mapping[str, object], *, convention: Convention, tolerances: Tolerances = None
) -> tuple[Term, ...]:
    """Return the terms of a target unity formula, with the oxides it does not name wanted at zero.

    `target` has oxides, sums (``"K2O+Na2O"``, ``"KNaO"``) and ratios (``"SiO2:Al2O3"``), each with a number, a pair or
    ``"low..high"``; `tolerances` [mol] of oxides go before the default ones. Raise for what is no unity formula.
    """
    for oxide, tolerance in (tolerances or {}).items():
        check_oxide(oxide)
        if not 0 < tolerance < math.inf:
            raise CompositionError(f"the tolerance of {oxide} is {tolerance}; moles above zero were expected.")
    if not target:
        raise CompositionError("the target names no oxide.", "Give a unity formula: oxide: moles per mole of flux.")
    terms: list[Term] = []
    named: set[str] = set()
    for label, value in target.items():
        low, high = parse_range(value, label)
        if ":" in label:
            terms.extend(_ratio(label, low, high, tolerances))
            continue
        oxides = check_label(label)
        if named & set(oxides):
            raise CompositionError(f"the target names {', '.join(sorted(named & set(oxides)))} twice.")
        named |= set(oxides)
        pair = next((own for both, own in _pair_tolerances(tolerances).items() if set(both) == set(oxides)), None)
        tolerance = min(tolerance_of(oxide, tolerances) for oxide in oxides) if pair is None else pair
        terms.append(_sum(oxides, low, high, tolerance, label))
    absent, shown = ("Fe2O3", "FeO") if convention.iron_as_feo else ("FeO", "Fe2O3")
    if absent in named:
        text = f"all iron stands as {shown} in this convention (one Fe2O3 is two FeO)."
        raise CompositionError(f"the target names {absent}, but {text}", f"Give it as {shown}.")
    _check_fluxes(terms, convention)
    return (*terms, *_zero_terms(named, terms, convention, tolerances), *_pair_terms(terms, named, tolerances))


def _ratio(label: str, low: float, high: float, tolerances: Tolerances) -> list[Term]:
    if label.count(":") != 1:
        raise CompositionError(f"'{label}' is no ratio of two.", "Write SiO2:Al2O3.")
    above, below = (check_label(part.strip()) for part in label.split(":"))
    both, tolerance = (*above, *below), tolerance_of(above[0], tolerances)

    def side(ratio: float, least: float, most: float) -> Term:
        row = row_of(above) - row_of(below, ratio)
        return Term(label=label, oxides=both, coefficients=row, low=least, high=most, tolerance=tolerance)

    return [side(low, 0.0, 0.0)] if low == high else [side(low, 0.0, math.inf), side(high, -math.inf, 0.0)]


def _check_fluxes(terms: Sequence[Term], convention: Convention) -> None:
    about = [term for term in terms if not term.is_ratio and set(term.oxides) <= set(convention.basis)]
    if not about:
        return
    low, high = math.fsum(term.low for term in about), math.fsum(term.high for term in about)
    rounding = choice("sum_of_fluxes_off_mol")
    if high < 1 - rounding or low > 1 + rounding:
        total = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        what = "alumina is" if convention.unity_on_alumina else "fluxes of the target add to"
        hint = "Divide every oxide by the sum of the fluxes (R2O + RO), or give a fired analysis instead."
        raise CompositionError(f"the {what} {total}; in a unity formula it is 1.", hint)


def _zero_terms(named: set[str], terms: Sequence[Term], convention: Convention, tolerances: Tolerances) -> list[Term]:
    """Return a term "none wanted" for every oxide that the target leaves out.

    Where the target names no flux at all, the fluxes stay free; an oxide that only a ratio names stays free too.
    """
    free = {oxide for term in terms if term.is_ratio for oxide in term.oxides}
    if not named & set(convention.fluxes):
        free |= set(convention.fluxes) | set(FLUXES)
    left_out = [oxide for oxide in AXIS if oxide not in named and oxide not in free]
    return [_sum((oxide,), 0.0, 0.0, tolerance_of(oxide, tolerances), stated=False) for oxide in left_out]


def _pair_terms(terms: Sequence[Term], named: set[str], tolerances: Tolerances) -> list[Term]:
    single = {term.oxides[0]: term for term in terms if term.is_single}
    pairs = []
    for oxides, tolerance in _pair_tolerances(tolerances).items():
        wanted = named & set(oxides)
        if wanted and wanted <= single.keys():
            pairs.append(_sum_of([single[oxide] for oxide in oxides if oxide in wanted], oxides, tolerance))
    return pairs


def _sum_of(terms: Sequence[Term], oxides: Oxides, tolerance: float) -> Term:
    """Return the term of a sum that the target does not name, from the terms of its oxides."""
    low, high = math.fsum(term.low for term in terms), math.fsum(term.high for term in terms)
    return _sum(oxides, low, high, tolerance, stated=False)


def hold(terms: Sequence[Term], keep: str | Iterable[str], target: Mapping[str, float]) -> tuple[Term, ...]:
    """Return `terms` with those of the keep list held; a sum or ratio that is no term yet is added.

    `keep` as in `split_list`; `target` has the moles of each oxide, for ratios. Raise where it has no such number.
    """
    result = list(terms)
    for label in split_list(keep):
        if ":" in label:
            above, below = (check_label(part.strip()) for part in label.split(":", 1))
            over, under = (math.fsum(target.get(oxide, 0.0) for oxide in side) for side in (above, below))
            if under <= 0:
                text = f"the ratio {label} cannot be kept: the target has none of {'+'.join(below)}."
                raise CompositionError(text)
            result += [
                replace(term, held=True, stated=False) for term in _ratio(label, over / under, over / under, None)
            ]
            continue
        oxides = check_label(label)
        known = next((i for i, t in enumerate(result) if set(t.oxides) == set(oxides) and not t.is_ratio), None)
        if known is not None:
            result[known] = replace(result[known], held=True, label=label)
            continue
        single = {term.oxides[0]: term for term in result if term.is_single}
        if not all(oxide in single for oxide in oxides):
            text = f"'{label}' cannot be kept: the target has no number for it."
            raise CompositionError(text, "Keep oxides or sums that the target names.")
        chosen = [single[oxide] for oxide in oxides]
        result.append(replace(_sum_of(chosen, oxides, min(t.tolerance for t in chosen)), label=label, held=True))
    return tuple(result)


def split_list(texts: str | Iterable[str]) -> list[str]:
    """Return the entries of a list, e.g. of oxides to keep; commas part them, and one text is a list too."""
    return [part.strip() for text in the_names(texts) for part in text.split(",") if part.strip()]
