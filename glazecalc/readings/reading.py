"""The one value that each of the eight short answers is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, ClassVar

from glazecalc.display import Shown
from glazecalc.errors import UnknownNameError
from glazecalc.files.shipped import read_mapping
from glazecalc.frozen import FrozenDict

__all__ = ("ABOUT", "Reading", "ReadingCode", "reading_codes")

ABOUT = ("melt", "run", "surface", "fit", "coat", "wear", "food", "bench")
"""What the eight answers are about, in their order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCode:
    """A stable code of a reading."""

    about: str
    title: str  # its meaning in a few words
    word: str = ""  # for a table of many recipes; empty: the code without what it is about


@cache
def reading_codes() -> Mapping[str, ReadingCode]:
    """Return every code of the readings."""
    return read_mapping(ReadingCode, "reading_codes.yaml", "codes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Shown):
    """A short answer to one of the eight questions that a potter asks of a recipe; never a verdict.

    Attributes
    ----------
    about, code : str
        One of `ABOUT`, and its stable code, e.g. ``"melt"``, ``"melt-stiff"``.
    says : str
        The answer in a sentence or two.
    because : str
        On what ground, as n of what.
    evidence : Mapping
        The numbers used and those they were held against; names carry their units.
    do : str
        The test or the change that settles it.
    source : str
        On whose authority.
    short : str
        Answer, ground and test in two lines of the page; by default the three sentences as they stand.
    """

    PAGE: ClassVar[str] = "reading"
    JSON: ClassVar[tuple[str, ...]] = ("about", "code", "says", "because", "evidence", "do", "source")

    about: str
    code: str
    says: str
    because: str
    do: str
    source: str
    evidence: Mapping[str, Any] = field(default_factory=FrozenDict)
    short: str = ""

    def __post_init__(self) -> None:
        known = reading_codes().get(self.code)
        if known is None or known.about != self.about:
            raise UnknownNameError(f"'{self.code}' is not a code of a reading about '{self.about}'.")
        object.__setattr__(self, "evidence", FrozenDict(self.evidence))
        if not self.short:
            object.__setattr__(self, "short", f"{self.says} {self.because} {self.do}")

    def __repr__(self) -> str:
        return f"<Reading {self.code}>"

    @property
    def title(self) -> str:
        """What its code means, in a few words."""
        return reading_codes()[self.code].title

    @property
    def word(self) -> str:
        """Its answer as a word, for a table of many recipes."""
        return reading_codes()[self.code].word or self.code.removeprefix(f"{self.about}-").replace("-", " ")
