"""Rounding to the step of a scale, and splitting a line into what the scale can hold."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from glazecalc.errors import Notice, WorkshopError
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.practice import choice

__all__ = (
    "ROUNDING_CODES",
    "at_the_scale",
    "round_to_step",
    "rounding_notices",
    "step_text",
    "weigh_rounds",
    "whole_ounces",
)

ROUNDING_CODES = ("fine-scale", "step-is-coarse")
"""Codes of what `rounding_notices` says."""

_FINEST_OUNCE = 16  # parts of an ounce that scales in pounds and ounces show


def round_to_step(mass_g: float, step_g: float) -> float:
    """Return `mass_g` [g] at the nearest step of the scale, half up; the step is taken as written, so 0.1 is a tenth."""
    if not (math.isfinite(step_g) and step_g > 0):
        said = f"the scale's step is {step_g:g} g; a number above zero was expected."
        raise WorkshopError(said, "Write it like 0.1g.")
    step = Fraction(str(step_g))
    return float(math.floor(Fraction(mass_g) / step + Fraction(1, 2)) * step)


def whole_ounces(step_g: float | None) -> Fraction | None:
    """Return a step in ounces, None where it is not one that a scale in pounds and ounces has."""
    if step_g is None:
        return None
    exact = step_g / float(MASS_UNITS["oz"])
    ounces = Fraction(round(exact * _FINEST_OUNCE), _FINEST_OUNCE)
    return ounces if ounces and abs(exact - float(ounces)) < 1e-9 else None


def step_text(step_g: float) -> str:
    """Return a step as its scale names it: in grams, or in ounces where it is some."""
    ounces = whole_ounces(step_g)
    return f"{step_g:g} g" if ounces is None else f"{float(ounces):g} oz"


def at_the_scale(mass_g: float, step_g: float | None) -> tuple[float, bool]:
    """Return what to weigh [g], and whether it takes a fine scale.

    It is `mass_g` at the nearest step, or its true weight where the step would round it to nothing or move it by more than
    `fine_scale_percent`.
    """
    if step_g is None:
        return mass_g, False
    rounded = round_to_step(mass_g, step_g)
    is_fine = abs(rounded - mass_g) > mass_g * choice("fine_scale_percent") / 100
    return (mass_g if is_fine else rounded), is_fine


def rounding_notices(lines: Iterable[tuple[str, float]], step_g: float) -> list[Notice]:
    """Return what a step does to lines of (name, exact mass [g]) that is worth saying."""
    coarse, fine, notices = choice("coarse_step_percent"), [], []
    for name, exact in lines:
        mass, is_fine = at_the_scale(exact, step_g)
        if is_fine:
            nearest = round_to_step(exact, step_g)
            became = f"{nearest:g} g, {100 * (nearest - exact) / exact:+.0f} %" if nearest else "nothing"
            fine.append(f"{name} {exact:.3g} g ({became})")
        elif exact > 0 and (reach := 100 * step_g / 2 / exact) > coarse:
            said = (
                f"{name}: a step of {step_text(step_g)} is +-{reach:.1f} % of {exact:.3g} g (here {100 * (mass - exact) / exact:+.1f} %). "
                f"A finer scale, or a batch {math.ceil(10 * reach / coarse) / 10:g} times as large, keeps it within {coarse:g} %."
            )
            notices.append(Notice("step-is-coarse", said))
    if fine:
        said = (
            f"weigh on a fine scale what a step of {step_text(step_g)} would lose or move too far: {'; '.join(fine)}."
        )
        notices.insert(0, Notice("fine-scale", said))
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
