"""The page of a folder of recipes: a row a recipe, what to settle first, and what could not be read."""

from __future__ import annotations

from typing import Any

from glazecalc.folder_report import FolderReport
from glazecalc.show import folder as text_page

__all__ = ("page",)


def page(report: FolderReport) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    return "folder.html", {
        "title": report.folder,
        "line": text_page.counted(report),
        "heads": text_page.HEADS,
        "rows": [text_page.cells(row) for row in report.rows],
        "left": [1, *range(4, len(text_page.HEADS))],
        "stops": [(row.name, "; ".join(row.stops)) for row in report.rows if row.stops],
        "asked": [(row.name, text) for row in report.rows for text in row.asked],
        "rejects": [(reject.name or reject.file, text_page.reject_words(reject)) for reject in report.rejects],
        "left_aside": report.left_aside,
        "figures": text_page.figures_words(report),
        "meanings": text_page.word_meanings(report),
        "last": text_page.LAST,
    }
