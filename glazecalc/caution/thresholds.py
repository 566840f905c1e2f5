"""The numbers that raise cautions, each with the words that say where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from glazecalc.cones import CONE_ORDER, parse_cone
from glazecalc.errors import GlazeError
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = (
    "ByCone",
    "Threshold",
    "by_cone",
    "cite",
    "read_threshold",
    "source_title",
    "threshold",
    "thresholds",
    "thresholds_by_cone",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A number that raises a caution."""

    key: str
    value: float
    unit: str
    raises: tuple[str, ...] = ()  # codes of the cautions it raises; empty where it only sorts
    source: str  # where it comes from, with memory marks


@dataclass(frozen=True, slots=True, kw_only=True)
class ByCone:
    """A threshold that moves with the cone."""

    key: str
    values: Mapping[str, float]  # cone -> number, in `unit`
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


_FILE = "glazecalc/data/caution_thresholds.yaml"


@cache
def source_title(key: str) -> str:
    """Return the title of a source of the food-contact data.

    Raises
    ------
    GlazeError
        If there is none: a slip in the data, not in the input.
    """
    sources = load_data("food_limits_sources.yaml")["sources"]
    if key not in sources:
        raise GlazeError(f"'{key}' is not a source.", where="glazecalc/data/food_limits_sources.yaml")
    return str(sources[key]["title"])


def cite(entry: Mapping[str, Any]) -> str:
    """Return where an entry of the data comes from, in one line with its memory mark.

    Parameters
    ----------
    entry : Mapping
        Holds ``source`` (with ``evidence``), or ``from_memory`` with ``citation``, or ``recommendation`` with ``basis``.

    Raises
    ------
    GlazeError
        For an entry without any: a slip in the data, not in the input.
    """
    parts = []
    if "source" in entry:
        parts.append(source_title(entry["source"]))
    if entry.get("from_memory"):
        parts.append(f"{entry['citation']} (from memory, confidence {entry['confidence']})")
    if entry.get("recommendation"):
        parts.append(f"this program's own choice, confidence {entry['confidence']}: {entry['basis']}")
    if not parts:
        raise GlazeError(f"an entry of the data has no source: {dict(entry)}.")
    parts.extend(source_title(key) for key in entry.get("evidence", ()))
    return "; ".join(parts)


def read_threshold(key: str, entry: Mapping[str, Any], where: str = _FILE, **made: Any) -> Threshold:
    """Return a threshold as an entry of the data has it; `made` holds fields that follow from its place."""
    return read_entry(Threshold, entry, f"{where}: {key}", **({"key": key, "source": cite(entry)} | made))


@cache
def thresholds() -> Mapping[str, Threshold]:
    """Return the numbers that the rules of this room are held against, by name."""
    entries = load_data("caution_thresholds.yaml")["thresholds"]
    return FrozenDict({key: read_threshold(key, entry) for key, entry in entries.items()})


@cache
def thresholds_by_cone() -> Mapping[str, ByCone]:
    """Return the numbers that move with the cone, by name."""
    entries = load_data("caution_thresholds.yaml")["by_cone"]
    return FrozenDict(
        {
            key: read_entry(ByCone, entry, f"{_FILE}: {key}", key=key, source=cite(entry))
            for key, entry in entries.items()
        }
    )


def threshold(key: str) -> Threshold:
    """Return the threshold of this name; a KeyError is a slip in the program, not in the input."""
    return thresholds()[key]


def by_cone(key: str) -> ByCone:
    """Return the threshold of this name that moves with the cone; a KeyError is a slip in the program, not in the input."""
    return thresholds_by_cone()[key]
