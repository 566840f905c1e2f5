"""What authors call this glaze's silica to alumina ratio. They disagree, so every name is shown with whose it is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from glazecalc.convert.unity import UnityFormula
from glazecalc.files.shipped import read_list

__all__ = ("Band", "RatioConvention", "RatioReading", "ratio_conventions", "ratio_of", "ratio_readings")

_SLACK = 1e-9  # a ratio of 12 must not miss the band that ends there by a rounding of the machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A name for the ratios from `low` to `high`, both included, or for all `below` or `above` one."""

    name: str
    surface: str = ""  # gloss, satin or matt, where the name says so
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None

    def holds(self, ratio: float) -> bool:
        """Return True where the ratio lies in the band."""
        if self.below is not None:
            return ratio < self.below - _SLACK
        if self.above is not None:
            return ratio > self.above + _SLACK
        return self.low is not None and self.high is not None and self.low - _SLACK <= ratio <= self.high + _SLACK


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioConvention:
    """Whose convention, the cone and kind of glaze it was given for (empty where none was named), and its bands."""

    author: str
    bands: tuple[Band, ...]
    source: str
    cone: str = ""
    holds_for: str = ""
    reported_by: str = ""

    @property
    def short(self) -> str:
        """The author by surname, with the cone where one was named."""
        return self.author.split()[-1] + (f" (cone {self.cone})" if self.cone else "")


@cache
def ratio_conventions() -> tuple[RatioConvention, ...]:
    """Return the published conventions, in the order of the data."""
    return read_list(RatioConvention, "ratio_conventions.yaml", "conventions")


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioReading:
    """One author's names for a ratio: two on a boundary, none where the author names none."""

    convention: RatioConvention
    names: tuple[str, ...]
    surfaces: tuple[str, ...] = ()  # what the names say of gloss and matt


def ratio_of(unity: UnityFormula) -> float | None:
    """Return SiO2 : Al2O3 by moles with boron on its own, whatever the convention of `unity`; None without alumina."""
    moles = unity.moles or unity.amounts
    silica, alumina = moles.get("SiO2", 0.0), moles.get("Al2O3", 0.0)
    return silica / alumina if alumina > 0 else None


def ratio_readings(unity: UnityFormula) -> list[RatioReading]:
    """Return what each author calls the ratio of this glaze, boron on its own; empty without alumina."""
    ratio = ratio_of(unity)
    if ratio is None:
        return []
    found = []
    for convention in ratio_conventions():
        bands = [band for band in convention.bands if band.holds(ratio)]
        surfaces = tuple(dict.fromkeys(band.surface for band in bands if band.surface))
        found.append(RatioReading(convention=convention, names=tuple(band.name for band in bands), surfaces=surfaces))
    return found
