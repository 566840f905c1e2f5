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
    rows = [["RECIPE  % of base", "A", "B", "B - A"]]
    rows += [
        _row(("+ " if line.addition else "") + line.name, line.first, line.second, 1)
        for line in sorted(difference.lines, key=lambda line: line.addition)
    ]
    lines += _aligned(rows)
    if a.unity is not None and b.unity is not None:
        unity_rows = [["UNITY FORMULA", "A", "B", "B - A"]]
        unity_rows += [_row(oxide, a.unity.get(oxide), b.unity.get(oxide), 2) for oxide in difference.unity]
        unity_rows += [
            _row("SiO2:Al2O3", a.unity.silica_alumina_ratio, b.unity.silica_alumina_ratio, 1),
            _row("R2O", a.unity.r2o, b.unity.r2o, 2),
            _row("RO", a.unity.ro, b.unity.ro, 2),
        ]
        lines += ["", *_aligned(unity_rows), *wrapped(f"{a.convention.description}.")]
    else:
        lines += ["", "UNITY FORMULA  not for both: a batch without flux has none"]
    fired_rows = [["FIRED ANALYSIS  wt %", "A", "B", "B - A"]]
    fired_rows += [
        _row(oxide, a.fired.get(oxide), b.fired.get(oxide), 1) for oxide in difference.fired_analysis_percent
    ]
    lines += ["", *_aligned(fired_rows)]
    other = [["BATCH", "A", "B", "B - A"]]
    other += [
        _row("loss on ignition, all in %", a.batch.loss_percent(), b.batch.loss_percent(), 1),
        _row("raw clay %", a.raw_clay_percent, b.raw_clay_percent, 1),
        _row("soluble %", a.soluble_percent, b.soluble_percent, 1),
    ]
    lines += [
        "",
        *_aligned(other),
        "",
        *_estimates(a, b),
        *_melt(comparison),
        "",
        *_cautions(a, b),
        *notice_lines([*a.notices, *b.notices]),
    ]
    return "\n".join(lines)


def _row(label: str, left: float | None, right: float | None, digits: int) -> list[str]:
    difference = (right or 0.0) - (left or 0.0)
    shown = "=" if abs(difference) < 10**-digits / 2 else f"{difference:+.{digits}f}"
    return [f"  {label}", *("-" if not value else number(value, digits) for value in (left, right)), shown]


def _aligned(rows: list[list[str]], *, left: tuple[int, ...] = (0,)) -> list[str]:
    # all blocks of the page stand in the same columns
    return table(
        [[row[0].ljust(40), *(cell.rjust(9) for cell in row[1:4]), *row[4:]] for row in rows], left=left, indent=0
    )


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
        rows.append(
            [
                f"  {left.name} [{left.unit}]",
                number(left.value, digits),
                number(right.value, digits),
                f"{right.value - left.value:+.{digits}f}",
                "  *" if small else "",
            ]
        )
    if not rows:
        return ["ESTIMATES", "  none for both"]
    return _aligned([["ESTIMATES  * less than the error of one", "A", "B", "B - A"], *rows], left=(0, 4))


def _melt(comparison: Comparison) -> list[str]:
    found, cone = comparison.difference.viscosity, comparison.a.cone
    if found is None:
        return []
    error = f"; the error of such a difference is {found.half_width:.1f}" if found.half_width is not None else ""
    words = (
        "no clear difference in the melt"
        if found.verdict == "no clear difference"
        else f"B melts {found.verdict} than A"
    )
    return wrapped(
        f"At cone {cone} ({found.temperature_c:.0f} C): {words} ({found.difference:+.1f} log10 Pa s{error})."
    )


def _cautions(a: CheckReport, b: CheckReport) -> list[str]:
    codes_a, codes_b = {c.code for c in a.cautions}, {c.code for c in b.cautions}
    lines = ["CAUTIONS  that stand for one of the two only; see 'check' for all"]
    for name, report, others in (("A", a, codes_b), ("B", b, codes_a)):
        for caution in report.cautions:
            if caution.code not in others:
                lines += caution_in_short(caution, lead=f"{name}  ", width=22)
    return lines if len(lines) > 1 else [*lines, "  none: the same codes stand for both"]
