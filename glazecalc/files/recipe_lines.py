"""One line of a recipe as a potter types it: which part is the number, which the unit, which the name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from glazecalc.errors import LineError, UnitError
from glazecalc.units import parse_number

__all__ = ("ParsedLine", "looks_like_amount", "number_text", "parse_line")

_UNITS = {
    "g": "g", "gr": "g", "gm": "g", "gms": "g", "gram": "g", "grams": "g", "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "mg": "mg",
    "oz": "oz", "ounce": "oz", "ounces": "oz", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "%": "%", "percent": "%", "per cent": "%",
    "part": "", "parts": "", "pts": "", "pbw": "",
}  # fmt: skip
_UNIT = "|".join(sorted((re.escape(u) for u in _UNITS), key=len, reverse=True))
_VULGAR = "½¼¾⅓⅔⅛⅜⅝⅞"
_NUM = rf"[-+]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:[.,]\d+)*\.?\s?[{_VULGAR}]?|[{_VULGAR}])"
_AT_END = re.compile(
    rf"(?P<name>.*?)(?P<gap>[\s:=…_]+|(?<=\)))(?P<number>{_NUM})\s*(?P<unit>{_UNIT})?\s*\.?\s*\Z", re.IGNORECASE
)
_AT_START = re.compile(
    rf"(?P<number>{_NUM})(?:\s*(?P<unit>{_UNIT})(?=[\s:]))?(?:\s+of\b)?[\s:]+(?P<name>.*?)\s*\Z", re.IGNORECASE
)
_MESH_TAIL = re.compile(r"\b\d{2,4}\s*(?:mesh|#)\s*\Z|#\s*\d{2,4}\s*\Z", re.IGNORECASE)
_NOT_A_NUMBER = re.compile(
    r"(?:^|\s)(?:tr|trace|some|a\s+little|to\s+taste|nan|[-+]?inf(?:inity)?|\?+|~\s*\d\S*"
    r"|\d+(?:\.\d+)?\s*[-–]\s*\d+(?:\.\d+)?\s*(?:g|kg|%)?|\d+(?:\.\d+)?e[-+]?\d+)\s*\Z",
    re.IGNORECASE,
)
_VAGUE_START = re.compile(r"(?:some|a\s+(?:little|bit|pinch)(?:\s+of)?)\s", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ParsedLine:
    """Name, number and unit of one ingredient line; `comma` says that a decimal comma was read."""

    material: str
    amount: float
    unit: str
    comma: bool


def number_text(amount: float) -> str:
    """Return an amount as a potter writes it: every digit, no exponent, no trailing zeros."""
    text = format(Decimal(repr(amount)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def looks_like_amount(text: str) -> bool:
    """Return True where a line holds a number at one of its ends, so that it is not a title."""
    return bool(_AT_END.match(text) or _AT_START.match(text) or _NOT_A_NUMBER.search(text))


def parse_line(text: str) -> ParsedLine:
    """Read ``whiting 12``, ``12 whiting``, ``Whiting: 12,5 g`` or ``silica (325) 22``.

    Parameters
    ----------
    text : str
        One line without comment, sign of addition or leading bullet.

    Raises
    ------
    LineError
        Where there is no amount, two amounts, an amount that can be read in two ways, or none that makes sense.
    """
    shown = text if len(text) <= 80 else text[:77] + "..."
    if len(text) > 300:
        raise LineError(f"the line '{shown}' is too long for an ingredient.", "One material and one amount a line.")
    if not text.isprintable() and not text.replace("\t", " ").isprintable():
        raise LineError(f"the line {shown!r} holds characters that cannot be printed.")
    text = re.sub(r"\.{2,}", " ", text)  # dots that lead the eye to the number
    at_end = None if _MESH_TAIL.search(text) else _AT_END.match(text)
    at_start = _AT_START.match(text)
    if at_end and not at_end["name"].strip(" :=.…_"):
        at_end = None
    if at_end and at_start and re.search(r"[^\W\d]", at_start["name"]):
        inner = _AT_END.match(at_start["name"])
        if inner and re.search(r"[^\W\d]", inner["name"]):
            middle = inner["name"].strip(" :=.…")
            raise LineError(
                f"'{shown}' has a number at both ends: {at_start['number']} {middle}, or {middle} {inner['number']}?",
                "Keep one amount on the line.",
            )
    match = at_end or at_start
    if _VAGUE_START.match(text) or not match:
        vague = _NOT_A_NUMBER.search(text)
        if vague and not _VAGUE_START.match(text):
            raise LineError(
                f"the amount '{vague.group().strip()}' in '{shown}' is not one number.",
                "Write one number, e.g. 'whiting 12'.",
            )
        raise LineError(
            f"'{shown}' has no amount that can be read.", "Write the material and one number, e.g. 'bentonite 2'."
        )
    vague = _NOT_A_NUMBER.search(text)
    if vague and at_end and len(vague.group().strip()) > len(at_end["number"]):
        raise LineError(
            f"the amount '{vague.group().strip()}' in '{shown}' is not one number.",
            "Write one number, e.g. 'whiting 12'.",
        )
    name = match["name"].strip(" :=…_\t").rstrip(".,;-").strip()
    if not re.search(r"[^\W\d_]", name):
        raise LineError(f"'{shown}' has no material name.", "Write the material and its amount, e.g. 'whiting 12'.")
    try:
        number, comma = parse_number(match["number"])
    except UnitError as error:
        raise LineError(f"in '{shown}': {error.message}", error.hint) from None
    if number < 0:
        raise LineError(f"'{shown}' has a negative amount.", "Amounts are zero or more; '+' marks an addition.")
    amount = float(number) if number < 10**300 else float("inf")
    if amount > 1e12:
        raise LineError(f"the amount in '{shown}' is too large to be meant.", "Amounts up to 1e12 are read.")
    unit = _UNITS[re.sub(r"\s+", " ", match["unit"].lower())] if match["unit"] else ""
    return ParsedLine(name, amount, unit, comma)
