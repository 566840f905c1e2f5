"""The eight readings in their order."""

from __future__ import annotations

from glazecalc.readings import bench, coat, fit, food, melt, run, surface, wear
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("all_readings",)


def all_readings(facts: Facts) -> tuple[Reading, ...]:
    """Return the eight readings, always all, in the order of `ABOUT`."""
    return tuple(answer.read(facts) for answer in (melt, run, surface, fit, coat, wear, food, bench))
