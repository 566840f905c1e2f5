"""What a kiln gives off, from how much of it on that is said, and the workplace limits. One entry a substance in the data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from glazecalc.caution.caution import Severity
from glazecalc.caution.hazards import WorkplaceLimit
from glazecalc.caution.thresholds import Threshold, threshold
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = ("Emission", "fumes", "gases")

_FILE = "kiln_emissions.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Emission:
    """A gas, or a metal that leaves as fume."""

    name: str
    harm: str
    when: str = ""  # at what heat, and what else it does
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
    return FrozenDict(
        {
            name: read_entry(Emission, entry, f"{_FILE}: {name}", threshold=threshold(entry["threshold"]))
            for name, entry in load_data(_FILE)[group].items()
        }
    )
