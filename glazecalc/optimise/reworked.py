"""Reworked batches: the best of all that change two materials or more, and the next best of other structure."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from glazecalc.errors import OutOfTimeError
from glazecalc.optimise.batches import Cut, Fit, Problem, deviation_of, fit, proven_least
from glazecalc.optimise.choices import choice

__all__ = ("best_reworked", "of_its_own")

Alike = Callable[[int, int], bool]


def _itself(one: int, other: int) -> bool:
    return one == other


def best_reworked(problem: Problem, count: int, *, ranked: Sequence[int] = (), alike: Alike = _itself) -> list[Fit]:
    """Return up to `count` batches that are no one-for-one swaps, each of another structure than those before.

    On a large shelf those after the first are chosen from the materials that came nearest by themselves (`ranked`) and what is
    `alike` to those of the first; how much closer a batch may be is said of each.
    """
    end = time.monotonic() + problem.time_limit_s
    first, late = _in_time(problem, end)
    own = of_its_own(problem) if problem.two_changes else None
    if first is None:
        if late is not None and own is None:
            raise late
        return [] if own is None else [own]
    farthest = deviation_of(problem, first) + choice("alternatives_within_tolerances")
    fits = [first] if own is None or deviation_of(problem, own) > farthest else [own, first]
    large = problem.slack > 0
    pool = _pool(problem, ranked, first, alike) if large else list(range(problem.size))
    least = proven_least(problem, most_nodes=int(choice("most_nodes"))) if large else 0.0
    count = min(count, int(choice("most_reworked"))) if large else count
    while len(fits) < count and late is None:
        cuts = tuple(cut for one in fits for cut in _cuts_of(problem, one, pool, alike))
        small = replace(problem.of(pool), two_changes=problem.two_changes, cuts=cuts, slack=0.0)
        found, late = _in_time(small, end)
        if found is None:
            break
        one = found.among(problem, pool)
        if deviation_of(problem, one) > farthest or any(one.support == other.support for other in fits):
            break
        fits.append(one)
    if late is not None:
        fits[-1] = replace(fits[-1], stopped=True)
    return [replace(one, gap=deviation_of(problem, one) - least) for one in fits] if large else fits


def _in_time(problem: Problem, end: float) -> tuple[Fit | None, OutOfTimeError | None]:
    try:
        return fit(replace(problem, time_limit_s=max(choice("least_seconds"), end - time.monotonic()))), None
    except OutOfTimeError as late:
        return None, late


def of_its_own(problem: Problem) -> Fit | None:
    """Return the best batch of the recipe's own materials alone, where it has some: nothing new comes in."""
    own = np.flatnonzero(problem.sources.familiar).tolist()
    if not own or not set(np.flatnonzero(problem.shape.must)) <= set(own):
        return None
    found = fit(replace(problem.of(own), slack=0.0))
    return None if found is None else found.among(problem, own)


def _pool(problem: Problem, ranked: Sequence[int], first: Fit, alike: Alike) -> list[int]:
    own = np.flatnonzero(problem.sources.familiar)
    near = ranked[: int(choice("pool_materials"))]
    like = [j for j in range(problem.size) if any(alike(i, j) for i in first.support)]
    return sorted({*(int(j) for j in own), *near, *first.support, *like, *np.flatnonzero(problem.shape.must).tolist()})


def _cuts_of(problem: Problem, one: Fit, pool: Sequence[int], alike: Alike) -> list[Cut]:
    """Return what forbids a batch of the same structure: of what came in (or its variants) and what left, not all again."""
    familiar = problem.sources.familiar
    new = [j for j in one.support if not familiar[j]]
    if not new and not familiar.any():
        return []
    came = {j for j in pool if not familiar[j] and any(alike(i, j) for i in new)}
    left = {int(j) for j in np.flatnonzero(familiar) if j not in one.support and problem.two_changes}
    place = {j: at for at, j in enumerate(pool)}
    at = frozenset(place[j] for j in came), frozenset(place[j] for j in left)
    return [Cut(used=at[0], left=at[1], most=len(new) + len(left) - 1)] if new or left else []
