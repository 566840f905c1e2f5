"""The figures of trade practice and this program's own choices, from ``workshop_practice.yaml``."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

from glazecalc.files.shipped import load_data

__all__ = (
    "basis",
    "choice",
    "choice_basis",
    "clay_by_chart",
    "figure_givers",
    "practice",
    "sieve_opening_um",
    "usual_figures",
    "usual_gravities",
)


def practice(topic: str) -> dict[str, Any]:
    """Return one topic of the trade data, e.g. ``"coat"``: its figures with who says so."""
    found: dict[str, Any] = load_data("workshop_practice.yaml")[topic]
    return found


def basis(topic: str) -> str:
    """Return in one line what a topic of the trade data stands on."""
    return str(practice(topic)["source"])


def choice_basis(name: str) -> str:
    """Return in one line why this program draws a line where it does, or who drew it."""
    row = next(row for row in practice("choices")["rows"] if row["name"] == name)
    return str(row["source"]) if "source" in row else f"this program's own choice: {row['own_choice']}"


@cache
def _choices() -> Mapping[str, float]:
    return {row["name"]: float(row["value"]) for row in practice("choices")["rows"]}


def choice(name: str) -> float:
    """Return where this program draws a line, or what it takes where nothing is said; the unit is in the name."""
    return _choices()[name]


def usual_figures(topic: str) -> str:
    """Return usual figures (``"shrinkage_percent"``, ``"absorption_percent"``) with whose they are, in one line."""
    data = practice(topic)
    rows = "; ".join(
        f"{row['body']} {row['range'][0]:g} to {row['range'][1]:g} % ({row['who']}{', recalled' if row.get('from_memory') else ''})"
        for row in data["rows"]
    )
    return f"Usual figures: {rows}." + (f" {data['note'].capitalize()}." if data.get("note") else "")


def figure_givers(topic: str) -> str:
    """Return in one line who gives the usual figures of a topic; the data cites where."""
    rows, note = practice(topic)["rows"], practice(topic)["note"]
    return f"{', '.join(row['who'] for row in rows)}; {note}"


def usual_gravities() -> str:
    """Return the specific gravities that potters name for each way of glazing, in one line."""
    spans: dict[str, tuple[float, float]] = {}
    for row in practice("gravity")["rows"]:
        low, high = spans.get(row["use"], tuple(row["range"]))
        spans[row["use"]] = (min(low, row["range"][0]), max(high, row["range"][1]))
    return "Usual gravities: " + ", ".join(f"{use} {low:.2f} to {high:.2f}" for use, (low, high) in spans.items()) + "."


def sieve_opening_um(mesh: str) -> int | None:
    """Return the opening of a sieve [micrometre] of so many meshes per inch, or None where the table has it not."""
    found: int | None = practice("sieve")["opening_um"].get(mesh)
    return found


def clay_by_chart(piece: str, wet_mm: float) -> tuple[float, float, str, str]:
    """Return clay [g], width as thrown [mm], what they stand on and the source, for the piece of the chart nearest to `wet_mm` [mm]."""
    chart = practice("clay_weights")
    rows = [row for row in chart["rows"] if row["piece"] == piece]
    near = min(rows, key=lambda row: abs(math.log(row["inches"] * 25.4 / wet_mm)))
    basis = f"from {near['kg']:g} kg for {near['inches']:g} in as thrown, by {chart['who']}; {chart['note']}"
    return near["kg"] * 1000, near["inches"] * 25.4, basis, f"{basis}; {chart['source']}"
