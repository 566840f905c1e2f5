"""Click types that read quantities; what cannot be read is a wrong call (exit 2) that names the option."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from glazecalc.amounts import parse_application, parse_material_amount, parse_percent, parse_sample
from glazecalc.errors import UnitError
from glazecalc.units import parse_number, parse_quantity

__all__ = (
    "APPLICATION", "AREA", "AREA_DM2", "HEATING_RATE", "LENGTH", "LITRES", "MASS", "MATERIAL_MASS", "MATERIAL_PERCENT", "NUMBER",
    "PERCENT", "SAMPLE", "SHARE", "STEP", "TEMPERATURE", "VOLUME", "QuantityType", "read_number",
)  # fmt: skip

if TYPE_CHECKING:
    _ParamType = click.ParamType[Any]
else:
    _ParamType = click.ParamType


class QuantityType(_ParamType):
    """An option's text read by one function, which raises UnitError for what it cannot read; `name` is what click calls it."""

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


def _in(dimension: str, size_of_unit: float = 1) -> QuantityType:
    return QuantityType(dimension, lambda text: parse_quantity(text, dimension).base / size_of_unit)


def _checked(kind: QuantityType, fits: Callable[[float], bool], expected: str) -> QuantityType:
    def read(text: str) -> float:
        number: float = kind.read(text)
        if not fits(number):
            raise UnitError(f"'{text}': {expected} was expected.")
        return number

    return QuantityType(kind.name, read)


def read_number(text: str) -> float:
    """Return a bare number."""
    return float(parse_number(text)[0])


def _material_mass(text: str) -> tuple[str, float]:
    name, amount = parse_material_amount(text)
    return name, parse_quantity(amount, "mass").base


def _material_percent(text: str) -> tuple[str, float]:
    name, amount = parse_material_amount(text)
    return name, parse_percent(amount)


MASS, VOLUME, LENGTH, AREA = _in("mass"), _in("volume"), _in("length"), _in("area")  # g, ml, mm, cm2
LITRES, AREA_DM2 = _in("volume", 1000), _in("area", 100)
NUMBER = QuantityType("number", read_number)
PERCENT = _checked(QuantityType("percent", parse_percent), lambda percent: percent >= 0, "zero or more")
SHARE = _checked(PERCENT, lambda percent: percent <= 100, "0 to 100 %")
STEP = _checked(MASS, lambda mass_g: mass_g > 0, "more than zero")
SAMPLE = QuantityType("sample", parse_sample)
APPLICATION = QuantityType("weight per area", parse_application)
HEATING_RATE, TEMPERATURE = _in("heating rate"), _in("temperature")
MATERIAL_MASS = QuantityType("material and weight", _material_mass)
MATERIAL_PERCENT = QuantityType("material and share", _material_percent)
