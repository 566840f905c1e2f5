"""Whole parts: rounding a batch to a step with the least loss of fit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glazecalc.optimise.batches import Problem

__all__ = ("to_step",)

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
_MOST_ROUNDS = 200


def to_step(parts: Floats, problem: Problem, step: float, total: float) -> Floats:
    """Return `parts` (m,) in whole steps.

    The base lines keep their `total` where it is a whole number of steps (the last step otherwise goes missing or over by
    less than half). First every line is rounded with the largest remainders up; then single steps are moved from line to
    line, and a step is tried up or down on an addition, as long as the fit gets better.

    Parameters
    ----------
    parts : array (m,)
        Parts on the recipe's scale.
    problem : Problem
        What the fit is judged by.
    step : float
        [parts].
    total : float
        Sum of the base lines [parts].
    """
    in_base = problem.sources.in_base
    base, on_top = np.flatnonzero((parts > 0) & in_base), np.flatnonzero((parts > 0) & ~in_base)
    counts = np.zeros(len(parts), dtype=np.int64)
    exact = parts / step
    counts[base] = np.floor(exact[base] + 1e-9).astype(np.int64)
    counts[on_top] = np.maximum(1, np.rint(exact[on_top])).astype(np.int64)
    missing = round(total / step) - int(counts[base].sum())
    order = base[np.argsort(-(exact[base] - counts[base]), kind="stable")]
    for i in range(max(0, missing)):
        counts[order[i % len(order)]] += 1
    best = _loss(counts, problem)
    for _ in range(_MOST_ROUNDS):
        moved = _better(counts, base, on_top, problem, best)
        if moved is None:
            break
        counts, best = moved
    result: Floats = counts.astype(np.float64) * step
    return result


def _loss(counts: Counts, problem: Problem) -> float:
    moles = counts @ problem.sources.moles
    flux = moles[problem.goals.basis].sum()
    return problem.goals.weighted(moles / flux) if flux > 0 else float("inf")


def _better(
    counts: Counts, base: NDArray[np.intp], on_top: NDArray[np.intp], problem: Problem, best: float
) -> tuple[Counts, float] | None:
    found = None
    swaps = [((int(a), -1), (int(b), 1)) for a in base for b in base if a != b and counts[a] > 0]
    singles = [((int(j), d),) for j in on_top for d in (-1, 1) if counts[j] + d > 0]
    for trial in (*swaps, *singles):
        changed = counts.copy()
        for j, d in trial:
            changed[j] += d
        loss = _loss(changed, problem)
        if loss < best - 1e-12:
            best, found = loss, changed
    return None if found is None else (found, best)
