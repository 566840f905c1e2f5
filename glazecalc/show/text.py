"""Plain text for a 100-column screen: rules, columns, wrapped lines. Nothing here knows any chemistry."""

from __future__ import annotations

import textwrap

__all__ = ("WIDTH", "bullet", "heading", "number", "rule", "unit_text", "wrapped")

WIDTH = 100


def number(value: float, digits: int) -> str:
    """Return `value` with `digits` decimals; what is not zero but rounds to it is shown as less than the last digit."""
    text = f"{value:.{digits}f}"
    if value != 0 and float(text) == 0:
        return f"<{10**-digits:.{digits}f}" if value > 0 else f">-{10**-digits:.{digits}f}"
    return text.replace("-0." + "0" * digits, "0." + "0" * digits) if float(text) == 0 else text


def unit_text(unit: str) -> str:
    """Return a unit as pages print it: C for degrees Celsius."""
    return unit.replace("deg C", "C")


def heading(left: str, right: str = "") -> list[str]:
    """Return a line with text at both ends; what is too long for one line goes on below."""
    if len(left) + len(right) + 2 <= WIDTH:
        return [f"{left}{right.rjust(WIDTH - len(left)) if right else ''}"]
    return [*wrapped(left, indent=0, hang=2), *(line.rjust(WIDTH) for line in wrapped(right, indent=0))]


def rule() -> str:
    """Return a line across the page."""
    return "-" * WIDTH


def wrapped(text: str, *, indent: int = 2, hang: int | None = None) -> list[str]:
    """Return `text` broken at 100 columns, later lines indented by `hang`."""
    first, later = " " * indent, " " * (indent if hang is None else hang)
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)


def bullet(lead: str, text: str, *, width: int = 18) -> list[str]:
    """Return `lead` in a column of its own with `text` wrapped beside it."""
    body = textwrap.wrap(text, WIDTH - width, break_on_hyphens=False) or [""]
    return [f"{lead:{width}s}{body[0]}".rstrip(), *(f"{'':{width}s}{line}" for line in body[1:])]
