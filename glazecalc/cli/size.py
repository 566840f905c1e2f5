"""`glazecalc size`: shrinkage from bars, how large to throw, clay for another size, water absorption."""

from __future__ import annotations

from typing import Literal

import click

from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import Renamed, output_options
from glazecalc.cli.quantities import LENGTH, MASS, NUMBER, PERCENT, QuantityType, read_number
from glazecalc.errors import UnitError
from glazecalc.units import parse_quantity
from glazecalc.workshop.shrinkage import Bar
from glazecalc.workshop.size import ClayLaw, size

__all__ = ("command",)


def _bar_length(text: str) -> float:
    try:
        return read_number(text)
    except UnitError:
        return parse_quantity(text, "length").base


def _bar(text: str) -> Bar:
    lengths = [read_number(word) for word in text.replace(";", " ").split()]
    if len(lengths) not in (2, 3):
        raise UnitError(f"'{text}': wet, dry and fired length, or wet and fired, were expected.")
    return Bar(wet=lengths[0], dry=lengths[1] if len(lengths) == 3 else None, fired=lengths[-1])


def _two_masses(text: str) -> tuple[float, float]:
    words = text.split()
    if len(words) == 4:
        words = [f"{words[0]} {words[1]}", f"{words[2]} {words[3]}"]
    if len(words) != 2:
        raise UnitError(f"'{text}': the dry and the boiled weight were expected.", 'Write it like "210.4g 214.6g".')
    dry, boiled = (parse_quantity(word, "mass", bare_unit="g").base for word in words)
    return dry, boiled


_BAR_LENGTH = QuantityType("number or length", _bar_length)


@click.command(short_help="Shrinkage, how large to throw, clay weight, absorption.")
@click.option("--wet", type=_BAR_LENGTH, help="Wet (plastic) length of a marked bar, in any one unit.")
@click.option("--dry", type=_BAR_LENGTH, help="Its dry length.")
@click.option("--fired", type=_BAR_LENGTH, help="Its fired length.")
@click.option(
    "--bar",
    "bars",
    multiple=True,
    type=QuantityType("wet, dry and fired length", _bar),
    metavar='"WET DRY FIRED"',
    help='Several bars: --bar "100 93.5 87.6", repeated.',
)
@click.option("--shrinkage", type=PERCENT, help="Total shrinkage in place of bars: 12.4%.")
@click.option("--want", type=LENGTH, help="Fired size wanted: 9in, 230mm, 9 1/2in.")
@click.option("--thrown", type=LENGTH, help="Size as thrown, to see what it becomes: 10in.")
@click.option(
    "--bar-error",
    type=NUMBER,
    default=None,
    help="How far the fired length may be misread, in the unit of the bar [default: 0.5].",
)
@click.option(
    "--tolerance", type=LENGTH, help="How far fired pieces of a set may differ from the size wanted, either way: 3mm."
)
@click.option(
    "--clay-mass", cls=Renamed, was="--clay", type=MASS, help='Clay weight of a piece you liked: "2 lb 12 oz", 1.25kg.'
)
@click.option("--clay-size", type=LENGTH, help="Fired size of that piece: 9in.")
@click.option(
    "--piece",
    type=click.Choice(["plate", "bowl"]),
    help="Without a piece of your own: clay weight from a published chart.",
)
@click.option(
    "--clay-law",
    type=click.Choice(["thickness", "shape"]),
    help="Keep the wall thickness (weight goes with size squared, the default) or the whole shape (size cubed).",
)
@click.option(
    "--absorption",
    "absorbed",
    multiple=True,
    type=QuantityType("two weights", _two_masses),
    metavar='"DRY BOILED"',
    help='Weights dry and boiled: --absorption "210.4g 214.6g", repeated.',
)
@output_options
def command(
    wet: float | None,
    dry: float | None,
    fired: float | None,
    bars: tuple[Bar, ...],
    shrinkage: float | None,
    want: float | None,
    thrown: float | None,
    bar_error: float | None,
    tolerance: float | None,
    clay_mass: float | None,
    clay_size: float | None,
    piece: Literal["plate", "bowl"] | None,
    clay_law: ClayLaw | None,
    absorbed: tuple[tuple[float, float], ...],
    output: Output,
) -> None:
    """Work out sizes: shrinkage from marked bars, the size to throw for a fired size, and the clay for it.

    Drying and total shrinkage are of the plastic length (ASTM C326), firing shrinkage of the dry length; they do not add.

    \b
    Examples:  glazecalc size --wet 100 --dry 93.5 --fired 87.6 --want 9in
               glazecalc size --shrinkage 12% --want 11in --clay-mass "2 lb 12 oz" --clay-size 9in
    """
    output.goes_to()
    if wet is not None or dry is not None or fired is not None:
        if wet is None or fired is None:
            raise click.UsageError("a bar needs its wet and its fired length: --wet 100 --fired 87.6 (and --dry 93.5).")
        bars = (Bar(wet=wet, dry=dry, fired=fired), *bars)
    if not bars or want is None:
        goes_with("a bar and --want", bar_error=bar_error)
    if want is None and thrown is None:
        goes_with("--want or --thrown", tolerance=tolerance)
    if clay_mass is None and clay_size is None and piece is None:
        goes_with("--clay-mass and --clay-size, or --piece", clay_law=clay_law)
    found = size(
        bars=bars,
        shrinkage_percent=shrinkage,
        want_mm=want,
        thrown_mm=thrown,
        bar_error=bar_error,
        tolerance_mm=tolerance,
        clay_g=clay_mass,
        clay_size_mm=clay_size,
        clay_law=clay_law or "thickness",
        piece=piece,
        absorbed_g=absorbed,
    )
    reply(found, output=output)
