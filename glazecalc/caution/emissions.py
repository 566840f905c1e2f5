"""What a kiln gives off, from how much of it on that is said, and the workplace limits. One entry a substance in the data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.caution.caution import Severity
from glazecalc.caution.hazards import WorkplaceLimit, read_limits
from glazecalc.caution.thresholds import Threshold, cite, threshold
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = ("Emission", "fumes", "gases")

_FILE = "glazecalc/data/kiln_emissions.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Emission:
    """A gas, or a metal that leaves as fume."""

    substance: str  # a gas by its name in material files, or the oxide of a metal
    name: str
    harm: str
    code: str  # of the caution, as its title
    title: str
    never_folded: bool = False  # true for lead and cadmium
    severity: Severity
    measure: str = ""  # how a metal is counted, an attribute of `OxideAmounts`; empty for a gas
    threshold: Threshold  # from how much on it is said
    limits: tuple[WorkplaceLimit, ...]
    source: str  # where this was read, with memory marks


@cache
def gases() -> Mapping[str, Emission]:
    """Return the gases by their name in material files."""
    return _read("gases")


@cache
def fumes() -> Mapping[str, Emission]:
    """Return the metals that leave as fume, by oxide."""
    return _read("metals")


def _read(group: str) -> Mapping[str, Emission]:
    def one(substance: str, entry: Mapping[str, Any]) -> Emission:
        where = f"{_FILE}: {substance}"
        return read_entry(
            Emission,
            entry,
            where,
            substance=substance,
            severity=Severity(entry["severity"]),
            threshold=threshold(entry["threshold"]),
            limits=read_limits(entry["limits"], where),
            source=cite(entry),
        )

    entries = load_data("kiln_emissions.yaml")[group]
    return FrozenDict({substance: one(substance, entry) for substance, entry in entries.items()})
