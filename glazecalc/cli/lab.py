"""``glazecalc lab``: laboratory results against the limits of each jurisdiction."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import output_options
from glazecalc.cli.quantities import AREA, LENGTH, VOLUME
from glazecalc.lab.limits import place_name, places
from glazecalc.release import WARES, WareKind

__all__ = ("command",)


if TYPE_CHECKING:
    _Choice = click.Choice[str]
else:  # a plain class in older releases of click
    _Choice = click.Choice


class _Place(_Choice):
    """A place whose texts are known, in any case and with a hyphen for a space."""

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        return super().convert(place_name(value), param, ctx)


_PLACES = _Place(tuple(places()))


def _size(_ctx: click.Context, _param: click.Parameter, size: float | None) -> Fraction | None:
    if size is None:
        return None
    if not size > 0:
        raise click.BadParameter(f"{size:g} was given; more than zero was expected.")
    return Fraction(str(size))  # as written: 2.8 is 28/10


@click.command("lab")
@click.argument("file", type=click.Path())
@click.option("--ware", required=True, type=click.Choice(WARES, case_sensitive=False), help="What was tested.")
@click.option(
    "--depth", type=LENGTH, callback=_size, metavar="18mm", help="From the lowest inner point to where it overflows."
)
@click.option("--area", type=AREA, callback=_size, metavar="2.8dm2", help="Surface that the acid wetted.")
@click.option("--volume", type=VOLUME, callback=_size, metavar="0.4l", help="Filling volume.")
@click.option("--where", multiple=True, type=_PLACES, help="Only the texts of this place; may repeat. All by default.")
@click.option("--full", is_flag=True, help="Class, sampling rule, conversion and source of every row.")
@output_options
def command(
    file: str,
    ware: WareKind,
    depth: Fraction | None,
    area: Fraction | None,
    volume: Fraction | None,
    where: tuple[str, ...],
    full: bool,
    output: Output,
) -> None:
    """Compare release results with the limits of each jurisdiction.

    \b
    FILE is CSV, one line a result:       element,value,unit,piece,extraction
                                          Pb,0.03,mg/dm2,1,1
                                          Cd,<0.005,mg/dm2,1,1
    The columns 'piece' and 'extraction' may be left out. The extraction counts the fillings with
    fresh acid, 1, 2 or 3: most texts read the first, ISO 6486-1:2019 the third.
    Units: mg/L ug/mL ppm mg/dm2 ug/dm2 ug/cm2 and their kin.

    \b
    Example:  glazecalc lab results.csv --ware plate --depth 18mm --area 2.8dm2 --volume 0.4l
    """
    from glazecalc.files.release_results import read_release_results
    from glazecalc.lab.report import lab_report
    from glazecalc.release import Ware

    output.goes_to()
    results, notices = read_release_results(file)
    tested = Ware(
        kind=ware,
        depth_mm=depth,
        area_dm2=None if area is None else area / 100,
        volume_l=None if volume is None else volume / 1000,
    )
    report = lab_report(results, tested, where=where)
    report = replace(report, notices=(*notices, *report.notices))
    reply(report, output=output, read=(file,), options={"of": Path(file).name, "full": full})
