"""How the difference of two estimates is said: direction first, then the amount with its error, a star where the direction is unsure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from glazecalc.estimate.result import Estimate, decimals
from glazecalc.show.text import number

if TYPE_CHECKING:
    from glazecalc.estimate.difference import EstimateDifference

__all__ = ("change", "odds_in_words", "star_note", "value_of", "way")


def way(difference: EstimateDifference) -> str:
    """Return ``up`` or ``down`` as the calculation says, sure or not; ``same`` where no digit that is shown moves."""
    shown = f"{difference.value:+.{_digits(difference)}f}"
    return "same" if not float(shown) else "up" if difference.value > 0 else "down"


def change(difference: EstimateDifference) -> tuple[str, str]:
    """Return the change in words, e.g. ``down 0.21 ± 0.33``, and behind it the star with the odds; the star's place is empty where it is sure."""
    digits, half, which = _digits(difference), difference.half_width, way(difference)
    if which == "same":
        return "same", ""
    amount = number(abs(difference.value), digits)
    if half is None:
        return f"{which} {amount}", "error not known"
    told = f"{which} {amount} \u00b1 {number(half, digits)}"
    return told, "" if difference.direction != "unsure" else f"* {odds_in_words(difference)}"


def odds_in_words(difference: EstimateDifference) -> str:
    """Return the odds of the direction, e.g. ``8 in 10``."""
    return f"{10 * difference.odds:.0f} in 10" if difference.odds is not None else ""


def star_note(differences: Sequence[EstimateDifference]) -> str:
    """Return what stands below a table of differences: what the error is, and the star where there is one."""
    known = [d for d in differences if d.half_width is not None]
    parts = []
    if known:
        level = 100 * (known[0].level or 0)
        parts.append(
            f"\u00b1 is the error of such a difference, {level:.0f} in 100: what both glazes share of the model's error drops out."
        )
    if any(d.direction == "unsure" and way(d) != "same" for d in known):
        parts.append("* direction unsure: the odds that it is right.")
    if any(d.outside for d in known):
        parts.append("? outside the tested range: the error is that of pairs measured there, as wide or wider.")
    return " ".join(parts)


def value_of(estimate: Estimate, *, word: str = "") -> str:
    """Return the value of an estimate, a published method's with its corrected value behind it, called by `word`."""
    digits = decimals(estimate.unit)
    corrected = f" ({word}{number(estimate.corrected, digits)})" if estimate.corrected is not None else ""
    return f"{number(estimate.value, digits)}{corrected}"


def _digits(difference: EstimateDifference) -> int:
    """Return one decimal more than the estimate itself deserves: the error of a difference is smaller."""
    digits = decimals(difference.unit)
    return digits + 1 if digits else 0
