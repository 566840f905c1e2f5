"""``glazecalc substitute``: new batches without a material."""

from __future__ import annotations

import click

from glazecalc.cli.options import (
    convention_option,
    echo_json,
    echo_notices,
    json_option,
    library_from,
    materials_option,
)
from glazecalc.cli.reformulate_options import NameLists, choice_options, pairs, prices_per_kg, range_of
from glazecalc.convention import Convention
from glazecalc.show.reformulate import outcome_page

__all__ = ("command",)


@click.command("substitute", cls=NameLists)
@click.argument("recipe")
@choice_options
@click.option("--free-colourants", is_flag=True, help="Let colourants and additions change too.")
@click.option("--full", is_flag=True, help="Show every answer whole.")
@materials_option
@convention_option
@json_option
def command(
    recipe: str,
    without: tuple[str, ...],
    also: tuple[str, ...],
    only: tuple[str, ...],
    stock_file: str | None,
    keep: tuple[str, ...],
    max_materials: int | None,
    answers: int,
    least: tuple[str, ...],
    most: tuple[str, ...],
    clay: str | None,
    step: float | None,
    prefer: str,
    price_file: str | None,
    tolerance: tuple[str, ...],
    time_limit: float,
    free_colourants: bool,
    full: bool,
    materials: tuple[str, ...],
    convention: Convention,
    as_json: bool,
) -> None:
    """Batches that keep the unity formula of RECIPE without some of its materials.

    \b
    Example:  glazecalc substitute harbour-black.txt --without "potash feldspar" --also "soda feldspar"

    Without --also, --only and --stock the whole library is searched. Additions and colourants keep their numbers; the base
    keeps its total. Where no batch keeps the formula, the nearest one is given, with what it misses and why.
    """
    from glazecalc.convert.batch import resolve
    from glazecalc.files.recipes import read_recipe
    from glazecalc.reformulate.stock_file import read_stock
    from glazecalc.reformulate.substitute import substitute

    library = library_from(materials)
    clay_range = range_of(clay, "--clay")
    bounds = pairs(least, "--least"), pairs(most, "--most"), pairs(tolerance, "--tolerance")
    written = read_recipe(recipe)
    stock = read_stock(stock_file, library) if stock_file else ()
    batch = resolve(written, library)
    prices, said = prices_per_kg(price_file, library, batch.materials)
    outcome = substitute(
        written, library, without=without, also=also, only=only, stock=stock, keep=keep, max_materials=max_materials, answers=answers,
        least=bounds[0], most=bounds[1], tolerances=bounds[2], clay=clay_range, step=step, prefer=prefer, prices=prices, free_colourants=free_colourants,
        convention=convention, time_limit_s=time_limit,
    )  # fmt: skip
    if as_json:
        echo_json(outcome.to_dict())
    else:
        before = {
            m.id: (("+ " if a else "") + m.name, p)
            for m, p, a in zip(batch.materials, batch.parts, batch.addition, strict=True)
        }
        gone = f" without {', '.join(without)}" if without else ", other batches"
        click.echo(outcome_page(outcome, (written.name or recipe) + gone, before, full=full))
    echo_notices((*outcome.notices, *said))
