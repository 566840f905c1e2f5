"""The page of a series of tiles: where each stands, what to weigh for it, what is calculated of it, the cautions whole."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from glazecalc.caution.caution import Caution
from glazecalc.reformulate.series import Series
from glazecalc.show import blend as text_page
from glazecalc.show.html.drawing import numbered
from glazecalc.show.html.sources import MOLAR_MASSES, of_estimates

__all__ = ("page",)


def page(series: Series) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    title, tiles = text_page.head(series)
    kind, _, corners = title.partition(": ")
    calculated, models = text_page.calculated_rows(series)
    estimates = [one for tile in series.tiles for one in tile.estimates]
    below = (
        ["? outside the tested range of its model. Expansion in 1e-6 per K."]
        if any(not e.in_window for e in estimates)
        else []
    )
    below += [text_page.BRACKETS] if any(one.corrected is not None for one in estimates) else []
    ways, note = text_page.way_rows(series)
    rising = series.kind == "rising"
    return "blend.html", {
        "title": kind,
        "line": corners,
        "tiles": tiles,
        "ends": "" if rising else _ends(series),
        "picture": None if rising else _picture(series),
        "codes": [[str(tile.number), tile.code] for tile in series.tiles] if rising else [],
        "mixing": [] if rising else text_page.mixing_rows(series),
        "needed": [] if rising else text_page.needed_words(series),
        "weights": text_page.weight_rows(series),
        "fine": text_page.fine_scale_words(series),
        "coarse": text_page.coarse_words(series),
        "calculated": calculated,
        "left": [] if rising else [1],
        "models": models,
        "below": below,
        "ways": ways,
        "note": note,
        "convention": series.convention.description,
        "cautions": [(which, _told(by_tile)) for which, by_tile in text_page.caution_tiles(series.tiles)],
        "sources": [MOLAR_MASSES, *of_estimates(estimates)],
    }


def _told(by_tile: Mapping[int, Caution]) -> dict[str, Any]:
    """Return one caution of several tiles: each message of lead and cadmium, else that of the first tile for all of them."""
    first = next(iter(by_tile.values()))
    shown = by_tile if first.never_folded else dict(list(by_tile.items())[:1])
    alone = len({caution.message for caution in by_tile.values()}) == 1
    messages = [c.message if alone else f"Tile {number}: {c.message}" for number, c in shown.items()]
    return {"caution": first, "messages": list(dict.fromkeys(messages))}


def _picture(series: Series) -> Markup:
    """Return where each tile stands between the end recipes: along a line, or in a triangle with the first at its top."""
    if series.kind == "line":
        spots = [(tile.shares[1], 0.0) for tile in series.tiles]
    else:
        spots = [(tile.shares[0] / 2 + tile.shares[2], 1 - tile.shares[0]) for tile in series.tiles]
    return numbered(spots, f"{len(spots)} tiles between {', '.join(series.corners)}")


def _ends(series: Series) -> str:
    """Return which tiles are the end recipes."""
    whole = {tile.shares.index(1.0): tile.number for tile in series.tiles if max(tile.shares) == 1.0}
    return "; ".join(f"{whole[at]}: {name}" for at, name in enumerate(series.corners) if at in whole)
