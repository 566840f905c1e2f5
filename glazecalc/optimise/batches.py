"""The search for batches: least weighted deviation over the materials at hand, then structurally different ones.

Parts are scaled so that the fluxes sum to one. The unity formula is then linear in the parts, and so is every deviation.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import OutOfTimeError
from glazecalc.optimise.goals import Term
from glazecalc.optimise.linear import Row, Solution, solve

__all__ = ("Fit", "Problem", "best_fits", "deviation_score", "fit", "lowest_score", "reach", "relaxed", "value_of")

Floats = NDArray[np.float64]
_NEGLIGIBLE = 1e-7  # parts per unity batch (some hundreds): the solver's own noise
_TIE = 1e-9
_LEAST_SECONDS = 0.2
_HUNDRED = 100.0  # parts: the usual size of a line on the unity scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What may be used and what is to be met.

    Attributes
    ----------
    moles : array (m, k)
        Moles of each oxide that one part of each material brings, what rides along with the base included.
    basis : boolean array (k,)
        The oxides whose moles sum to one.
    terms : tuple of Term
    in_base : boolean array (m,)
        Lines that count to the base total.
    familiar : boolean array (m,)
        Materials that the recipe has already: they cost nothing extra.
    start : array (m,), optional
        The parts to stay near where several batches are as good, scaled to fluxes of one.
    least_share, most_share : arrays (m,)
        Ends for the parts of a line where it is used [share of the base total, 0-1].
    must : boolean array (m,)
        Lines that must be used.
    share_rows : tuple of (boolean array (m,), low, high)
        Ends for the share of several materials together [share of the base total, 0-1].
    most_lines : int or None
        At most so many base lines.
    line_charge : float
        Cost of a line that is not familiar [tolerances].
    side_cost : array (m,)
        A second aim: cost of one part of each material [tolerances].
    hold_factor : float
        Weight of held terms.
    rider : array (k,)
        Of `moles`, what rides along with each base part: fixed lines and additions.
    usual_mass : float
        What a unity batch of this target weighs about [parts].
    mass_limit : float
        No unity batch is heavier than this [parts].
    """

    moles: Floats
    basis: NDArray[np.bool_]
    terms: tuple[Term, ...]
    in_base: NDArray[np.bool_]
    familiar: NDArray[np.bool_]
    start: Floats | None = None
    least_share: Floats
    most_share: Floats
    must: NDArray[np.bool_]
    share_rows: tuple[tuple[NDArray[np.bool_], float, float], ...] = ()
    most_lines: int | None = None
    line_charge: float = 0.0
    side_cost: Floats
    hold_factor: float = 1000.0
    rider: Floats
    usual_mass: float
    mass_limit: float
    time_limit_s: float = 5.0
    slack: float = 0.0
    cuts: tuple[frozenset[int], ...] = field(default=())

    @property
    def size(self) -> int:
        """The number of materials."""
        return len(self.moles)

    @property
    def own_moles(self) -> Floats:
        """The moles that each material brings by itself, (m, k)."""
        result: Floats = self.moles - self.in_base[:, None] * self.rider
        return result


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One batch on the unity scale.

    Attributes
    ----------
    parts : array (m,)
        Parts that bring one mole of flux.
    score : float
        Weighted deviation [tolerances], held terms counted by their tolerance alone.
    gap : float
        By how much a better batch was not excluded [tolerances].
    stopped : bool
        True where the time limit ended the search.
    """

    parts: Floats
    score: float
    gap: float = 0.0
    stopped: bool = False

    @property
    def support(self) -> frozenset[int]:
        """The materials that are used."""
        return frozenset(int(i) for i in np.flatnonzero(self.parts > 0))


def deviation_score(terms: Sequence[Term], moles: Floats) -> float:
    """Return the weighted deviation of `moles` (k,) [tolerances]."""
    return float(sum(abs(term.deviation(moles)) / term.tolerance for term in terms))


def _weights(problem: Problem) -> Floats:
    return np.array([(problem.hold_factor if term.held else 1.0) / term.tolerance for term in problem.terms])


def _upper(problem: Problem) -> Floats:
    # A line grows only while one of its oxides is still wanted, or while it brings the flux that makes the sum one.
    wanted = np.zeros(problem.moles.shape[1])
    for term in problem.terms:
        ends = [abs(end) for end in (term.low, term.high) if np.isfinite(end)]
        for column in np.flatnonzero(term.coefficients):
            wanted[column] = max(wanted[column], *ends, 0.0)
    wanted = np.where(problem.basis, 1.0, wanted)
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(problem.moles > 0, wanted / problem.moles, 0.0)
    flux = problem.moles[:, problem.basis].sum(axis=1)
    main = np.where(problem.moles >= 0.02 * problem.moles.max(axis=1, keepdims=True), each, 0.0).max(axis=1)
    with np.errstate(divide="ignore"):
        by_flux = np.where(flux > 0, 1.0 / flux, np.inf)
    limit: Floats = np.minimum(np.minimum(np.where(main > 0, 1.0 * main, np.inf), by_flux), problem.mass_limit) + 1e-6
    return limit


def _base_rows(problem: Problem, width: int) -> list[Row]:
    """Rows over x (m), under and over (2 t), and nothing else; `width` columns in all."""
    m, t = problem.size, len(problem.terms)
    rows = []
    flux = np.zeros(width)
    flux[:m] = problem.moles[:, problem.basis].sum(axis=1)
    rows.append(Row(coefficients=flux, low=1.0, high=1.0))
    if not problem.in_base.all():  # additions stand on a base: they never outweigh it
        line = np.zeros(width)
        line[:m] = np.where(problem.in_base, 1.0, -1.0)
        rows.append(Row(coefficients=line, low=0.0))
    for i, term in enumerate(problem.terms):
        line = np.zeros(width)
        line[:m] = problem.moles @ term.coefficients
        line[m + i], line[m + t + i] = 1.0, -1.0
        rows.append(Row(coefficients=line, low=term.low, high=term.high))
    share = problem.in_base.astype(np.float64)
    for j in range(m):
        if problem.must[j] and problem.least_share[j] > 0:
            line = np.zeros(width)
            line[:m] = -problem.least_share[j] * share
            line[j] += 1.0
            rows.append(Row(coefficients=line, low=0.0))
        if problem.most_share[j] < 1.0:
            line = np.zeros(width)
            line[:m] = problem.most_share[j] * share
            line[j] -= 1.0
            rows.append(Row(coefficients=line, low=0.0))
    for chosen, low, high in problem.share_rows:
        for sign, end in ((1.0, low), (-1.0, high)):
            if 0.0 < end < 1.0 or (sign > 0 and end > 0):
                line = np.zeros(width)
                line[:m] = sign * (chosen.astype(np.float64) - end * share)
                rows.append(Row(coefficients=line, low=0.0))
    return rows


def _unit(problem: Problem, width: int) -> Floats:
    unit = np.ones(width)
    unit[: problem.size] = _HUNDRED
    return unit


def _choose(problem: Problem) -> tuple[NDArray[np.bool_], float, bool] | None:
    """Return which materials to use, by the mixed-integer problem: (used, gap, stopped), or None."""
    m, t = problem.size, len(problem.terms)
    width = m + 2 * t + m
    rows = _base_rows(problem, width)
    upper = np.full(width, np.inf)
    upper[:m] = _upper(problem)
    upper[m + 2 * t :] = 1.0
    for j in range(m):
        line = np.zeros(width)
        line[j], line[m + 2 * t + j] = -1.0, upper[j]
        rows.append(Row(coefficients=line, low=0.0))  # used only where its switch is on
        if (
            problem.least_share[j] > 0
        ):  # by the usual mass, which keeps the search quick; the last step takes the true one
            line = np.zeros(width)
            line[j], line[m + 2 * t + j] = 1.0, -min(problem.least_share[j] * problem.usual_mass, upper[j])
            rows.append(Row(coefficients=line, low=0.0))
        if problem.must[j]:
            line = np.zeros(width)
            line[m + 2 * t + j] = 1.0
            rows.append(Row(coefficients=line, low=1.0))
    if problem.most_lines is not None:
        line = np.zeros(width)
        line[m + 2 * t :] = problem.in_base.astype(np.float64)
        rows.append(Row(coefficients=line, high=float(problem.most_lines)))
    for cut in problem.cuts:
        line = np.zeros(width)
        line[[m + 2 * t + j for j in cut]] = 1.0
        rows.append(Row(coefficients=line, high=float(len(cut) - 1)))
    weights = _weights(problem)
    cost = np.concatenate([problem.side_cost, weights, weights, np.where(problem.familiar, 0.0, problem.line_charge)])
    whole = np.zeros(width, dtype=np.bool_)
    whole[m + 2 * t :] = True
    found = solve(
        cost,
        rows,
        upper=upper,
        whole=whole,
        unit=_unit(problem, width),
        time_limit_s=problem.time_limit_s,
        slack=problem.slack,
    )
    if found is None:
        return None
    used = (found.x[m + 2 * t :] > 0.5) & (found.x[:m] > _NEGLIGIBLE)
    return used, found.gap, found.stopped


def _polish(problem: Problem, used: NDArray[np.bool_]) -> Floats | None:
    """Return the parts of least deviation on the materials `used`; where several are as good, the nearest to the start."""
    m, t = problem.size, len(problem.terms)
    upper = np.full(m + 2 * t, np.inf)
    upper[:m] = np.where(used, np.inf, 0.0)
    rows = _base_rows(problem, m + 2 * t)
    share = problem.in_base.astype(np.float64)
    for j in (int(i) for i in np.flatnonzero(used & (problem.least_share > 0) & ~problem.must)):
        line = np.zeros(m + 2 * t)
        line[:m] = -problem.least_share[j] * share
        line[j] += 1.0
        rows.append(Row(coefficients=line, low=0.0))
    weights = _weights(problem)
    cost = np.concatenate([problem.side_cost, weights, weights])
    first = solve(cost, rows, upper=upper, unit=_unit(problem, m + 2 * t))
    if first is None:
        return None
    if problem.start is None:
        return first.x[:m]
    # second step: keep the value, move as few parts as can be
    width = m + 2 * t + 2 * m
    wide = [
        Row(coefficients=np.concatenate([row.coefficients, np.zeros(2 * m)]), low=row.low, high=row.high)
        for row in rows
    ]
    wide.append(
        Row(coefficients=np.concatenate([cost, np.zeros(2 * m)]), high=first.value + _TIE * (1.0 + abs(first.value)))
    )
    for j in range(m):
        line = np.zeros(width)
        line[j], line[m + 2 * t + j], line[m + 2 * t + m + j] = 1.0, 1.0, -1.0
        wide.append(Row(coefficients=line, low=float(problem.start[j]), high=float(problem.start[j])))
    second = solve(
        np.concatenate([np.zeros(m + 2 * t), np.ones(2 * m)]),
        wide,
        upper=np.concatenate([upper, np.full(2 * m, np.inf)]),
        unit=np.concatenate([_unit(problem, m + 2 * t), np.full(2 * m, _HUNDRED)]),
    )
    return first.x[:m] if second is None else second.x[:m]


def fit(problem: Problem) -> Fit | None:
    """Return the batch of least weighted deviation, or None where no batch meets the conditions."""
    chosen = _choose(problem)
    if chosen is None:
        return None
    used, gap, stopped = chosen
    parts = _polish(problem, _with_familiar(problem, used))
    if parts is None:
        return None
    parts = np.where(parts > _NEGLIGIBLE, parts, 0.0)
    return Fit(parts=parts, score=deviation_score(problem.terms, parts @ problem.moles), gap=gap, stopped=stopped)


def _with_familiar(problem: Problem, used: NDArray[np.bool_]) -> NDArray[np.bool_]:
    # the recipe's own materials cost nothing extra: where several batches are as good, its own must be among them
    wide = used | problem.familiar
    if problem.most_lines is not None and (wide & problem.in_base).sum() > problem.most_lines:
        return used
    return used if any(all(wide[j] for j in cut) for cut in problem.cuts) else wide


def best_fits(problem: Problem, count: int, within: float) -> list[Fit]:
    """Return up to `count` batches, best first, each without at least one of the new materials of every one before.

    Where a batch has no new material, the next one lacks at least one of its materials. The list ends where the next one
    would be worse than the best by more than `within` tolerances, or where the time of the problem is up.
    """
    fits: list[Fit] = []
    end = time.monotonic() + problem.time_limit_s
    while len(fits) < count:
        try:
            found = fit(replace(problem, time_limit_s=max(_LEAST_SECONDS, end - time.monotonic())))
        except OutOfTimeError:
            if not fits:
                raise
            return _in_order(problem, [*fits[:-1], replace(fits[-1], stopped=True)])
        if found is None or (fits and _ranked(problem, found) > _ranked(problem, fits[0]) + within):
            break
        fits.append(found)
        new = frozenset(int(j) for j in found.support if not problem.familiar[j])
        cut = new or found.support
        if not cut - {int(j) for j in np.flatnonzero(problem.must)}:
            break
        problem = replace(problem, cuts=(*problem.cuts, cut))
    return _in_order(problem, fits)


def _in_order(problem: Problem, fits: Sequence[Fit]) -> list[Fit]:
    return sorted(fits, key=lambda found: round(value_of(problem, found), 6))  # solver noise decides nothing


def _ranked(problem: Problem, found: Fit) -> float:
    moles = found.parts @ problem.moles
    held = sum(abs(term.deviation(moles)) / term.tolerance for term in problem.terms if term.held)
    return float(found.score + (problem.hold_factor - 1.0) * held)


def value_of(problem: Problem, found: Fit) -> float:
    """Return the whole objective: deviation with held terms in their weight, charges of new lines, second aims."""
    lines = problem.line_charge * sum(not problem.familiar[j] for j in found.support)
    return _ranked(problem, found) + lines + float(problem.side_cost @ found.parts)


def relaxed(problem: Problem) -> Solution | None:
    """Return the least objective with all materials and no limit on the number of lines; None where no batch is possible."""
    m, t = problem.size, len(problem.terms)
    weights = _weights(problem)
    return solve(
        np.concatenate([problem.side_cost, weights, weights]),
        _base_rows(problem, m + 2 * t),
        unit=_unit(problem, m + 2 * t),
    )


def lowest_score(problem: Problem) -> Floats | None:
    """Return the moles (k,) of the batch that `relaxed` finds."""
    found = relaxed(problem)
    return None if found is None else found.x[: problem.size] @ problem.moles


def reach(problem: Problem, coefficients: Floats) -> tuple[float, float]:
    """Return the least and the most of ``coefficients . moles`` that any batch of these materials has, by itself."""
    flux = problem.moles[:, problem.basis].sum(axis=1)
    upper = np.full(problem.size, problem.mass_limit)
    row = [Row(coefficients=flux, low=1.0, high=1.0)]
    along = problem.moles @ coefficients
    ends = []
    for sign in (1.0, -1.0):
        found = solve(sign * along, row, upper=upper)
        ends.append(np.nan if found is None else sign * found.value)
    return float(ends[0]), float(ends[1])
