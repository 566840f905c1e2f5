"""The page of `glazecalc size`."""

from __future__ import annotations

import textwrap
from typing import Any

from glazecalc.amounts import inches_text
from glazecalc.files.shipped import load_data

__all__ = (
    "size_page",
    "usual_figures",
)


def usual_figures(what: str) -> str:
    """Return what others measured, in one line, from the trade data."""
    data = load_data("workshop_practice.yaml")[what]
    rows = "; ".join(
        f"{row['body']} {row['range'][0]:g} to {row['range'][1]:g} % ({row.get('source', 'from memory')})"
        for row in data["rows"]
    )
    return f"Others measured: {rows}." + (f" {data['note'].capitalize()}." if data.get("note") else "")


def _line(name: str, value: float | None, found: dict[str, Any] | None, basis: str) -> str | None:
    if value is None:
        return None
    text = f"{name:<20}{value:6.2f} %   {basis}"
    if found and found["count"] > 1:
        text += (
            f"; {found['count']} bars, {found['low']:.2f} to {found['high']:.2f}, deviation {found['deviation']:.2f}"
        )
    return text


def size_page(result: dict[str, Any], given: dict[str, Any]) -> str:
    """Return shrinkages, sizes, clay and absorption as plain text in 100 columns."""
    out: list[str | None] = []
    if result["total_percent"] is not None:
        out += [
            _line("drying shrinkage", result["drying_percent"], result["drying_spread"], "of the plastic length"),
            _line("firing shrinkage", result["firing_percent"], result["firing_spread"], "of the dry length"),
            _line("total shrinkage", result["total_percent"], result["total_spread"], "of the plastic length"),
        ]
        if 0 < result["bars"] < 10:
            out.append("ASTM C326 measures at least ten bars; one or two tell little of the spread.")
    if result["wet_mm"] is not None:
        out += ["", f"{'':<14}{'mm':>8}   inches"]
        for stage in ("wet", "dry", "fired"):
            if result[f"{stage}_mm"] is not None:
                name = {"wet": "throw", "dry": "bone dry", "fired": "fired"}[stage]
                out.append(f"{name:<14}{result[f'{stage}_mm']:>8.1f}   {result[f'{stage}_inches']}")
        if result["wet_low_mm"] is not None:
            out.append(
                f"An error of {given['bar_error'] or 0.5:g} on the fired bar moves the thrown size between {result['wet_low_mm']:.0f} "
                f"and {result['wet_high_mm']:.0f} mm ({inches_text(result['wet_low_mm'])} to {inches_text(result['wet_high_mm'])} in)."
            )
        if result["bars"] > 1:
            low, high = result["fired_spread_mm"]
            out.append(
                f"Thrown alike, pieces that shrink as these bars did come out between {low:.0f} and {high:.0f} mm."
            )
        if result["wet_tolerance_mm"] is not None:
            if result["bars"] > 1 and high - low > 2 * given["tolerance"]:
                out.append(
                    "The bars alone differ by more than the tolerance allows: measure more of them, or widen it."
                )
            out.append(
                f"+-{given['tolerance']:.1f} mm on the fired size is +-{result['wet_tolerance_mm']:.1f} mm at the wheel."
            )
    if result["clay_g"] is not None:
        law = (
            "size squared: the same wall thickness"
            if result["clay_law"] == "thickness"
            else "size cubed: the same shape, the wall grows with it"
        )
        out += ["", f"clay          {result['clay_g']:>8.0f} g   {result['clay_text']}    by {law}"]
        if result["clay_source"]:
            out += textwrap.wrap(result["clay_source"], 98)
    if result["absorption_percent"] is not None:
        found = result["absorption_spread"]
        over = f"; {found['count']} pieces, {found['low']:.2f} to {found['high']:.2f}" if found["count"] > 1 else ""
        out += ["", f"water absorption    {result['absorption_percent']:6.2f} %   of the dry weight{over}"]
        out.append("ASTM C373 boils for 5 h and soaks for 24 h; a shorter boil reads low.")
        out += textwrap.wrap(usual_figures("absorption_percent"), 98)
    return "\n".join(line for line in out if line is not None).lstrip("\n")
