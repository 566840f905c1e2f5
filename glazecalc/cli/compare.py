"""``glazecalc compare``: two recipes side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import (
    cone_option,
    convention_option,
    materials_option,
    output_options,
    use_option,
)
from glazecalc.cli.pictures import drawn, plot_option
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.recipe import Use

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from glazecalc.comparison import Comparison

__all__ = ("command",)


@click.command("compare")
@click.argument("first")
@click.argument("second")
@materials_option
@convention_option
@click.option("--body", metavar="FILE", help="The clay body of both, a YAML file.")
@cone_option
@use_option
@plot_option
@output_options
def command(
    first: str,
    second: str,
    materials: tuple[str, ...],
    convention: Convention,
    body: str | None,
    cone: str,
    use: Use | None,
    plot_file: str | None,
    output: Output,
) -> None:
    """Show two recipes side by side with their differences, second minus first.

    \b
    Example:  glazecalc compare harbour-black.txt harbour-black-2.txt --cone 6
    """
    from glazecalc.comparison import compare

    output.goes_to(plot=plot_file)
    clay = None
    if body is not None:
        from glazecalc.files.bodies import read_body

        clay = read_body(body)
    library = load_materials(*materials)
    found = compare(
        read_recipe(first), read_recipe(second), library, body=clay, cone=cone, use=use or "", convention=convention
    )
    writes, told = drawn(plot_file, lambda: _sheet(found))
    read = (first, second, *materials, *([body] if body is not None else []))
    reply(found, output=output, written=told, writes=writes, read=read)


def _sheet(found: Comparison) -> Figure:
    from glazecalc.plot.sheets import compare_sheet

    return compare_sheet(found)
