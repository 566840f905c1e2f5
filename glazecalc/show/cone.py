"""The page of `glazecalc cone`: the temperatures of one cone, or the cones around one temperature."""

from __future__ import annotations

from glazecalc.cone_temperatures import ConeTemperature
from glazecalc.show.table import table
from glazecalc.workshop.cone_lookup import ConeLookup, TemperatureLookup

__all__ = ("chart", "foot", "page")

_CONES = {"small": "small (in the kiln sitter)", "seger": "Seger, nominal"}


def page(found: ConeLookup | TemperatureLookup) -> str:
    """Return what the charts print as plain text in 100 columns."""
    head, rows = chart(found)
    return "\n".join([head, "", *table(rows, left=(0, 1, 2, 5)), "", *foot(found)])


def chart(found: ConeLookup | TemperatureLookup) -> tuple[str, list[list[str]]]:
    """Return what was asked, and a row for each chart below the names of the columns."""
    return _of_cone(found) if isinstance(found, ConeLookup) else _of_temperature(found)


def foot(found: ConeLookup | TemperatureLookup) -> list[str]:
    """Return what holds for every row, and what a star means where there is one."""
    said = ["The rate is that of the last 100 C; a hold bends a cone further. The cone in the kiln decides."]
    star = ["* recalled, not checked against the printed chart."]
    return said + star if any(row.from_memory for row in found.rows) else said


def _of_cone(found: ConeLookup) -> tuple[str, list[list[str]]]:
    rows = [["cones", "table", "rate, last 100 C", "C", "F", ""]]
    for row in found.rows:
        other_rate = found.rate_c_per_h is not None and row.rate_c_per_h != found.rate_c_per_h
        marks = ["*"] if row.from_memory else []
        marks += ["between printed rates"] if row.interpolated else []
        marks += ["not at the rate asked for"] if other_rate else []
        numbers = [f"{row.celsius:.0f}", f"{row.fahrenheit:.0f}"]
        rows.append([_cones(row.family), row.table, _rate(row), *numbers, "  ".join(marks)])
    return f"cone {found.cone}", rows


def _of_temperature(found: TemperatureLookup) -> tuple[str, list[list[str]]]:
    rows = [["cones", "table", "rate, last 100 C", "down", "standing", ""]]
    for row in found.rows:
        if row.printed is None:
            continue
        cones = [f"{x.cone.label} ({x.celsius:.0f})" if x is not None else "-" for x in (row.down, row.standing)]
        chart = [_cones(row.printed.family), row.printed.table, _rate(row.printed)]
        rows.append([*chart, *cones, "*" if row.from_memory else ""])
    return f"{found.celsius:.0f} C, {found.fahrenheit:.0f} F, without a hold", rows


def _cones(family: str) -> str:
    return _CONES.get(family, family)


def _rate(row: ConeTemperature) -> str:
    return "no rate" if row.rate_c_per_h is None else f"{row.rate_c_per_h:g} C/h ({row.rate_f_per_h:g} F/h)"
