"""``glazecalc blend``: a line blend, a triaxial or a progression, weighed dry or measured wet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import Renamed, convention_option, materials_option, output_options
from glazecalc.cli.pictures import drawn, plot_option
from glazecalc.cli.quantities import MASS, NUMBER
from glazecalc.cli.reformulate_options import NAMED_RANGE
from glazecalc.convention import Convention
from glazecalc.errors import Notice
from glazecalc.files.materials import load_materials

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from glazecalc.reformulate.series import Series

__all__ = ("command",)


@click.command("blend")
@click.argument("recipes", nargs=-1, required=True)
@click.option(
    "--side", type=click.IntRange(2), default=5, show_default=True, help="Tiles along the line, or along each side."
)
@click.option(
    "--rise", multiple=True, type=NAMED_RANGE, help="An addition that rises step by step, in % of the base; may repeat."
)
@click.option(
    "--tile", type=MASS, default="100g", show_default=True, help="Dry glaze for each tile; with --rise, its base."
)
@click.option("--step", type=MASS, default="0.1g", show_default=True, help="Step of your scale.")
@click.option(
    "--sg",
    cls=Renamed,
    was="--gravity",
    type=NUMBER,
    multiple=True,
    help="Specific gravity of each slurry, in order, to blend wet; may repeat.",
)
@click.option(
    "--solids-density",
    cls=Renamed,
    was="--density",
    type=NUMBER,
    help="Density of the dry powder, g/cm3; else from the materials.",
)
@click.option("--csv", "csv_file", metavar="FILE", help="Write the plan as CSV for a spreadsheet.")
@plot_option
@materials_option
@convention_option
@output_options
def command(
    recipes: tuple[str, ...],
    side: int,
    rise: tuple[tuple[str, tuple[float, float]], ...],
    tile: float,
    step: float,
    sg: tuple[float, ...],
    solids_density: float | None,
    csv_file: str | None,
    plot_file: str | None,
    materials: tuple[str, ...],
    convention: Convention,
    output: Output,
) -> None:
    """A numbered plan of test tiles: two RECIPES make a line blend, three a triaxial, one with --rise a progression.

    \b
    Example:  glazecalc blend clear.txt black.txt --side 5 --tile 100g
              glazecalc blend clear.txt --rise "cobalt carbonate=0..2" --side 5
              glazecalc blend clear.txt black.txt --sg 1.45 --sg 1.55

    Shares are by dry weight. With --sg you blend slurries: the volumes are chosen so that the dry shares are right.
    """
    from glazecalc.files.recipes import read_recipe
    from glazecalc.reformulate.blend import blend

    output.goes_to(csv=csv_file, plot=plot_file)
    if not sg:
        goes_with("--sg", solids_density=solids_density)
    series = blend(
        [read_recipe(path) for path in recipes],
        load_materials(*materials),
        side=side,
        rising=dict(rise) or None,
        tile_g=tile,
        step_g=step,
        specific_gravities=sg,
        solids_density_g_cm3=solids_density,
        convention=convention,
    )
    writes, told = drawn(plot_file, lambda: _sheet(series))
    written = [*told]
    if csv_file is not None:
        from glazecalc.show.blend import series_csv

        writes.append((csv_file, series_csv(series)))
        written.append(Notice("plan-written", f"the plan is in {csv_file}."))
    reply(series, output=output, written=written, writes=writes, read=(*recipes, *materials))


def _sheet(series: Series) -> Figure:
    from glazecalc.plot.sheets import blend_sheet

    return blend_sheet(series)
