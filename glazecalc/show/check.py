"""The page that `check` prints: 100 columns; the short answers first, the rest is the ground for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from glazecalc.check_report import CheckReport
from glazecalc.estimate.melted import yardstick
from glazecalc.estimate.result import Estimate, decimals
from glazecalc.estimate.surface_tension import surface_tension_parts
from glazecalc.heat import heat_words
from glazecalc.show.cautions import caution_lines, caution_whole
from glazecalc.show.differences import value_of
from glazecalc.show.formula import counted_lines, standing_lines
from glazecalc.show.notices import foot
from glazecalc.show.table import table
from glazecalc.show.text import bullet, heading, number, rule, unit_text, wrapped
from glazecalc.show.unity import percent_block, unity_block

if TYPE_CHECKING:
    from glazecalc.caution.test_plan import PlannedTest
    from glazecalc.estimate.spread import SampledRange, Spread
    from glazecalc.estimate.stress import Mismatch

__all__ = (
    "APART",
    "BEYOND",
    "NO_LIMIT",
    "SPREAD_HEADS",
    "all_beyond",
    "amount_text",
    "drawn_rows",
    "firing_words",
    "interval_text",
    "loss_words",
    "mismatch_words",
    "page",
    "same_without_colourants",
    "tension_words",
    "totals_words",
)

# quantities that share a line of the page
_TOGETHER = {"glass transition": "points of the glass", "softening temperature": "points of the glass"}
_MOST_CAUTIONS = 3  # that are told on the page, before further ones are counted by their titles
_LINES = 59  # of the page with its foot: where it would be longer, fewer cautions that are no stops are told
_MOST_NAMED = 2  # of what lies outside the tested range, before the rest is counted
SPREAD_HEADS = ("", "value", "low", "high", "both: low", "high")
APART = "The model's own error is not in low and high; the last two columns hold both together."
BEYOND = "none with a known error: this glaze lies beyond the glasses of the models (figures: --full)"
NO_LIMIT = "No stress at which a glaze must craze or shiver is established; test pieces decide."
_LABEL = 10  # columns of the word that a short answer is about


def page(
    report: CheckReport,
    *,
    full: bool = False,
    spread: Spread | None = None,
    mismatch: Mismatch | None = None,
    tests: Sequence[PlannedTest] | None = None,
    working: bool = False,
) -> str:
    """Return the page: `full` prints every caution whole, `spread` low and high beside each number, `mismatch` a measured fit.

    `tests` or `working` give a page of their own instead: the tests to make or order, the calculation step by step.
    """
    if tests is not None:
        from glazecalc.show import test_plan

        return test_plan.page(report, tests)
    if working:
        from glazecalc.show import working as working_page

        return working_page.page(report)
    lines = [*heading(report.batch.recipe.name or "(no title)", firing_words(report)), rule()]
    lines += standing_lines(report.formula)
    lines += [*_recipe_block(report), "", *_readings_block(report, full=full), ""]
    lines += [*_formula_block(report, full=full), *_fired_block(report), *_estimate_block(report, full=full), ""]
    room = _LINES - len(lines) - len(foot(report.notices))
    if mismatch is not None:
        lines += [*_mismatch_block(mismatch), ""]
    if spread is not None:
        lines += [*_spread_block(report, spread), ""]
    return "\n".join([*lines, *_caution_block(report, room, full=full)])


def firing_words(report: CheckReport) -> str:
    """Return cone, atmosphere, cooling, use and body, as far as they are given."""
    cone = heat_words(report.cone) or "cone not given"
    use = f"use: {report.use}" if report.use else "use not given"
    body = f"on {report.body.name}" if report.body is not None else ""
    cooling = f"cooling {report.batch.recipe.cooling}" if report.batch.recipe.cooling else ""
    return ", ".join(part for part in (cone, report.atmosphere, cooling, use, body) if part)


def _recipe_block(report: CheckReport) -> list[str]:
    batch = report.batch
    rows = [["RECIPE", "g" if batch.recipe.has_mass_units else "parts", "% of base", "% of total"]]
    for line in batch.lines:
        shares = (number(100 * line.parts / total, 1) for total in (batch.base_total, batch.all_in_total))
        rows.append([f"  {'+ ' if line.addition else ''}{line.material.name}", amount_text(line.parts), *shares])
    return [*table(rows, indent=0, gap=4), *wrapped(totals_words(report))]


def totals_words(report: CheckReport) -> str:
    """Return base, additions and total, and what of the total is raw clay or dissolves."""
    batch = report.batch
    return (
        f"base {amount_text(batch.base_total)}, additions {amount_text(batch.additions_total)}, total {amount_text(batch.all_in_total)} "
        f"(raw clay {number(report.raw_clay_percent, 1)} %, soluble {number(report.soluble_percent, 1)} %,"
        f" slightly soluble {number(report.slightly_soluble_percent, 1)} %)"
    )


def amount_text(value: float) -> str:
    """Return an amount of a recipe with the digits that it has, two at most."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) < 1e7 else f"{value:.4g}"


def _readings_block(report: CheckReport, *, full: bool) -> list[str]:
    lines = ["IN SHORT  answer, ground and test; only tests of fired ware show release and durability"]
    for reading in report.readings:
        whole = f"{reading.says} {reading.because} {reading.do} [{reading.code}]"
        lines += bullet(f"  {reading.about}", whole if full else reading.short, width=_LABEL)
        if full:
            lines += bullet("", f"Source: {reading.source}", width=_LABEL)
    return lines


def _formula_block(report: CheckReport, *, full: bool) -> list[str]:
    unity = report.unity
    if unity is None:
        return ["UNITY FORMULA", "  none: the batch has no flux"]
    lines = unity_block(unity, named=full)
    return lines + counted_lines(report.formula)


def _fired_block(report: CheckReport) -> list[str]:
    named = report.unity is not None  # the formula above names what is there in traces
    shown = {oxide: value for oxide, value in report.fired.items() if value >= 0.05 or not named}
    return percent_block(f"FIRED ANALYSIS  wt %, all iron as Fe2O3; {loss_words(report)}", shown)


def loss_words(report: CheckReport) -> str:
    """Return the loss on ignition of the base and of the total."""
    base, total = (number(percent, 1) for percent in (report.loi_percent_base, report.loi_percent_all_in))
    return f"loss on ignition {base} % of the base, {total} % of the total"


def _estimate_block(report: CheckReport, *, full: bool) -> list[str]:
    """Return one line a quantity with all of its models, what lies outside their ranges below; `full` one block a model."""
    lines = ["ESTIMATES  for clear glass of this composition, fully melted; in brackets the error range of 90 %"]
    if not report.estimates:
        return [*lines, "  none"]
    if full:
        return [*lines, *(line for one in report.estimates for line in _whole(one, report)), *_tension_parts(report)]
    shown = [estimate for estimate in report.estimates if estimate.quantity != "surface tension"]
    if all_beyond(report):
        lines.append(f"  {BEYOND}")
        shown = []
    for _, group in groupby(shown, lambda estimate: _TOGETHER.get(estimate.quantity, estimate.quantity)):
        lines += wrapped("; ".join(_figures(list(group))), hang=6)
    alone = [text for estimate in shown if (text := _base_alone(estimate, report))]
    if alone:
        lines += wrapped(f"without colouring oxides: {'; '.join(alone)}", hang=6)
    outside = list(dict.fromkeys(text for estimate in shown for text in estimate.outside))
    if outside:
        rest = f" and {len(outside) - _MOST_NAMED} more (--full)" if len(outside) > _MOST_NAMED else ""
        lines += wrapped(f"outside the tested range: {'; '.join(outside[:_MOST_NAMED])}{rest}", hang=6)
    return lines


def all_beyond(report: CheckReport) -> bool:
    """Return True where no model knows its error for this glaze; surface tension, which only ranks glazes, is not asked."""
    return all(one.low is None for one in report.estimates if one.quantity != "surface tension")


def _figures(estimates: Sequence[Estimate]) -> Iterator[str]:
    """Yield each estimate with its interval, the temperature it is for and its model; a quantity and a unit once."""
    for before, estimate in zip([None, *estimates], estimates, strict=False):
        quantity = "" if before is not None and before.quantity == estimate.quantity else f"{estimate.quantity} "
        unit = "" if before is not None and before.unit == estimate.unit else f" {unit_text(estimate.unit)}"
        yield f"{quantity}{_figure(estimate, unit)}"


def _figure(estimate: Estimate, unit: str) -> str:
    at = ""
    if estimate.temperature_range_c is not None:
        low, high = estimate.temperature_range_c
        at = f" {low:g} C," if low == high else f" {low:g}-{high:g} C,"
    beside = f": {yardstick(estimate.value)}" if (estimate.quantity, estimate.model) == ("viscosity", "fitted") else ""
    return f"{value_of(estimate, word='corrected ')}{_interval(estimate)}{unit},{at} {estimate.model}{beside}"


def interval_text(estimate: Estimate) -> str:
    """Return the error range, ``4.2 to 7.2``; empty for a published method whose correction stands beside it."""
    if estimate.low is None or estimate.high is None:
        return "" if estimate.corrected is not None else "error unknown"
    digits = decimals(estimate.unit)
    low, high = (number(end, digits) for end in (estimate.low, estimate.high))
    return low if low == high else f"{low} to {high}"


def _interval(estimate: Estimate) -> str:
    text = interval_text(estimate)
    return f" ({text})" if text else ""


def same_without_colourants(estimate: Estimate, report: CheckReport) -> Estimate | None:
    """Return the same estimate of a dark glaze without its colouring oxides, for which the models are better tested."""
    key = (estimate.name, estimate.temperature_range_c)
    same = [one for one in report.estimates_without_colourants if (one.name, one.temperature_range_c) == key]
    return same[0] if same and estimate.model == "fitted" else None


def _base_alone(estimate: Estimate, report: CheckReport) -> str:
    same = same_without_colourants(estimate, report)
    return f"{same.quantity} {value_of(same)}{_interval(same)}" if same is not None else ""


def _whole(estimate: Estimate, report: CheckReport) -> list[str]:
    alone = _base_alone(estimate, report)
    beside = f"; without colouring oxides {alone}" if alone else ""
    lines = wrapped(f"{estimate.quantity} {_figure(estimate, f' {unit_text(estimate.unit)}')}{beside}", hang=6)
    if estimate.outside:
        lines += wrapped("outside the tested range: " + "; ".join(estimate.outside), indent=6)
    return lines + wrapped(f"{estimate.note} Source: {estimate.source}".strip(), indent=6)


def mismatch_words(mismatch: Mismatch) -> str:
    """Return the difference, the strain and the stress of a measured fit."""
    return (
        f"body minus glaze {mismatch.difference_1e6_per_k:+.1f} 1e-6 per K; strain {mismatch.strain_percent:+.3f} %; "
        f"stress in the glaze {mismatch.stress_mpa:+.0f} MPa ({mismatch.state})"
    )


def _mismatch_block(mismatch: Mismatch) -> list[str]:
    assumed = f"assumed: {'; '.join(mismatch.assumptions)}."
    head = "FIT  of glaze and body, both measured on one range"
    limits = f"{NO_LIMIT} Source: {mismatch.source}."
    return [head, f"  {mismatch_words(mismatch)}", *wrapped(assumed, indent=6), *wrapped(limits, indent=6)]


def _tension_parts(report: CheckReport) -> list[str]:
    text = tension_words(report)
    return wrapped(text, indent=6) if text else []


def tension_words(report: CheckReport) -> str:
    """Return which oxides move the surface tension most; empty where none moves it by 1 mN/m."""
    parts = surface_tension_parts(report.mole_percent)
    moved = [f"{oxide} {mn_per_m:+.0f}" for oxide, mn_per_m in parts.items() if abs(mn_per_m) >= 1][:8]
    return f"what moves surface tension, against silica in its place, mN/m (kucuk): {', '.join(moved)}" if moved else ""


def _spread_block(report: CheckReport, spread: Spread) -> list[str]:
    from glazecalc.show.spread import spread_head

    rows = [list(SPREAD_HEADS), *drawn_rows(report, spread)]
    head = spread_head(spread)
    return [head, *wrapped(APART), *table(rows), *(line for text in spread.basis for line in wrapped(f"{text}."))]


def drawn_rows(report: CheckReport, spread: Spread) -> list[list[str]]:
    """Return a row for each number that was drawn: its value, low and high, and of an estimate both with the model's error in them."""
    rows = []
    unity = report.unity_moles
    rows += [_drawn(oxide, unity[oxide], drawn, 2) for oxide, drawn in spread.unity.items() if unity[oxide] >= 0.005]
    ratio = report.silica_alumina_ratio
    if ratio is not None and spread.silica_alumina_ratio is not None:
        rows.append(_drawn("SiO2:Al2O3", ratio, spread.silica_alumina_ratio, 1))
    for estimate in report.estimates:
        drawn = spread.estimates.get(estimate.name)
        if drawn is not None:
            digits = 2 if decimals(estimate.unit) else 0
            both = spread.estimates_with_model_error.get(estimate.name)
            together = ["-", "-"] if both is None else [number(both.low, digits), number(both.high, digits)]
            rows.append(
                [*_drawn(f"{estimate.name} [{unit_text(estimate.unit)}]", estimate.value, drawn, digits), *together]
            )
    return rows


def _drawn(label: str, value: float, drawn: SampledRange, digits: int) -> list[str]:
    return [label, *(number(figure, digits) for figure in (value, drawn.low, drawn.high))]


def _caution_block(report: CheckReport, room: int, *, full: bool) -> list[str]:
    """Return the cautions; `room` is how many lines they may take, if fewer of them are told."""
    more = "" if full else "; more: --full"
    lines = [f"LOOK AT  stop: settle first; look: settle by test or change; know: keep in mind{more}"]
    if not report.cautions:
        lines.append("  nothing that this program looks for was found; that does not mean there is nothing to find")
    elif full:
        lines += [line for caution in report.cautions for line in caution_whole(caution)]
    else:
        told = [caution for caution in report.cautions if not caution.full_only]
        lengths = (caution_lines(told, most=most) for most in range(_MOST_CAUTIONS, -1, -1))
        lines += next((block for block in lengths if len(lines) + len(block) <= room), caution_lines(told, most=0))
    return lines
