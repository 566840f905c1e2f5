"""Click types that read quantities; what cannot be read is a wrong call (exit 2) that names the option."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from glazecalc.amounts import parse_application, parse_percent, parse_sample
from glazecalc.errors import UnitError
from glazecalc.units import parse_compound, parse_number, parse_quantity

__all__ = (
    "APPLICATION",
    "AREA",
    "BAR_LENGTH",
    "HEATING_RATE",
    "LENGTH",
    "MASS",
    "NUMBER",
    "PERCENT",
    "SAMPLE",
    "TEMPERATURE",
    "VOLUME",
)


if TYPE_CHECKING:
    _ParamType = click.ParamType[Any]
else:
    _ParamType = click.ParamType


class _Read(_ParamType):
    def __init__(self, name: str) -> None:
        self.name = name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if not isinstance(value, str):
            return value
        try:
            return self._read(value)
        except UnitError as error:
            self.fail(f"{error.message} {error.hint}".strip(), param, ctx)

    def _read(self, value: str) -> Any:
        if self.name == "number":
            return float(parse_number(value)[0])
        if self.name == "number or length":
            return _bar_length(value)
        if self.name == "percent":
            return parse_percent(value)
        if self.name == "sample":
            return parse_sample(value)
        if self.name == "weight per area":
            return parse_application(value)
        if self.name == "heating rate":
            return parse_quantity(value, "heating rate").base
        return parse_compound(value, self.name)


def _bar_length(value: str) -> float:
    try:
        return float(parse_number(value)[0])
    except UnitError:
        return parse_compound(value, "length")


MASS, VOLUME, LENGTH, AREA = _Read("mass"), _Read("volume"), _Read("length"), _Read("area")
BAR_LENGTH = _Read("number or length")
NUMBER, PERCENT, SAMPLE = _Read("number"), _Read("percent"), _Read("sample")
APPLICATION, HEATING_RATE, TEMPERATURE = _Read("weight per area"), _Read("heating rate"), _Read("temperature")
