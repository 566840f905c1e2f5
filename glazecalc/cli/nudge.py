"""``glazecalc nudge``: the smallest change of a batch for what is wanted of it."""

from __future__ import annotations

from typing import Literal

import click

from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import convention_option, materials_option, output_options
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials

__all__ = ("command",)


@click.command("nudge")
@click.argument("recipe")
@click.argument("wishes", nargs=-1, required=True)
@click.option("--also", multiple=True, metavar="NAME", help="A material that may come in; may repeat.")
@click.option("--fix", "fixed", multiple=True, metavar="NAME", help="A line that must not move; may repeat.")
@click.option("--keep", multiple=True, metavar="OXIDES", help='Oxides and sums to keep, e.g. "CaO,K2O+Na2O".')
@click.option(
    "--model", type=click.Choice(("fitted", "appen")), help="The model for a wish about expansion; fitted by default."
)
@materials_option
@convention_option
@output_options
def command(
    recipe: str,
    wishes: tuple[str, ...],
    also: tuple[str, ...],
    fixed: tuple[str, ...],
    keep: tuple[str, ...],
    model: Literal["fitted", "appen"] | None,
    materials: tuple[str, ...],
    convention: Convention,
    output: Output,
) -> None:
    """The smallest change of RECIPE that brings what you wish for, by the estimates.

    \b
    Example:  glazecalc nudge clear.txt "expansion down 0.4, ratio kept"
    Wishes:   expansion down 0.4 / softening 20 lower / alumina +0.05 / SiO2 to 3.6 / ratio kept /
              K2O+Na2O kept / kaolin +3 / cobalt carbonate -0.5 / less cobalt
    In words: less expansion / less crazing / melt more / stiffer / keep the colour

    Expansion in 1e-6 per K, softening temperature in C, oxides in moles per mole of flux, materials in parts. The base keeps
    its total, what is given to a line comes from the others in proportion, additions keep their amounts. A calculated
    change is a direction to test: fire it beside the old one.
    """
    from glazecalc.files.recipes import read_recipe
    from glazecalc.reformulate.nudge import nudge

    output.goes_to()
    written, library = read_recipe(recipe), load_materials(*materials)
    found = nudge(
        written, library, wishes, also=also, fixed=fixed, keep=keep, model=model or "fitted", convention=convention
    )
    if all(wish.kind != "expansion" for wish in found.wishes):
        goes_with("a wish for the expansion", model=model)
    reply(found, output=output, read=(recipe, *materials))
