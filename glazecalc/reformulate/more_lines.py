"""What one more line would bring, where the number of lines holds a batch back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from glazecalc.errors import OutOfTimeError
from glazecalc.material import Material
from glazecalc.optimise.batches import Fit, deviation_of, fit
from glazecalc.optimise.choices import choice
from glazecalc.reformulate.answers import MoreLines
from glazecalc.reformulate.finding import Found

__all__ = ("more_lines", "one_line_more")


def one_line_more(found: Found) -> Fit | None:
    """Return the batch of one line more than allowed, if it comes nearer by what counts; None where no more lines help.

    On a large shelf it is chosen from the materials of the answers and those that came nearest by themselves.
    """
    problem, best = found.problem, found.best
    cap = problem.shape.most_lines
    if best is None or cap is None or int(problem.sources.in_base[list(best.support)].sum()) < cap:
        return None
    before = deviation_of(problem, best)
    if before < choice("more_lines_tolerances"):
        return None
    pool = list(range(problem.size))
    if problem.slack:
        near = list(found.alike)[: int(choice("pool_materials"))]
        used = {j for one in (*found.swaps, *found.reworked) for j in one.support}
        pool = sorted({*np.flatnonzero(problem.sources.familiar).tolist(), *near, *used})
    small = problem.of(pool)
    try:
        wider = fit(replace(small, shape=replace(small.shape, most_lines=cap + 1)))
    except OutOfTimeError:
        return None
    if wider is None or before - deviation_of(small, wider) < choice("more_lines_tolerances"):
        return None
    return wider.among(problem, pool)


def more_lines(found: Found, wider: Fit | None, materials: Sequence[Material], cap: int) -> MoreLines | None:
    """Return what one line more than `cap` would bring, and which materials would join the best batch for it."""
    best = found.best
    if wider is None or best is None:
        return None
    new = tuple(materials[j].id for j in sorted(wider.support - best.support))
    return MoreLines(lines=cap + 1, materials=new, score_before=found.off(best), score_after=found.off(wider))
