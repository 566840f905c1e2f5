"""Amounts as they are said in the workshop: "500 ml 735 g", "2 lb 12 oz", "kaolin 800 g", "6.5 g/dm2"; and said back."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from glazecalc.errors import UnitError
from glazecalc.units import MASS_UNITS, parse_number, parse_pairs, parse_quantity

__all__ = (
    "inches_text",
    "parse_application",
    "parse_material_amount",
    "parse_percent",
    "parse_sample",
    "pounds_text",
)


def parse_sample(text: str) -> tuple[float, float]:
    """Read a volume and a weight in either order, ``"500 ml 735 g"``; return [ml], [g]."""
    parts = parse_pairs(text)
    volume = [p for p in parts if p.dimension == "volume"]
    mass = [p for p in parts if p.dimension == "mass"]
    if len(volume) != 1 or not mass or len(volume) + len(mass) != len(parts):
        raise UnitError(
            f"'{text.strip()}': one volume and one weight were expected.",
            'Write it like "500 ml 735 g" or "1 imp pt 32 oz".',
        )
    return float(volume[0].exact_base), float(sum((p.exact_base for p in mass), Fraction(0)))


def parse_material_amount(text: str) -> tuple[str, str]:
    """Split ``"kaolin 800 g"`` into the name and the amount's text."""
    match = re.fullmatch(r"\s*(.*?[^\d\s.,/])\s+([-+]?[\d.,/ ]*\d\s*\S.*?)\s*", text)
    if match is None:
        raise UnitError(f"'{text.strip()}': a material and an amount were expected.", 'Write it like "kaolin 800 g".')
    return match.group(1), match.group(2)


def parse_percent(text: str) -> float:
    """Read ``"8.7%"``, ``"8.7 %"`` or ``"8.7"``; return per cent."""
    return float(parse_number(text.strip().removesuffix("%"))[0])


def parse_application(text: str) -> float:
    """Read a weight of dry glaze per area, ``"6.5 g/dm2"``; return [g/dm2]."""
    top, slash, bottom = text.partition("/")
    if not slash:
        raise UnitError(f"'{text.strip()}' is not a weight per area.", "Write it like 6.5g/dm2 or 650g/m2.")
    area = parse_quantity(f"1 {bottom.strip()}", "area")
    return float(parse_quantity(top, "mass").exact_base / area.exact_base * 100)


def inches_text(length_mm: float, parts: int = 16) -> str:
    """Return a length [mm] in inches with a fraction, to the nearest 1/16: ``"10 1/4"``."""
    steps = math.floor(Fraction(length_mm) / Fraction(254, 10) * parts + Fraction(1, 2))
    whole, rest = divmod(steps, parts)
    if not rest:
        return str(whole)
    fraction = Fraction(rest, parts)
    return f"{whole} {fraction}" if whole else str(fraction)


def pounds_text(mass_g: float) -> str:
    """Return a weight [g] in pounds and ounces, to the nearest half ounce: ``"2 lb 12 oz"``."""
    halves = math.floor(Fraction(mass_g) / MASS_UNITS["oz"] * 2 + Fraction(1, 2))
    pounds, rest = divmod(halves, 32)
    ounces = f"{rest / 2:g} oz"
    return f"{pounds} lb {ounces}" if pounds else ounces
