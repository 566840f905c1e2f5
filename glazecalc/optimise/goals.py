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

__all__ = ("Goals", "Term", "goal_terms", "hold", "split_list", "tolerance_of")

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Term:
    """One thing that counts: ``low <= coefficients . moles <= high``, where `moles` stand per mole of flux.

    Attributes
    ----------
    label : str
        ``"SiO2"``, ``"K2O+Na2O"`` or ``"SiO2:Al2O3"``.
    oxides : tuple of str
        What it is about.
    coefficients : array (k,)
        Over the oxide axis.
    low, high : float
        Ends of the target; equal for a number.
    tolerance : float
        The deviation that costs 1 [mol per mol of flux].
    stated : bool
        True where the target names it; False where it follows (an oxide that is not wanted, a sum of two wanted ones).
    held : bool
        True where it is to be met exactly if that is possible.
    """

    label: str
    oxides: tuple[str, ...]
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
    """All that is to be met together.

    Attributes
    ----------
    terms : tuple of Term
    basis : boolean array (k,)
        The oxides whose moles sum to one.
    hold_factor : float
        How many times their tolerance held terms weigh.
    """

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
        named: Floats = (self.coefficients != 0) * np.array(ends)[:, None]
        most: Floats = named.max(axis=0, initial=0.0)
        return most

    def score(self, moles: Floats) -> float:
        """Return the deviation of `moles` (k,), each term by its tolerance alone [tolerances]."""
        return math.fsum(abs(term.deviation(moles)) / term.tolerance for term in self.terms)

    def weighted(self, moles: Floats) -> float:
        """Return the deviation of `moles` (k,) with held terms in their weight [tolerances]."""
        return math.fsum(w * abs(term.deviation(moles)) for w, term in zip(self.weights, self.terms, strict=True))


def tolerance_of(oxide: str, tolerances: Mapping[str, float] | None = None) -> float:
    """Return the tolerance of an oxide [mol]; `tolerances` of the caller go first."""
    if tolerances and oxide in tolerances:
        return tolerances[oxide]
    table = load_data("reformulate_tolerances.yaml")["oxides"]
    return float(table.get(oxide, table["other"])["tolerance"])


def _pair_tolerances(tolerances: Mapping[str, float] | None) -> dict[tuple[str, ...], float]:
    """Return the sums that are held tighter than their oxides, but for those whose oxides have a tolerance of the caller."""
    table = load_data("reformulate_tolerances.yaml")["sums"]
    return {
        tuple(entry["oxides"]): float(entry["tolerance"])
        for entry in table
        if not set(entry["oxides"]) & set(tolerances or {})
    }


def _tolerance_of_sum(oxides: tuple[str, ...], tolerances: Mapping[str, float] | None) -> float:
    for pair, tolerance in _pair_tolerances(tolerances).items():
        if set(pair) == set(oxides):
            return tolerance
    return min(tolerance_of(oxide, tolerances) for oxide in oxides)


def _over(oxides: Iterable[str], factor: float = 1.0) -> Floats:
    coefficients = np.zeros(len(AXIS))
    for oxide in oxides:
        coefficients[INDEX[oxide]] += factor
    return coefficients


def goal_terms(
    target: Mapping[str, object], *, convention: Convention, tolerances: Mapping[str, float] | None = None
) -> tuple[Term, ...]:
    """Return the terms of a target unity formula, with the oxides it does not name wanted at zero.

    Parameters
    ----------
    target : mapping
        Oxide, sum (``"K2O+Na2O"``, ``"KNaO"``) or ratio (``"SiO2:Al2O3"``) -> number, pair or ``"low..high"``.
    convention : Convention
        What counts as flux.
    tolerances : mapping, optional
        Oxide -> tolerance [mol], in place of the default ones.

    Raises
    ------
    CompositionError
        For a target that is no unity formula, or numbers that cannot be.
    UnknownNameError
        For oxides that are not on the axis.
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
        tolerance = _tolerance_of_sum(oxides, tolerances)
        terms.append(
            Term(label=label, oxides=oxides, coefficients=_over(oxides), low=low, high=high, tolerance=tolerance)
        )
    absent, shown = ("Fe2O3", "FeO") if convention.iron_as_feo else ("FeO", "Fe2O3")
    if absent in named:
        raise CompositionError(
            f"the target names {absent}, but all iron stands as {shown} in this convention (one Fe2O3 is two FeO).",
            f"Give it as {shown}.",
        )
    _check_fluxes(terms, convention)
    return (*terms, *_zero_terms(named, terms, convention, tolerances), *_pair_terms(terms, named, tolerances))


def _ratio(label: str, low: float, high: float, tolerances: Mapping[str, float] | None) -> list[Term]:
    if label.count(":") != 1:
        raise CompositionError(f"'{label}' is no ratio of two.", "Write SiO2:Al2O3.")
    above, below = (check_label(part.strip()) for part in label.split(":"))

    def side(ratio: float, low_end: float, high_end: float) -> Term:
        return Term(
            label=label,
            oxides=(*above, *below),
            coefficients=_over(above) - _over(below, ratio),
            low=low_end,
            high=high_end,
            tolerance=tolerance_of(above[0], tolerances),
        )

    if low == high:
        return [side(low, 0.0, 0.0)]
    return [side(low, 0.0, math.inf), side(high, -math.inf, 0.0)]


def _check_fluxes(terms: Sequence[Term], convention: Convention) -> None:
    about = [term for term in terms if not term.is_ratio and set(term.oxides) <= set(convention.basis)]
    if not about:
        return
    low, high = math.fsum(term.low for term in about), math.fsum(term.high for term in about)
    rounding = choice("sum_of_fluxes_off_mol")
    if high < 1 - rounding or low > 1 + rounding:
        total = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        what = "alumina is" if convention.unity_on_alumina else "fluxes of the target add to"
        raise CompositionError(
            f"the {what} {total}; in a unity formula it is 1.",
            "Divide every oxide by the sum of the fluxes (R2O + RO), or give a fired analysis instead.",
        )


def _zero_terms(
    named: set[str], terms: Sequence[Term], convention: Convention, tolerances: Mapping[str, float] | None
) -> list[Term]:
    """Return a term "none wanted" for every oxide that the target leaves out.

    Where the target names no flux at all, the fluxes stay free; an oxide that only a ratio names stays free too.
    """
    free = {oxide for term in terms if term.is_ratio for oxide in term.oxides}
    if not named & set(convention.fluxes):
        free |= set(convention.fluxes) | set(FLUXES)
    return [
        Term(
            label=oxide,
            oxides=(oxide,),
            coefficients=_over((oxide,)),
            low=0.0,
            high=0.0,
            tolerance=tolerance_of(oxide, tolerances),
            stated=False,
        )
        for oxide in AXIS
        if oxide not in named and oxide not in free
    ]


def _pair_terms(terms: Sequence[Term], named: set[str], tolerances: Mapping[str, float] | None) -> list[Term]:
    single = {term.oxides[0]: term for term in terms if term.is_single}
    pairs = []
    for oxides, tolerance in _pair_tolerances(tolerances).items():
        wanted = named & set(oxides)
        if wanted and wanted <= single.keys():
            pairs.append(_sum_of([single[oxide] for oxide in oxides if oxide in wanted], oxides, tolerance))
    return pairs


def _sum_of(terms: Sequence[Term], oxides: tuple[str, ...], tolerance: float) -> Term:
    """Return the term of a sum that the target does not name, from the terms of its oxides."""
    return Term(
        label="+".join(oxides),
        oxides=oxides,
        coefficients=_over(oxides),
        low=math.fsum(term.low for term in terms),
        high=math.fsum(term.high for term in terms),
        tolerance=tolerance,
        stated=False,
    )


def hold(terms: Sequence[Term], keep: str | Iterable[str], target: Mapping[str, float]) -> tuple[Term, ...]:
    """Return `terms` with those of the keep list held; a sum or ratio that is no term yet is added.

    Parameters
    ----------
    terms : sequence of Term
    keep : str or iterable of str
        Oxides, sums and ratios, e.g. ``["K2O+Na2O", "Al2O3"]``; one text with commas is read too.
    target : mapping
        Oxide -> moles, for ratios.

    Raises
    ------
    CompositionError
        Where the target has no such number.
    """
    result = list(terms)
    for label in split_list(keep):
        if ":" in label:
            result.append(_held_ratio(label, target))
            continue
        oxides = check_label(label)
        known = next((i for i, t in enumerate(result) if set(t.oxides) == set(oxides) and not t.is_ratio), None)
        if known is not None:
            result[known] = replace(result[known], held=True, label=label)
            continue
        single = {term.oxides[0]: term for term in result if term.is_single}
        if not all(oxide in single for oxide in oxides):
            raise CompositionError(
                f"'{label}' cannot be kept: the target has no number for it.",
                "Keep oxides or sums that the target names.",
            )
        chosen = [single[oxide] for oxide in oxides]
        result.append(replace(_sum_of(chosen, oxides, min(t.tolerance for t in chosen)), label=label, held=True))
    return tuple(result)


def split_list(texts: str | Iterable[str]) -> list[str]:
    """Return the entries of a list, e.g. of oxides to keep; commas part them, and one text is a list too."""
    return [part.strip() for text in the_names(texts) for part in text.split(",") if part.strip()]


def _held_ratio(label: str, target: Mapping[str, float]) -> Term:
    above, below = (check_label(part.strip()) for part in label.split(":", 1))
    over, under = (math.fsum(target.get(oxide, 0.0) for oxide in side) for side in (above, below))
    if under <= 0:
        raise CompositionError(f"the ratio {label} cannot be kept: the target has none of {'+'.join(below)}.")
    (term,) = _ratio(label, over / under, over / under, None)
    return replace(term, held=True, stated=False)
