"""One line of a recipe as a potter types it: which part is the number, which the unit, which the name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from glazecalc.amounts import PART_WORDS, parse_recipe_amount
from glazecalc.errors import LineError, UnitError
from glazecalc.units import NUMBER_PATTERN, spellings

__all__ = ("ParsedLine", "looks_like_amount", "number_text", "parse_line")

_MASS = "|".join(sorted(map(re.escape, spellings("mass")), key=len, reverse=True))
_UNIT = "|".join(sorted(map(re.escape, (*spellings("mass", "share"), *PART_WORDS)), key=len, reverse=True))
_SEVERAL = rf"{NUMBER_PATTERN}\s*(?:{_MASS})\.?(?:[\s,]*{NUMBER_PATTERN}\s*(?:{_MASS})\.?)+"  # 1 lb 8 oz
_AT_END = re.compile(
    rf"(?P<name>.*?)(?:[\s:=…_]+|(?<=\)))(?P<amount>{_SEVERAL}|{NUMBER_PATTERN}(?:\s*(?:{_UNIT}))?)\s*\.?\s*\Z",
    re.IGNORECASE,
)
_AT_START = re.compile(
    rf"(?P<amount>(?:{_SEVERAL}|{NUMBER_PATTERN}\s*(?:{_UNIT})\.?)(?=[\s:])|{NUMBER_PATTERN})(?:\s+of\b)?[\s:]+(?P<name>.*?)\s*\Z",
    re.IGNORECASE,
)
_MESH_TAIL = re.compile(r"\b\d{2,4}\s*(?:mesh|#)\s*\Z|#\s*\d{2,4}\s*\Z", re.IGNORECASE)
_NOT_A_NUMBER = re.compile(
    r"(?:^|\s)(?:tr|trace|some|a\s+little|to\s+taste|nan|[-+]?inf(?:inity)?|\?+|~\s*\d\S*"
    rf"|\d+(?:\.\d+)?\s*[-–]\s*\d+(?:\.\d+)?\s*(?:{_UNIT})?|\d+(?:\.\d+)?e[-+]?\d+)\s*\Z",
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
    written, name = _amount_and_name(re.sub(r"\.{2,}", " ", text), shown)  # dots that lead the eye to the number
    try:
        amount = parse_recipe_amount(written)
    except UnitError as error:
        raise LineError(f"in '{shown}': {error.message}", error.hint) from None
    name = name.strip(" :=…_\t").rstrip(".,;-").strip()
    if not re.search(r"[^\W\d_]", name):
        raise LineError(f"'{shown}' has no material name.", "Write the material and its amount, e.g. 'whiting 12'.")
    return ParsedLine(name, float(amount.number), amount.unit, amount.comma)


def _amount_and_name(text: str, shown: str) -> tuple[str, str]:
    at_end = None if _MESH_TAIL.search(text) else _AT_END.match(text)
    at_start = _AT_START.match(text)
    if at_end and not at_end["name"].strip(" :=.…_"):
        at_end = None
    if at_end and at_start and re.search(r"[^\W\d]", at_start["name"]):
        inner = _AT_END.match(at_start["name"])
        if inner and re.search(r"[^\W\d]", inner["name"]):
            middle = inner["name"].strip(" :=.…")
            raise LineError(
                f"'{shown}' has a number at both ends: {at_start['amount']} {middle}, or {middle} {inner['amount']}?",
                "Keep one amount on the line.",
            )
    found = None if _VAGUE_START.match(text) else at_end or at_start
    vague = None if _VAGUE_START.match(text) else _NOT_A_NUMBER.search(text)
    if vague and (not found or (at_end and len(vague.group().strip()) > len(at_end["amount"]))):
        raise LineError(
            f"the amount '{vague.group().strip()}' in '{shown}' is not one number.",
            "Write one number, e.g. 'whiting 12'.",
        )
    if not found:
        raise LineError(
            f"'{shown}' has no amount that can be read.", "Write the material and one number, e.g. 'bentonite 2'."
        )
    return found["amount"], found["name"]
