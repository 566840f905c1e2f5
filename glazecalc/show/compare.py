"""The page of two recipes side by side."""

from __future__ import annotations

from glazecalc.check_report import CheckReport
from glazecalc.comparison import Comparison
from glazecalc.show.cautions import caution_in_short
from glazecalc.show.notices import notice_lines
from glazecalc.show.table import table
from glazecalc.show.text import decimals, heading, number, rule, wrapped

__all__ = ("page",)


def page(comparison: Comparison) -> str:
    """Return the page that `compare` prints."""
    a, b, difference = comparison.a, comparison.b, comparison.difference
    name_a, name_b = (r.batch.recipe.name or r.batch.recipe.path or order for r, order in ((a, "first"), (b, "second")))
    lines = [
        *heading(f"A  {name_a}", f"cone {a.cone}" if a.cone else ""),
        *heading(f"B  {name_b}", f"cone {b.cone}" if b.cone else ""),
        rule(),
    ]
    ordered = sorted(difference.lines, key=lambda line: line.addition)
    rows = [_row(("+ " if line.addition else "") + line.name, line.first, line.second, 1) for line in ordered]
    lines += _block("RECIPE  % of base", rows)
    if a.unity is not None and b.unity is not None:
        rows = [_row(oxide, a.unity.get(oxide), b.unity.get(oxide), 2) for oxide in difference.unity]
        rows += [
            _row("SiO2:Al2O3", a.unity.silica_alumina_ratio, b.unity.silica_alumina_ratio, 1),
            _row("R2O", a.unity.r2o, b.unity.r2o, 2),
            _row("RO", a.unity.ro, b.unity.ro, 2),
        ]
        lines += ["", *_block("UNITY FORMULA", rows), *wrapped(f"{a.convention.description}.")]
    else:
        lines += ["", "UNITY FORMULA  not for both: a batch without flux has none"]
    rows = [_row(oxide, a.fired.get(oxide), b.fired.get(oxide), 1) for oxide in difference.fired_analysis_percent]
    lines += ["", *_block("FIRED ANALYSIS  wt %", rows)]
    rows = [
        _row("loss on ignition, all in %", a.loi_percent_all_in, b.loi_percent_all_in, 1),
        _row("raw clay %", a.raw_clay_percent, b.raw_clay_percent, 1),
        _row("soluble %", a.soluble_percent, b.soluble_percent, 1),
    ]
    lines += ["", *_block("BATCH", rows), "", *_estimates(a, b), *_melt(comparison), "", *_cautions(a, b)]
    return "\n".join([*lines, *notice_lines([*a.notices, *b.notices])])


def _row(label: str, left: float | None, right: float | None, digits: int) -> list[str]:
    difference = (right or 0.0) - (left or 0.0)
    shown = "=" if abs(difference) < 10**-digits / 2 else f"{difference:+.{digits}f}"
    return [f"  {label}", *("-" if not value else number(value, digits) for value in (left, right)), shown]


def _block(head: str, rows: list[list[str]], *, left: tuple[int, ...] = (0,)) -> list[str]:
    # all blocks of the page stand in the same columns
    cells = [
        [first.ljust(40), *(cell.rjust(9) for cell in row[:3]), *row[3:]]
        for first, *row in [[head, "A", "B", "B - A"], *rows]
    ]
    return table(cells, left=left, indent=0)


def _estimates(a: CheckReport, b: CheckReport) -> list[str]:
    rows: list[list[str]] = []
    there = {(e.quantity, e.model, e.temperature_range_c): e for e in b.estimates}
    for left in a.estimates:
        right = there.get((left.quantity, left.model, left.temperature_range_c))
        if right is None:
            continue
        digits = decimals(left.unit)
        widths = [e.high - e.low for e in (left, right) if e.high is not None and e.low is not None]
        small = bool(widths) and abs(right.value - left.value) < max(widths) / 2
        values = [number(e.value, digits) for e in (left, right)]
        change = f"{right.value - left.value:+.{digits}f}"
        rows.append([f"  {left.name} [{left.unit}]", *values, change, "  *" if small else ""])
    if not rows:
        return ["ESTIMATES", "  none for both"]
    return _block("ESTIMATES  * less than the error of one", rows, left=(0, 4))


def _melt(comparison: Comparison) -> list[str]:
    found, cone = comparison.difference.viscosity, comparison.a.cone
    if found is None:
        return []
    error = f"; the error of such a difference is {found.half_width:.1f}" if found.half_width is not None else ""
    clear = found.verdict != "no clear difference"
    words = f"B melts {found.verdict} than A" if clear else "no clear difference in the melt"
    figures = f"({found.difference:+.1f} log10 Pa s{error})"
    return wrapped(f"At cone {cone} ({found.temperature_c:.0f} C): {words} {figures}.")


def _cautions(a: CheckReport, b: CheckReport) -> list[str]:
    codes_a, codes_b = {c.code for c in a.cautions}, {c.code for c in b.cautions}
    lines = ["CAUTIONS  that stand for one of the two only; see 'check' for all"]
    for name, report, others in (("A", a, codes_b), ("B", b, codes_a)):
        for caution in report.cautions:
            if caution.code not in others:
                lines += caution_in_short(caution, lead=f"{name}  ", width=22)
    return lines if len(lines) > 1 else [*lines, "  none: the same codes stand for both"]
