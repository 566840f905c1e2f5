"""When a weighed batch is on its recipe, what size it must have, and which step its weights show: numbers alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from glazecalc.units import MASS_UNITS
from glazecalc.workshop.practice import choice, practice

__all__ = ("InBucket", "mended_size", "read_step")

_SLACK = 1e-9  # relative; for equal numbers on either side of a rounding


@dataclass(frozen=True, slots=True)
class InBucket:
    """One material: its share of the recipe [0 to 1], what is in the bucket [g], and how many weighings it takes."""

    share: float
    weighed_g: float
    step_g: float | None = None
    weighings: int = 1

    def is_right_in(self, size_g: float) -> bool:
        """Return whether the weight is right for a batch of this size."""
        low, high = self.sizes
        return low * (1 - _SLACK) <= size_g <= high * (1 + _SLACK)

    @property
    def sizes(self) -> tuple[float, float]:
        """The smallest and the largest batch [g] for which this weight is right.

        It may be off by half a step, but by no more than the share that rounding may move a line; or by `on_recipe_percent`,
        where that is more. Nothing of a material is never right.
        """
        if not self.share > 0:
            return 0.0, math.inf
        weight, percent, most = self.weighed_g, choice("on_recipe_percent") / 100, choice("fine_scale_percent") / 100
        half = self.weighings * (self.step_g or 0.0) / 2
        low = min(weight / (1 + percent), max(weight - half, weight / (1 + most)))
        high = max(weight / (1 - percent), min(weight + half, weight / (1 - most)))
        return low / self.share, high / self.share


def mended_size(bucket: Sequence[InBucket], planned_g: float | None) -> float:
    """Return the size [g] of the batch as mended: as planned where nothing is over, else the least that puts nothing over.

    The least follows from the lines that agree on it, weighed together: rounding in one of them does not enlarge the batch.
    """
    lines = [line for line in bucket if line.share > 0]
    least = max((line.sizes[0] for line in lines), default=0.0)
    if planned_g is not None and planned_g >= least * (1 - _SLACK):
        return planned_g
    agreeing = [line for line in lines if line.is_right_in(least)]
    together = math.fsum(line.weighed_g for line in agreeing) / math.fsum(line.share for line in agreeing)
    return min(max(together, least), *(line.sizes[1] for line in agreeing))


def read_step(weights_g: Sequence[float]) -> float | None:
    """Return the largest usual step of a scale [g] of which the weights are whole multiples, None where they show none.

    A weight below ten steps may be none: it may have been weighed on a fine scale. Most of the weights are whole multiples, and each of
    ten steps or more.
    """
    usual = practice("scale_steps")
    steps = sorted([*usual["g"], *(float(MASS_UNITS["oz"]) * ounces for ounces in usual["oz"])], reverse=True)
    weights = [weight for weight in weights_g if weight > 0]
    for step in steps:
        whole = [weight for weight in weights if _is_multiple(weight, step)]
        if 2 * len(whole) > len(weights) and all(weight in whole for weight in weights if weight >= 10 * step):
            return float(step)
    return None


def _is_multiple(weight: float, step: float) -> bool:
    steps = Fraction(repr(float(weight))) / Fraction(repr(float(step)))
    return round(steps) > 0 and abs(float(steps) - round(steps)) < 1e-6
