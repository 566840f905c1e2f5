"""The page of one's own firing results."""

from __future__ import annotations

from glazecalc.estimate.firings import FitRange
from glazecalc.plain_text import span_text
from glazecalc.show.table import table
from glazecalc.show.text import heading, rule, wrapped

__all__ = ("LAST", "page", "range_rows", "result_rows")

LAST = (
    "Thickness, cooling and an underfired body can also make a glaze craze or shiver. "
    "A shivered glaze sheds sharp flakes: keep such ware away from food."
)


def page(fit: FitRange) -> str:
    """Return the ranges on one body, the results in order, and where new glazes lie."""
    lines = [*heading(f"Fit on {fit.body}", f"expansion by the {fit.model} model, 1e-6 per K"), rule()]
    lines += table(result_rows(fit), left=(1, 2, 3, 4), wrap=(2, 4))
    lines += ["", *(f"  {what:12s}{where}" for what, where in range_rows(fit))]
    if fit.contradictions:
        lines += ["", "CONFLICTING RESULTS  kept as reported: check thickness, firing and the batch of clay"]
        for text in fit.contradictions:
            lines += wrapped(text)
    if fit.placed:
        lines += [
            "",
            "NEW",
            *table([[new.recipe, f"{new.expansion:.1f}", new.place] for new in fit.placed], left=(0, 2)),
        ]
    return "\n".join([*lines, "", *wrapped(LAST, indent=0)])


def result_rows(fit: FitRange) -> list[list[str]]:
    """Return the results in order of expansion, below the names of the columns."""
    heads = ["expansion", "result", "recipe", "cone", "note"]
    return [heads, *([f"{r.expansion:.1f}", r.result, r.recipe, r.cone, r.note] for r in fit.results)]


def range_rows(fit: FitRange) -> list[tuple[str, str]]:
    """Return what came of which expansions, and between which nothing is known."""
    shivered, crazed, none = fit.shivered_up_to, fit.crazed_from, "none so far"
    return [
        ("sound", span_text(*fit.good) if fit.good else none),
        ("shivered", f"up to {shivered:.1f}" if shivered is not None else none),
        ("crazed", f"from {crazed:.1f}" if crazed is not None else none),
        *(("unknown", span_text(low, high)) for low, high in fit.unknown),
    ]
