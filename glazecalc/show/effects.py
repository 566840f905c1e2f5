"""Old batch beside new: its lines, its estimates, its cautions; for every page that changes a batch."""

from __future__ import annotations

from glazecalc.reformulate.answers import Answer, Effect
from glazecalc.reformulate.nudge import Nudge
from glazecalc.show.cautions import caution_headline
from glazecalc.show.text import decimals, wrapped

__all__ = ("caution_changes", "effect_line")


def effect_line(effect: Effect) -> str:
    """Return one estimate before and after, in one line."""
    digits = decimals(effect.unit)
    name = f"{effect.quantity.capitalize()}, {effect.model}"
    outside = "" if effect.in_window else " ?"
    if effect.before is None:
        return f"  {name:34s}{effect.after:8.{digits}f}{outside} {effect.unit}"
    moved = f"{effect.after - effect.before:+.{digits + (1 if digits else 0)}f}"
    change = f"({moved if float(moved) else '0'})"
    return f"  {name:34s}{effect.before:8.{digits}f} ->{effect.after:6.{digits}f} {change:8s} {effect.unit}{outside}"


def caution_changes(answer: Answer | Nudge, *, compared: bool = True) -> list[str]:
    """Return the cautions that a new batch brings, those that it does away with, and lead and cadmium that stay in it."""
    told = (
        ("New caution" if compared else "Caution", answer.new_cautions),
        ("Caution gone", answer.vanished_cautions),
        ("Caution as before", answer.standing_cautions),
    )
    return [
        line
        for word, cautions in told
        for one in cautions
        for line in wrapped(f"{word}, {caution_headline(one)}", hang=4)
    ]
