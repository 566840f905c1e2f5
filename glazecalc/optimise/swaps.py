"""One-for-one: the batches of the recipe's own materials and exactly one new one, each by a small linear problem of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from glazecalc.optimise.batches import Fit, Problem, least_deviation, polished

__all__ = ("best_swaps", "swap_scores")


def swap_scores(problem: Problem) -> dict[int, float]:
    """Return new material -> least weighted deviation of the recipe's own lines with it, all of them used; best first.

    Every such batch is worked through, so that the first is proven the best. A material with which none meets the conditions is
    left out.
    """
    own, new = (np.flatnonzero(problem.sources.familiar == old).tolist() for old in (True, False))
    scores = {}
    if problem.sources.start is not None and _room(problem, own):
        for j in new:
            value = least_deviation(_with_one(problem, own, int(j)))
            if value is not None:
                scores[int(j)] = value
    return dict(sorted(scores.items(), key=lambda found: (round(found[1], 6), found[0])))


def best_swaps(problem: Problem, newcomers: Sequence[int]) -> list[Fit]:
    """Return the batch of least deviation with each of the `newcomers`, in their order."""
    own = np.flatnonzero(problem.sources.familiar).tolist()
    fits = []
    for j in newcomers:
        small = _with_one(problem, own, j)
        found = polished(small, np.ones(small.size, dtype=np.bool_))
        if found is not None:
            fits.append(found.among(problem, [*own, j]))
    return fits


def _room(problem: Problem, own: Sequence[int]) -> bool:
    most = problem.shape.most_lines
    return most is None or int(problem.sources.in_base[list(own)].sum()) + 1 <= most


def _with_one(problem: Problem, own: Sequence[int], new: int) -> Problem:
    """Return the problem over its own lines, each of which stays, and a new one."""
    small = problem.of([*own, new])
    start, base = small.sources.start, small.sources.in_base
    assert start is not None
    total = float(start[base].sum())
    share = start / total if total > 0 else start
    least = small.shape.least_share
    staying = np.minimum(np.maximum(share, 0.0), least[-1])  # a line stays a line that can be weighed
    least = np.maximum(least, np.where(small.sources.familiar, staying, 0.0))
    return replace(small, shape=replace(small.shape, least_share=least, must=np.ones(small.size, dtype=np.bool_)))
