"""The page of a nudge: the wishes first, then the lines that move, then what else moves with them."""

from __future__ import annotations

from typing import Any

from glazecalc.reformulate.nudge import Nudge
from glazecalc.show import nudge as text_page
from glazecalc.show.effects import effect_note, effect_rows
from glazecalc.show.html.changes import cautions_of, leans, sources_of

__all__ = ("page",)


def page(nudge: Nudge) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    moved = text_page.moved(nudge)
    shares = [change / (nudge.unity_before[oxide] or change) for oxide, _, _, change in moved]
    return "nudge.html", {
        "title": nudge.recipe.name,
        "convention": nudge.convention.description,
        "wishes": text_page.wish_rows(nudge),
        "lines": text_page.line_rows(nudge),
        "totals": text_page.totals_words(nudge),
        "unity": [
            (oxide, before, now, f"{change:+.2f}", bar)
            for (oxide, before, now, change), bar in zip(moved, leans(shares), strict=True)
        ],
        "effects": effect_rows(nudge.effects),
        "effect_note": effect_note(nudge.effects),
        "cautions": cautions_of(nudge),
        "last": text_page.LAST,
        "sources": sources_of(nudge.materials, nudge.effects),
    }
