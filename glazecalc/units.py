"""Quantities as a potter writes them: ``10l``, ``11.20 kg``, ``60C/h``, ``9 1/16in``. One parser, one exact table.

Factors are exact by definition: the international pound and inch (NIST Special Publication 811, 2008, appendix B), the
US gallon of 231 cubic inches (NIST Handbook 44, appendix C) and the imperial gallon of 4.54609 l (UK Units of
Measurement Regulations 1995).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from glazecalc.errors import UnitError, did_you_mean

__all__ = ("MASS_UNITS", "Quantity", "parse_compound", "parse_number", "parse_pairs", "parse_quantity", "unit_names")

_POUND_G = Fraction(45359237, 100000)
_INCH_MM = Fraction(254, 10)
_US_GALLON_ML = 231 * (_INCH_MM / 10) ** 3
_IMPERIAL_GALLON_ML = Fraction(454609, 100)

# unit -> (dimension, how many base units one of it is); base units: g, ml, mm, cm2, C, C/h, %
_TABLE: dict[str, tuple[str, Fraction]] = {
    "mg": ("mass", Fraction(1, 1000)),
    "g": ("mass", Fraction(1)),
    "kg": ("mass", Fraction(1000)),
    "t": ("mass", Fraction(1_000_000)),
    "oz": ("mass", _POUND_G / 16),
    "lb": ("mass", _POUND_G),
    "ml": ("volume", Fraction(1)),
    "cl": ("volume", Fraction(10)),
    "dl": ("volume", Fraction(100)),
    "l": ("volume", Fraction(1000)),
    "cm3": ("volume", Fraction(1)),
    "us gal": ("volume", _US_GALLON_ML),
    "us qt": ("volume", _US_GALLON_ML / 4),
    "us pt": ("volume", _US_GALLON_ML / 8),
    "us fl oz": ("volume", _US_GALLON_ML / 128),
    "imp gal": ("volume", _IMPERIAL_GALLON_ML),
    "imp qt": ("volume", _IMPERIAL_GALLON_ML / 4),
    "imp pt": ("volume", _IMPERIAL_GALLON_ML / 8),
    "imp fl oz": ("volume", _IMPERIAL_GALLON_ML / 160),
    "mm": ("length", Fraction(1)),
    "cm": ("length", Fraction(10)),
    "m": ("length", Fraction(1000)),
    "in": ("length", _INCH_MM),
    "ft": ("length", _INCH_MM * 12),
    "mm2": ("area", Fraction(1, 100)),
    "cm2": ("area", Fraction(1)),
    "dm2": ("area", Fraction(100)),
    "m2": ("area", Fraction(10_000)),
    "in2": ("area", (_INCH_MM / 10) ** 2),
    "C": ("temperature", Fraction(1)),
    "F": ("temperature", Fraction(5, 9)),
    "C/h": ("heating rate", Fraction(1)),
    "F/h": ("heating rate", Fraction(5, 9)),  # a difference: no 32 in it
    "%": ("share", Fraction(1)),
}
_SPELLINGS = {
    "gram": "g", "grams": "g", "gr": "g", "gm": "g", "gms": "g", "kilo": "kg", "kilos": "kg", "kgs": "kg", "ounce": "oz",
    "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb", "litre": "l", "litres": "l", "liter": "l", "liters": "l",
    "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "cc": "ml", "cm³": "cm3",
    "inch": "in", "inches": "in", '"': "in", "″": "in", "feet": "ft", "foot": "ft", "mm²": "mm2", "cm²": "cm2", "dm²": "dm2",
    "m²": "m2", "in²": "in2", "sq in": "in2", "sq cm": "cm2", "°c": "C", "c": "C", "celsius": "C", "°f": "F", "f": "F", "fahrenheit": "F",
    "c/h": "C/h", "°c/h": "C/h", "c/hr": "C/h", "c/hour": "C/h", "f/h": "F/h", "°f/h": "F/h", "f/hr": "F/h", "f/hour": "F/h",
    "percent": "%", "per cent": "%", "tonne": "t", "us gallon": "us gal", "us gallons": "us gal", "us gals": "us gal", "imp gallon": "imp gal",
    "imp gallons": "imp gal", "imperial gallon": "imp gal", "imperial gallons": "imp gal", "imperial pint": "imp pt", "imperial pints": "imp pt",
    "us pint": "us pt", "us pints": "us pt", "imp pint": "imp pt", "imp pints": "imp pt", "us quart": "us qt", "us quarts": "us qt",
    "imp quart": "imp qt", "imperial quart": "imp qt", "imperial fl oz": "imp fl oz", "us floz": "us fl oz", "imp floz": "imp fl oz",
}  # fmt: skip
_TWO_SIZES = {
    "gal", "gallon", "gallons", "gals", "pint", "pints", "pt", "pts", "quart", "quarts", "qt", "fl oz", "floz", "fluid ounce", "fluid ounces",
}  # fmt: skip
MASS_UNITS: Mapping[str, Fraction] = MappingProxyType({u: f for u, (d, f) in _TABLE.items() if d == "mass"})
_BASE = {
    "mass": "g", "volume": "ml", "length": "mm", "area": "cm2", "temperature": "C", "heating rate": "C/h", "share": "%", "number": "",
}  # fmt: skip
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"[-+]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:[.,]\d+)*\.?|\d+\.)"
_QUANTITY = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*\Z", re.DOTALL)

_SIGNS = "".join(_VULGAR)
_AMOUNT = rf"(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+)\s*[{_SIGNS}]?|[{_SIGNS}]"
_PAIR = re.compile(rf"\s*({_AMOUNT})\s*([^\d\s{_SIGNS}][^\d{_SIGNS}]*(?:(?<=[a-z])[23](?!\d))?)")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit.

    Attributes
    ----------
    number : Fraction
        As written, exact.
    unit : str
        The unit's plain name; empty for a bare number.
    dimension : str
        mass, volume, length, area, temperature, heating rate, share or number.
    """

    number: Fraction
    unit: str
    dimension: str

    @property
    def base(self) -> float:
        """The value in the base unit of its dimension: g, ml, mm, cm2, deg C, deg C/h, %."""
        if self.unit == "F":
            return float((self.number - 32) * Fraction(5, 9))
        return float(self.exact_base)

    @property
    def exact_base(self) -> Fraction:
        """The same, exact (not for Fahrenheit temperatures, which have an offset)."""
        factor = _TABLE[self.unit][1] if self.unit else Fraction(1)
        return self.number * factor


def unit_names(dimension: str) -> tuple[str, ...]:
    """Return the units known for a dimension."""
    return tuple(unit for unit, (kind, _) in _TABLE.items() if kind == dimension)


def parse_number(text: str) -> tuple[Fraction, bool]:
    """Read ``12``, ``12.5``, ``.5``, ``1/2``, ``1 1/2`` or ``1,5``; return the number and whether a comma was read as a decimal sign.

    Raises
    ------
    UnitError
        For ``1,500`` (with both readings), for ``1.234,5`` and for anything that is no number.
    """
    clean = text.strip()
    for sign, plain in _VULGAR.items():
        clean = re.sub(rf"(?<=\d)\s*{sign}", f" {plain}", clean).replace(sign, plain)
    if len(clean) > 40:
        raise UnitError(f"'{clean[:20]}...' is too long for a number.")
    mixed = re.fullmatch(r"([-+]?)(?:(\d+)\s+)?(\d+)/(\d+)", clean)
    if mixed:
        sign_text, whole, top, bottom = mixed.groups()
        if int(bottom) == 0:
            raise UnitError(f"'{clean}' divides by zero.")
        value = Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))
        return (-value if sign_text == "-" else value), False
    if re.fullmatch(r"[-+]?(\d+\.?\d*|\.\d+)", clean):
        return Fraction(clean.rstrip(".") if clean[-1] == "." else clean), False
    if re.fullmatch(r"[-+]?[1-9]\d{0,2}(,\d{3})+(\.\d+)?", clean):
        joined = clean.replace(",", "")
        dotted = clean.replace(",", ".", 1) if clean.count(",") == 1 and "." not in clean else None
        readings = f"{joined} or {dotted}" if dotted else f"{joined}, or a decimal comma"
        raise UnitError(f"'{clean}' can be read as {readings}.", "Write the one you mean without the comma.")
    if re.fullmatch(r"[-+]?\d*,\d+", clean):
        return Fraction(clean.replace(",", ".")), True
    raise UnitError(f"'{clean}' is not a number that can be read.", "Write it like 12, 12.5 or 1 1/2.")


def parse_quantity(text: str, dimension: str | None = None, *, bare_unit: str | None = None) -> Quantity:
    """Read a quantity.

    Parameters
    ----------
    text : str
        E.g. ``"10l"``, ``"11.20 kg"``, ``"9 1/16in"``, ``"60C/h"``.
    dimension : str, optional
        What it must be.
    bare_unit : str, optional
        The unit of a number written without one; without this a bare number is refused where `dimension` is given.

    Returns
    -------
    Quantity

    Raises
    ------
    UnitError
        If the number or the unit cannot be read, the unit has two sizes (gallon, pint), or it is of another dimension.
    """
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(?<=\d)\s*{sign}", f" {plain}", text).replace(sign, plain)
    match = _QUANTITY.match(text)
    if not match:
        raise UnitError(f"'{text}' does not start with a number.", _example(dimension))
    number, _ = parse_number(match.group(1))
    name = re.sub(r"\s+", " ", match.group(2)).strip()
    if not name:
        if dimension and not bare_unit:
            raise UnitError(f"'{text.strip()}' has no unit; a {dimension} was expected.", _example(dimension))
        unit = bare_unit or ""
        return Quantity(number, unit, _TABLE[unit][0] if unit else "number")
    unit = _unit(name, text)
    kind = _TABLE[unit][0]
    if dimension and kind != dimension:
        raise UnitError(f"'{text.strip()}' is a {kind}; a {dimension} was expected.", _example(dimension))
    return Quantity(number, unit, kind)


def parse_pairs(text: str) -> list[Quantity]:
    """Read several quantities in a row.

    Raises
    ------
    UnitError
        If any of them cannot be read.
    """
    found, place = [], 0
    while place < len(text.rstrip(" ,;")):
        match = _PAIR.match(text, place)
        if match is None:
            raise UnitError(f"'{text[place:].strip()}' in '{text.strip()}' is not a number with a unit.")
        found.append(parse_quantity(f"{match.group(1).strip()} {match.group(2).strip(' ,;')}"))
        place = match.end()
    if not found:
        raise UnitError("nothing was given; a number with a unit was expected.")
    return found


def parse_compound(text: str, dimension: str) -> float:
    """Read one amount in one or more units, ``"2 lb 12 oz"`` or ``"9 1/16in"``; return it in the base unit (g, ml, mm, cm2).

    Raises
    ------
    UnitError
        If it cannot be read or is of another dimension.
    """
    try:
        return parse_quantity(text, dimension).base
    except UnitError as error:
        try:
            parts = parse_pairs(text)
        except UnitError:
            raise error from None
        if len(parts) < 2 or any(p.dimension != dimension for p in parts):
            raise
        return float(sum((p.exact_base for p in parts), Fraction(0)))


def _unit(name: str, text: str) -> str:
    if name in _TABLE:
        return name
    lowered = name.lower().replace("u.s.", "us").replace(".", "").replace("imperial ", "imp ")
    if lowered in _TABLE:
        return lowered
    if lowered in _SPELLINGS:
        return _SPELLINGS[lowered]
    if lowered in _TWO_SIZES:
        raise UnitError(f"'{text.strip()}': a {name} has two sizes.", f"Write 'us {name}' or 'imp {name}'.")
    raise UnitError(
        f"the unit '{name}' in '{text.strip()}' is not known.", did_you_mean(lowered, [*_TABLE, *_SPELLINGS])
    )


def _example(dimension: str | None) -> str:
    examples = {"mass": "500g, 2.5kg or 1 1/2lb", "volume": "10l, 500ml or 3 us gal", "length": "180mm or 9 1/16in", "area": "2.8dm2",
                "temperature": "1222C or 2232F", "heating rate": "60C/h or 108F/h", "share": "8.7%"}  # fmt: skip
    return f"Write it like {examples[dimension]}." if dimension in examples else ""
