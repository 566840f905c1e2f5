"""The page of what a batch costs: the sums first, then the lines with their shares, then what runs out and what to buy."""

from __future__ import annotations

from typing import Any

from glazecalc.show import cost as text_page
from glazecalc.show.html.drawing import bar
from glazecalc.workshop.cost import BatchCost

__all__ = ("page",)


def page(found: BatchCost) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    title, line = text_page.heading(found)
    heads, *rows = text_page.rows(found)
    shares = [line.share_percent for line in text_page.ordered(found)]
    most = max((share for share in shares if share is not None), default=0.0)
    return "cost.html", {
        "title": title,
        "line": line,
        "sums": text_page.sums(found),
        "not_included": "" if found.currency is None else text_page.NOT_INCLUDED,
        "heads": heads,
        "rows": [(row, bar(share / most) if share else None) for row, share in zip(rows, shares, strict=True)],
        "drawn": most > 0,
        "buying": text_page.buying(found),
        "sources": [
            *([("prices", "your price list")] if found.currency is not None else []),
            *([("stock", "your own list")] if found.has_stock else []),
            ("weights", "the recipe, brought to the size of the batch"),
        ],
    }
