"""What the atmosphere makes of an oxide. One entry a rule in the data: an atmosphere, and how much of what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.caution.caution import Severity
from glazecalc.caution.thresholds import Threshold, threshold
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = ("AtmosphereRule", "Content", "atmosphere_of", "atmosphere_rules")

_FILE = "atmosphere_rules.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """An oxide or gas, and from how much on it counts."""

    of: str
    measure: Literal["parts_per_100", "wt_percent_fired", "gas"]
    threshold: Threshold


@dataclass(frozen=True, slots=True, kw_only=True)
class AtmosphereRule:
    """A caution that is raised by the atmosphere and by what the batch holds; all its contents must be there."""

    key: str  # its code
    title: str
    about: str  # one of `ABOUT`
    atmosphere: Literal["reduction", "oxidation", "any"]
    holds: tuple[Content, ...]
    severity: Severity
    otherwise: Severity  # on ware that is not for food
    never_folded: bool = False
    says: str  # the consequence
    why: str
    do: str
    source: str


@cache
def atmosphere_rules() -> Mapping[str, AtmosphereRule]:
    """Return the rules by their code."""
    return FrozenDict({key: _read(key, entry) for key, entry in load_data(_FILE)["rules"].items()})


def _read(key: str, entry: Mapping[str, object]) -> AtmosphereRule:
    where = f"{_FILE}: {key}"
    contents = tuple(
        read_entry(Content, one, where, threshold=threshold(one["threshold"]))
        for one in load_data(_FILE)["rules"][key]["holds"]
    )
    return read_entry(AtmosphereRule, entry, where, key=key, holds=contents)


def atmosphere_of(text: str) -> Literal["reduction", "oxidation", ""]:
    """Return the atmosphere that a recipe names; empty where it names none of the two."""
    word = text.strip().lower()
    if word.startswith("red"):
        return "reduction"
    return "oxidation" if word.startswith("ox") else ""
