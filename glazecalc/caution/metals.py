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
from glazecalc.caution.thresholds import Threshold
from glazecalc.files.shipped import load_data, read_entry, read_mapping
from glazecalc.frozen import FrozenDict

__all__ = ("Fact", "Load", "Metal", "facts", "load_limit", "metals")

_FILE = "food_metals.yaml"


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
    def says(self) -> str:
        """Its name and the harm: how a caution begins."""
        return f"{self.name.capitalize()}: {self.harm[0].lower()}{self.harm[1:]}"

    @property
    def why(self) -> str:
        """What raises its release, what tests have shown, what the law says."""
        studies = f" {self.studies}." if self.studies else ""
        return f"More is released with {', '.join(self.raised_by)}.{studies} In law: {self.law}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A statement with its source."""

    text: str
    source: str


@cache
def metals() -> Mapping[str, Metal]:
    """Return the metals by their oxide, in the order of the data."""
    data = load_data(_FILE)
    found = {}
    for oxide, entry in data["metals"].items():
        law = data["no_limit"] if entry["law"] == "none" else entry["law"]
        load = _load(oxide, entry["load"]) if "load" in entry else None
        found[oxide] = read_entry(Metal, entry, f"{_FILE}: {oxide}", oxide=oxide, law=law, load=load)
    return FrozenDict(found)


def _load(oxide: str, entry: Mapping[str, Any]) -> Load:
    where, known = f"{_FILE}: {oxide}", {"raises": [entry["code"]], "unit": amount_unit(entry["measure"], oxide)}
    steps = {Severity(step): read_entry(Threshold, known | number, where) for step, number in entry["steps"].items()}
    return read_entry(Load, entry, where, steps=steps)


def load_limit(oxide: str, severity: Severity) -> Threshold:
    """Return the number above which a metal's load is so grave on food ware."""
    load = metals()[oxide].load
    assert load is not None
    return load.steps[severity]


@cache
def facts() -> Mapping[str, Fact]:
    """Return the statements of the data."""
    return read_mapping(Fact, _FILE, "facts")
