"""What mending says in words: the answer first, then its ground."""

from __future__ import annotations

import math
from collections.abc import Sequence

from glazecalc.workshop.mended import Action, MendLine, WeighedMaterial
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import step_text

__all__ = ("advice",)


def advice(
    action: Action,
    lines: Sequence[MendLine],
    foreign: Sequence[WeighedMaterial],
    *,
    asked_g: float | None,
    size_g: float,
    used_g: float,
    step_g: float | None,
    weigh_on: bool,
) -> str:
    """Return what to do, in a few sentences.

    `size_g` is the batch as mended, `step_g` the step that was given or read [g]; `weigh_on` is true where something is to be weighed once
    what is foreign or over has been scooped off.
    """
    tail = " The glaze already used was off-recipe: mark the pots made with it." if used_g > 0 else ""
    if foreign:
        return _foreign(foreign, _scoop("it" if len(foreign) == 1 else "they", used_g, weigh_on)) + tail
    if action == "on-recipe":
        is_size = asked_g is None or used_g > 0 or abs(size_g - asked_g) <= 1e-9 * size_g
        other = "" if is_size else f" The batch is {size_g:.0f} g; {asked_g:.0f} g were planned."
        return f"On recipe: nothing to add.{other}{tail}"
    worst = max(lines, key=lambda x: x.weighed_g / x.due_g if x.due_g > 0 else 0.0)
    add_g = math.fsum(line.add_g for line in lines)
    weigh_g = math.fsum(line.weigh_g for line in lines)
    becomes_g = math.fsum(line.then_g for line in lines)
    if action == "start-over":
        fresh_g, off = asked_g or size_g, _scoop("the surplus", used_g, weigh_on)
        return (
            f"Start again: {worst.name} is so far over that mending takes {add_g:.0f} g of new material, a fresh batch only {fresh_g:.0f} g.{off} "
            f"The mended batch would be {size_g:.0f} g; if you will need that much, label the bucket and keep it.{tail}"
        )
    return f"{_adding(lines, worst, weigh_g, becomes_g, asked_g if used_g == 0 else None)}{_below(lines, step_g)}{tail}"


def _scoop(what: str, used_g: float, weigh_on: bool) -> str:
    """Return what to do where it still lies on top; nothing once the mix was stirred and used."""
    if used_g > 0:
        return ""
    lies, it = ("lie", "them") if what == "they" else ("lies", "it")
    on = " and weigh what the table says" if weigh_on else ""
    return f" If {what} still {lies} unmixed on top, scoop {it} off{on}."


def _foreign(foreign: Sequence[WeighedMaterial], off: str) -> str:
    named = ", ".join(f"{item.name} ({item.mass_g:g} g)" for item in foreign)
    is_not, them = ("is not", "it") if len(foreign) == 1 else ("are not", "them")
    return (
        f"Start again: {named} {is_not} in the recipe, and nothing you add takes {them} out.{off} Otherwise label the bucket with what is in it "
        "and test it as a glaze of its own."
    )


def _adding(lines: Sequence[MendLine], worst: MendLine, weigh_g: float, becomes_g: float, asked_g: float | None) -> str:
    """Return what brings the batch back: `weigh_g` in all, to the step of the scale, and the size that it becomes [g]."""
    adding = [line for line in lines if line.add_g > 0]
    if 2 * len(adding) < len(lines) and all(line.weighed_g == 0 for line in adding):
        named = " and ".join(line.name for line in adding)
        is_, its = ("is", "it") if len(adding) == 1 else ("are", "they")
        return f"Add {named} alone: {its} {is_} missing, and the rest is on recipe."
    if asked_g is None:
        return f"Add what is listed, {weigh_g:.0f} g in all. {worst.name} sets the size: the batch becomes {becomes_g:.0f} g."
    if not any(line.is_over for line in lines):
        return f"Add what is listed. Nothing is over: the batch comes to {becomes_g:.0f} g, as planned."
    grow = f"Add what is listed: the batch grows from {asked_g:.0f} g to {becomes_g:.0f} g."
    over_percent = 100 * (worst.weighed_g / worst.planned_g - 1) if worst.planned_g > 0 else math.inf
    if over_percent < choice("small_slip_percent"):
        grow += f" {worst.name} is only {over_percent:.2g} % over: you may also leave it and weigh the rest as planned."
    return grow


def _below(lines: Sequence[MendLine], step_g: float | None) -> str:
    """Return which corrections no step of the scale shows."""
    small = [f"{line.add_g:.3g} g of {line.name}" for line in lines if line.is_below_step]
    if not small or step_g is None:
        return ""
    is_, takes = ("is", "it takes") if len(small) == 1 else ("are", "they take")
    return f" {' and '.join(small)} {is_} below the scale's step of {step_text(step_g)}: {takes} a fine scale."
