"""Quantities as a potter writes them: ``10l``, ``1 lb 8 oz``, ``60C/h``, ``9 1/16in``. One spelling table, one exact parser.

Factors are exact by definition: the international pound and inch (NIST Special Publication 811, 2008, appendix B), the
US gallon of 231 cubic inches (NIST Handbook 44, appendix C) and the imperial gallon of 4.54609 l (UK Units of
Measurement Regulations 1995).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from types import MappingProxyType
from typing import Literal, NamedTuple

from glazecalc.errors import Fault, UnitError, did_you_mean
from glazecalc.plain_text import with_plain_spaces

__all__ = (
    "LONGEST_QUANTITY", "MASS_UNITS", "NUMBER", "Mark", "Quantity", "parse_number", "parse_pairs", "parse_quantity", "spellings", "two_readings",
    "unit_name", "Written",
)  # fmt: skip

_POUND_G = Fraction(45359237, 100000)
_INCH_MM = Fraction(254, 10)
_US_GALLON_ML = 231 * (_INCH_MM / 10) ** 3
_IMPERIAL_GALLON_ML = Fraction(454609, 100)


class _Unit(NamedTuple):
    dimension: str
    factor: Fraction  # base units in one: g, ml, mm, cm2, C, C/h, h, %
    others: tuple[str, ...] = ()  # further spellings; case, full stops, "imperial" and raised figures do not count


_UNITS: dict[str, _Unit] = {
    "mg": _Unit("mass", Fraction(1, 1000), ("milligram", "milligrams")),
    "g": _Unit("mass", Fraction(1), ("gram", "grams", "gr", "gm", "gms")),
    "kg": _Unit("mass", Fraction(1000), ("kilogram", "kilograms", "kilo", "kilos", "kgs")),
    "t": _Unit("mass", Fraction(1_000_000), ("tonne", "tonnes", "metric ton", "metric tons")),
    "oz": _Unit("mass", _POUND_G / 16, ("ounce", "ounces")),
    "lb": _Unit("mass", _POUND_G, ("lbs", "pound", "pounds")),
    "ml": _Unit("volume", Fraction(1), ("millilitre", "millilitres", "milliliter", "milliliters", "cc")),
    "cl": _Unit("volume", Fraction(10)),
    "dl": _Unit("volume", Fraction(100)),
    "l": _Unit("volume", Fraction(1000), ("litre", "litres", "liter", "liters")),
    "cm3": _Unit("volume", Fraction(1)),
    "mm": _Unit("length", Fraction(1)),
    "cm": _Unit("length", Fraction(10)),
    "m": _Unit("length", Fraction(1000)),
    "in": _Unit("length", _INCH_MM, ("inch", "inches", '"', "″")),
    "ft": _Unit("length", _INCH_MM * 12, ("foot", "feet")),
    "mm2": _Unit("area", Fraction(1, 100)),
    "cm2": _Unit("area", Fraction(1), ("sq cm",)),
    "dm2": _Unit("area", Fraction(100)),
    "m2": _Unit("area", Fraction(10_000)),
    "in2": _Unit("area", (_INCH_MM / 10) ** 2, ("sq in",)),
    "C": _Unit(
        "temperature", Fraction(1), ("c", "°c", "° c", "ºc", "º c", "deg c", "degrees c", "celsius", "degrees celsius")
    ),
    "F": _Unit(
        "temperature",
        Fraction(5, 9),
        ("f", "°f", "° f", "ºf", "º f", "deg f", "degrees f", "fahrenheit", "degrees fahrenheit"),
    ),
    "C/h": _Unit("heating rate", Fraction(1), ("c/h", "°c/h", "ºc/h", "c/hr", "c/hour")),
    "F/h": _Unit("heating rate", Fraction(5, 9), ("f/h", "°f/h", "f/hr", "f/hour")),  # a difference: no 32 in it
    "h": _Unit("time", Fraction(1), ("hr", "hrs", "hour", "hours")),
    "min": _Unit("time", Fraction(1, 60), ("mins", "minute", "minutes")),
    "%": _Unit("share", Fraction(1), ("percent", "per cent")),
}
_GALLONS = {"us": (_US_GALLON_ML, 128), "imp": (_IMPERIAL_GALLON_ML, 160)}  # ml; fluid ounces in one
_OF_A_GALLON = {
    "gal": (1, ("gals", "gallon", "gallons")),
    "qt": (4, ("qts", "quart", "quarts")),
    "pt": (8, ("pts", "pint", "pints")),
    "fl oz": (None, ("floz", "fluid ounce", "fluid ounces")),
}
_TONS = ("ton", "tons")
_TON = ("a metric, a US short or a UK long ton?", "Write 't' for the metric ton, or give it in kg or lb.")
_QUESTIONS = dict.fromkeys(_TONS, _TON)  # a spelling that means several units -> the question, and the mend
for _size, (_gallon_ml, _fluid_ounces) in _GALLONS.items():
    for _name, (_number, _others) in _OF_A_GALLON.items():
        _of = _Unit("volume", _gallon_ml / (_number or _fluid_ounces), tuple(f"{_size} {other}" for other in _others))
        _UNITS[f"{_size} {_name}"] = _of
        for _other in (_name, *_others):
            _QUESTIONS[_other] = (f"a {_other} has two sizes.", f"Write 'us {_other}' or 'imp {_other}'.")
_NAMED = {spelled: name for name, unit in _UNITS.items() for spelled in (name, *unit.others)}
MASS_UNITS = MappingProxyType({name: unit.factor for name, unit in _UNITS.items() if unit.dimension == "mass"})
"""Unit of mass -> grams in one of it."""

_EXAMPLES = {
    "mass": "500g, 2.5kg or 1 1/2lb", "volume": "10l, 500ml or 3 us gal", "length": "180mm or 9 1/16in", "area": "2.8dm2",
    "temperature": "1222C or 2232F", "heating rate": "60C/h or 108F/h", "time": "2 h or 30 min", "share": "8.7%",
}  # fmt: skip
_ADDABLE = ("mass", "volume", "length", "time")  # "1 lb 8 oz"; never "60 C 5 C"
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SIGNS = "".join(_VULGAR)
_PARTS = (2, 3, 4, 8, 16, 32, 64)  # kitchens have halves, thirds, quarters, eighths; rules and scales go on
_FINEST = {"in": 64, "ft": 64, "oz": 16, "lb": 16}  # unit -> finest part; 8 elsewhere. This program's own choice
LONGEST_QUANTITY = 400
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,]*\d)")
NUMBER = re.compile(rf"[-+]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:[.,]\d+)*\.?(?:\s?[{_SIGNS}])?|[{_SIGNS}])")
"""What `parse_number` is given: a number, and what looks like one."""

_LETTER = rf"[^\d\s{_SIGNS}]"
_IN_A_UNIT = rf"(?:[^\d.,{_SIGNS}]|(?<=\S)\.|[.,](?!\d))*(?:(?<=[a-z])[23](?!\d))?"  # "lb.", "us fl oz", "cm3", but not the point of " .5"
_PAIR = re.compile(rf"[\s,;]*({NUMBER.pattern})\s*({_LETTER}{_IN_A_UNIT})")
_SEVERAL = re.compile(rf"[\d{_SIGNS}]\s*[^\d\s/.,{_SIGNS}]")  # in what follows a number: a second number with its unit


Mark = Literal["", ".", ",", "?"]
"""How a number marks its decimals: not at all, by a point, by a comma, or ``?`` where the point of 1.250 may part thousands."""

_TELLING: tuple[Mark, ...] = ("", ".", ",", "?")  # of several in one amount the last counts


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, exact as written, with its unit; of a compound amount the whole of it in its largest unit.

    `unit` is the plain name, empty for a bare number; `dimension` is mass, volume, length, area, temperature, heating
    rate, time, share or number; `mark` is how its decimals were marked.
    """

    number: Fraction
    unit: str
    dimension: str
    mark: Mark = ""

    @property
    def base(self) -> float:
        """The value in the base unit of its dimension: g, ml, mm, cm2, deg C, deg C/h, h, %."""
        if self.unit == "F":
            return float((self.number - 32) * Fraction(5, 9))
        return float(self.exact_base)

    @property
    def exact_base(self) -> Fraction:
        """The same, exact (not for Fahrenheit temperatures, which have an offset)."""
        return self.number * (_UNITS[self.unit].factor if self.unit else 1)


def spellings(*dimensions: str) -> tuple[str, ...]:
    """Return every way in which the units of these dimensions may be written, those that are asked back about too."""
    known = [spelled for spelled, name in _NAMED.items() if _UNITS[name].dimension in dimensions]
    return (*known, *_TONS) if "mass" in dimensions else tuple(known)


def _spelled_out(text: str) -> str:
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(?<=\d)\s*{sign}", f" {plain}", text).replace(sign, plain)
    return text.strip()


def parse_number(text: str, *, finest: int = 8) -> tuple[Fraction, Mark]:
    """Return the number of ``12``, ``.5``, ``1/2``, ``1½`` or ``1,5``, and how its decimals were marked.

    Raises UnitError for ``1,500`` and ``20/25`` (with the readings), for ``1.234,5`` and for anything that is no number.
    A fraction is in halves, thirds, quarters and so on, to the `finest` part.
    """
    clean = _spelled_out(_short(text))
    if len(clean) > 40:
        raise UnitError(f"'{clean[:20]}...' is too long for a number.")
    mixed = re.fullmatch(r"([-+]?)(?:(\d+)\s+)?(\d+)/(\d+)", clean)
    if mixed:
        sign_text, whole, top, bottom = mixed.groups()
        value = int(whole or 0) + _fraction(clean, int(top), int(bottom), finest)
        return (-value if sign_text == "-" else value), ""
    if re.fullmatch(r"[-+]?(\d+\.?\d*|\.\d+)", clean):
        bare = clean.rstrip(".")
        return Fraction(bare), "?" if _THOUSANDS.fullmatch(bare.lstrip("-+")) else "." if "." in bare else ""
    if re.fullmatch(r"[-+]?[1-9]\d{0,2}(,\d{3})+(\.\d+)?", clean):
        joined = clean.replace(",", "")
        dotted = clean.replace(",", ".", 1) if clean.count(",") == 1 and "." not in clean else None
        readings = f"{joined} or {dotted}" if dotted else f"{joined}, or a decimal comma"
        raise UnitError(f"'{clean}' can be read as {readings}.", "Write the one you mean without the comma.")
    if re.fullmatch(r"[-+]?\d*,\d+", clean):
        return Fraction(clean.replace(",", ".")), ","
    raise UnitError(f"'{clean}' is not a number that can be read.", "Write it like 12, 12.5 or 1 1/2.")


def _fraction(text: str, top: int, bottom: int, finest: int) -> Fraction:
    """Return a fraction as kitchens and rules have it; another one may as well be two numbers."""
    if bottom == 0:
        raise UnitError(f"'{text}' divides by zero.")
    if top < bottom <= finest and bottom in _PARTS and gcd(top, bottom) == 1:
        return Fraction(top, bottom)
    readings = f"{top} divided by {bottom}, or as {top} or {bottom}"
    raise UnitError(f"'{text}' can be read as {readings}.", "Write the one you mean, like 12, 12.5 or 1 1/2.")


class Written(NamedTuple):
    """A number of a file: its line, the text around it, and `of` what it is (a unit, or a column), beside which it is judged."""

    line: int
    text: str
    number: Fraction
    mark: Mark
    of: str


def two_readings(numbers: Iterable[Written]) -> Iterator[Fault]:
    """Yield a fault for each number like 1.250 that may be a thousand, by what the others of its file show.

    A decimal comma anywhere makes the point one that parts thousands; so do hundreds of the same unit, where no other
    number has a decimal point.
    """
    numbers = tuple(numbers)
    commas, points = (any(one.mark == mark for one in numbers) for mark in (",", "."))
    hundreds = {one.of for one in numbers if one.mark == "" and one.number >= 100}
    for one in numbers:
        if one.mark == "?" and (commas or (one.of in hundreds and not points)):
            found = _THOUSANDS.search(one.text)
            dotted = found[0] if found else f"{float(one.number):.3f}"
            whole, point = dotted.replace(".", ""), f"{float(dotted):g}"
            shown = "decimal commas" if commas else "whole hundreds"
            said = f"'{dotted}' can be read as {whole} or as {point}: the file has {shown} too."
            yield Fault(one.line, said, f"Write {whole}, or {point}.")


def _short(text: str) -> str:
    """Return `text` with plain spaces; refuse what is too long for a quantity, before any pattern sees it."""
    if len(text) > LONGEST_QUANTITY:
        raise UnitError(f"'{text.strip()[:20]}...' is too long for a quantity.")
    return with_plain_spaces(text)


def parse_quantity(text: str, dimension: str | None = None, *, bare_unit: str | None = None) -> Quantity:
    """Read a quantity, in one unit or in several: ``"10l"``, ``"9 1/16in"``, ``"1 lb 8 oz"``, ``"60C/h"``.

    `dimension` is what it must be, and `bare_unit` the unit of a number written without one, which is otherwise refused
    where `dimension` is given. Raises UnitError, also for a unit of several sizes (gallon, pint, ton).
    """
    clean = _spelled_out(_short(text))
    match = NUMBER.match(clean)
    if not match:
        raise UnitError(f"'{text.strip()[:40]}' is not a number that can be read.", _example(dimension))
    name = clean[match.end() :].strip()
    if _SEVERAL.search(name):
        found = _sum(parse_pairs(text), text)
    else:
        if not name and dimension and not bare_unit:
            raise UnitError(f"'{text.strip()}' has no unit; a {dimension} was expected.", _example(dimension))
        unit = unit_name(name, text) if name else bare_unit or ""
        number, mark = parse_number(match.group(), finest=_FINEST.get(unit, 8))
        found = Quantity(number, unit, _UNITS[unit].dimension if unit else "number", mark)
    if dimension and found.dimension != dimension:
        raise UnitError(f"'{text.strip()}' is a {found.dimension}; a {dimension} was expected.", _example(dimension))
    return found


def _sum(parts: list[Quantity], text: str) -> Quantity:
    if any(not part.unit for part in parts):
        raise UnitError(
            f"'{text.strip()}' holds a number without a unit.", "Write one amount, like 1.5 kg or 1 lb 8 oz."
        )
    largest = max(parts, key=lambda part: _UNITS[part.unit].factor)
    one_kind = largest.dimension in _ADDABLE and all(part.dimension == largest.dimension for part in parts)
    if not one_kind or len({part.unit for part in parts}) < len(parts) or any(part.number < 0 for part in parts):
        mend = "Write one amount, in one unit or like 1 lb 8 oz."
        raise UnitError(f"'{text.strip()}' holds several amounts; one was expected.", mend)
    total = sum((part.exact_base for part in parts), Fraction(0))
    mark = max((part.mark for part in parts), key=_TELLING.index)
    return Quantity(total / _UNITS[largest.unit].factor, largest.unit, largest.dimension, mark)


def parse_pairs(text: str) -> list[Quantity]:
    """Read several quantities in a row; raise UnitError where one of them cannot be read."""
    found, place, plain = [], 0, _spelled_out(_short(text)).rstrip(" ,;")
    while place < len(plain):
        match = _PAIR.match(plain, place)
        if match is None:
            raise UnitError(f"'{plain[place:].strip()}' in '{text.strip()}' is not a number with a unit.")
        found.append(parse_quantity(f"{match.group(1).strip()} {match.group(2).strip(' ,;')}"))
        place = match.end()
    if not found:
        raise UnitError("nothing was given; a number with a unit was expected.")
    return found


def unit_name(text: str, within: str = "") -> str:
    """Return the plain name of a unit, however it is spelled; `within` is all that was written, for messages."""
    name = re.sub(r"\s+", " ", text).strip()
    lowered = name.lower().replace(".", "").replace("imperial ", "imp ").replace("²", "2").replace("³", "3")
    found = _NAMED.get(name) or _NAMED.get(lowered)
    if found is not None:
        return found
    if lowered in _QUESTIONS:
        said, mend = _QUESTIONS[lowered]
        raise UnitError(f"'{(within or text).strip()}': {said}", mend)
    place = f" in '{within.strip()[:60]}'" if within else ""
    raise UnitError(f"the unit '{name[:40]}'{place} is not known.", did_you_mean(lowered, _NAMED))


def _example(dimension: str | None) -> str:
    return f"Write it like {_EXAMPLES[dimension]}." if dimension in _EXAMPLES else ""
