"""The page of two recipes side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from glazecalc.check_report import CheckReport
from glazecalc.comparison import Comparison
from glazecalc.estimate.difference import EstimateDifference
from glazecalc.estimate.melted import yardstick
from glazecalc.heat import heat_words
from glazecalc.show.cautions import caution_lines
from glazecalc.show.differences import change, odds_in_words, star_note, value_of, way
from glazecalc.show.formula import standing_lines
from glazecalc.show.table import table
from glazecalc.show.text import bullet, heading, number, rule, unit_text, wrapped

__all__ = ("page",)

_LABEL = 10  # columns of the word that a short answer is about


def page(comparison: Comparison) -> str:
    """Return the page that `compare` prints."""
    a, b, difference = comparison.a, comparison.b, comparison.difference
    name_a, name_b = (r.batch.recipe.name or r.batch.recipe.path or order for r, order in ((a, "first"), (b, "second")))
    lines = [
        *heading(f"A  {name_a}", _firing(a)),
        *heading(f"B  {name_b}", _firing(b)),
        rule(),
    ]
    lines += [line for name, r in (("A: ", a), ("B: ", b)) for line in standing_lines(r.formula, lead=name)]
    lines += [*_answers(a, b), ""]
    ordered = sorted(difference.lines, key=lambda line: line.addition)
    rows = [_row(("+ " if line.addition else "") + line.name, line.first, line.second, 1) for line in ordered]
    lines += _block("RECIPE  % of base", rows)
    if a.unity is not None and b.unity is not None:
        rows = _rows(a.unity, b.unity, difference.unity, 2)
        rows += [
            _row("SiO2:Al2O3", a.unity.silica_alumina_ratio, b.unity.silica_alumina_ratio, 1),
            _row("R2O", a.unity.r2o, b.unity.r2o, 2),
            _row("RO", a.unity.ro, b.unity.ro, 2),
        ]
        lines += ["", *_block("UNITY FORMULA", rows), *wrapped(f"{a.convention.description}.")]
    else:
        lines += ["", "UNITY FORMULA  not for both: a batch without flux has none"]
    rows = _rows(a.fired, b.fired, difference.fired_analysis_percent, 1)
    lines += ["", *_block("FIRED ANALYSIS  wt %", rows)]
    rows = [
        _row("loss on ignition, % of total", a.loi_percent_all_in, b.loi_percent_all_in, 1),
        _row("raw clay, % of total", a.raw_clay_percent, b.raw_clay_percent, 1),
        _row("soluble, % of total", a.soluble_percent, b.soluble_percent, 1),
    ]
    lines += ["", *_block("BATCH", rows), "", *_estimates(comparison), *_melt(comparison), "", *_cautions(a, b)]
    return "\n".join(lines)


def _firing(report: CheckReport) -> str:
    cone, body = heat_words(report.cone), (f"on {report.body.name}" if report.body else "")
    return ", ".join(filter(None, (cone, report.atmosphere, body)))


def _answers(a: CheckReport, b: CheckReport) -> list[str]:
    """Return the short answers that differ, both sides of each; alike are those with one code."""
    lines = ["IN SHORT  where the answers differ; see 'check' for each whole"]
    alike = []
    for left, right in zip(a.readings, b.readings, strict=True):
        if left.code == right.code:
            alike.append(left.about)
        else:
            lines += bullet(f"  {left.about}", f"A: {left.title}. B: {right.title}.", width=_LABEL)
    return [*lines, *wrapped(f"alike for both: {', '.join(alike)}")] if alike else lines


def _rows(a: Mapping[str, float], b: Mapping[str, float], oxides: Iterable[str], digits: int) -> list[list[str]]:
    """Return a row for each oxide that shows in one of the two; what is there in traces only, on both sides, is left to `check`."""
    seen = (oxide for oxide in oxides if max(a.get(oxide, 0.0), b.get(oxide, 0.0)) >= 10**-digits / 2)
    return [_row(oxide, a.get(oxide), b.get(oxide), digits) for oxide in seen]


def _row(label: str, left: float | None, right: float | None, digits: int) -> list[str]:
    cells = ["-" if not value else number(value, digits) for value in (left, right)]
    difference = (right or 0.0) - (left or 0.0)
    shown = f"{difference:+.{digits}f}"
    if not float(shown) and cells[0] != cells[1]:  # less than the last digit, but the printed digits show it
        shown = f"{difference:+.{digits + 1}f}"
        shown = shown if float(shown) else f"{shown[0]}<{10.0 ** -(digits + 1):.{digits + 1}f}"
    return [f"  {label}", *cells, shown if "<" in shown or float(shown) else "="]


def _block(head: str, rows: list[list[str]], *, left: tuple[int, ...] = (0,)) -> list[str]:
    # all blocks of the page stand in the same columns
    cells = [
        [first.ljust(40), *(cell.rjust(9) for cell in row[:3]), *row[3:]]
        for first, *row in [[head, "A", "B", "B - A"], *rows]
    ]
    return table(cells, left=left, indent=0)


def _estimates(comparison: Comparison) -> list[str]:
    differences, base = comparison.differences, comparison.without_colourants
    if not differences:
        return ["ESTIMATES", "  none for both"]
    lines = _difference_rows("ESTIMATES", differences)
    if any(d.first.corrected is not None for d in differences):
        lines += wrapped("In brackets Appen's value, corrected by measured glasses; its difference is the same.")
    if base:
        lines += ["", *_difference_rows("THE SAME WITHOUT COLOURING OXIDES", base)]
    return [*lines, *wrapped(star_note([*differences, *base]))]


def _difference_rows(head: str, differences: Sequence[EstimateDifference]) -> list[str]:
    rows = []
    for one in differences:
        at = one.temperature_range_c
        where = f" {at[0]:.0f} C" if one.quantity == "log viscosity" and at is not None else ""
        told, star = change(one)
        label = f"  {one.quantity}{where}, {one.model} [{unit_text(one.unit)}]{' ?' if one.outside else ''}"
        rows.append([label, value_of(one.first), value_of(one.second), told, star])
    cells = [
        [first.ljust(44), *(cell.rjust(9) for cell in row[:2]), *row[2:]]
        for first, *row in [[head, "A", "B", "B - A", ""], *rows]
    ]
    return table(cells, left=(0, 3, 4), indent=0)


def _melt(comparison: Comparison) -> list[str]:
    lines = []
    for one in comparison.differences:
        if one.quantity != "log viscosity" or one.model != "fitted" or one.temperature_range_c is None:
            continue
        at_c = one.temperature_range_c[0]
        firing = next(name for name, celsius in comparison.cone_temperatures_c.items() if celsius == at_c)
        words = {"up": "B melts stiffer than A", "down": "B melts runnier than A", "same": "both melt alike"}[way(one)]
        told, star = change(one)
        figures = told.partition(" ")[2]
        unsure = f", direction right {odds_in_words(one)}" if star.startswith("*") else f", {star}" if star else ""
        beside = "; ".join(f"{name}: {yardstick(melt.value)}" for name, melt in (("A", one.first), ("B", one.second)))
        lines += wrapped(
            f"At {firing}{'' if firing.endswith(' C') else f' ({at_c:.0f} C)'}: {words}{f' by {figures} log10 Pa s' if figures else ''}{unsure}. {beside}."
        )
    return lines


def _cautions(a: CheckReport, b: CheckReport) -> list[str]:
    codes_a, codes_b = {c.code for c in a.cautions}, {c.code for c in b.cautions}
    lines = ["CAUTIONS  for one of the two only; 'check' shows all"]
    for name, report, others in (("A", a, codes_b), ("B", b, codes_a)):
        only = [caution for caution in report.cautions if caution.code not in others]
        lines += caution_lines(only, lead=f"{name}  ", width=22, rest="'check' shows them")
    return lines if len(lines) > 1 else [*lines, "  none: both have the same cautions"]
