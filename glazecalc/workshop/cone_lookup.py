"""Looking a cone or a temperature up in every printed chart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from glazecalc.cone_temperatures import (
    ConesAround,
    ConeTemperature,
    celsius_to_fahrenheit,
    cone_families,
    cone_rows,
    cones_for_temperature,
)
from glazecalc.display import Shown
from glazecalc.errors import ArgumentError, ConeError

__all__ = ("ConeLookup", "TemperatureLookup", "look_up_cone", "look_up_temperature")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class ConeLookup(Shown):
    """What the charts print for one cone, at the rate asked for [deg C/h] or at every printed one."""

    PAGE: ClassVar[str] = "cone"
    JSON: ClassVar[tuple[str, ...]] = ("cone", "rate_c_per_h", "rows")
    rate_c_per_h: float | None
    rows: tuple[ConeTemperature, ...]

    def __repr__(self) -> str:
        return f"<ConeLookup: cone {self.cone} in {len(self.rows)} rows>"

    @property
    def cone(self) -> str:
        """The cone, as charts write it."""
        return self.rows[0].cone.label


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class TemperatureLookup(Shown):
    """The cones that a temperature [deg C, without a hold] lies between, in each chart that prints one near it."""

    PAGE: ClassVar[str] = "cone"
    JSON: ClassVar[tuple[str, ...]] = ("celsius", "fahrenheit", "rate_c_per_h", "rows")
    celsius: float
    rate_c_per_h: float | None
    rows: tuple[ConesAround, ...]

    def __repr__(self) -> str:
        return f"<TemperatureLookup: {self.celsius:g} C in {len(self.rows)} charts>"

    @property
    def fahrenheit(self) -> float:
        """The temperature [deg F]."""
        return celsius_to_fahrenheit(self.celsius)


def look_up_cone(cone: str, *, rate_c_per_h: float | None = None, family: str | None = None) -> ConeLookup:
    """Return what every chart prints for a cone, or those of one family; one that no chart prints is a ConeError."""
    families = _families(family)
    rows = tuple(row for row in cone_rows(cone, rate_c_per_h=rate_c_per_h) if row.family in families)
    if not rows:
        raise ConeError(f"no chart of the family {family!r} prints cone {cone}.")
    return ConeLookup(rate_c_per_h=rate_c_per_h, rows=rows)


def look_up_temperature(
    celsius: float, *, rate_c_per_h: float | None = None, family: str | None = None
) -> TemperatureLookup:
    """Return the cones that a temperature [deg C] lies between; a chart that does not print the rate answers at its own."""
    families = _families(family)
    around = (_around(celsius, name, table, rate_c_per_h) for name, table in cone_families() if name in families)
    rows = tuple(row for row in around if row.down or row.standing)
    return TemperatureLookup(celsius=celsius, rate_c_per_h=rate_c_per_h, rows=rows)


def _around(celsius: float, family: str, table: str, rate_c_per_h: float | None) -> ConesAround:
    try:
        return cones_for_temperature(celsius, family=family, table=table, rate_c_per_h=rate_c_per_h)
    except ConeError:  # a chart without this rate
        return cones_for_temperature(celsius, family=family, table=table)


def _families(family: str | None) -> set[str]:
    known = dict.fromkeys(name for name, _ in cone_families())
    if family is None:
        return set(known)
    fits = {name for name in known if name == family or name.startswith(f"{family} ")}
    if not fits:
        raise ArgumentError(f"no family of cones is called {family!r}.", f"Known: {', '.join(known)}.")
    return fits
