"""The page of two recipes side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from glazecalc.caution.caution import Caution
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

__all__ = (
    "CORRECTED",
    "NO_FORMULA",
    "answers",
    "batch_rows",
    "cautions_of_one",
    "difference_rows",
    "fired_rows",
    "firing_words",
    "melt_words",
    "names",
    "page",
    "recipe_rows",
    "unity_rows",
)

CORRECTED = "In brackets Appen's value, corrected by measured glasses; its difference is the same."
NO_FORMULA = "not for both: a batch without flux has none"

_LABEL = 10  # columns of the word that a short answer is about


def page(comparison: Comparison) -> str:
    """Return the page that `compare` prints."""
    a, b = comparison.a, comparison.b
    name_a, name_b = names(comparison)
    lines = [
        *heading(f"A  {name_a}", firing_words(a)),
        *heading(f"B  {name_b}", firing_words(b)),
        rule(),
    ]
    lines += [line for name, r in (("A: ", a), ("B: ", b)) for line in standing_lines(r.formula, lead=name)]
    lines += [*_answers(a, b), ""]
    lines += _block("RECIPE  % of base", recipe_rows(comparison))
    if unity := unity_rows(comparison):
        lines += ["", *_block("UNITY FORMULA", unity), *wrapped(f"{a.convention.description}.")]
    else:
        lines += ["", f"UNITY FORMULA  {NO_FORMULA}"]
    lines += ["", *_block("FIRED ANALYSIS  wt %", fired_rows(comparison)), "", *_block("BATCH", batch_rows(comparison))]
    lines += ["", *_estimates(comparison), *_melt(comparison), "", *_cautions(a, b)]
    return "\n".join(lines)


def names(comparison: Comparison) -> tuple[str, str]:
    """Return what the two are called: by title, by file, or by their order."""
    first, second = comparison.a.batch.recipe, comparison.b.batch.recipe
    return first.name or first.path or "first", second.name or second.path or "second"


def recipe_rows(comparison: Comparison) -> list[list[str]]:
    """Return the materials, additions last: A, B [% of base] and their difference."""
    ordered = sorted(comparison.difference.lines, key=lambda line: line.addition)
    return [_row(("+ " if line.addition else "") + line.name, line.first, line.second, 1) for line in ordered]


def unity_rows(comparison: Comparison) -> list[list[str]]:
    """Return the oxides of the unity formulas, the ratio and the sums of the fluxes; nothing where one has none."""
    a, b = comparison.a.unity, comparison.b.unity
    if a is None or b is None:
        return []
    return [
        *_rows(a, b, comparison.difference.unity, 2),
        _row("SiO2:Al2O3", a.silica_alumina_ratio, b.silica_alumina_ratio, 1),
        _row("R2O", a.r2o, b.r2o, 2),
        _row("RO", a.ro, b.ro, 2),
    ]


def fired_rows(comparison: Comparison) -> list[list[str]]:
    """Return the oxides of the fired analyses [wt %]."""
    return _rows(comparison.a.fired, comparison.b.fired, comparison.difference.fired_analysis_percent, 1)


def batch_rows(comparison: Comparison) -> list[list[str]]:
    """Return loss, raw clay and what dissolves [% of the total]."""
    a, b = comparison.a, comparison.b
    return [
        _row("loss on ignition, % of total", a.loi_percent_all_in, b.loi_percent_all_in, 1),
        _row("raw clay, % of total", a.raw_clay_percent, b.raw_clay_percent, 1),
        _row("soluble, % of total", a.soluble_percent, b.soluble_percent, 1),
    ]


def firing_words(report: CheckReport) -> str:
    """Return cone, atmosphere and body, as far as they are given."""
    cone, body = heat_words(report.cone), (f"on {report.body.name}" if report.body else "")
    return ", ".join(filter(None, (cone, report.atmosphere, body)))


def answers(a: CheckReport, b: CheckReport) -> tuple[list[tuple[str, str, str]], list[str]]:
    """Return the short answers that differ, both sides of each, and what those with one code are about."""
    pairs = list(zip(a.readings, b.readings, strict=True))
    alike = [left.about for left, right in pairs if left.code == right.code]
    return [(left.about, left.title, right.title) for left, right in pairs if left.code != right.code], alike


def _answers(a: CheckReport, b: CheckReport) -> list[str]:
    lines = ["IN SHORT  where the answers differ; see 'check' for each whole"]
    differ, alike = answers(a, b)
    for about, left, right in differ:
        lines += bullet(f"  {about}", f"A: {left}. B: {right}.", width=_LABEL)
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
    return [label, *cells, shown if "<" in shown or float(shown) else "="]


def _block(head: str, rows: list[list[str]], *, left: tuple[int, ...] = (0,)) -> list[str]:
    # all blocks of the page stand in the same columns
    cells = [
        [first.ljust(40), *(cell.rjust(9) for cell in row[:3]), *row[3:]]
        for first, *row in [[head, "A", "B", "B - A"], *([f"  {first}", *row] for first, *row in rows)]
    ]
    return table(cells, left=left, indent=0)


def _estimates(comparison: Comparison) -> list[str]:
    differences, base = comparison.differences, comparison.without_colourants
    if not differences:
        return ["ESTIMATES", "  none for both"]
    lines = _difference_rows("ESTIMATES", differences)
    if any(d.first.corrected is not None for d in differences):
        lines += wrapped(CORRECTED)
    if base:
        lines += ["", *_difference_rows("THE SAME WITHOUT COLOURING OXIDES", base)]
    return [*lines, *wrapped(star_note([*differences, *base]))]


def difference_rows(differences: Sequence[EstimateDifference]) -> list[list[str]]:
    """Return the estimates of both, the difference in words and the star of an unsure direction."""
    rows = []
    for one in differences:
        at = one.temperature_range_c
        where = f" {at[0]:.0f} C" if one.quantity == "log viscosity" and at is not None else ""
        told, star = change(one)
        label = f"{one.quantity}{where}, {one.model} [{unit_text(one.unit)}]{' ?' if one.outside else ''}"
        rows.append([label, value_of(one.first), value_of(one.second), told, star])
    return rows


def _difference_rows(head: str, differences: Sequence[EstimateDifference]) -> list[str]:
    rows = ([f"  {label}", *row] for label, *row in difference_rows(differences))
    cells = [
        [first.ljust(44), *(cell.rjust(9) for cell in row[:2]), *row[2:]]
        for first, *row in [[head, "A", "B", "B - A", ""], *rows]
    ]
    return table(cells, left=(0, 3, 4), indent=0)


def _melt(comparison: Comparison) -> list[str]:
    return [line for text in melt_words(comparison) for line in wrapped(text)]


def melt_words(comparison: Comparison) -> list[str]:
    """Return at each firing which of the two melts stiffer, by how much, and where both lie among fired glazes."""
    said = []
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
        said.append(
            f"At {firing}{'' if firing.endswith(' C') else f' ({at_c:.0f} C)'}: {words}{f' by {figures} log10 Pa s' if figures else ''}{unsure}. {beside}."
        )
    return said


def cautions_of_one(a: CheckReport, b: CheckReport) -> tuple[list[Caution], list[Caution]]:
    """Return the cautions that A has and B has not, and the other way round."""
    codes_a, codes_b = {c.code for c in a.cautions}, {c.code for c in b.cautions}
    return [c for c in a.cautions if c.code not in codes_b], [c for c in b.cautions if c.code not in codes_a]


def _cautions(a: CheckReport, b: CheckReport) -> list[str]:
    lines = ["CAUTIONS  for one of the two only; 'check' shows all"]
    for name, only in zip("AB", cautions_of_one(a, b), strict=True):
        lines += caution_lines(only, lead=f"{name}  ", width=22, rest="'check' shows them")
    return lines if len(lines) > 1 else [*lines, "  none: both have the same cautions"]
