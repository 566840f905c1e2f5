"""``glazecalc substitute``: new batches without a material."""

from __future__ import annotations

from functools import partial
from typing import Any

import click

from glazecalc.cli.call import reply
from glazecalc.cli.options import convention_option, json_option, materials_option
from glazecalc.cli.reformulate_options import Keeping, NameLists, choice_options, keeping_options, with_shelves
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials
from glazecalc.show import pages

__all__ = ("command",)


@click.command("substitute", cls=NameLists)
@click.argument("recipe")
@choice_options
@keeping_options
@click.option("--free-colourants", is_flag=True, help="Let colourants and additions change too.")
@click.option("--full", is_flag=True, help="Show every answer in full.")
@materials_option
@convention_option
@json_option
def command(
    recipe: str,
    choices: dict[str, Any],
    keeping: Keeping,
    free_colourants: bool,
    full: bool,
    materials: tuple[str, ...],
    convention: Convention,
    as_json: bool,
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

    library = load_materials(*materials)
    written = read_recipe(recipe)
    given = with_shelves(choices, library, own=resolve(written, library).materials)
    outcome = substitute(written, library, free_colourants=free_colourants, convention=convention, **given)
    page = partial(pages.body, outcome, full=full)
    read = (recipe, *materials, *(choices[name] for name in ("stock", "prices") if choices[name]))
    reply(outcome, page, as_json=as_json, writes=keeping.writes(outcome), read=read, replace=keeping.replace)
