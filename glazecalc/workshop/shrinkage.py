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
from glazecalc.display import Shown
from glazecalc.errors import WorkshopError

__all__ = ("Bar", "Measured", "Sizes", "mean_of", "shrinkages", "sizes_from_fired", "sizes_from_wet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar(Shown):
    """One marked bar: the distance between its marks when plastic, dry (where it was measured) and fired, all in one unit."""

    wet: float
    fired: float
    dry: float | None = None

    def __post_init__(self) -> None:
        lengths = [x for x in (self.wet, self.dry, self.fired) if x is not None]
        if not all(math.isfinite(x) and x > 0 for x in lengths):
            hint = "Measure wet, dry and fired between the same two marks."
            raise WorkshopError("the lengths of a bar are above zero.", hint)
        if lengths != sorted(lengths, reverse=True):
            said = f"a bar of {' to '.join(f'{x:g}' for x in lengths)} grew somewhere; wet, dry, fired was expected to fall."
            raise WorkshopError(said, "Are the lengths in the right order?")

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


@dataclass(frozen=True, slots=True)
class Measured:
    """Mean and spread over several bars or pieces; the standard deviation of the sample is None for a single one."""

    mean: float
    deviation: float | None
    low: float
    high: float
    count: int


def mean_of(values: Sequence[float]) -> Measured:
    """Return mean and spread of what was measured."""
    deviation = statistics.stdev(values) if len(values) > 1 else None
    return Measured(statistics.fmean(values), deviation, min(values), max(values), len(values))


def shrinkages(bars: Sequence[Bar]) -> tuple[Measured | None, Measured | None, Measured]:
    """Return drying, firing and total shrinkage [%] over `bars`; the first two None where a bar has no dry length."""
    drying = [b.drying_percent for b in bars if b.drying_percent is not None]
    firing = [b.firing_percent for b in bars if b.firing_percent is not None]
    total = mean_of([b.total_percent for b in bars])
    return (mean_of(drying), mean_of(firing), total) if len(drying) == len(bars) else (None, None, total)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """One dimension of a piece as thrown, bone dry (None where the drying shrinkage is not known) and fired [mm]."""

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


def sizes_from_fired(fired_mm: float, total_percent: float, drying_percent: float | None = None) -> Sizes:
    """Return how large to throw for a fired size [mm]: fired / (1 - S), never fired x (1 + S).

    The shrinkages are linear, on the plastic length [%].
    """
    _check(fired_mm, total_percent, drying_percent)
    return sizes_from_wet(fired_mm / (1 - total_percent / 100), total_percent, drying_percent)


def sizes_from_wet(wet_mm: float, total_percent: float, drying_percent: float | None = None) -> Sizes:
    """Return what a thrown size [mm] becomes."""
    _check(wet_mm, total_percent, drying_percent)
    dry = None if drying_percent is None else wet_mm * (1 - drying_percent / 100)
    return Sizes(wet_mm=wet_mm, dry_mm=dry, fired_mm=wet_mm * (1 - total_percent / 100))


def _check(size_mm: float, total_percent: float, drying_percent: float | None) -> None:
    if not (math.isfinite(total_percent) and 0 <= total_percent < 100):
        raise WorkshopError(f"a total shrinkage of {total_percent:g} % is not plausible; clay shrinks 5 to 17 %.")
    if drying_percent is not None and not 0 <= drying_percent <= total_percent:
        said = f"the drying shrinkage ({drying_percent:g} %) is more than the total ({total_percent:g} %)."
        raise WorkshopError(said)
    if not (math.isfinite(size_mm) and size_mm > 0):
        raise WorkshopError(f"a size above zero was expected; got {size_mm:g} mm.", "Write it like 9in or 230mm.")
