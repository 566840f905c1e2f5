"""What the law asks of whoever makes or sells ceramic ware beside keeping a limit, as far as it was read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from glazecalc.files.shipped import cite, load_data, read_entry

__all__ = ("Duty", "duties")

_FILE = "food_duties.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One duty of a maker or seller."""

    JSON: ClassVar[tuple[str, ...]] = ("code", "place", "title", "text", "source")

    code: str
    where: str  # the place whose law asks for it
    place: str  # its name in print
    title: str  # in a few words
    text: str
    source: str  # where it was read, with memory marks


@cache
def duties() -> tuple[Duty, ...]:
    """Return the duties, in the order of the data."""
    return tuple(
        read_entry(Duty, entry, f"{_FILE}: {entry['code']}", source=_cited(entry))
        for entry in load_data(_FILE)["duties"]
    )


def _cited(entry: dict[str, str]) -> str:
    return cite(entry) + (f" ({entry['memory']})" if "memory" in entry else "")
