"""Fit of glaze and body by the user's own firings.

A calculated glaze and a measured body stand on different scales. So a calculated expansion is only placed among the
user's own results on one body by one model.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import ClassVar

from glazecalc.display import Shown, Tabular
from glazecalc.errors import CompositionError, Notice
from glazecalc.firing import RESULTS

__all__ = ("FiredResult", "FitRange", "Placed", "fit_range", "place")

_SAME_AS_PRINTED = 0.05  # 1e-6 per K: two numbers nearer than this are one on the page, with its one decimal
_MOST_CONTRADICTIONS = 200  # more tell nothing more


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredResult(Shown):
    """One glaze on one body as it came from the kiln and the tests after it.

    Attributes
    ----------
    result : str
        ``crazed``, ``sound`` or ``shivered``.
    expansion : float
        Calculated expansion of the glaze [1e-6 per K], by `model`.
    """

    recipe: str
    body: str
    cone: str
    result: str
    model: str
    expansion: float
    note: str = ""

    JSON: ClassVar[tuple[str, ...]] = ("recipe", "cone", "result", "expansion", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A new glaze: its calculated expansion [1e-6 per K], and where it lies among the results, in words."""

    recipe: str
    expansion: float
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRange(Tabular):
    """What the user's results on one body say, by one model; all numbers in 1e-6 per K.

    Attributes
    ----------
    good : tuple of float or None
        From the lowest to the highest glaze that came out sound; None where none did.
    shivered_up_to, crazed_from : float or None
        The highest that shivered and the lowest that crazed.
    results : tuple of FiredResult
        In order of expansion.
    contradictions : tuple of str
        Results that cannot all hold along one line of expansion; shown, not fitted away.
    placed : tuple of Placed
        New glazes among them.
    """

    ROWS: ClassVar[str] = "results"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "recipe": "",
        "cone": "",
        "result": "",
        "expansion": "1e-6 per K",
        "note": "",
    }
    PAGE: ClassVar[str] = "calibrate"
    JSON: ClassVar[tuple[str, ...]] = (
        "body", "model", "unit", "good", "shivered_up_to", "crazed_from", "unknown", "contradictions", "results", "placed", "notices",
    )  # fmt: skip

    body: str
    model: str
    good: tuple[float, float] | None
    shivered_up_to: float | None
    crazed_from: float | None
    results: tuple[FiredResult, ...]
    contradictions: tuple[str, ...]
    placed: tuple[Placed, ...] = ()
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<FitRange on {self.body}: {len(self.results)} results>"

    @property
    def unit(self) -> str:
        """The unit of every expansion in it."""
        return "1e-6 per K"

    @property
    def unknown(self) -> tuple[tuple[float, float], ...]:
        """The gaps between what came out sound and what failed."""
        gaps = []
        if self.good and self.shivered_up_to is not None and self.shivered_up_to < self.good[0]:
            gaps.append((self.shivered_up_to, self.good[0]))
        if self.good and self.crazed_from is not None and self.crazed_from > self.good[1]:
            gaps.append((self.good[1], self.crazed_from))
        return tuple(gaps)


def fit_range(results: Iterable[FiredResult]) -> FitRange:
    """Return the ranges that a user's results give.

    Parameters
    ----------
    results : iterable of FiredResult
        All on one body, at one cone and by one model.

    Returns
    -------
    FitRange
        What came out sound, what failed, and what contradicts.

    Raises
    ------
    CompositionError
        For no results, or results of several bodies, cones or models: they are refused, not averaged.

    Examples
    --------
    >>> import glazecalc as gc
    >>> fired = {"body": "Osier Fold", "cone": "6", "model": "fitted"}
    >>> sound = gc.FiredResult(recipe="Harbour Black", result="sound", expansion=6.1, **fired)
    >>> crazed = gc.FiredResult(recipe="Rill Clear", result="crazed", expansion=6.8, **fired)
    >>> gc.fit_range([crazed, sound]).unknown
    ((6.1, 6.8),)
    """
    ordered = tuple(sorted(results, key=lambda r: r.expansion))
    if not ordered:
        raise CompositionError("there are no firings to place a glaze among.", "Fire some, and write them down.")
    for what, several in (("body", "bodies"), ("cone", "cones"), ("model", "models")):
        names = sorted({getattr(r, what) or "none given" for r in ordered})
        if len(names) > 1:
            text = f"the results are of several {several}: {', '.join(names)}."
            raise CompositionError(text, "Expansions compare on one body, at one cone and by one model only.")
    unknown_result = next((r.result for r in ordered if r.result not in RESULTS), None)
    if unknown_result is not None:
        raise CompositionError(f"'{unknown_result}' is not a result.", f"Known: {', '.join(RESULTS)}.")
    if not all(math.isfinite(r.expansion) for r in ordered):
        raise CompositionError("a result has no number for its expansion.", "Leave it out, or take the other model.")
    by = {name: [r.expansion for r in ordered if r.result == name] for name in RESULTS}
    return FitRange(
        body=ordered[0].body,
        model=ordered[0].model,
        good=(min(by["sound"]), max(by["sound"])) if by["sound"] else None,
        shivered_up_to=max(by["shivered"]) if by["shivered"] else None,
        crazed_from=min(by["crazed"]) if by["crazed"] else None,
        results=ordered,
        contradictions=_contradictions(ordered),
    )


def _contradictions(ordered: Sequence[FiredResult]) -> tuple[str, ...]:
    # along rising expansion a glaze shivers first, then is sound, then crazes
    rank = {"shivered": 0, "sound": 1, "crazed": 2}
    told = []
    for low, high in combinations(ordered, 2):
        alike = math.isclose(low.expansion, high.expansion, rel_tol=1e-9)
        if low.result != high.result and (alike or rank[low.result] > rank[high.result]):
            beside = f"{high.recipe} ({high.expansion:.1f}), which expands {'the same' if alike else 'more'}, "
            came_out = "was sound" if high.result == "sound" else high.result
            told.append(f"{low.recipe} ({low.expansion:.1f}) {low.result} although {beside}{came_out}")
            if len(told) == _MOST_CONTRADICTIONS:
                break
    return tuple(told)


def place(expansion: float, fit: FitRange) -> str:
    """Return where a calculated expansion [1e-6 per K] lies among the user's own results, in words; never a promise."""
    failed_low = fit.shivered_up_to is not None and expansion <= fit.shivered_up_to
    failed_high = fit.crazed_from is not None and expansion >= fit.crazed_from
    inside = fit.good is not None and fit.good[0] <= expansion <= fit.good[1]
    if (failed_low or failed_high) and (inside or (failed_low and failed_high)):
        return "contradicted: results on both sides of it conflict"
    if inside:
        return "inside what came out sound"
    if failed_low:
        return "where glazes shivered"
    if failed_high:
        return "where glazes crazed"
    if fit.good is not None and min(abs(expansion - end) for end in fit.good) < _SAME_AS_PRINTED:
        return "unknown: at the edge of what came out sound"
    return "unknown: no firing close enough to say"
