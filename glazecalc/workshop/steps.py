"""Rounding to the step of a scale, and splitting a line into what the scale can hold."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from glazecalc.errors import Notice, WorkshopError
from glazecalc.workshop.practice import choice

__all__ = ("round_to_step", "rounding_notices", "weigh_rounds")


def round_to_step(mass_g: float, step_g: float) -> float:
    """Return `mass_g` [g] at the nearest step of the scale, half up; the step is taken as written, so 0.1 is a tenth."""
    if not (math.isfinite(step_g) and step_g > 0):
        said = f"the scale's step is {step_g:g} g; a number above zero was expected."
        raise WorkshopError(said, "Write it like 0.1g.")
    step = Fraction(str(step_g))
    return float(math.floor(Fraction(mass_g) / step + Fraction(1, 2)) * step)


def rounding_notices(lines: Iterable[tuple[str, float, float]], step_g: float) -> list[Notice]:
    """Return what rounding does to lines of (name, exact mass, rounded mass) [g] that is worth saying."""
    notices = []
    coarse = choice("coarse_step_percent")
    for name, exact, rounded in lines:
        if exact <= 0:
            continue
        reach = 100 * step_g / 2 / exact
        if rounded == 0:
            said = f"{name}: {exact:.3g} g is less than half a step of {step_g:g} g and rounds to nothing."
            notices.append(Notice("rounds-to-nothing", said))
        elif reach > coarse:
            moved = 100 * (rounded - exact) / exact
            said = (
                f"{name}: a step of {step_g:g} g is +-{reach:.1f} % of {exact:.3g} g (here {moved:+.1f} %). "
                f"A finer scale, or a batch {reach / coarse:.1f} times as large, keeps it within {coarse:g} %."
            )
            notices.append(Notice("step-is-coarse", said))
    return notices


def weigh_rounds(mass_g: float, capacity_g: float, step_g: float) -> tuple[float, ...]:
    """Split a line into the fewest, nearly equal weighings [g] that a scale can hold beside its pan, larger ones first.

    They are whole steps and add up to `mass_g` as rounded to the step.
    """
    step = Fraction(str(step_g))
    most = math.floor(Fraction(str(capacity_g)) / step)
    if most < 1:
        raise WorkshopError(f"a scale that weighs up to {capacity_g:g} g cannot show a step of {step_g:g} g.")
    steps = math.floor(Fraction(mass_g) / step + Fraction(1, 2))
    rounds = max(1, -(-steps // most))
    if rounds > choice("most_rounds"):
        said = f"{mass_g:g} g on a scale that weighs up to {capacity_g:g} g take {rounds} rounds."
        raise WorkshopError(said, "Use a larger scale for this line.")
    share, extra = divmod(steps, rounds)
    return tuple(float((share + (1 if i < extra else 0)) * step) for i in range(rounds))
