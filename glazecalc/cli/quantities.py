"""Click types that read quantities; what cannot be read is a wrong call (exit 2) that names the option."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from glazecalc.amounts import parse_application, parse_material_amount, parse_percent, parse_sample
from glazecalc.errors import UnitError
from glazecalc.units import parse_compound, parse_number

__all__ = (
    "APPLICATION",
    "AREA",
    "BAR",
    "BAR_LENGTH",
    "HEATING_RATE",
    "LENGTH",
    "MASS",
    "MATERIAL_MASS",
    "MATERIAL_PERCENT",
    "NUMBER",
    "PERCENT",
    "SAMPLE",
    "TEMPERATURE",
    "TWO_MASSES",
    "VOLUME",
    "QuantityType",
)


if TYPE_CHECKING:
    _ParamType = click.ParamType[Any]
else:
    _ParamType = click.ParamType


class QuantityType(_ParamType):
    """An option's text read by one function.

    Parameters
    ----------
    name : str
        What click calls it.
    read : function
        Text -> its value; raises UnitError for what it cannot read.
    """

    def __init__(self, name: str, read: Callable[[str], Any]) -> None:
        self.name = name
        self.read = read

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the value of a text; anything else has been read already."""
        if not isinstance(value, str):
            return value
        try:
            return self.read(value)
        except UnitError as error:
            self.fail(f"{error.message} {error.hint}".strip(), param, ctx)


def _in(dimension: str) -> QuantityType:
    return QuantityType(dimension, lambda text: parse_compound(text, dimension))


def _number(text: str) -> float:
    return float(parse_number(text)[0])


def _bar_length(text: str) -> float:
    try:
        return _number(text)
    except UnitError:
        return parse_compound(text, "length")


def _bar(text: str) -> tuple[float, ...]:
    lengths = tuple(map(_number, text.replace(";", " ").split()))
    if len(lengths) not in (2, 3):
        raise UnitError(f"'{text}': wet, dry and fired length, or wet and fired, were expected.")
    return lengths


def _two_masses(text: str) -> tuple[float, float]:
    words = text.split()
    if len(words) == 4:
        words = [f"{words[0]} {words[1]}", f"{words[2]} {words[3]}"]
    if len(words) != 2:
        raise UnitError(f"'{text}': the dry and the boiled weight were expected.", 'Write it like "210.4g 214.6g".')
    dry, boiled = (
        _number(word) if word.replace(".", "").isdecimal() else parse_compound(word, "mass") for word in words
    )
    return dry, boiled


def _material_mass(text: str) -> tuple[str, float]:
    name, amount = parse_material_amount(text)
    return name, parse_compound(amount, "mass")


def _material_percent(text: str) -> tuple[str, float]:
    name, amount = parse_material_amount(text)
    return name, parse_percent(amount)


MASS, VOLUME, LENGTH, AREA = _in("mass"), _in("volume"), _in("length"), _in("area")
NUMBER = QuantityType("number", _number)
PERCENT = QuantityType("percent", parse_percent)
SAMPLE = QuantityType("sample", parse_sample)
APPLICATION = QuantityType("weight per area", parse_application)
HEATING_RATE, TEMPERATURE = _in("heating rate"), _in("temperature")
BAR_LENGTH = QuantityType("number or length", _bar_length)
BAR = QuantityType("wet, dry and fired length", _bar)
TWO_MASSES = QuantityType("two weights", _two_masses)
MATERIAL_MASS = QuantityType("material and weight", _material_mass)
MATERIAL_PERCENT = QuantityType("material and share", _material_percent)
