"""The page of a cone's temperatures, or of the cones around one temperature."""

from __future__ import annotations

from typing import Any

from glazecalc.show.cone import chart, foot
from glazecalc.workshop.cone_lookup import ConeLookup, TemperatureLookup

__all__ = ("page",)

_SOURCE = (
    "the makers' printed charts of temperature equivalents, current and older editions, and Seger's table of 1908, kept apart; "
    "the command line names the chart of each row with --json"
)


def page(found: ConeLookup | TemperatureLookup) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    head, (heads, *rows) = chart(found)
    if isinstance(found, TemperatureLookup):
        head = f"{found.celsius:.0f} °C, {found.fahrenheit:.0f} °F, without a hold"
    return "table.html", {
        "title": f"{head[0].upper()}{head[1:]}",
        "line": "",
        "lead": "",
        "tables": [
            {
                "caption": "",
                "heads": [f"°{x}" if x in ("C", "F") else x for x in heads],
                "rows": rows,
                "left": [1, 2, 5],
            }
        ],
        "below": foot(found),
        "sources": [("temperatures", _SOURCE)],
    }
