"""The page of release results: for each element what each text says, what was not applied and why, what else the law asks."""

from __future__ import annotations

from typing import Any

from glazecalc.lab.limits import status_words
from glazecalc.lab.report import LabReport, LabRow
from glazecalc.release import ELEMENTS
from glazecalc.show import lab as text_page

__all__ = ("page",)


def page(report: LabReport, *, of: str = "", full: bool = False) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts; `of` names the file or the piece, `full` adds the rows that say no more."""
    elements = dict.fromkeys(row.element for row in report.rows)
    compared = {element: text_page.compared_rows(report, element, full=full) for element in elements}
    cited = {f"{row.jurisdiction}, {row.document}": row.source for rows in compared.values() for row in rows}
    return "lab.html", {
        "title": f"Release results{f' of {of}' if of else ''}",
        "line": text_page.ware_words(report),
        "elements": [
            {
                "name": f"{ELEMENTS[element].capitalize()} ({element})",
                "measured": text_page.measured_words(report, element),
                "over": [row.short_name for row in rows if row.standing == "over"],
                "rows": [_row(row) for row in rows],
                "notes": [(row.short_name, f"{row.document}. {row.note}.") for row in rows],
            }
            for element, rows in compared.items()
        ],
        "not_applied": text_page.not_applied(report),
        "beside": text_page.beside_words(report),
        "duties": report.duties,
        "full": full,
        "sources": list(cited.items()),
    }


def _row(row: LabRow) -> dict[str, str]:
    return {
        "text": row.short_name,
        "status": status_words()[row.legal_status],
        "limit": f"{row.limit:g} {row.unit}{'*' if row.recalled else ''}",
        "measured": row.measured_text,
        "standing": text_page.standing_words(row),
        "is_over": "over" if row.standing == "over" else "",
    }
