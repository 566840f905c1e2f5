"""Which condition holds a batch back: each is taken away and the batch made anew; one that changes nothing is no reason."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.optimise.batches import Fit, Problem, Shape, deviation_of, polished
from glazecalc.optimise.choices import choice

__all__ = ("Loosened", "loosened")

Loosened = dict[str, NDArray[np.float64]]
"""Condition -> the moles (k,) of the best batch without it: ``raw-clay``, ``most-parts``, ``least-parts``, ``lines``."""


def loosened(problem: Problem, best: Fit, wider: Fit | None) -> Loosened:
    """Return the conditions without which the batch comes nearer by what counts; `wider` is the best batch of one line more."""
    used = np.zeros(problem.size, dtype=np.bool_)
    used[list(best.support)] = True
    used |= problem.sources.familiar | problem.shape.must
    before, found = deviation_of(problem, best), {}
    for name, shape in _without(problem.shape):
        free = polished(replace(problem, shape=shape, cuts=(), two_changes=False), used)
        if free is not None and before - deviation_of(problem, free) > choice("reason_tolerances"):
            found[name] = free.parts @ problem.sources.moles
    if wider is not None:
        found["lines"] = wider.parts @ problem.sources.moles
    return found


def _without(shape: Shape) -> Iterator[tuple[str, Shape]]:
    if shape.share_rows:
        yield "raw-clay", replace(shape, share_rows=())
    if (shape.most_share < 1.0).any():
        yield "most-parts", replace(shape, most_share=np.ones_like(shape.most_share))
    if (shape.must & (shape.least_share > 0)).any():
        yield "least-parts", replace(shape, must=np.zeros_like(shape.must))
