"""Fit of glaze and body: the user's own firings, and the stress from a mismatch that was measured.

A calculated glaze and a measured body stand on different scales. So a calculated expansion is only placed among the
user's own results on one body by one model; a stress is worked out only where both expansions were measured on one
range of temperature.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from glazecalc.errors import CompositionError
from glazecalc.files.shipped import load_data
from glazecalc.firing import RESULTS

__all__ = ("FiredResult", "FitRange", "Mismatch", "fit_range", "measured_mismatch", "place")


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredResult:
    """One glaze on one body as it came from the kiln and the tests after it.

    Attributes
    ----------
    recipe, body, cone, note : str
    result : str
        ``crazed``, ``sound`` or ``shivered``.
    model : str
        The model that `expansion` was calculated by.
    expansion : float
        Calculated expansion of the glaze [1e-6 per K].
    """

    recipe: str
    body: str
    cone: str
    result: str
    model: str
    expansion: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRange:
    """What the user's results on one body say, by one model; all numbers in 1e-6 per K.

    Attributes
    ----------
    body, model : str
    good : tuple of float or None
        From the lowest to the highest glaze that came out sound; None where none did.
    shivered_up_to : float or None
        The highest that shivered.
    crazed_from : float or None
        The lowest that crazed.
    results : tuple of FiredResult
        In order of expansion.
    contradictions : tuple of str
        Results that cannot all hold along one line of expansion; shown, not fitted away.
    """

    body: str
    model: str
    good: tuple[float, float] | None
    shivered_up_to: float | None
    crazed_from: float | None
    results: tuple[FiredResult, ...]
    contradictions: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "body": self.body,
            "model": self.model,
            "unit": "1e-6 per K",
            "good": list(self.good) if self.good else None,
            "shivered_up_to": self.shivered_up_to,
            "crazed_from": self.crazed_from,
            "unknown": [list(gap) for gap in self.unknown],
            "contradictions": list(self.contradictions),
            "results": [
                {"recipe": r.recipe, "cone": r.cone, "result": r.result, "expansion": r.expansion, "note": r.note}
                for r in self.results
            ],
        }

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
        All on one body and by one model.

    Raises
    ------
    CompositionError
        For no results, or results of several bodies or models: they are refused, not averaged.
    """
    ordered = tuple(sorted(results, key=lambda r: r.expansion))
    if not ordered:
        raise CompositionError("there are no results to place a glaze among.", "Fire some, and write them down.")
    for what, names in (("bodies", {r.body for r in ordered}), ("models", {r.model for r in ordered})):
        if len(names) > 1:
            raise CompositionError(
                f"the results are of several {what}: {', '.join(sorted(names))}.",
                "Expansions compare on one body by one model only.",
            )
    unknown_result = next((r.result for r in ordered if r.result not in RESULTS), None)
    if unknown_result is not None:
        raise CompositionError(f"'{unknown_result}' is not a result.", f"Known: {', '.join(RESULTS)}.")
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
    return tuple(
        f"{low.recipe} ({low.expansion:.1f}) {low.result} although {high.recipe} ({high.expansion:.1f}), which expands more, {_was(high.result)}"
        for i, low in enumerate(ordered)
        for high in ordered[i + 1 :]
        if rank[low.result] > rank[high.result] or (low.expansion == high.expansion and low.result != high.result)
    )


def _was(result: str) -> str:
    return "was sound" if result == "sound" else result


def place(expansion: float, fit: FitRange) -> str:
    """Return where a calculated expansion [1e-6 per K] lies among the user's own results, in words; never a promise."""
    failed_low = fit.shivered_up_to is not None and expansion <= fit.shivered_up_to
    failed_high = fit.crazed_from is not None and expansion >= fit.crazed_from
    inside = fit.good is not None and fit.good[0] <= expansion <= fit.good[1]
    if (failed_low or failed_high) and (inside or (failed_low and failed_high)):
        return "contradicted: results on both sides of it disagree"
    if inside:
        return "inside what came out sound"
    if failed_low:
        return "where glazes shivered"
    if failed_high:
        return "where glazes crazed"
    return "unknown: between or beyond the results so far"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mismatch:
    """Stress from a measured mismatch.

    Attributes
    ----------
    difference_1e6_per_k : float
        Body minus glaze; positive puts the glaze in compression.
    strain_percent : float
        Linear mismatch from the set point down to room temperature.
    stress_mpa : float
        In the glaze; negative is compression.
    state : str
        ``compression``, ``tension`` or ``none``.
    assumptions : tuple of str
    source : str
    """

    difference_1e6_per_k: float
    strain_percent: float
    stress_mpa: float
    state: str
    assumptions: tuple[str, ...]
    source: str

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "difference_1e6_per_k": self.difference_1e6_per_k,
            "strain_percent": self.strain_percent,
            "stress_mpa": self.stress_mpa,
            "state": self.state,
            "assumptions": list(self.assumptions),
            "source": self.source,
        }


def measured_mismatch(
    *,
    glaze_1e6_per_k: float,
    body_1e6_per_k: float,
    glaze_range_c: tuple[float, float],
    body_range_c: tuple[float, float],
    set_point_c: float | None = None,
    glaze_to_body_thickness: float = 0.0,
) -> Mismatch:
    """Return the thin-layer stress of a glaze on a body, both measured on one range of temperature.

    Parameters
    ----------
    glaze_1e6_per_k, body_1e6_per_k : float
        Measured mean linear expansion [1e-6 per K].
    glaze_range_c, body_range_c : tuple of float
        The range of each measurement [deg C].
    set_point_c : float, optional
        Where the glaze stiffens [deg C]; a typical value otherwise, said in the assumptions.
    glaze_to_body_thickness : float
        Thickness of glaze (both faces) over that of the body; 0 for a thin layer on a stout wall.

    Returns
    -------
    Mismatch

    Raises
    ------
    CompositionError
        If the ranges differ, or a number is out of reason.

    Notes
    -----
    stress = -E / (1 - nu) x (body - glaze) x (set point - room) / (1 + thickness ratio), with E' equal in glaze and body.
    """
    data = load_data("fit_stress.yaml")
    if glaze_range_c != body_range_c:
        raise CompositionError(
            f"the glaze was measured over {glaze_range_c[0]:g}-{glaze_range_c[1]:g} C and the body over {body_range_c[0]:g}-{body_range_c[1]:g} C.",
            "A mismatch needs both on one range.",
        )
    for name, value in (("glaze", glaze_1e6_per_k), ("body", body_1e6_per_k)):
        if not 0 <= value <= 30:
            raise CompositionError(f"the expansion of the {name} is {value:g}; 0 to 30 (1e-6 per K) was expected.")
    defaults = data["defaults"]
    given = set_point_c is not None
    set_point = float(set_point_c) if set_point_c is not None else float(defaults["set_point_c"]["value"])
    room = float(defaults["room_c"]["value"])
    if not room < set_point <= 900 or not 0 <= glaze_to_body_thickness <= 2:
        raise CompositionError(
            f"a set point of {set_point:g} C with a thickness ratio of {glaze_to_body_thickness:g} is out of reason."
        )
    modulus, poisson = float(defaults["young_modulus_gpa"]["value"]), float(defaults["poisson_ratio"]["value"])
    difference = body_1e6_per_k - glaze_1e6_per_k
    strain = difference * 1e-6 * (set_point - room)
    stress = -modulus * 1000.0 / (1.0 - poisson) * strain / (1.0 + glaze_to_body_thickness)
    ends = defaults["set_point_c"]["range"]
    return Mismatch(
        difference_1e6_per_k=difference,
        strain_percent=100.0 * strain,
        stress_mpa=stress + 0.0,
        state="compression" if stress < 0 else "tension" if stress > 0 else "none",
        assumptions=(
            f"E {modulus:g} GPa and Poisson's ratio {poisson:g}, typical of glasses (from memory)",
            f"set point {set_point:g} C, "
            + ("as given" if given else f"typical of {ends[0]:g}-{ends[1]:g} C (from memory)"),
            "elastic, no reaction layer, uniform thickness"
            + ("" if glaze_to_body_thickness else ", glaze thin beside the wall"),
        ),
        source=f"{data['source']['title']} (from memory, confidence {data['source']['confidence']})",
    )
