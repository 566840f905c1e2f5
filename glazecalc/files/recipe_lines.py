"""One line of a recipe as a potter types it: which part is the number, which the unit, which the name."""

from __future__ import annotations

import re
from decimal import Decimal

from glazecalc.amounts import PART_WORDS, parse_recipe_amount
from glazecalc.errors import Fault, LineError, Notice, UnitError
from glazecalc.files.fields import make
from glazecalc.recipe import Ingredient
from glazecalc.units import NUMBER, Quantity, parse_number, spellings

__all__ = ("LONGEST_LINE", "looks_like_amount", "make_ingredient", "number_text", "parse_line", "vague_amount")

_MASSES = frozenset(spellings("mass"))
_UNITS = frozenset((*_MASSES, *spellings("share"), *PART_WORDS))
LONGEST_LINE = 300
"""Letters in the line of an ingredient or a title; no pattern sees a longer one."""
_GAP = re.compile(r"[\s:=…_]+|(?<=\))")
_BEFORE_NAME = re.compile(r"(?:\s+of\b)?[\s:]+", re.IGNORECASE)
_MESH_TAIL = re.compile(r"\b\d{2,4}\s*(?:mesh|#)\s*\Z|#\s*\d{2,4}\s*\Z", re.IGNORECASE)
_NOT_A_NUMBER = re.compile(
    r"(?:^|\s)(?:tr|trace|some|a\s+little|to\s+taste|nan|[-+]?inf(?:inity)?|\?+|~\s*\d\S*|\d+(?:\.\d+)?e[-+]?\d+)\s*\Z",
    re.IGNORECASE,
)
_RANGE = re.compile(r"(?<!\S)\d+(?:\.\d+)?\s*[-–]\s*\d+(?:\.\d+)?\s*(?P<unit>\D*)\Z")
_PLACE_IN_A_LIST = re.compile(r"\d+\.\Z")
_VAGUE_START = re.compile(r"(?:some|a\s+(?:little|bit|pinch)(?:\s+of)?)\s", re.IGNORECASE)


def number_text(amount: float) -> str:
    """Return an amount as a potter writes it: every digit, no exponent, no trailing zeros but one that keeps 1.2500 from 1250."""
    text = format(Decimal(repr(amount)), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text}0" if parse_number(text[:40])[1] == "?" else text


def looks_like_amount(text: str) -> bool:
    """Return True where a line holds a number at one of its ends, so that it is not a title."""
    end = text[-LONGEST_LINE:]
    return bool(_at_end(end) or _at_start(text[:LONGEST_LINE]) or vague_amount(end))


def parse_line(text: str) -> tuple[str, Quantity]:
    """Return name and amount of ``whiting 12``, ``12 whiting``, ``Whiting: 12,5 g`` or ``silica (325) 22``.

    The line has no comment, sign of addition or leading bullet. Raises LineError where there is no amount, two amounts,
    one that can be read in two ways, or none that makes sense.
    """
    shown = text if len(text) <= 80 else text[:77] + "..."
    if len(text) > LONGEST_LINE:
        raise LineError(f"the line '{shown}' is too long for an ingredient.", "One material and one amount a line.")
    if not text.replace("\t", " ").isprintable():
        raise LineError(f"the line {shown!r} holds characters that cannot be printed.")
    if split := re.search(r"(\d+)\s+([.,]\d+)", text):
        lead, rest = split.groups()
        readings = f"{lead}{rest}, or {rest} after a name that ends in {lead}"
        raise LineError(f"the number in '{shown}' is broken by a space: {readings}?", "Write it without the space.")
    written, name = _amount_and_name(re.sub(r"\.{2,}", " ", text), shown)  # dots that lead the eye to the number
    try:
        amount = parse_recipe_amount(written)
    except UnitError as error:
        raise LineError(f"in '{shown}': {error.message}", error.hint) from None
    name = name.strip(" :=…_\t").rstrip(".,;-").strip()
    if not re.search(r"[^\W\d_]", name) or _is_amount(name):
        raise LineError(f"'{shown}' has no material name.", "Write the material and its amount, e.g. 'whiting 12'.")
    return name, amount


def _amount_and_name(text: str, shown: str) -> tuple[str, str]:
    at_end = None if _MESH_TAIL.search(text) else _at_end(text)
    at_start = _at_start(text)
    if at_end and not at_end[1].strip(" :=.…_"):
        at_end = None
    if at_end and at_start and re.search(r"[^\W\d]", at_start[1]):
        inner = _at_end(at_start[1])
        if inner and re.search(r"[^\W\d]", inner[1]):
            middle = inner[1].strip(" :=.…")
            readings = f"{at_start[0]} {middle}, or {middle} {inner[0]}?"
            raise LineError(f"'{shown}' has a number at both ends: {readings}", "Keep one amount on the line.")
    found = None if _VAGUE_START.match(text) else at_end or at_start
    vague = "" if _VAGUE_START.match(text) else vague_amount(text)
    if vague and (not found or (at_end and len(vague) > len(at_end[0]))):
        raise LineError(f"the amount '{vague}' in '{shown}' is not one number.", "Write one number, e.g. 'whiting 12'.")
    if not found:
        hint = "Write a material with one number, e.g. 'bentonite 2'; a title stands in the first line, a heading or a remark after a '#'."
        raise LineError(f"'{shown}' has no amount that can be read.", hint)
    if found is at_start and _PLACE_IN_A_LIST.match(found[0]):
        asked = f"'{found[0]}' in '{shown}' can be a place in a list, or the amount {found[0][:-1]}."
        raise LineError(asked, "Write the material and its amount, e.g. 'silica 30'.")
    return found


def _is_amount(text: str) -> bool:
    """Return True for a number with or without a unit, and for two or three masses in a row: ``1 lb 8 oz``."""
    if not NUMBER.match(text):
        return False
    _, *words = NUMBER.split(text.lower(), 4)
    if len(words) == 1:
        return words[0].strip() == "" or words[0].strip().removesuffix(".") in _UNITS
    return len(words) in (2, 3) and all(word.strip(" \t,").removesuffix(".") in _MASSES for word in words)


def _at_end(text: str) -> tuple[str, str] | None:
    """Return the longest amount that ends the line, and the name before it."""
    for gap in _GAP.finditer(text):
        rest = text[gap.end() :].rstrip()
        for amount in (rest, rest.removesuffix(".").rstrip()):
            if gap.end() and _is_amount(amount):
                return amount, text[: gap.start()]
    return None


def _at_start(text: str) -> tuple[str, str] | None:
    """Return the longest amount that begins the line, and the name behind it."""
    for gap in reversed(list(_BEFORE_NAME.finditer(text))):
        if _is_amount(text[: gap.start()]):
            return text[: gap.start()], text[gap.end() :].rstrip()
    return None


def vague_amount(text: str) -> str:
    """Return what stands for an amount at the end of a line and is not one number: ``trace``, ``10-12 g``, ``?``."""
    if said := _NOT_A_NUMBER.search(text):
        return said.group().strip()
    ends = _RANGE.search(text.rstrip())
    return ends.group() if ends and ends["unit"].lower() in ("", *_UNITS) else ""


def make_ingredient(
    faults: list[Fault], notices: list[Notice], line: int, material: str, amount: Quantity, addition: bool, note: str
) -> Ingredient | None:
    """Return the ingredient of a line; a decimal comma is said, and what will not do is noted."""
    number = float(amount.number)
    if amount.mark == ",":
        said = f"line {line}: the amount of {material} is read with a decimal comma, {number:g}."
        notices.append(Notice("decimal-comma", said, line))
    fields = {"material": material, "amount": number, "unit": amount.unit, "addition": addition, "note": note}
    return make(Ingredient, faults, line, **fields, line=line)
