"""Where silica and alumina of a recipe may lie together, as an ellipse: they move with each other, so two ranges say less."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch
from glazecalc.convert.moles import basis_of, counted
from glazecalc.estimate.spread import Sampling, sample_moles
from glazecalc.oxides import INDEX

__all__ = ("JointRange", "alumina_and_silica")


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRange:
    """An ellipse that holds a share `level` of the draws: its centre, full axes and the turn of the first [degrees]."""

    centre: tuple[float, float]
    axes: tuple[float, float]
    turn_degrees: float
    level: float


def alumina_and_silica(batch: Batch, convention: Convention, how: Sampling) -> JointRange | None:
    """Return where Al2O3 and SiO2 of the unity formula lie, as the bags' tolerances have it; None where a draw has no flux."""
    points = []
    for moles in sample_moles(batch, how):
        basis = counted(moles, convention)[:, basis_of(convention)].sum(axis=1)
        if not (basis > 0).all():
            return None
        points.append(moles[:, [INDEX["Al2O3"], INDEX["SiO2"]]] / basis[:, None])
    drawn = np.concatenate(points)
    centre = drawn.mean(axis=0)
    lengths, directions = np.linalg.eigh(np.cov(drawn.T))
    along = (drawn - centre) @ directions
    deviations = np.sqrt(np.maximum(lengths, np.finfo(float).tiny))
    reach = float(np.quantile(np.hypot(*(along / deviations).T), how.level))  # of the draws themselves: no law assumed
    turn = math.degrees(math.atan2(directions[1, 0], directions[0, 0]))
    return JointRange(
        centre=(float(centre[0]), float(centre[1])),
        axes=(2 * reach * float(deviations[0]), 2 * reach * float(deviations[1])),
        turn_degrees=turn,
        level=how.level,
    )
