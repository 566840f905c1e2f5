"""What is known of each metal on a surface that meets food, and from how much of it on a word is due.

One entry a metal in ``food_metals.yaml``; a new metal caution needs that entry and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from glazecalc.caution.caution import Severity
from glazecalc.caution.oxide_amounts import amount_unit
from glazecalc.caution.thresholds import Threshold
from glazecalc.files.shipped import load_data, read_entry, read_mapping
from glazecalc.frozen import FrozenDict

__all__ = ("Fact", "Load", "Metal", "facts", "load_limit", "load_of", "metals")

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
    weak_by: tuple[str, ...] = ()  # signs of a glass that gives up metals sooner, of `weak_glass.SIGNS`
    weak_steps: Mapping[Severity, Threshold] = field(
        default_factory=FrozenDict
    )  # numbers that hold beside where one is there
    ask_for: str = ""  # what a release test should report; the element where it is empty
    measured_glazes: int = 0  # how many glazes with a published release the numbers stand on

    def met(self, value: float, *, weak: bool) -> tuple[Severity, Threshold, bool] | None:
        """Return the gravest step that an amount lies above, its number, and whether only a weak glass raises it; None below all."""
        over = [(severity, limit, False) for severity, limit in self.steps.items() if value > limit.value]
        if weak:
            over += [(severity, limit, True) for severity, limit in self.weak_steps.items() if value > limit.value]
        return min(over, key=lambda step: (step[0].rank, step[2])) if over else None


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
    steps, weak_steps = (
        {Severity(step): read_entry(Threshold, known | number, where) for step, number in entry.get(name, {}).items()}
        for name in ("steps", "weak_steps")
    )
    return read_entry(Load, entry, where, steps=steps, weak_steps=weak_steps)


def load_of(oxide: str) -> Load:
    """Return from how much of a metal on a caution is raised; an error for one of another rule is a slip in the program."""
    load = metals()[oxide].load
    assert load is not None
    return load


def load_limit(oxide: str, severity: Severity) -> Threshold:
    """Return the number above which a metal's load is so grave on food ware."""
    return load_of(oxide).steps[severity]


@cache
def facts() -> Mapping[str, Fact]:
    """Return the statements of the data."""
    return read_mapping(Fact, _FILE, "facts")
