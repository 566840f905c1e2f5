"""Errors and notices: what the library says when it must stop, and when it need not.

Every error carries a message (what was given, what was expected), a hint (the likely mend) and a place (file and
line). All of them survive pickling.
"""

from __future__ import annotations

import sys
import warnings
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import ClassVar

from glazecalc.brief import Brief
from glazecalc.plain_text import visible

__all__ = (
    "MOST_FAULTS",
    "AmbiguousNameError",
    "ArgumentError",
    "CompositionError",
    "ConeError",
    "ConventionError",
    "Fault",
    "FileFaultsError",
    "FormulaError",
    "GlazeError",
    "GlazeWarning",
    "LineError",
    "Notice",
    "OutOfTimeError",
    "UnitError",
    "UnknownNameError",
    "VolumeNotReachedError",
    "WorkshopError",
    "did_you_mean",
    "warn_of",
)

_LONGEST_NAME = 60  # this program's own choice
MOST_FAULTS = 20
"""Faults of a file that are told; the others are counted. This program's own choice."""


class GlazeWarning(UserWarning):
    """What a table must say of its columns: a frame has no page on which a notice could stand."""


def warn_of(notices: Iterable[str]) -> None:
    """Warn once of all that must be said, at the line of the caller's own code that called glazecalc."""
    if text := " ".join(notices):
        depth, frame = 2, sys._getframe(1)
        while frame.f_back is not None and frame.f_globals.get("__name__", "").partition(".")[0] == "glazecalc":
            depth, frame = depth + 1, frame.f_back
        warnings.warn(text, GlazeWarning, stacklevel=depth)


@dataclass(frozen=True, slots=True)
class Notice(Brief):
    """Something the reader should know that does not stop the work: a stable `code` and a `message`; `line` where it stands at one of a card."""

    JSON: ClassVar[tuple[str, ...]] = ("code", "message")

    code: str
    message: str
    line: int | None = field(default=None, compare=False)

    def __str__(self) -> str:
        return self.message


@dataclass(frozen=True, slots=True)
class Fault(Brief):
    """One thing wrong in a file or a value: the line (1-based, or None), what is wrong, how to mend it, and the field."""

    line: int | None
    message: str
    hint: str = ""
    field: str = ""

    def __str__(self) -> str:
        return " ".join(filter(None, (f"line {self.line}:" if self.line else "", self.message, self.hint)))


class GlazeError(Exception):
    """Base of every error that glazecalc raises on purpose.

    Attributes
    ----------
    message : str
        What was given and what was expected.
    hint : str
        The likely mend.
    where : str
        File and line, or another place.
    faults : tuple of Fault
        The single faults, where a file or a value has several.
    """

    faults: tuple[Fault, ...] = ()

    def __init__(self, message: str, hint: str = "", where: str = "") -> None:
        super().__init__(message, hint, where)
        self.message, self.hint, self.where = message, hint, where

    def __str__(self) -> str:
        head = f"{self.where}: {self.message}" if self.where else self.message
        return visible(f"{head} {self.hint}".strip())


class UnknownNameError(GlazeError, KeyError):
    """A material, oxide, cone or option that is not known."""


class AmbiguousNameError(GlazeError, LookupError):
    """A name that fits several materials."""


class FormulaError(GlazeError, ValueError):
    """A mineral formula that cannot be read."""


class CompositionError(GlazeError, ValueError):
    """A batch or composition for which the calculation has no answer."""


class ConventionError(GlazeError, ValueError):
    """Conventions that cannot stand together."""


class UnitError(GlazeError, ValueError):
    """A quantity whose number or unit cannot be read."""


class ArgumentError(GlazeError, TypeError):
    """An argument of the wrong kind; the hint is the call to write."""


class ConeError(GlazeError, ValueError):
    """A text that names no cone, or a cone, family or heating rate that no chart prints."""


class LineError(GlazeError, ValueError):
    """A line that cannot be read as an ingredient."""


class WorkshopError(GlazeError, ValueError):
    """A weighing, slurry, size or price that cannot be worked out from what was given."""


class VolumeNotReachedError(WorkshopError):
    """A volume at a gravity that additions alone cannot reach: the bucket already holds too much dry glaze or water."""


class OutOfTimeError(GlazeError):
    """The time limit ended the search before any answer was found."""


class FileFaultsError(GlazeError, ValueError):
    """A file that cannot be used; holds every fault found in it, in the order of the lines."""

    def __init__(self, path: str, faults: Iterable[Fault]) -> None:
        self.path = path
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line is None, fault.line or 0)))
        Exception.__init__(self, path, self.faults)
        told = self.faults[:MOST_FAULTS]
        self.message = "; ".join([*(fault.message for fault in told), *self._more()])
        self.hint = " ".join(fault.hint for fault in told if fault.hint)
        self.where = path

    def _more(self) -> list[str]:
        """Return how many faults are not told, where there are any."""
        more = len(self.faults) - MOST_FAULTS
        return [f"and {more:,} more"] if more > 0 else []

    def __str__(self) -> str:
        lines = []
        for fault in self.faults[:MOST_FAULTS]:
            place = f"{self.path}:{fault.line}" if fault.line is not None else self.path
            lines.append(f"{place}: {fault.message}" + (f" {fault.hint}" if fault.hint else ""))
        return visible("\n".join([*lines, *self._more()]))


def did_you_mean(given: str, known: Iterable[str], *, most: int = 3) -> str:
    """Return ``Did you mean 'x' or 'y'?`` for the names of `known` nearest to `given`, or an empty text.

    A word that is too long to be a slip is not compared.
    """
    import difflib  # slow to load, and only a mistake needs it

    if len(given) > _LONGEST_NAME:
        return ""
    table = {name.lower(): name for name in known}
    near = difflib.get_close_matches(given.lower(), list(table), n=most, cutoff=0.6)
    return f"Did you mean {' or '.join(repr(table[name]) for name in near)}?" if near else ""
