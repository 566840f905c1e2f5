"""What is to be met: terms on the oxides with their tolerances, from a unity formula, ranges, sums and ratios."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.errors import CompositionError
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, FLUXES, INDEX, check_oxide
from glazecalc.target import check_label, parse_range

__all__ = ("Range", "Term", "goal_terms", "hold", "tolerance_of", "zero_terms")

Floats = NDArray[np.float64]
Range = tuple[float, float]
_SUM_OF_FLUXES = 0.02  # moles by which the stated fluxes may miss 1: printed formulas are rounded


@dataclass(frozen=True, slots=True, kw_only=True)
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

    def deviation(self, moles: Floats) -> float:
        """Return by how much `moles` (k,) miss the target: negative when short, positive when over."""
        value = float(self.coefficients @ moles)
        return min(0.0, value - self.low) + max(0.0, value - self.high)


def tolerance_of(oxide: str, tolerances: Mapping[str, float] | None = None) -> float:
    """Return the tolerance of an oxide [mol]; `tolerances` of the caller go first."""
    if tolerances and oxide in tolerances:
        return tolerances[oxide]
    table = load_data("reformulate_tolerances.yaml")["oxides"]
    return float(table.get(oxide, table["other"])["tolerance"])


def _vector(names: Iterable[str], factor: float = 1.0) -> Floats:
    vector = np.zeros(len(AXIS))
    for name in names:
        vector[INDEX[name]] += factor
    return vector


def _sum_tolerance(names: tuple[str, ...], tolerances: Mapping[str, float] | None) -> float:
    for entry in load_data("reformulate_tolerances.yaml")["sums"]:
        if set(entry["oxides"]) == set(names) and not (tolerances and set(names) & set(tolerances)):
            return float(entry["tolerance"])
    return min(tolerance_of(name, tolerances) for name in names)


def goal_terms(
    target: Mapping[str, object],
    *,
    convention: Convention,
    tolerances: Mapping[str, float] | None = None,
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
        if not (math.isfinite(tolerance) and tolerance > 0):
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
        names = check_label(label)
        if named & set(names):
            raise CompositionError(f"the target names {', '.join(sorted(named & set(names)))} twice.")
        named |= set(names)
        tolerance = tolerance_of(names[0], tolerances) if len(names) == 1 else _sum_tolerance(names, tolerances)
        terms.append(
            Term(label=label, oxides=names, coefficients=_vector(names), low=low, high=high, tolerance=tolerance)
        )
    absent, shown = ("Fe2O3", "FeO") if convention.iron_as_feo else ("FeO", "Fe2O3")
    if absent in named:
        ratio = "one Fe2O3 is two FeO"
        raise CompositionError(
            f"the target names {absent}, but all iron stands as {shown} in this convention ({ratio}).",
            f"Give it as {shown}.",
        )
    _check_fluxes(terms, convention)
    return (*terms, *zero_terms(named, terms, convention, tolerances), *_pair_terms(terms, named, tolerances))


def _ratio(label: str, low: float, high: float, tolerances: Mapping[str, float] | None) -> list[Term]:
    if label.count(":") != 1:
        raise CompositionError(f"'{label}' is no ratio of two.", "Write SiO2:Al2O3.")
    above, below = (check_label(part.strip()) for part in label.split(":"))
    tolerance = tolerance_of(above[0], tolerances)

    def side(ratio: float, ends: Range) -> Term:
        vector = _vector(above) - _vector(below, ratio)
        return Term(
            label=label, oxides=(*above, *below), coefficients=vector, low=ends[0], high=ends[1], tolerance=tolerance
        )

    if low == high:
        return [side(low, (0.0, 0.0))]
    return [side(low, (0.0, math.inf)), side(high, (-math.inf, 0.0))]


def _check_fluxes(terms: Sequence[Term], convention: Convention) -> None:
    basis = {"Al2O3"} if convention.unity_on_alumina else set(convention.fluxes)
    about = [term for term in terms if ":" not in term.label and set(term.oxides) <= basis]
    if not about:
        return
    low, high = math.fsum(term.low for term in about), math.fsum(term.high for term in about)
    if high < 1 - _SUM_OF_FLUXES or low > 1 + _SUM_OF_FLUXES:
        total = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        what = "alumina is" if convention.unity_on_alumina else "fluxes of the target add to"
        raise CompositionError(
            f"the {what} {total}; in a unity formula it is 1.",
            "Divide every oxide by the sum of the fluxes (R2O + RO), or give a fired analysis instead.",
        )


def zero_terms(
    named: set[str], terms: Sequence[Term], convention: Convention, tolerances: Mapping[str, float] | None
) -> list[Term]:
    """Return a term "none wanted" for every oxide that the target leaves out.

    Where the target names no flux at all, the fluxes stay free; an oxide that only a ratio names stays free too.
    """
    free = {oxide for term in terms if ":" in term.label for oxide in term.oxides}
    if not named & set(convention.fluxes):
        free |= set(convention.fluxes) | set(FLUXES)
    return [
        Term(
            label=oxide,
            oxides=(oxide,),
            coefficients=_vector((oxide,)),
            low=0.0,
            high=0.0,
            tolerance=tolerance_of(oxide, tolerances),
            stated=False,
        )
        for oxide in AXIS
        if oxide not in named and oxide not in free
    ]


def _pair_terms(terms: Sequence[Term], named: set[str], tolerances: Mapping[str, float] | None) -> list[Term]:
    single = {term.oxides[0]: term for term in terms if len(term.oxides) == 1 and ":" not in term.label}
    pairs = []
    for entry in load_data("reformulate_tolerances.yaml")["sums"]:
        names = tuple(entry["oxides"])
        if not named & set(names) or any(name in named and name not in single for name in names):
            continue
        if sum(name in named for name in names) == 0 or (tolerances and set(names) & set(tolerances)):
            continue
        low = math.fsum(single[name].low for name in names if name in single)
        high = math.fsum(single[name].high for name in names if name in single)
        pairs.append(
            Term(
                label="+".join(names),
                oxides=names,
                coefficients=_vector(names),
                low=low,
                high=high,
                tolerance=float(entry["tolerance"]),
                stated=False,
            )
        )
    return pairs


def hold(terms: Sequence[Term], keep: Iterable[str], target: Mapping[str, float] | None = None) -> tuple[Term, ...]:
    """Return `terms` with those of the keep list held; a sum that is no term yet is added.

    Parameters
    ----------
    terms : sequence of Term
    keep : iterable of str
        Oxides and sums, e.g. ``["K2O+Na2O", "Al2O3"]``; one text with commas is read too.
    target : mapping, optional
        Oxide -> moles, for sums over oxides that have no term of their own.

    Raises
    ------
    CompositionError
        Where the target has no such number.
    """
    names = [
        part.strip() for text in ([keep] if isinstance(keep, str) else keep) for part in text.split(",") if part.strip()
    ]
    result = list(terms)
    for label in names:
        if ":" in label:
            above, below = (check_label(part.strip()) for part in label.split(":", 1))
            total_above, total_below = (
                math.fsum((target or {}).get(name, 0.0) for name in part) for part in (above, below)
            )
            if total_below <= 0:
                raise CompositionError(f"the ratio {label} cannot be kept: the target has none of {'+'.join(below)}.")
            result.extend(
                replace(term, held=True, stated=False)
                for term in _ratio(label, total_above / total_below, total_above / total_below, None)
            )
            continue
        oxides = check_label(label)
        match = [i for i, term in enumerate(result) if set(term.oxides) == set(oxides) and ":" not in term.label]
        if match:
            result[match[0]] = replace(result[match[0]], held=True, label=label)
            continue
        single = {term.oxides[0]: term for term in result if len(term.oxides) == 1}
        if not all(oxide in single for oxide in oxides):
            raise CompositionError(
                f"'{label}' cannot be kept: the target has no number for it.",
                "Keep oxides or sums that the target names.",
            )
        low, high = (math.fsum(getattr(single[oxide], end) for oxide in oxides) for end in ("low", "high"))
        tolerance = min(single[oxide].tolerance for oxide in oxides)
        result.append(
            Term(
                label=label,
                oxides=oxides,
                coefficients=_vector(oxides),
                low=low,
                high=high,
                tolerance=tolerance,
                stated=False,
                held=True,
            )
        )
    return tuple(result)
