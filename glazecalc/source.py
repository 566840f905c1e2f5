"""Where the numbers of a material come from: the source, and what such numbers stand on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from glazecalc.display import Shown
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict

__all__ = ("BASES", "Basis", "Source")

Basis = Literal[
    "measured", "makers-sheet", "ideal-formula", "as-batched", "worked-out", "recalled", "invented", "own-sheet",
]  # fmt: skip
BASES: Mapping[str, str] = FrozenDict(
    {
        "measured": "a published analysis, measured",
        "makers-sheet": "maker's or seller's sheet",
        "ideal-formula": "ideal formula, not an analysis",
        "as-batched": "as batched for a paper or patent, not measured",
        "worked-out": "worked out, not measured",
        "recalled": "recalled, not checked against the print",
        "invented": "invented, sold by no one",
        "own-sheet": "own sheet",
    }
)
"""What the numbers of a material stand on, and the words for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source(Shown):
    """Where the numbers of a material came from; only `title` is required.

    `kind` (paper, seller's page, ...) and `place` are what a page prints in short; `also` is a second place where a number stands.
    """

    title: str
    kind: str = ""
    place: str = ""
    publisher: str = ""
    year: str = ""
    table: str = ""
    seen_at: str = ""
    also: str = ""
    from_memory: bool = False
    confidence: str = ""

    def __post_init__(self) -> None:
        if isinstance(self.year, int):
            object.__setattr__(self, "year", str(self.year))
        checks = FieldChecks("Source")
        for name in ("title", "kind", "place", "publisher", "year", "table", "seen_at", "also", "confidence"):
            checks.text(name, getattr(self, name), required=name == "title", lines=True)
        checks.flag("from_memory", self.from_memory)
        checks.done()

    @property
    def in_short(self) -> str:
        """Kind of source, year and place; its title where the kind is not given."""
        return ", ".join(filter(None, (self.kind, self.year, self.place))) if self.kind else self.title

    def __str__(self) -> str:
        return self.cite()

    def cite(self) -> str:
        """Return the whole citation in one line, with its memory mark."""
        text = ", ".join(filter(None, (self.title, self.publisher, self.year, self.table)))
        text = f"{text}; {self.also}" if self.also else text
        confidence = f"; confidence {self.confidence}" if self.confidence else ""
        return f"{text} (recalled, not checked against the print{confidence})" if self.from_memory else text
