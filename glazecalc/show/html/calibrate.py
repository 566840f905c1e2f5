"""The page of one's own firings on one body: what came out sound, and where a new glaze lies."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from glazecalc.estimate.expansion import model_source
from glazecalc.estimate.firings import FitRange
from glazecalc.firing import RESULTS
from glazecalc.show.calibrate import LAST, range_rows, result_rows
from glazecalc.show.html.drawing import lanes

__all__ = ("page",)

_MARKS = {"crazed": "cross", "sound": "ring", "shivered": "square"}


def page(fit: FitRange) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    heads, *rows = result_rows(fit)
    return "calibrate.html", {
        "title": f"Fit on {fit.body}",
        "line": f"expansion by the {fit.model} model, 1e-6 per K",
        "ranges": range_rows(fit),
        "placed": [[new.recipe, f"{new.expansion:.1f}", new.place] for new in fit.placed],
        "contradictions": fit.contradictions,
        "picture": _picture(fit),
        "heads": [heads[2], heads[0], heads[1], *heads[3:]],
        "rows": [[row[2], row[0], row[1], *row[3:]] for row in rows],
        "last": LAST,
        "sources": [
            (f"expansion ({fit.model})", model_source(fit.model)),
            ("results", "your own firings, as the file tells them"),
        ],
    }


def _picture(fit: FitRange) -> Markup:
    found = [(what, [one.expansion for one in fit.results if one.result == what], _MARKS[what]) for what in RESULTS]
    new = [("new", [one.expansion for one in fit.placed], "self")] if fit.placed else []
    told = "; ".join(f"{what} {where}" for what, where in range_rows(fit))
    return lanes([*found, *new], fit.good, f"Expansion in 1e-6 per K: {told}")
