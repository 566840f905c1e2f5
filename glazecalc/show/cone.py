"""The pages of `glazecalc cone`."""

from __future__ import annotations

from typing import Any

from glazecalc.cone_temperatures import celsius_to_fahrenheit, rate_c_per_h_to_f_per_h

__all__ = (
    "cone_page",
    "temperature_page",
)

_WHAT = {
    "self-supporting": "self-supporting", "large": "large", "small": "small (in the kiln sitter)", "seger": "Seger, nominal",
}  # fmt: skip


def _rate_text(rate: float | None) -> str:
    return "no rate" if rate is None else f"{rate:g} C/h ({rate_c_per_h_to_f_per_h(rate):g} F/h)"


def cone_page(rows: list[dict[str, Any]], asked: float | None) -> str:
    """Return the temperatures of one cone as plain text in 100 columns."""
    out = [f"cone {rows[0]['cone']}", "", f"  {'cones':<30}{'table':<10}{'rate, last 100 C':<22}{'C':>6}{'F':>7}"]
    for row in rows:
        mark = "  *" if row["from_memory"] else ""
        mark += "  between printed rates" if row["interpolated"] else ""
        mark += "  not at the rate asked for" if asked is not None and row["rate_c_per_h"] != asked else ""
        name = _WHAT.get(row["family"], row["family"])
        out.append(
            f"  {name:<30}{row['table']:<10}{_rate_text(row['rate_c_per_h']):<22}{row['celsius']:>6.0f}{row['fahrenheit']:>7.0f}{mark}"
        )
    out += ["", *_feet(rows)]
    return "\n".join(out)


def temperature_page(celsius: float, rows: list[dict[str, Any]]) -> str:
    """Return the cones around one temperature as plain text in 100 columns."""
    out = [f"{celsius:.0f} C, {celsius_to_fahrenheit(celsius):.0f} F, without a hold", ""]
    out.append(f"  {'cones':<30}{'table':<10}{'rate, last 100 C':<22}{'down':>12}{'standing':>14}")
    for row in rows:
        down = f"{row['down']} ({row['down_celsius']:.0f})" if row["down"] else "-"
        standing = f"{row['standing']} ({row['standing_celsius']:.0f})" if row["standing"] else "-"
        name = _WHAT.get(row["family"], row["family"])
        mark = "  *" if row["from_memory"] else ""
        out.append(f"  {name:<30}{row['table']:<10}{_rate_text(row['rate_c_per_h']):<22}{down:>12}{standing:>14}{mark}")
    out += ["", *_feet(rows)]
    return "\n".join(out)


def _feet(rows: list[dict[str, Any]]) -> list[str]:
    out = ["The rate is that of the last 100 C; a hold bends a cone further. The cone in the kiln decides."]
    if any(row["from_memory"] for row in rows):
        out.append("* the printed chart was recalled from memory, not read again.")
    return out
