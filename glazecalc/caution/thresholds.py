"""The thresholds that raise cautions, each with the words that say where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from types import MappingProxyType
from typing import Any

from glazecalc.cones import CONE_ORDER, parse_cone
from glazecalc.files.shipped import load_data

__all__ = ("ByCone", "Threshold", "by_cone", "cite", "source_title", "threshold")


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A number that raises a caution.

    Attributes
    ----------
    key : str
        Its name in the data.
    value : float
        The number, in `unit`.
    unit : str
        What it is measured in.
    raises : tuple of str
        Codes of the cautions it raises.
    source : str
        Where it comes from, with memory marks.
    """

    key: str
    value: float
    unit: str
    raises: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ByCone:
    """A threshold that moves with the cone.

    Attributes
    ----------
    key, unit, raises, source
        As in `Threshold`.
    values : Mapping
        Cone -> number, in `unit`.
    """

    key: str
    values: Mapping[str, float]
    unit: str
    raises: tuple[str, ...]
    source: str

    def at(self, cone: str) -> float:
        """Return the number at a cone: on a straight line in the order of the cones, the nearest end outside.

        Raises
        ------
        ConeError
            If there is no such cone.
        """
        place = CONE_ORDER[parse_cone(cone).label]
        known = sorted((CONE_ORDER[label], value) for label, value in self.values.items())
        if place <= known[0][0]:
            return known[0][1]
        for (left, low), (right, high) in pairwise(known):
            if place <= right:
                return round(low + (high - low) * (place - left) / (right - left), 9)
        return known[-1][1]


@cache
def source_title(key: str) -> str:
    """Return the title of a source of the food-contact data."""
    return " ".join(str(load_data("food_limits_sources.yaml")["sources"][key]["title"]).split())


def cite(entry: Mapping[str, Any]) -> str:
    """Return where an entry of the data comes from, in one line with its memory mark.

    Parameters
    ----------
    entry : Mapping
        Holds ``source`` (with ``also``), or ``from_memory`` with ``citation``, or ``recommendation`` with ``basis``.
    """
    parts = []
    if "source" in entry:
        parts.append(source_title(entry["source"]))
    if entry.get("from_memory"):
        parts.append(f"{entry['citation']} (from memory, confidence {entry['confidence']})")
    if entry.get("recommendation"):
        parts.append(f"this program's own choice, confidence {entry['confidence']}: {entry['basis']}")
    if not parts:
        raise KeyError(f"an entry without a source: {dict(entry)}")
    parts.extend(source_title(key) for key in entry.get("evidence", ()))
    return "; ".join(parts)


@cache
def threshold(key: str) -> Threshold:
    """Return the threshold of this name.

    Raises
    ------
    KeyError
        If there is none: a slip in the program, not in the input.
    """
    entry = load_data("caution_thresholds.yaml")["thresholds"][key]
    return Threshold(
        key=key, value=float(entry["value"]), unit=entry["unit"], raises=tuple(entry["raises"]), source=cite(entry)
    )


@cache
def by_cone(key: str) -> ByCone:
    """Return the threshold of this name that moves with the cone.

    Raises
    ------
    KeyError
        If there is none: a slip in the program, not in the input.
    """
    entry = load_data("caution_thresholds.yaml")["by_cone"][key]
    values = MappingProxyType({str(cone): float(value) for cone, value in entry["values"].items()})
    return ByCone(key=key, values=values, unit=entry["unit"], raises=tuple(entry["raises"]), source=cite(entry))
