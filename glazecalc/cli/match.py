"""``glazecalc match``: a batch for a target formula, analysis or recipe."""

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


@click.command("match", cls=NameLists)
@click.argument("target")
@choice_options
@click.option("--colourant", multiple=True, metavar="NAME=PERCENT", help="On top of the base, wt %; may repeat.")
@click.option(
    "--total",
    type=click.FloatRange(min=0, min_open=True),
    metavar="PARTS",
    help="Base total of the answers; 100 by default.",
)
@click.option("--full", is_flag=True, help="Show every answer whole.")
@materials_option
@convention_option
@json_option
def command(
    target: str,
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
    colourant: tuple[str, ...],
    total: float | None,
    full: bool,
    materials: tuple[str, ...],
    convention: Convention,
    as_json: bool,
) -> None:
    """Batches that come to TARGET: a YAML file with `unity` or `fired_analysis_percent`, or a recipe.

    \b
    unity:
      K2O+Na2O: 0.3          a number, for an oxide or a sum
      CaO: 0.6..0.7          a range
      SiO2:Al2O3: 8          a ratio
      SiO2: 3.2..3.6
    colourants:
      red iron oxide: 9      wt % on top

    An oxide that the target does not name is wanted at zero. Of a recipe the base is matched, its additions are carried over.
    """
    from glazecalc.files.targets import read_target
    from glazecalc.reformulate.match import match
    from glazecalc.reformulate.stock_file import read_stock

    library = library_from(materials)
    clay_range = range_of(clay, "--clay")
    bounds = (
        pairs(least, "--least"),
        pairs(most, "--most"),
        pairs(tolerance, "--tolerance"),
        pairs(colourant, "--colourant"),
    )
    wanted = read_target(target)
    stock = read_stock(stock_file, library) if stock_file else ()
    prices, said = prices_per_kg(price_file, library)
    outcome = match(
        wanted, library, without=without, also=also, only=only, stock=stock, keep=keep, max_materials=max_materials, answers=answers,
        least=bounds[0], most=bounds[1], tolerances=bounds[2], colourants=bounds[3], total=total, clay=clay_range, step=step, prefer=prefer, prices=prices,
        convention=convention, time_limit_s=time_limit,
    )  # fmt: skip
    if as_json:
        echo_json(outcome.to_dict())
    else:
        click.echo(outcome_page(outcome, f"{wanted.name or target}, matched", {}, full=full))
    echo_notices((*outcome.notices, *said))
