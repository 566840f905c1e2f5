"""Targets: what a batch is to come to, and how its numbers and names are read."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from glazecalc.display import BY_ROW, Shown
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.field_checks import LARGEST, FieldChecks
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import VOLATILES, check_oxide

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("Target", "check_entry", "check_label", "parse_range")

_MOST_ON_TOP = 1000.0  # wt % of the base
_LEAST_TOTAL, _LARGEST_TOTAL = 1e-6, 1e9  # parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Shown):
    """What a batch is to come to.

    Attributes
    ----------
    unity : Mapping
        Oxide, sum or ratio -> number, pair or ``"low..high"`` [mol per mol of flux]; of the base.
    fired_analysis_percent : Mapping
        Oxide -> wt %, in place of `unity`.
    colourants : Mapping
        Material name -> wt % on top of the base.
    total : float
        Base total of the answers [parts].
    """

    name: str = ""
    unity: Mapping[str, object] = field(default_factory=dict)
    fired_analysis_percent: Mapping[str, float] = field(default_factory=dict)
    colourants: Mapping[str, float] = field(default_factory=dict)
    total: float = 100.0
    path: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Target '{self.name}'" if self.name else "Target")
        checks.text("name", self.name)
        unity = checks.mapping("unity", self.unity)
        fired = checks.numbers("fired_analysis_percent", self.fired_analysis_percent, 0, 100)
        checks.oxides("fired_analysis_percent", fired)
        if unity and fired:
            message = "'fired_analysis_percent' and 'unity' are given; a target has one, not both."
            checks.fault("fired_analysis_percent", message)
        object.__setattr__(self, "unity", FrozenDict(unity))
        object.__setattr__(self, "fired_analysis_percent", fired)
        object.__setattr__(self, "colourants", checks.numbers("colourants", self.colourants, 0, _MOST_ON_TOP))
        total = checks.number("total", self.total, _LEAST_TOTAL, _LARGEST_TOTAL)
        object.__setattr__(self, "total", 100.0 if total is None else total)
        checks.done()
        for label, value in self.unity.items():
            check_entry(label, value)

    def to_frame(self) -> pd.DataFrame:
        """Return what is wanted, one row an entry: ``of, name, low, high, unit``; an entry of one number has it at both ends."""
        import pandas as pd

        rows: list[tuple[object, ...]] = [
            ("unity", label, *parse_range(value, label), "mol per mol of flux") for label, value in self.unity.items()
        ]
        for of, wanted in (("fired", self.fired_analysis_percent), ("colourant", self.colourants)):
            rows += [(of, name, value, value, "wt %") for name, value in wanted.items()]
        frame = pd.DataFrame(rows, columns=["of", "name", "low", "high", "unit"])
        frame.attrs["units"] = {"low": BY_ROW, "high": BY_ROW}
        return frame


def check_entry(label: str, value: object) -> None:
    """Check one line of a target unity formula: an oxide, a sum or a ratio, and its number or range."""
    for part in label.split(":"):
        check_label(part.strip())
    parse_range(value, label)


def parse_range(value: object, what: str) -> tuple[float, float]:
    """Return the ends of a number, a pair, or a text such as ``"3.2..3.6"``; CompositionError for anything else."""
    mend = "Write 3.4, or 3.2..3.6."
    if isinstance(value, Mapping):
        raise CompositionError(f"{what} is a number or a range; a mapping was found.", mend)
    given = value.split("..") if isinstance(value, str) and ".." in value else value
    ends = given if isinstance(given, tuple | list) else (given, given)
    try:
        if isinstance(value, bool) or len(ends) != 2:
            raise ValueError
        low, high = (float(str(end)) for end in ends)
    except ValueError:
        raise CompositionError(f"'{value}' for {what} is neither a number nor a range.", mend) from None
    if not (math.isfinite(low) and high <= LARGEST) or low < 0 or high < low:
        expected = "a number of zero or more, or a range from low to high, was expected."
        raise CompositionError(f"{what} is {value}; {expected}")
    return low, high


def check_label(label: str) -> tuple[str, ...]:
    """Return the oxides that ``"SiO2"``, ``"K2O+Na2O"`` or ``"KNaO"`` stands for; raise where one is not on the axis."""
    names = ("K2O", "Na2O") if label.strip() == "KNaO" else tuple(part.strip() for part in label.split("+"))
    for name in names:
        check_oxide(name)
        if name in VOLATILES:
            raise UnknownNameError(f"'{name}' does not stay in a fired glaze.", "Leave it out of the target.")
    if len(set(names)) != len(names):
        raise CompositionError(f"'{label}' names an oxide twice.")
    return names
