"""What published glazes that were fired say of a calculated number: melted, ran, crazed, glossy or matt, and how many.

The rows are in ``data/fired_glazes.csv``; what follows from them in ``data/fired_bands.yaml``, written by
``tests/calibration/fired_set.py``. Nothing was measured on them: they are potters' observations, and people show what worked. So a
number may lie among theirs or not; that a glaze will or will not melt does not follow.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.files.shipped import load_data, read_entry

__all__ = (
    "Choice",
    "FiredExpansions",
    "FiredRatios",
    "FiredSet",
    "FiredViscosities",
    "Group",
    "fired_set",
    "yardstick",
)

_FILE = "fired_bands.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The fired glazes of one class, by one calculated number."""

    n: int
    sources: int
    values: tuple[float, ...]  # in order

    def below(self, value: float) -> int:
        """Return how many lie below a value."""
        return bisect_left(self.values, value)

    def above(self, value: float) -> int:
        """Return how many lie above a value."""
        return self.n - bisect_right(self.values, value)

    def from_to(self, low: float, high: float) -> int:
        """Return how many lie from `low` up to but not at `high`."""
        return self.below(high) - self.below(low)

    @property
    def median(self) -> float:
        """The middle value."""
        middle = self.n // 2
        return self.values[middle] if self.n % 2 else (self.values[middle - 1] + self.values[middle]) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredViscosities:
    """log10 viscosity [Pa s] of the clear melt at the firing temperature, by the fitted model."""

    unit: str
    melt_upper_tenth: float  # of those that matured inside the tested range
    melt_upper_tenth_drawn_anew: tuple[float, float]
    run_lower_tenth: float  # of those that matured inside it and stayed where they were
    run_lower_tenth_drawn_anew: tuple[float, float]
    matured_inside: Group
    matured_inside_stayed: Group
    matured: Group
    not_melted: Group
    crawl_glazes_not_melted: Group
    ran: Group
    moved: Group  # matured, and moved or pooled a good deal
    by_cone: Mapping[str, Mapping[str, float]]
    cone_bends: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredExpansions:
    """Calculated expansion [1e-6 per K], by the fitted model."""

    unit: str
    lower_tenth: float  # of all that matured
    upper_tenth: float
    matured: Group
    crazed: Group
    sound: Group
    shivered: Group


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredRatios:
    """SiO2 : Al2O3 by moles of those that melted, by the surface they had."""

    gloss: Group
    satin: Group
    matt: Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A figure that was chosen, and why."""

    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredSet:
    """Everything that follows from the fired glazes."""

    glazes: int
    sources: int
    few: Mapping[str, int]  # glazes fired below and above the well observed cones
    viscosity: FiredViscosities
    expansion: FiredExpansions
    silica_alumina_ratio: FiredRatios
    stiff_as_a_cone: Choice
    very_fluid: Choice
    well_observed_c: tuple[float, float]  # from the lowest to the highest well observed cone [deg C]

    def few_at(self, celsius: float) -> int | None:
        """Return how many were fired as far out as this temperature, None where they are many."""
        low, high = self.well_observed_c
        return self.few["below"] if celsius < low else self.few["above"] if celsius > high else None

    @property
    def source(self) -> str:
        """The set in one line."""
        return f"{self.glazes} published glazes that were fired, {self.sources} sources (fired_glazes.csv)"


@cache
def fired_set() -> FiredSet:
    """Return the fired set, read once."""
    data: dict[str, Any] = dict(load_data(_FILE))
    choices: dict[str, Any] = data.pop("choices")
    cones = choices["well_observed_cones"]
    made = {name: read_entry(Choice, choices[name], f"{_FILE}: {name}") for name in ("stiff_as_a_cone", "very_fluid")}
    observed = tuple(cone_temperature_c(cones[end]).celsius for end in ("low", "high"))
    return read_entry(FiredSet, data, _FILE, well_observed_c=observed, **made)


def yardstick(log10_pa_s: float) -> str:
    """Return in words how stiff a melt of this viscosity is, beside the fired glazes that matured and a cone that bends."""
    found = fired_set()
    matured = found.viscosity.matured_inside
    if log10_pa_s >= found.stiff_as_a_cone.value:
        return "as stiff as a cone that bends, or stiffer"
    if log10_pa_s >= found.viscosity.melt_upper_tenth:
        return "stiffer than most that matured"
    if log10_pa_s < found.very_fluid.value:
        return "very fluid: most such moved or ran"
    if log10_pa_s <= found.viscosity.run_lower_tenth:
        return "more fluid than most that matured"
    stiffer = matured.above(log10_pa_s) / matured.n
    where = "fluid side" if stiffer > 2 / 3 else "middle" if stiffer > 1 / 3 else "stiff side"
    return f"{where} of glazes that matured"
