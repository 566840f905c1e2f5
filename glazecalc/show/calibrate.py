"""The page of one's own firing results."""

from __future__ import annotations

from glazecalc.estimate.firings import FitRange
from glazecalc.show.table import table
from glazecalc.show.text import heading, rule, wrapped

__all__ = ("page",)


def page(fit: FitRange) -> str:
    """Return the ranges on one body, the results in order, and where new glazes lie."""
    lines = [*heading(f"Fit on {fit.body}", f"expansion by the {fit.model} model, 1e-6 per K"), rule()]
    rows = [["expansion", "result", "recipe", "cone", "note"]]
    rows += [[f"{r.expansion:.1f}", r.result, r.recipe, r.cone, r.note] for r in fit.results]
    lines += table(rows, left=(1, 2, 3, 4), wrap=(2, 4))
    lines.append("")
    lines.append(f"  sound       {fit.good[0]:.1f} to {fit.good[1]:.1f}" if fit.good else "  sound       none so far")
    lines.append(
        f"  shivered    up to {fit.shivered_up_to:.1f}"
        if fit.shivered_up_to is not None
        else "  shivered    none so far"
    )
    lines.append(
        f"  crazed      from {fit.crazed_from:.1f}" if fit.crazed_from is not None else "  crazed      none so far"
    )
    lines += [f"  unknown     {low:.1f} to {high:.1f}" for low, high in fit.unknown]
    if fit.contradictions:
        lines += ["", "CONTRADICTIONS  shown, not fitted away: look at thickness, firing and the clay's batch"]
        for text in fit.contradictions:
            lines += wrapped(text)
    if fit.placed:
        lines += ["", "NEW"]
        lines += table([[new.recipe, f"{new.expansion:.1f}", new.place] for new in fit.placed], left=(0, 2))
    lines += [
        "",
        *wrapped(
            "Thickness, cooling and an underfired clay craze and shiver too. Shivered glaze sheds shards: keep such ware from food.",
            indent=0,
        ),
    ]
    return "\n".join(lines)
