"""The page that `check` prints: 100 columns, about 50 lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from glazecalc.caution.ratio import ratio_readings
from glazecalc.check_report import CheckReport
from glazecalc.convert.unity import UnityFormula
from glazecalc.estimate.melted import yardstick
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.surface_tension import surface_tension_parts
from glazecalc.heat import heat_words
from glazecalc.show.cautions import caution_lines, caution_whole
from glazecalc.show.differences import value_of
from glazecalc.show.formula import counted_lines, standing_lines
from glazecalc.show.table import table
from glazecalc.show.text import bullet, decimals, heading, number, rule, wrapped
from glazecalc.show.unity import percent_block, unity_block

if TYPE_CHECKING:
    from glazecalc.estimate.spread import SampledRange, Spread
    from glazecalc.estimate.stress import Mismatch

__all__ = ("page",)


def page(
    report: CheckReport, *, full: bool = False, spread: Spread | None = None, mismatch: Mismatch | None = None
) -> str:
    """Return the page: `full` prints every caution whole, `spread` low and high beside each number, `mismatch` a measured fit."""
    lines = [*heading(report.batch.recipe.name or "(no title)", _firing(report)), rule()]
    lines += standing_lines(report.formula)
    lines += [*_recipe_block(report), "", *_readings_block(report, full=full), ""]
    if report.unity is not None:
        lines += [
            *unity_block(report.unity),
            *_ratio_block(report.unity, full=full),
            *counted_lines(report.formula),
            "",
        ]
    else:
        lines += ["UNITY FORMULA", "  none: the batch holds nothing to divide by. See mole per cent.", ""]
    lines += [*_fired_block(report), "", *_estimate_block(report, full=full), ""]
    if mismatch is not None:
        lines += [*_mismatch_block(mismatch), ""]
    if spread is not None:
        lines += [*_spread_block(report, spread), ""]
    last = "Calculated from the analyses named above. A calculation shows no release and no durability: only tests of fired ware do."
    lines += [*_caution_block(report, full=full), "", *wrapped(last, indent=0)]
    return "\n".join(lines)


def _firing(report: CheckReport) -> str:
    cone = heat_words(report.cone) or "cone not given"
    use = f"use: {report.use}" if report.use else "use not given"
    body = f"on {report.body.name}" if report.body is not None else ""
    cooling = f"cooling {report.batch.recipe.cooling}" if report.batch.recipe.cooling else ""
    return ", ".join(part for part in (cone, report.atmosphere, cooling, use, body) if part)


def _recipe_block(report: CheckReport) -> list[str]:
    batch = report.batch
    rows = [["RECIPE", "g" if batch.recipe.has_mass_units else "parts", "% of base", "% all-in"]]
    for line in batch.lines:
        shares = (number(100 * line.parts / total, 1) for total in (batch.base_total, batch.all_in_total))
        rows.append([f"  {'+ ' if line.addition else ''}{line.material.name}", _amount(line.parts), *shares])
    totals = (
        f"  base {_amount(batch.base_total)}, additions {_amount(batch.additions_total)}, all in {_amount(batch.all_in_total)}"
        f"   of all in: raw clay {number(report.raw_clay_percent, 1)} %, soluble {number(report.soluble_percent, 1)} %,"
        f" slightly {number(report.slightly_soluble_percent, 1)} %"
    )
    return [*table(rows, indent=0, gap=4), totals]


def _amount(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) < 1e7 else f"{value:.4g}"


def _readings_block(report: CheckReport, *, full: bool) -> list[str]:
    lines = ["IN SHORT  what the calculation says; a tile decides"]
    for reading in report.readings:
        lines += bullet(
            f"  {reading.about}", f"{reading.says} {reading.because} {reading.do}" if full else reading.title, width=10
        )
    return lines


def _ratio_block(unity: UnityFormula, *, full: bool) -> list[str]:
    ratio = unity.silica_alumina_ratio
    text = f"  R2O {unity.r2o:.2f} : RO {unity.ro:.2f}"
    if ratio is None:
        return [f"{text}     SiO2:Al2O3 none (no alumina)"]
    name = "SiO2:Al2O3"
    if unity.convention.boron_with_silica:
        name = "(SiO2+B2O3):Al2O3"
    elif unity.convention.boron_with_alumina:
        name = "SiO2:(Al2O3+B2O3)"
    if not full:
        return [f"{text}   {name} {number(ratio, 1)}"]
    readings = "; ".join(reading.text for reading in ratio_readings(unity))
    head = f"{text}   {name} {number(ratio, 1)}. Conventions disagree on its name, and firing decides:"
    return [head, *wrapped(f"{readings}.", indent=4)]


def _fired_block(report: CheckReport) -> list[str]:
    loss = f"{number(report.loi_percent_base, 1)} % of the base, {number(report.loi_percent_all_in, 1)} % all in"
    head = "FIRED ANALYSIS  wt %, additions included, all iron as Fe2O3"
    return [*percent_block(head, report.fired), f"  loss on ignition {loss}"]


def _estimate_block(report: CheckReport, *, full: bool) -> list[str]:
    alone = "; base alone: without colouring oxides" if report.estimates_without_colourants else ""
    lines = [f"ESTIMATES  for clear glass of this composition, fully melted{alone}"]
    for estimate in report.estimates:
        if full or estimate.quantity != "surface tension" or estimate.model == "kucuk":
            lines += _estimate_lines(estimate, report, full=full)
    if not report.estimates:
        lines.append("  none")
    return lines + _tension_parts(report) if full else lines


def _base_alone(estimate: Estimate, report: CheckReport) -> str:
    """Return the same estimate of a dark glaze without its colouring oxides, for which the models are better tested."""
    of_base = (one for one in report.estimates_without_colourants if _same(one, estimate))
    base = next(of_base, None) if estimate.quantity != "surface tension" else None
    if base is None:
        return ""
    digits, span = decimals(base.unit), ""
    if base.low is not None and base.high is not None:
        span = f" ({number(base.low, digits)} to {number(base.high, digits)})"
    return f"; base alone {value_of(base)}{span}"


def _same(one: Estimate, other: Estimate) -> bool:
    return (one.name, one.temperature_range_c) == (other.name, other.temperature_range_c)


def _estimate_lines(estimate: Estimate, report: CheckReport, *, full: bool) -> list[str]:
    digits = decimals(estimate.unit)
    value = value_of(estimate, word="corrected ")
    if estimate.low is not None and estimate.high is not None and estimate.level is not None:
        value += f"  ({number(estimate.low, digits)} to {number(estimate.high, digits)}, {100 * estimate.level:.0f} %)"
    else:
        value += "  (no interval)"
    span = ""
    if estimate.temperature_range_c is not None:
        low, high = estimate.temperature_range_c
        span = f", {low:g} C" if low == high else f", {low:g}-{high:g} C"
    beside = f": {yardstick(estimate.value)}" if (estimate.quantity, estimate.model) == ("viscosity", "fitted") else ""
    lines = wrapped(
        f"{estimate.quantity}{span}, {estimate.model}: {value} {estimate.unit}{beside}{_base_alone(estimate, report)}",
        hang=6,
    )
    if estimate.outside:
        lines += wrapped("outside the tested range: " + "; ".join(estimate.outside), indent=6)
    if full:
        lines += wrapped(f"{estimate.note} Source: {estimate.source}".strip(), indent=6)
    return lines


def _mismatch_block(mismatch: Mismatch) -> list[str]:
    seen = (
        f"  body minus glaze {mismatch.difference_1e6_per_k:+.1f} 1e-6 per K; strain {mismatch.strain_percent:+.3f} %; "
        f"stress in the glaze {mismatch.stress_mpa:+.0f} MPa ({mismatch.state})"
    )
    assumed = f"assumed: {'; '.join(mismatch.assumptions)}."
    limits = f"No stress at which a glaze must craze or shiver is established; test pieces decide. Source: {mismatch.source}."
    head = "FIT  of glaze and body, both measured on one range"
    return [head, seen, *wrapped(assumed, indent=6), *wrapped(limits, indent=6)]


def _tension_parts(report: CheckReport) -> list[str]:
    parts = surface_tension_parts(report.mole_percent)
    moved = [f"{oxide} {mn_per_m:+.0f}" for oxide, mn_per_m in parts.items() if abs(mn_per_m) >= 1][:8]
    text = f"what moves surface tension, against silica in its place, mN/m (kucuk): {', '.join(moved)}"
    return wrapped(text, indent=6) if moved else []


def _spread_block(report: CheckReport, spread: Spread) -> list[str]:
    head = f"SPREAD  {100 * spread.level:.0f} % of {spread.samples} samples (seed {spread.seed}), from the bags and the scale"
    apart = "The model's own error is not in low and high; the last two columns hold both together."
    rows = [["", "value", "low", "high", "both: low", "high"]]
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
            rows.append([*_drawn(f"{estimate.name} [{estimate.unit}]", estimate.value, drawn, digits), *together])
    return [head, *wrapped(apart), *table(rows), *(line for text in spread.basis for line in wrapped(f"{text}."))]


def _drawn(label: str, value: float, drawn: SampledRange, digits: int) -> list[str]:
    return [label, *(number(figure, digits) for figure in (value, drawn.low, drawn.high))]


def _caution_block(report: CheckReport, *, full: bool) -> list[str]:
    more = "" if full else ". More: --full"
    lines = [f"LOOK AT  stop: settle first; look: settle by test or change; know: habit{more}"]
    if not report.cautions:
        lines.append("  nothing that this program looks for was found; that is no clearance")
    if full:
        return lines + [line for caution in report.cautions for line in caution_whole(caution)]
    return lines + caution_lines([caution for caution in report.cautions if not caution.full_only])
