"""Targets: what a batch is to come to, and how its numbers and names are read."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import VOLATILES, check_oxide

__all__ = ("Range", "Target", "check_entry", "check_label", "parse_range")

Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What a batch is to come to.

    Attributes
    ----------
    name : str
        Title.
    unity : Mapping
        Oxide, sum or ratio -> number, pair or ``"low..high"`` [mol per mol of flux]; of the base.
    fired_analysis_percent : Mapping
        Oxide -> wt %, in place of `unity`.
    colourants : Mapping
        Material name -> wt % on top of the base.
    total : float
        Base total of the answers [parts].
    path : str
        The file it was read from; not part of equality.
    """

    name: str = ""
    unity: Mapping[str, object] = field(default_factory=dict)
    fired_analysis_percent: Mapping[str, float] = field(default_factory=dict)
    colourants: Mapping[str, float] = field(default_factory=dict)
    total: float = 100.0
    path: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        for name in ("unity", "fired_analysis_percent", "colourants"):
            object.__setattr__(self, name, FrozenDict(getattr(self, name)))
        if self.unity and self.fired_analysis_percent:
            raise CompositionError("a target has a unity formula or a fired analysis, not both.")
        for label, value in self.unity.items():
            check_entry(label, value)
        for oxide, percent in self.fired_analysis_percent.items():
            check_oxide(oxide)
            if not 0 <= percent <= 100:
                raise CompositionError(f"{oxide} stands at {percent} wt %; 0 to 100 was expected.")
        if not (math.isfinite(self.total) and self.total > 0):
            raise CompositionError(f"the total of the target is {self.total}; a positive number of parts was expected.")
        for name, percent in self.colourants.items():
            if not (math.isfinite(percent) and percent >= 0):
                raise CompositionError(f"the colourant {name} stands at {percent} %; zero or more was expected.")


def check_entry(label: str, value: object) -> None:
    """Check one line of a target unity formula: an oxide, a sum or a ratio, and its number or range.

    Raises
    ------
    CompositionError, UnknownNameError
        For what is none of these.
    """
    for part in label.split(":"):
        check_label(part.strip())
    parse_range(value, label)


def parse_range(value: object, what: str) -> Range:
    """Return the ends of a number, a pair, or a text such as ``"3.2..3.6"``.

    Raises
    ------
    CompositionError
        For anything else, for negative numbers and for ends in the wrong order.
    """
    ends: Sequence[object]
    if isinstance(value, str):
        ends = [part.strip() for part in value.split("..")] if ".." in value else [value.strip()] * 2
    elif isinstance(value, (tuple, list)):
        ends = value
    else:
        ends = [value, value]
    try:
        if isinstance(value, bool) or len(ends) != 2:
            raise ValueError
        low, high = (float(str(end)) for end in ends)
    except ValueError:
        raise CompositionError(
            f"'{value}' for {what} is neither a number nor a range.", "Write 3.4, or 3.2..3.6."
        ) from None
    if not (math.isfinite(low) and math.isfinite(high)) or low < 0 or high < low:
        raise CompositionError(
            f"{what} is {value}; a number of zero or more, or a range from low to high, was expected."
        )
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
