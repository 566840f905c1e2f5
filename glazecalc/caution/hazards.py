"""What is known of raw materials at the bench: classes of concern, hazard statements, workplace limits.

One entry a hazard in ``bench_hazards.yaml``; a material names its hazards by their keys.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.display import RECALLED
from glazecalc.files.shipped import load_data, read_entry, read_mapping

__all__ = (
    "MILDEST",
    "SILICA",
    "Concern",
    "Hazard",
    "WorkplaceLimit",
    "authorities",
    "concerns",
    "hazards",
)

_FILE = "bench_hazards.yaml"
SILICA = "silica"
MILDEST = "nuisance_dust"


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkplaceLimit:
    """A limit for the air of a workplace."""

    body: str  # who set it, and what it is called: OSHA PEL, ...
    value: float
    unit: str
    averaging: str  # TWA, STEL, ceiling, ...
    fraction: str = ""  # the part of the dust that it is set for; empty for all of it
    counted_as: str = ""  # the element or oxide that it is counted as
    from_memory: bool = False

    @property
    def text(self) -> str:
        """The limit in one line with its memory mark."""
        text = f"{self.body} {self.value:g} {self.unit} {self.averaging}"
        text += f", {self.fraction} dust" if self.fraction else ""
        text += f", as {self.counted_as}" if self.counted_as else ""
        return text + (f" ({RECALLED})" if self.from_memory else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Concern:
    """A class of concern, this program's own sorting of hazards."""

    key: str
    label: str  # on a bucket label
    code: str = ""  # of the caution that it raises; empty for none
    says: str = ""  # how the caution begins
    poison: bool = False  # true where gloves and a respirator are called for


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """A bench hazard of a kind of raw material."""

    key: str
    label: str
    concern: Concern
    handling: str  # the usual protection
    carries_quartz: bool = False  # true where the limits of silica hold for the quartz in its dust
    caustic: bool = False  # true where it is said among the caustics, not under its class
    stop_code: str = ""  # of its own caution, which stops; empty for none
    limits: tuple[WorkplaceLimit, ...]  # those in force
    statements: tuple[str, ...]  # hazard statements that apply, each with its words
    authorities: tuple[str, ...]  # where classification and limits in force were read

    @property
    def concerns(self) -> frozenset[str]:
        """Keys of the classes it stands in: its own, and silica where its dust carries quartz."""
        return frozenset((self.concern.key, SILICA) if self.carries_quartz else (self.concern.key,))

    @property
    def limit_texts(self) -> list[str]:
        """The workplace limits in force, one line each."""
        return [limit.text for limit in self.limits]


@cache
def concerns() -> Mapping[str, Concern]:
    """Return the classes of concern by their key, the gravest first."""
    return read_mapping(Concern, _FILE, "concern_classes")


class _Hazards(Mapping[str, Hazard]):
    """The bench hazards by their key; each is read when it is asked for, since a call needs a few of them."""

    def __getitem__(self, key: str) -> Hazard:
        return _hazard(key)

    def __contains__(self, key: object) -> bool:
        return key in load_data(_FILE)["hazards"]

    def __iter__(self) -> Iterator[str]:
        return iter(load_data(_FILE)["hazards"])

    def __len__(self) -> int:
        return len(load_data(_FILE)["hazards"])


def hazards() -> Mapping[str, Hazard]:
    """Return the bench hazards by their key."""
    return _Hazards()


@cache
def _hazard(key: str) -> Hazard:
    entry, wording = load_data(_FILE)["hazards"][key], load_data(_FILE)["h_statements"]
    limits = [limit for limit in entry["limits"] if not limit.get("earlier")]
    classed = [item for item in entry["classifications"] if not item.get("superseded")]
    codes = dict.fromkeys(code for item in classed if item.get("applies", True) for code in item["codes"])
    return read_entry(
        Hazard,
        {name: said for name, said in entry.items() if name not in ("concern_class", "classifications")},
        f"{_FILE}: {key}",
        key=key,
        concern=concerns()[entry["concern_class"]],
        limits=limits,
        statements=tuple(f"{code} {wording[code]}" for code in codes),
        authorities=tuple(_authority(item) for item in (*classed, *limits)),
    )


def _authority(entry: Mapping[str, Any]) -> str:
    if "source" in entry:
        return str(load_data(_FILE)["sources"][entry["source"]]["title"])
    return f"{entry['citation']} ({RECALLED})"


def authorities(of: Iterable[Hazard]) -> str:
    """Return where these hazards were read, in one line."""
    return "; ".join(dict.fromkeys(title for hazard in of for title in hazard.authorities)) or "the bench hazards data"
