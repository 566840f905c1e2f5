"""The page of `check`: the short answers first, then cautions, formula, analysis and estimates as the ground for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

from glazecalc.caution.caution import Severity
from glazecalc.check_report import CheckReport
from glazecalc.convention import Convention
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import UnityFormula, unity_from_moles
from glazecalc.errors import CompositionError
from glazecalc.estimate.fired_glazes import fired_glazes
from glazecalc.estimate.melted import fired_set, yardstick
from glazecalc.estimate.result import Estimate, decimals
from glazecalc.oxides import AXIS, R2O, RO, role
from glazecalc.sentences import capital
from glazecalc.show import check as text_page
from glazecalc.show import test_plan
from glazecalc.show import working as working_page
from glazecalc.show.formula import counted_text
from glazecalc.show.html.drawing import Point, bar, interval, key, plane
from glazecalc.show.html.sources import MOLAR_MASSES, of_estimates, of_materials
from glazecalc.show.spread import spread_head
from glazecalc.show.text import number
from glazecalc.show.unity import ratio_words

if TYPE_CHECKING:
    from glazecalc.caution.test_plan import PlannedTest
    from glazecalc.estimate.spread import Spread
    from glazecalc.estimate.stress import Mismatch

__all__ = ("page",)

_SURFACES = {"gloss": "ring", "satin": "triangle", "matt": "square", "dry": "square", "not_said": "dot"}
_MARKS = {
    "ring": "gloss",
    "triangle": "satin",
    "square": "matt or dry",
    "dot": "surface not told",
    "cross": "did not melt",
}
_NEARLY_ALL = 0.95  # of the published glazes lie inside the picture; this program's own choice
_RATIOS = (5, 7, 10, 15)  # lines of equal SiO2:Al2O3 across the picture


def page(
    report: CheckReport,
    *,
    full: bool = False,
    spread: Spread | None = None,
    mismatch: Mismatch | None = None,
    tests: Sequence[PlannedTest] | None = None,
    working: bool = False,
) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts; every caution stands whole, so `full` adds the answers whole."""
    if tests is not None:
        return "tests.html", _tests(report, tests)
    if working:
        return "working.html", _working(report)
    unity = report.unity
    return "check.html", {
        "title": report.batch.recipe.name or "(no title)",
        "firing": text_page.firing_words(report),
        "standing": [] if report.formula.holds else [report.formula.says],
        "answers": [(one.about, one.short) for one in report.readings],
        "whole": report.readings,
        "full": full,
        "recipe": _recipe(report),
        "cautions": report.cautions,
        "grave": any(one.never_folded or one.severity is Severity.STOP for one in report.cautions),
        "convention": report.convention.description,
        "stacks": [] if unity is None else stacks(unity),
        "ratio": [] if unity is None else ratio_words(unity, named=True).split("   ", 1),
        "below": [] if unity is None else [text for text in (traces(unity), counted_text(report.formula)) if text],
        "loss": f"All iron as Fe2O3; {text_page.loss_words(report)}.",
        "oxides": _oxides(report),
        "place": place([(report, "self")]),
        "estimates": _estimates(report, full=full),
        "among": _among(report),
        "outside": [] if text_page.all_beyond(report) and not full else _outside(report.estimates),
        "spread": None if spread is None else _spread(report, spread),
        "mismatch": [] if mismatch is None else _mismatch(mismatch),
        "sources": [
            *of_materials(line.material for line in report.batch.lines),
            MOLAR_MASSES,
            *of_estimates(report.estimates),
            ("beside fired glazes", fired_set().source),
        ],
    }


def _tests(report: CheckReport, tests: Sequence[PlannedTest]) -> dict[str, Any]:
    levels = {level: [test for test in tests if test.level == level] for level in dict.fromkeys(t.level for t in tests)}
    return {
        "title": f"Tests for {report.batch.recipe.name or 'this glaze'}",
        "line": f"use: {report.use or 'not given, read as a plate'}",
        "levels": levels,
        "hint": test_plan.HINT,
        "last": test_plan.LAST,
    }


def _working(report: CheckReport) -> dict[str, Any]:
    head, steps = working_page.division(report)
    rows = working_page.mole_rows(report)
    return {
        "title": f"Working: {report.batch.recipe.name or '(no title)'}",
        "brought": working_page.brought(report),
        "rows": rows,
        "iron": working_page.FEO_COUNTED if any(row[0] == "FeO" for row in rows) else "",
        "head": head,
        "steps": steps,
        "convention": report.convention.description,
        "stacks": [] if report.unity is None else stacks(report.unity),
        "below": [] if report.unity is None else [ratio_words(report.unity, named=True), traces(report.unity)],
        "loss": working_page.loss_lines(report),
        "sources": [*of_materials(line.material for line in report.batch.lines), MOLAR_MASSES],
    }


def _recipe(report: CheckReport) -> dict[str, Any]:
    batch = report.batch
    lines = [
        {
            "name": line.material.name,
            "addition": line.addition,
            "cells": [
                text_page.amount_text(line.parts),
                *(number(100 * line.parts / total, 1) for total in (batch.base_total, batch.all_in_total)),
            ],
        }
        for line in batch.lines
    ]
    heads = ["g" if batch.recipe.has_mass_units else "parts", "% of base", "% of total"]
    return {"heads": heads, "lines": lines, "totals": text_page.totals_words(report)}


def stacks(unity: UnityFormula) -> list[dict[str, Any]]:
    """Return the groups of a unity formula as stacks of moles; what is there in traces is left to `traces`."""
    names = {
        "flux": "R2O, RO",
        "stabilizer": "R2O3",
        "glass former": "RO2, B2O3",
        "colourants and opacifiers": "beside",
    }
    below = {
        "flux": f"{unity.r2o:.2f} + {unity.ro:.2f}",
        "stabilizer": "stabilizer",
        "glass former": "glass formers",
        "colourants and opacifiers": "colourants, opacifiers",
    }
    return [
        {
            "name": names[group],
            "below": below[group],
            "lines": [(f"{value:.2f}", oxide) for oxide, value in oxides.items() if value >= 0.005],
        }
        for group, oxides in unity.groups().items()
        if oxides or group != "colourants and opacifiers"
    ]


def traces(unity: UnityFormula) -> str:
    """Return what is there in traces; empty for nothing."""
    small = [f"{oxide} {value:.1g}" for oxide, value in unity.items() if value < 0.005]
    return f"Traces: {', '.join(small)}" if small else ""


def _oxides(report: CheckReport) -> list[dict[str, Any]]:
    """Return the fired analysis by role, each oxide with its bar."""

    def group(oxide: str) -> str:
        kind = role(oxide)
        return "R2O" if oxide in R2O else "RO" if oxide in RO else f"{kind}s"

    most = max(report.fired.values())
    grouped: dict[str, list[dict[str, Any]]] = {}
    for oxide in AXIS:
        if weight := report.fired[oxide]:
            grouped.setdefault(group(oxide), []).append(
                {
                    "oxide": oxide,
                    "weight": number(weight, 1),
                    "moles": number(report.mole_percent[oxide], 1),
                    "bar": bar(weight / most),
                }
            )
    return [{"name": name, "lines": lines} for name, lines in grouped.items()]


def place(glazes: Sequence[tuple[CheckReport, str]]) -> dict[str, Any] | None:
    """Return where glazes stand by silica and alumina among the published glazes that were fired, and what the marks mean.

    None where the formula of a glaze does not hold, where one has no alumina, or all are divided by it.
    """
    convention = glazes[0][0].convention
    own = [Point(r.unity["Al2O3"], r.unity["SiO2"], kind) for r, kind in glazes if r.unity is not None]
    if (
        convention.unity_on_alumina
        or not all(r.formula.holds and r.unity is not None for r, _ in glazes)
        or any(point.x == 0 for point in own)
    ):
        return None
    others = _observed(convention)
    reach = tuple(
        max(_end(getattr(one, axis) for one in others), *(getattr(one, axis) for one in own)) for axis in ("x", "y")
    )
    told = "; ".join(f"SiO2 {point.y:.2f} and Al2O3 {point.x:.2f} mol" for point in own)
    unit = convention.unit
    axes = (f"Al₂O₃, {unit}", f"SiO₂, {unit}")
    names = [(key(kind), r.batch.recipe.name or "this glaze") for r, kind in glazes]
    return {
        "picture": plane([*others, *own], (reach[0], reach[1]), *axes, _RATIOS, f"Silica and alumina: {told}"),
        "keys": [*names, *((key(kind), words) for kind, words in _MARKS.items())],
        "beyond": sum(one.x > reach[0] or one.y > reach[1] for one in others),
    }


def _end(values: Iterable[float]) -> float:
    ordered = sorted(values)
    return ordered[int(_NEARLY_ALL * (len(ordered) - 1))]


@cache
def _observed(convention: Convention) -> tuple[Point, ...]:
    """Return the published glazes that were fired, each by the surface it had; what did not melt is a cross."""
    found = []
    for one in fired_glazes():
        kind = "cross" if one.melt in ("unmelted", "underfired") else _SURFACES[one.surface]
        try:
            formula = unity_from_moles(as_row(one.mole_percent)[0], convention)
        except CompositionError:
            continue
        found.append(Point(formula["Al2O3"], formula["SiO2"], kind))
    return tuple(found)


def _estimates(report: CheckReport, *, full: bool) -> dict[str, Any]:
    """Return the estimates as rows, below one its corrected value and, for a dark glaze, that without its colouring oxides."""
    rows, notes = [], []
    beyond = bool(report.estimates) and text_page.all_beyond(report)
    for one in () if beyond and not full else report.estimates:
        at = ""
        if one.temperature_range_c is not None:
            low, high = one.temperature_range_c
            at = f", {low:g} °C" if low == high else f", {low:g} to {high:g} °C"
        digits, under = decimals(one.unit), []
        if one.corrected is not None:
            under.append(("corrected by measured glasses", number(one.corrected, digits), ""))
        if (alone := text_page.same_without_colourants(one, report)) is not None:
            under.append(("without colouring oxides", number(alone.value, digits), text_page.interval_text(alone)))
        rows.append(
            {
                "quantity": f"{one.quantity}{at}",
                "model": one.model,
                "value": number(one.value, digits),
                "range": text_page.interval_text(one),
                "unit": one.unit,
                "under": under,
            }
        )
        notes.append((f"{one.quantity}, {one.model}", " ".join([one.note, *_outside([one])]).strip()))
    notes.append(("surface tension", capital(text_page.tension_words(report))))
    return {"rows": rows, "beyond": text_page.BEYOND if beyond else "", "notes": [pair for pair in notes if pair[1]]}


def _among(report: CheckReport) -> list[dict[str, Any]]:
    """Return the pictures of the estimates that published glazes were fired for: the value with its error among theirs."""
    groups = {"expansion": fired_set().expansion.matured, "viscosity": fired_set().viscosity.matured}
    found = []
    for one in report.estimates:
        if one.model != "fitted" or one.quantity not in groups or one.low is None:
            continue
        group, text = groups[one.quantity], number(one.value, decimals(one.unit))
        told = f"{one.quantity} {text}, {text_page.interval_text(one)}"
        found.append(
            {
                "quantity": one.quantity,
                "unit": one.unit,
                "picture": interval(one.value, one.low, one.high, group.values, "g", told),
                "words": f"{group.n} published glazes that matured, by {group.sources} sources",
                "yardstick": yardstick(one.value) if one.quantity == "viscosity" else "",
            }
        )
    return found


def _outside(estimates: Iterable[Estimate]) -> list[str]:
    found = list(dict.fromkeys(text for estimate in estimates for text in estimate.outside))
    return [f"Outside the tested range: {'; '.join(found)}."] if found else []


def _mismatch(mismatch: Mismatch) -> list[str]:
    return [
        text_page.mismatch_words(mismatch),
        f"Assumed: {'; '.join(mismatch.assumptions)}.",
        text_page.NO_LIMIT,
    ]


def _spread(report: CheckReport, spread: Spread) -> Mapping[str, Any]:
    heads = text_page.SPREAD_HEADS
    rows = [row + [""] * (len(heads) - len(row)) for row in text_page.drawn_rows(report, spread)]
    words = {"drawn": spread_head(spread).removeprefix("SPREAD  "), "apart": text_page.APART}
    return {"heads": heads, "rows": rows, "basis": spread.basis, **words}
