"""`glazecalc cone`: temperature for a cone, cone for a temperature."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.cli.options import echo_json, json_option
from glazecalc.cli.quantities import HEATING_RATE
from glazecalc.cone_temperatures import celsius_to_fahrenheit, cone_families, cone_rows, cones_for_temperature
from glazecalc.errors import ConeError, UnitError
from glazecalc.show.cone import cone_page, temperature_page
from glazecalc.units import parse_quantity

__all__ = ("command",)


@click.command(short_help="Temperature for a cone, or cone for a temperature.")
@click.argument("what", nargs=-1, required=True, metavar="CONE|TEMPERATURE")
@click.option(
    "--rate", type=HEATING_RATE, help="Heating rate over the last 100 C: 60C/h or 108F/h [default: every printed rate]."
)
@click.option("--family", metavar="NAME", help="One kind of cone: self-supporting, large, small, seger [default: all].")
@json_option
def command(what: tuple[str, ...], rate: float | None, family: str | None, as_json: bool) -> None:
    """Look up a cone in the printed charts, or the cones that a temperature lies between.

    A cone measures heat-work: the temperature holds for one heating rate over the last 100 C. The current and the older
    charts are kept apart. A cone keeps its zero: 06 is not 6.

    \b
    Examples:  glazecalc cone 6 --rate 60C/h
               glazecalc cone 1222C --rate 60C/h
    """
    text = " ".join(what).strip()
    celsius = _temperature(text)
    families = _families(family)
    if celsius is None:
        rows = [row for row in cone_rows(text, rate_c_per_h=rate) if row["family"] in families]
        if not rows:
            raise ConeError(f"no chart of the family {family!r} prints cone {text}.")
        if as_json:
            echo_json({"cone": rows[0]["cone"], "rate_c_per_h": rate, "rows": rows})
        else:
            click.echo(cone_page(rows, rate))
        return
    around = _rows_around(celsius, rate, families)
    if as_json:
        echo_json(
            {"celsius": celsius, "fahrenheit": celsius_to_fahrenheit(celsius), "rate_c_per_h": rate, "rows": around}
        )
    else:
        click.echo(temperature_page(celsius, around))


def _temperature(text: str) -> float | None:
    try:
        return parse_quantity(text, "temperature").base
    except UnitError:
        return None


def _families(family: str | None) -> set[str]:
    known = dict.fromkeys(name for name, _ in cone_families())
    if family is None:
        return set(known)
    fits = {name for name in known if name == family or name.startswith(f"{family} ")}
    if not fits:
        raise click.BadParameter(
            f"no family of cones is called {family!r}. Known: {', '.join(known)}.", param_hint="'--family'"
        )
    return fits


def _rows_around(celsius: float, rate: float | None, families: set[str]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for family, table in cone_families():
        if family not in families:
            continue
        try:
            found = cones_for_temperature(celsius, family=family, table=table, rate_c_per_h=rate)
        except ConeError:  # a chart without this rate answers at its own
            found = cones_for_temperature(celsius, family=family, table=table)
        ends = [end for end in (found.down, found.standing) if end is not None]
        if not ends:
            continue
        rows.append(
            {
                "family": family,
                "table": table,
                "rate_c_per_h": ends[0].rate_c_per_h,
                "down": found.down.cone.label if found.down else None,
                "down_celsius": found.down.celsius if found.down else None,
                "standing": found.standing.cone.label if found.standing else None,
                "standing_celsius": found.standing.celsius if found.standing else None,
                "from_memory": any(end.from_memory for end in ends),
                "source": ends[0].source,
            }
        )
    return rows
