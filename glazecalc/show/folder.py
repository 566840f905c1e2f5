"""The page of a whole folder: a row a recipe, what to settle first, and what could not be read."""

from __future__ import annotations

from glazecalc.files.csv_table import format_table
from glazecalc.folder_report import FITTED, FolderReport, FolderRow
from glazecalc.readings.reading import ABOUT
from glazecalc.recipe_collection import Reject
from glazecalc.show.table import table
from glazecalc.show.text import WIDTH, heading, number, rule, wrapped

__all__ = (
    "HEADS",
    "LAST",
    "cells",
    "counted",
    "figures_words",
    "folder_csv",
    "page",
    "reject_lines",
    "reject_words",
    "word_meanings",
)

_MOST_TOLD = 3  # faults of a file on the page; the file's own check tells them all
_NARROWEST = 9
_OTHER_MODEL = "*"
HEADS = ("recipe", "cone", "Si:Al", "exp.", *ABOUT)
LAST = "Calculated from the analyses of the materials: no verdict on any glaze. 'glazecalc check FILE' gives its page, with its notes."


def page(report: FolderReport) -> str:
    """Return the page: a table of the recipes, the meaning of its words, what is to be settled first, and the files that were not read."""
    lines = [*heading(report.folder, counted(report)), rule(), *_table(report), "", *_legend(report)]
    if stops := [row for row in report.rows if row.stops]:
        lines += ["", "SETTLE FIRST  glazecalc check FILE shows each whole"]
        lines += [line for row in stops for line in wrapped(f"{row.name}: {'; '.join(row.stops)}", hang=4)]
    if open_ones := [row for row in report.rows if row.asked]:
        lines += ["", "LEFT OPEN BY THE CARD"]
        lines += [line for row in open_ones for text in row.asked for line in wrapped(f"{row.name}: {text}", hang=4)]
    if report.rejects:
        lines += ["", "NOT READ"]
        lines += [line for reject in report.rejects for line in reject_lines(reject)]
    if report.left_aside:
        lines += [
            "",
            *wrapped(f"Left aside, no recipes by their names: {', '.join(report.left_aside)}.", indent=0, hang=2),
        ]
    return "\n".join([*lines, "", *wrapped(LAST, indent=0)])


def counted(report: FolderReport) -> str:
    """Return how many recipes there are, and how many files were not read."""
    missed = f", {len(report.rejects)} not read" if report.rejects else ""
    return f"{len(report.rows)} recipe{'s' if len(report.rows) != 1 else ''}{missed}"


def _table(report: FolderReport) -> list[str]:
    rows = [list(HEADS), *(cells(row) for row in report.rows)]
    left = (0, 1, *range(4, 4 + len(ABOUT)))
    for gap in (2, 1):
        lines = table(rows, left=left, indent=0, gap=gap, wrap=left, narrowest=_NARROWEST)
        if max(map(len, lines)) <= WIDTH:
            break
    return lines


def cells(row: FolderRow) -> list[str]:
    """Return the row of one recipe: name, cone, two figures, and the word of each short answer."""
    ratio, expansion = row.report.silica_alumina_ratio, row.expansion
    if expansion is not None and expansion.model == FITTED and expansion.low is None:
        expansion = None  # beyond every glass of the model: no figure of it has a known error
    outside = "?" if expansion is not None and not expansion.in_window else ""
    model = "" if expansion is None or expansion.model == FITTED else _OTHER_MODEL
    return [
        row.name,
        row.report.cone or "none",
        number(ratio, 1) if ratio is not None else "-",
        f"{number(expansion.value, 1)}{outside}{model}" if expansion is not None else "-",
        *(reading.word for reading in row.report.readings),
    ]


def _legend(report: FolderReport) -> list[str]:
    """Return what the words of the table mean, those that stand in it."""
    meant = word_meanings(report).items()
    return [
        *wrapped(figures_words(report), indent=0),
        *(line for about, said in meant for line in wrapped(f"{about:8s}{said}", hang=10)),
    ]


def word_meanings(report: FolderReport) -> dict[str, str]:
    """Return what the words of each short answer mean, those that stand in the table."""
    met = {(reading.about, reading.word): reading.title for row in report.rows for reading in row.report.readings}
    words = {
        about: [
            f"{word}: {title.lower()}"
            for (of, word), title in met.items()
            if of == about and word not in ("-", title.lower())
        ]
        for about in ABOUT
    }
    return {about: "; ".join(said) for about, said in words.items() if said}


def figures_words(report: FolderReport) -> str:
    """Return what the two columns of figures and their marks mean."""
    description = report.convention.description
    models = {row.expansion.model for row in report.rows if row.expansion is not None} - {FITTED}
    other = f", {_OTHER_MODEL} by {' or '.join(sorted(models))} where the fitted model has none" if models else ""
    return (
        f"Si:Al is SiO2:Al2O3 by moles ({description[0].lower()}{description[1:]}); exp. the fitted expansion in 1e-6 per K, "
        f"? outside the range it was tested on{other}; - cannot be told from a recipe, or is not judged."
    )


def reject_lines(reject: Reject) -> list[str]:
    """Return a file that was not read, or a row of a table, with the first of its faults."""
    told = (line for text in reject_words(reject) for line in wrapped(text, indent=4, hang=6))
    return [f"  {reject.name or reject.file}", *told]


def reject_words(reject: Reject) -> list[str]:
    """Return the first faults of a file that could not be read, and how many more there are."""
    places = (f"line {fault.line}: " if fault.line is not None else "" for fault in reject.faults)
    told = [f"{place}{fault.message} {fault.hint}".strip() for place, fault in zip(places, reject.faults, strict=True)]
    more = [f"and {len(told) - _MOST_TOLD} more"] if len(told) > _MOST_TOLD else []
    return [*told[:_MOST_TOLD], *more]


def folder_csv(report: FolderReport) -> str:
    """Return the table as CSV: a row a file, `reason` filled in where it was not read."""
    columns = (
        *("file", "name", "cone", "atmosphere", "use", "silica_alumina_ratio", "expansion_1e6_per_k", "expansion_model", "expansion_low", "expansion_high"),
        *(*ABOUT, "stop", "reason"),
    )  # fmt: skip
    rows = []
    for row in report.rows:
        found, e = row.report, row.expansion
        said = [row.file, row.name, found.cone, found.atmosphere, found.use, _figure(found.silica_alumina_ratio)]
        said += [_figure(e.value), e.model, _figure(e.low), _figure(e.high)] if e is not None else [""] * 4
        rows.append([*said, *(reading.code for reading in found.readings), "; ".join(row.stops), ""])
    blank = [""] * (len(columns) - 2)
    rows += [[reject.file, *blank, reject.reason] for reject in report.rejects]
    return format_table(columns, rows)


def _figure(value: float | None) -> str:
    return "" if value is None else repr(float(value))
