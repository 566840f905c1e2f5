"""What is known of each metal on a surface that meets food, and from how much of it on a word is due.

One entry a metal in ``food_metals.yaml``; a new metal caution needs that entry and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.caution.caution import Severity
from glazecalc.caution.oxide_amounts import amount_unit
from glazecalc.caution.thresholds import Threshold, cite, read_threshold
from glazecalc.errors import GlazeError
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = ("Fact", "Load", "Metal", "fact", "load_limit", "metal", "metals")

_FILE = "glazecalc/data/food_metals.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """From how much of a metal on a caution is raised."""

    code: str  # of the caution, as its title
    title: str
    measure: str  # how the metal is counted: an attribute of `OxideAmounts`
    beside: tuple[str, ...] = ()  # further measures that are kept as evidence
    do: str  # what to change or to test
    steps: Mapping[Severity, Threshold]  # the number above which the caution is so grave on food ware, mildest first


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A metal on a surface that meets food."""

    oxide: str
    element: str
    name: str
    harm: str
    raised_by: tuple[str, ...]  # what raises its release
    law: str
    studies: str = ""  # what tests of fired ware have shown
    load: Load | None = None  # None where a rule of the program decides from how much on
    source: str  # where this was read, with memory marks

    @property
    def why(self) -> str:
        """Why it matters, in a few sentences."""
        studies = f" {self.studies}." if self.studies else ""
        return f"{self.harm} More is released with {', '.join(self.raised_by)}.{studies} In law: {self.law}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A statement with its source."""

    text: str
    source: str


@cache
def metals() -> Mapping[str, Metal]:
    """Return the metals by their oxide, in the order of the data."""
    data = load_data("food_metals.yaml")
    found = {}
    for oxide, entry in data["metals"].items():
        law = data["no_limit"] if entry["law"] == "none" else entry["law"]
        load = _load(oxide, entry["load"]) if "load" in entry else None
        found[oxide] = read_entry(
            Metal, entry, f"{_FILE}: {oxide}", oxide=oxide, law=law, load=load, source=cite(entry)
        )
    return FrozenDict(found)


def _load(oxide: str, entry: Mapping[str, Any]) -> Load:
    unit = amount_unit(entry["measure"], oxide)
    steps = {
        Severity(step): read_threshold(
            oxide, number, _FILE, unit=unit, raises=tuple(number.get("raises", [entry["code"]]))
        )
        for step, number in entry["steps"].items()
    }
    return read_entry(Load, entry, f"{_FILE}: {oxide}: load", steps=steps)


def metal(oxide: str) -> Metal:
    """Return what is known of one metal; a KeyError is a slip in the program, not in the input."""
    return metals()[oxide]


def load_limit(oxide: str, severity: Severity) -> Threshold:
    """Return the number above which a metal's load is so grave on food ware.

    Raises
    ------
    GlazeError
        Where the data names none: a slip in the data, not in the input.
    """
    load = metal(oxide).load
    if load is None or severity not in load.steps:
        raise GlazeError(f"{oxide} has no step '{severity}'.", where=_FILE)
    return load.steps[severity]


@cache
def fact(key: str) -> Fact:
    """Return a statement of the data; a KeyError is a slip in the program, not in the input."""
    entry = load_data("food_metals.yaml")["facts"][key]
    return read_entry(Fact, entry, f"{_FILE}: {key}", source=cite(entry))
