"""Shrinkage from marked bars, and sizes from the wheel to the table.

Shrinkages follow ASTM C326: drying and total on the plastic length. The firing shrinkage is on the dry length, so that
(1 - total) = (1 - drying)(1 - firing) and the two do not add.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from glazecalc.amounts import inches_text
from glazecalc.errors import WorkshopError

__all__ = ("Bar", "Measured", "Sizes", "mean_of", "shrinkages", "sizes_from_fired", "sizes_from_wet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One marked bar: the distance between its marks, all in one unit.

    Attributes
    ----------
    wet, fired : float
        Plastic and fired length.
    dry : float or None
        Dry length; None where it was not measured.
    """

    wet: float
    fired: float
    dry: float | None = None

    def __post_init__(self) -> None:
        lengths = [self.wet, self.fired] + ([self.dry] if self.dry is not None else [])
        if not all(math.isfinite(x) and x > 0 for x in lengths):
            raise WorkshopError(
                "the lengths of a bar are above zero.", "Measure wet, dry and fired between the same two marks."
            )
        if not (self.fired <= (self.dry if self.dry is not None else self.wet) <= self.wet):
            raise WorkshopError(
                f"a bar of {_lengths(self)} grew somewhere; wet, dry, fired was expected to fall.",
                "Are the lengths in the right order?",
            )

    @property
    def drying_percent(self) -> float | None:
        """Drying shrinkage [% of the plastic length]."""
        return None if self.dry is None else 100 * (self.wet - self.dry) / self.wet

    @property
    def firing_percent(self) -> float | None:
        """Firing shrinkage [% of the dry length]."""
        return None if self.dry is None else 100 * (self.dry - self.fired) / self.dry

    @property
    def total_percent(self) -> float:
        """Total shrinkage [% of the plastic length]."""
        return 100 * (self.wet - self.fired) / self.wet


def _lengths(bar: Bar) -> str:
    return " to ".join(f"{x:g}" for x in (bar.wet, bar.dry, bar.fired) if x is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Mean and spread of what was measured on several bars or pieces.

    Attributes
    ----------
    mean : float
    deviation : float or None
        Standard deviation of the sample; None for a single value.
    low, high : float
        Smallest and largest.
    count : int
    """

    mean: float
    deviation: float | None
    low: float
    high: float
    count: int


def mean_of(values: Sequence[float]) -> Measured:
    """Return mean and spread of what was measured."""
    if not values:
        raise WorkshopError("there is nothing to take a mean of.")
    deviation = statistics.stdev(values) if len(values) > 1 else None
    return Measured(
        mean=statistics.fmean(values), deviation=deviation, low=min(values), high=max(values), count=len(values)
    )


def shrinkages(bars: Sequence[Bar]) -> tuple[Measured | None, Measured | None, Measured]:
    """Return drying, firing and total shrinkage [%] over `bars`; the first two None where a bar has no dry length."""
    drying = [b.drying_percent for b in bars if b.drying_percent is not None]
    firing = [b.firing_percent for b in bars if b.firing_percent is not None]
    all_dry = len(drying) == len(bars)
    return (
        mean_of(drying) if all_dry and drying else None,
        mean_of(firing) if all_dry and firing else None,
        mean_of([b.total_percent for b in bars]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """One dimension of a piece on its way.

    Attributes
    ----------
    wet_mm, fired_mm : float
        As thrown and as fired [mm].
    dry_mm : float or None
        Bone dry [mm]; None where the drying shrinkage is not known.
    """

    wet_mm: float
    dry_mm: float | None
    fired_mm: float

    @property
    def wet_inches(self) -> str:
        """As thrown, to the nearest 1/16 in."""
        return inches_text(self.wet_mm)

    @property
    def dry_inches(self) -> str | None:
        """Bone dry, to the nearest 1/16 in."""
        return None if self.dry_mm is None else inches_text(self.dry_mm)

    @property
    def fired_inches(self) -> str:
        """As fired, to the nearest 1/16 in."""
        return inches_text(self.fired_mm)


def _check(total_percent: float, drying_percent: float | None) -> None:
    if not (math.isfinite(total_percent) and 0 <= total_percent < 100):
        raise WorkshopError(f"a total shrinkage of {total_percent:g} % cannot be meant; clay loses 5 to 17 %.")
    if drying_percent is not None and not 0 <= drying_percent <= total_percent:
        raise WorkshopError(
            f"the drying shrinkage ({drying_percent:g} %) is more than the total ({total_percent:g} %)."
        )


def sizes_from_fired(fired_mm: float, total_percent: float, drying_percent: float | None = None) -> Sizes:
    """Return how large to throw for a fired size: fired / (1 - S), never fired x (1 + S).

    Parameters
    ----------
    fired_mm : float
        Wanted size [mm].
    total_percent : float
        Total linear shrinkage [% of the plastic length].
    drying_percent : float, optional
        Drying shrinkage [% of the plastic length].
    """
    _check(total_percent, drying_percent)
    if not (math.isfinite(fired_mm) and fired_mm > 0):
        raise WorkshopError(f"a size above zero was expected; got {fired_mm:g} mm.", "Write it like 9in or 230mm.")
    return sizes_from_wet(fired_mm / (1 - total_percent / 100), total_percent, drying_percent)


def sizes_from_wet(wet_mm: float, total_percent: float, drying_percent: float | None = None) -> Sizes:
    """Return what a thrown size [mm] becomes."""
    _check(total_percent, drying_percent)
    if not (math.isfinite(wet_mm) and wet_mm > 0):
        raise WorkshopError(f"a size above zero was expected; got {wet_mm:g} mm.", "Write it like 9in or 230mm.")
    dry = None if drying_percent is None else wet_mm * (1 - drying_percent / 100)
    return Sizes(wet_mm=wet_mm, dry_mm=dry, fired_mm=wet_mm * (1 - total_percent / 100))
