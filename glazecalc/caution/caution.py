"""The one value that every caution is, and the order in which cautions are read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, ClassVar

from glazecalc.display import Shown
from glazecalc.errors import UnknownNameError
from glazecalc.frozen import FrozenDict

__all__ = ("ABOUT", "Caution", "Severity", "sort_cautions")

# What a caution is about, in the order of printing within one severity.
ABOUT = ("food", "surface", "fit", "melt", "bench", "kiln", "bucket")


class Severity(StrEnum):
    """How a caution is to be taken: three steps, the gravest first."""

    STOP = "stop"
    LOOK = "look"
    KNOW = "know"

    @property
    def meaning(self) -> str:
        """What the step asks of the potter, in one line."""
        return _MEANING[self]

    @property
    def rank(self) -> int:
        """0 for the gravest step."""
        return _RANK[self]


_RANK = {step: place for place, step in enumerate(Severity)}
_MEANING = {
    Severity.STOP: "do not mix it, or do not serve from it, before this is settled",
    Severity.LOOK: "settle it by the test or the change named, before the ware is sold or used",
    Severity.KNOW: "a habit at the bench or a fact to keep in mind; nothing to settle",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Shown):
    """Something to look at before mixing, weighing, firing or serving; never a verdict.

    Attributes
    ----------
    code, title : str
        Stable name, e.g. ``"lead-present"``, and a few words without figures, e.g. ``"Lead in the fired glaze"``.
    about : str
        food, surface, fit, melt, bench, kiln or bucket.
    message : str
        The consequence, then what was seen with its number: two lines of a page.
    why : str
        The ground in full; empty where the message says it all.
    do : str
        What to change or to test.
    evidence : Mapping
        The numbers used and the thresholds they were held against; names carry their units (``PbO_wt_percent_fired``).
    source : str
        On whose authority, with memory marks.
    never_folded : bool
        True for lead and cadmium: never counted in one line with others, always with its severity.
    full_only : bool
        True for what stands on the full page alone: nothing follows from it by itself.
    """

    PAGE: ClassVar[str] = "cautions"
    JSON: ClassVar[tuple[str, ...]] = (
        "code",
        "title",
        "about",
        "severity",
        "message",
        "why",
        "do",
        "evidence",
        "source",
    )

    code: str
    title: str
    about: str
    severity: Severity
    message: str
    do: str
    source: str
    why: str = ""
    evidence: Mapping[str, Any] = field(default_factory=FrozenDict)
    never_folded: bool = False
    full_only: bool = False

    def __post_init__(self) -> None:
        for what, given, known in (("about", self.about, ABOUT), ("severity", self.severity, tuple(Severity))):
            if given not in known:
                raise UnknownNameError(f"{what} is '{given}'; one of {', '.join(known)} was expected.")
        object.__setattr__(self, "severity", Severity(self.severity))
        object.__setattr__(self, "evidence", FrozenDict(self.evidence))


def sort_cautions(cautions: Iterable[Caution]) -> list[Caution]:
    """Return the cautions, gravest first, then by `ABOUT` and code; the same words twice are kept once."""
    unique: dict[tuple[str, str], Caution] = {}
    for caution in cautions:
        key = (caution.code, caution.message)
        if key not in unique or caution.severity.rank < unique[key].severity.rank:
            unique[key] = caution
    return sorted(unique.values(), key=lambda c: (c.severity.rank, ABOUT.index(c.about), c.code, c.message))
