"""``glazecalc substitute``: new batches without a material."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import convention_option, materials_option, output_options
from glazecalc.cli.reformulate_options import Keeping, NameLists, choice_options, keeping_options, with_shelves
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials

__all__ = ("command",)


@click.command("substitute", cls=NameLists)
@click.argument("recipe")
@choice_options
@keeping_options
@click.option("--free-colourants", is_flag=True, help="Let colourants and additions change too.")
@click.option("--full", is_flag=True, help="Show every answer in full.")
@materials_option
@convention_option
@output_options
def command(
    recipe: str,
    choices: dict[str, Any],
    keeping: Keeping,
    free_colourants: bool,
    full: bool,
    materials: tuple[str, ...],
    convention: Convention,
    output: Output,
) -> None:
    """Find batches that keep the unity formula of RECIPE without some of its materials.

    \b
    Example:  glazecalc substitute harbour-black.txt --without "potash feldspar" --also "soda feldspar"

    Without --also, --only and --stock the whole library is searched. Additions and colourants keep their amounts; the base
    keeps its total. Where no batch keeps the formula you get the nearest one, with what it misses and why.
    """
    from glazecalc.convert.batch import resolve
    from glazecalc.files.recipes import read_recipe
    from glazecalc.reformulate.substitute import substitute

    output.goes_to(save=keeping.save)
    library = load_materials(*materials)
    written = read_recipe(recipe)
    given = with_shelves(choices, library, own=resolve(written, library).materials)
    outcome = substitute(written, library, free_colourants=free_colourants, convention=convention, **given)
    read = (recipe, *materials, *(choices[name] for name in ("stock", "prices") if choices[name]))
    reply(outcome, output=output, writes=keeping.writes(outcome), read=read, options={"full": full})
