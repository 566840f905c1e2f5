"""Amounts as they are said in the workshop: "500 ml 735 g", "3 parts", "kaolin 800 g", "6.5 g/dm2"; and said back."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

from glazecalc.errors import UnitError
from glazecalc.plain_text import with_plain_spaces
from glazecalc.units import (
    LONGEST_QUANTITY,
    MASS_UNITS,
    NUMBER,
    Quantity,
    parse_number,
    parse_pairs,
    parse_quantity,
    unit_name,
)

__all__ = (
    "LARGEST_AMOUNT", "PART_WORDS", "inches_text", "parse_application", "parse_material_amount", "parse_percent",
    "parse_recipe_amount", "parse_recipe_unit", "parse_sample", "pounds_text",
)  # fmt: skip

PART_WORDS = ("parts", "part", "pts", "pbw")
"""How a recipe may say that its numbers are parts; no units."""

_IN_PARTS = re.compile(rf"(.*[^a-z\s])\s*(?:{'|'.join(PART_WORDS)})\.?\s*\Z", re.IGNORECASE | re.DOTALL)
LARGEST_AMOUNT = 10**12


@lru_cache(maxsize=65_536)  # tables of many recipes say the same amounts again and again
def parse_recipe_amount(text: str, unit: str = "") -> Quantity:
    """Read the amount of a recipe's line: parts, per cent or a mass; ``"12"``, ``"8 %"``, ``"1½ lb"``, ``"1 lb 8 oz"``.

    `unit` is its unit where that stands apart in a field or column. Raises UnitError, also for what is beyond reason.
    """
    if unit.strip():
        number, mark = parse_number(text)
        amount = Quantity(number, parse_recipe_unit(unit), "", mark)
    else:
        in_parts = _IN_PARTS.match(text) if len(text) <= LONGEST_QUANTITY else None
        amount = parse_quantity(in_parts.group(1) if in_parts else text)
        if amount.dimension not in ("mass", "share", "number") or (in_parts and amount.unit):
            raise UnitError(f"'{text.strip()}' is not parts, per cent or a mass.", "Write it like 12, 12 % or 12 g.")
    if text.lstrip().startswith("+"):
        said = f"'{text.strip()[:40]}' can be an addition on top, or an amount of the base."
        raise UnitError(said, "Write '+ red iron oxide 8' for an addition, else the amount without a sign.")
    if amount.number < 0:
        raise UnitError(f"the amount {text.strip()[:40]} is negative.", "Amounts are zero or more.")
    if amount.number > LARGEST_AMOUNT:
        raise UnitError(f"the amount {text.strip()[:20]} is too large to be plausible.", "Amounts up to 1e12 are read.")
    return amount


def parse_recipe_unit(name: str) -> str:
    """Return the plain name of a recipe's unit: a mass, ``"%"``, or nothing for parts."""
    if name.strip().lower().rstrip(".") in ("", *PART_WORDS):
        return ""
    unit = unit_name(name)
    if unit != "%" and unit not in MASS_UNITS:
        raise UnitError(f"the unit '{name.strip()[:40]}' is not parts, per cent or a mass.")
    return unit


def parse_sample(text: str) -> tuple[float, float]:
    """Read a volume and a weight in either order, ``"500 ml 735 g"``; return [ml], [g]."""
    parts = parse_pairs(text)
    volume = [p for p in parts if p.dimension == "volume"]
    mass = [p for p in parts if p.dimension == "mass"]
    if len(volume) != 1 or not mass or len(volume) + len(mass) != len(parts):
        mend = 'Write it like "500 ml 735 g" or "1 imp pt 32 oz".'
        raise UnitError(f"'{text.strip()}': one volume and one weight were expected.", mend)
    return float(volume[0].exact_base), float(sum((p.exact_base for p in mass), Fraction(0)))


def parse_material_amount(text: str) -> tuple[str, str]:
    """Split ``"kaolin 800 g"`` into the name and the amount's text."""
    pattern = rf"\s*(.*?[^\d\s.,/])\s+({NUMBER.pattern}.*?\S)\s*"
    match = re.fullmatch(pattern, with_plain_spaces(text)) if len(text) <= LONGEST_QUANTITY else None
    if match is None:
        raise UnitError(
            f"'{text.strip()[:60]}': a material and an amount were expected.", 'Write it like "kaolin 800 g".'
        )
    return match.group(1), match.group(2)


def parse_percent(text: str) -> float:
    """Read ``"8.7%"``, ``"8.7 %"`` or ``"8.7"``; return per cent."""
    return float(parse_quantity(text, "share", bare_unit="%").number)


def parse_application(text: str) -> float:
    """Read a weight of dry glaze per area, ``"6.5 g/dm2"``; return [g/dm2]."""
    top, slash, bottom = text.partition("/")
    if not slash:
        raise UnitError(f"'{text.strip()}' is not a weight per area.", "Write it like 6.5g/dm2 or 650g/m2.")
    area = parse_quantity(f"1 {bottom.strip()}", "area")
    return float(parse_quantity(top, "mass").exact_base / area.exact_base * 100)


def inches_text(length_mm: float) -> str:
    """Return a length [mm] in inches with a fraction, to the nearest 1/16: ``"10 1/4"``."""
    sixteenths = math.floor(Fraction(length_mm) / Fraction(254, 10) * 16 + Fraction(1, 2))
    whole, rest = divmod(sixteenths, 16)
    if not rest:
        return str(whole)
    return f"{whole} {Fraction(rest, 16)}" if whole else str(Fraction(rest, 16))


def pounds_text(mass_g: float) -> str:
    """Return a weight [g] in pounds and ounces, to the nearest half ounce: ``"2 lb 12 oz"``."""
    halves = math.floor(Fraction(mass_g) / MASS_UNITS["oz"] * 2 + Fraction(1, 2))
    pounds, rest = divmod(halves, 32)
    ounces = f"{rest / 2:g} oz"
    return f"{pounds} lb {ounces}" if pounds else ounces
