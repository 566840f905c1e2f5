"""Pyrometric cones by name: which there are, their order, and reading one as a potter writes it.

A cone is text. "06" and "6" are two cones about 220 deg C apart, so the zero is kept everywhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import total_ordering

from glazecalc.display import Shown
from glazecalc.errors import ConeError

__all__ = ("CONES", "CONE_ORDER", "CONE_SIGNS", "CONE_WORDS", "Cone", "parse_cone")

# Soft to hard. Half cones exist where a chart prints them; 23 to 25 were never part of Seger's revised series.
CONES: tuple[str, ...] = (
    *(f"0{n}" for n in range(22, 9, -1)), "09", "08", "07", "06", "05.5", "05", "04", "03.5", "03", "02", "01",
    "1", "2", "3", "4", "5", "5.5", *(str(n) for n in range(6, 21)), *(str(n) for n in range(26, 43)),
)  # fmt: skip
CONE_ORDER = {label: place for place, label in enumerate(CONES)}
"""Place of each cone in the order of heat-work."""

CONE_SIGNS = "^Δδ\u2206△▲"
"""What stands for the word "cone" before its number: the caret, and the triangles that pens and keyboards have (Greek delta, increment, ...)."""
CONE_WORDS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10",
    "eleven": "11", "twelve": "12", "thirteen": "13", "fourteen": "14",
}  # fmt: skip
"""Cones written as words; "oh" or "zero" before one is its zero."""
_SIGN = re.compile(rf"^(?:cones?\s*:?|c[./]?|[{re.escape(CONE_SIGNS)}])\.?\s*")
_WORD = re.compile(rf"(?P<zero>(?:oh|o|zero|nought)[\s-]+)?(?P<word>{'|'.join(CONE_WORDS)})")


@total_ordering
@dataclass(frozen=True, slots=True)
class Cone(Shown):
    """One pyrometric cone, written with its zero: ``"06"``, ``"5.5"``. Cones order by heat-work: ``Cone("06") < Cone("6")``."""

    label: str

    def __post_init__(self) -> None:
        if not isinstance(self.label, str):
            raise _no_cone_at_all(self.label)
        if self.label not in CONE_ORDER:
            raise _no_such_cone(self.label)

    def __str__(self) -> str:
        return self.label

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, Cone):
            return NotImplemented
        return CONE_ORDER[self.label] < CONE_ORDER[other.label]


def parse_cone(given: str | int | Cone) -> Cone:
    """Read a cone as a potter writes it: ``"6"``, ``"06"``, ``"cone 6"``, ``"^6"``, ``"c6"``, ``" Cone 04 "``, ``"cone six"``, ``"5 1/2"``.

    A whole number from 1 up is read as that cone. A negative number is refused, because -6 may be meant for 06 and Python
    reads 06 as no number at all. ConeError for what names no cone; the text says which cones are near.
    """
    if isinstance(given, Cone):
        return given
    if isinstance(given, bool) or not isinstance(given, str | int):
        raise _no_cone_at_all(given)
    if isinstance(given, int):
        if given < 0:
            hint = f"Write the cones below 1 as text with their zero: '0{-given}'."
            raise ConeError(f"there is no cone {given}.", hint)
        return Cone(str(given))
    text = _SIGN.sub("", given.strip().lower())
    text = re.sub(r"\s*(?:½|1/2)$", ".5", text) if re.match(r"^\d+\s*½$|^\d+\s+1/2$", text) else text
    if said := _WORD.fullmatch(text[:40]):
        text = f"{'0' if said['zero'] else ''}{CONE_WORDS[said['word']]}"
    if text not in CONE_ORDER:
        raise _no_such_cone(given)
    return Cone(text)


def _no_cone_at_all(given: object) -> ConeError:
    return ConeError(f"{given!r} ({type(given).__name__}) is no cone.", "A cone is given as text, such as '06' or '6'.")


def _no_such_cone(given: str) -> ConeError:
    """Return the error that says what is wrong with `given` and which cones are near."""
    shown = f"no cone is called {given[:40]!r}."
    text = _SIGN.sub("", given.strip().lower())
    span = "Cones run from 022 (softest) over 01 and 1 to 42; 06 is not 6."
    if not text:
        return ConeError(shown, f"Give one, such as '06' or '6'. {span}")
    seger = re.fullmatch(r"(0?\d+)a", text)
    if seger and seger[1] in CONE_ORDER:
        return ConeError(shown, f"For a Seger cone write '{seger[1]}' and ask for the family 'seger'.")
    several = re.fullmatch(r"(0?\d+)\s*(?:-|to|/|\u2013)\s*(0?\d+)", text)
    if several:
        return ConeError(shown, f"Give one cone: '{several[1]}' or '{several[2]}'.")
    if (digits := text.lstrip("-+").lstrip("0")).isdecimal() and (len(digits) > 3 or int(digits) >= 500):
        return ConeError(shown, f"It looks like a temperature: write '{digits}C' or '{digits}F'. {span}")
    near = _near_cones(text)
    mend = f"Did you mean {' or '.join(repr(label) for label in near)}? " if near else ""
    return ConeError(shown, f"{mend}{span}")


def _near_cones(text: str) -> list[str]:
    """Return the cones a mistyped text may stand for, nearest first."""
    from difflib import get_close_matches

    tidy = text.replace("o", "0").replace(",", ".").replace(" ", "")
    tidy = re.sub(r"^-0*(?=[1-9])", "0", tidy)  # -6 is how some write 06
    tidy = re.sub(r"^0+(?=0[1-9])", "", tidy)
    if tidy in CONE_ORDER:
        return [tidy]
    number = re.match(r"(0?)(\d+(?:\.\d+)?)", tidy)
    if number is None:
        return []
    if number[0] in CONE_ORDER:
        return [number[0]]
    if "." in tidy:
        sign = -1.0 if number[1] else 1.0
        places = {label: sign * _place(label) for label in CONES if label.startswith("0") == bool(number[1])}
        return sorted(places, key=lambda label: abs(places[label] - float(number[2])))[:2]
    return get_close_matches(tidy, CONES, n=3, cutoff=0.5)


def _place(label: str) -> float:
    """Return the cone as a number on a line: 6 for "6", -6 for "06"."""
    return -float(label) if label.startswith("0") else float(label)
