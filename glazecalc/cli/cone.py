"""`glazecalc cone`: temperature for a cone, cone for a temperature."""

from __future__ import annotations

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import output_options
from glazecalc.cli.quantities import HEATING_RATE
from glazecalc.errors import UnitError
from glazecalc.units import parse_quantity
from glazecalc.workshop.cone_lookup import ConeLookup, TemperatureLookup, look_up_cone, look_up_temperature

__all__ = ("command",)


@click.command(short_help="Temperature for a cone, or cone for a temperature.")
@click.argument("what", nargs=-1, required=True, metavar="CONE|TEMPERATURE")
@click.option(
    "--rate", type=HEATING_RATE, help="Heating rate over the last 100 C: 60C/h or 108F/h [default: every printed rate]."
)
@click.option("--family", metavar="NAME", help="One kind of cone: self-supporting, large, small, seger [default: all].")
@output_options
def command(what: tuple[str, ...], rate: float | None, family: str | None, output: Output) -> None:
    """Look up a cone in the printed charts, or the cones that a temperature lies between.

    A cone measures heat-work: its temperature is true for one heating rate over the last 100 C. Current and older charts are
    listed separately. A cone keeps its zero: 06 is not 6.

    \b
    Examples:  glazecalc cone 6 --rate 60C/h
               glazecalc cone 1222C --rate 60C/h
    """
    output.goes_to()
    text = " ".join(what).strip()
    found: ConeLookup | TemperatureLookup
    try:
        celsius = parse_quantity(text, "temperature").base
    except UnitError:
        found = look_up_cone(text, rate_c_per_h=rate, family=family)
    else:
        found = look_up_temperature(celsius, rate_c_per_h=rate, family=family)
    reply(found, output=output)
