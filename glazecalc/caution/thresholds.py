"""The numbers that raise cautions, each with the words that say where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from glazecalc.cones import CONE_ORDER, Cone
from glazecalc.files.shipped import read_mapping

__all__ = ("ByCone", "Threshold", "by_cone", "threshold", "thresholds", "thresholds_by_cone")

_FILE = "caution_thresholds.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A number that raises a caution."""

    value: float
    unit: str
    raises: tuple[str, ...] = ()  # codes of the cautions it raises; empty where it only sorts
    source: str  # where it comes from, with memory marks


@dataclass(frozen=True, slots=True, kw_only=True)
class ByCone:
    """A threshold that moves with the cone."""

    values: Mapping[str, float]  # cone -> number, in `unit`
    unit: str
    raises: tuple[str, ...]
    source: str
    beyond: bool = True  # False for a number that says nothing of cones outside those that it was given for

    def at(self, cone: Cone) -> float | None:
        """Return the number at a cone: on a straight line in the order of the cones; outside, the nearest end, or None."""
        place = CONE_ORDER[cone.label]
        known = sorted((CONE_ORDER[label], value) for label, value in self.values.items())
        if not self.beyond and not known[0][0] <= place <= known[-1][0]:
            return None
        if place <= known[0][0]:
            return known[0][1]
        for (left, low), (right, high) in pairwise(known):
            if place <= right:
                return round(low + (high - low) * (place - left) / (right - left), 9)
        return known[-1][1]


@cache
def thresholds() -> Mapping[str, Threshold]:
    """Return the numbers that the rules of this room are held against, by name."""
    return read_mapping(Threshold, _FILE, "thresholds")


@cache
def thresholds_by_cone() -> Mapping[str, ByCone]:
    """Return the numbers that move with the cone, by name."""
    return read_mapping(ByCone, _FILE, "by_cone")


def threshold(key: str) -> Threshold:
    """Return the threshold of this name; a KeyError is a slip in the program, not in the input."""
    return thresholds()[key]


def by_cone(key: str) -> ByCone:
    """Return the threshold of this name that moves with the cone; a KeyError is a slip in the program, not in the input."""
    return thresholds_by_cone()[key]
