"""The page of a bucket: what to add first, then what is in it, then the list to weigh."""

from __future__ import annotations

from typing import Any

from glazecalc.caution.bench import short_cautions
from glazecalc.show import slurry as text_page
from glazecalc.show.html.sheet import card, slurry_sources
from glazecalc.show.sheet import BENCH, heads
from glazecalc.workshop.bucket import SlurryReport
from glazecalc.workshop.practice import basis

__all__ = ("page",)


def page(found: SlurryReport) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    bucket, to_weigh = found.bucket, found.to_weigh
    (where, volume, _), *inside = text_page.content_rows(found)
    return "slurry.html", {
        "title": (bucket.recipe.name if bucket is not None else "") or "Slurry",
        "line": " \u00b7 ".join([*(heads(to_weigh, "", "")[1:] if to_weigh is not None else []), f"{volume} {where}"]),
        "to_make": text_page.to_make(found),
        "adding": text_page.change_rows(found),
        "instead": text_page.instead(found),
        "stirring": text_page.stirred_in(found),
        "now": [
            *text_page.slurry_rows(found),
            (where, volume, ""),
            *((f" {name}", figure, said) for name, figure, said in inside),
        ],
        "card": None if to_weigh is None else card(to_weigh),
        "bench": BENCH,
        "cautions": short_cautions(found.materials) if found.materials else [],
        "sources": list(slurry_sources(to_weigh))
        if to_weigh is not None
        else [("dry glaze and water", basis("slurry"))],
    }
