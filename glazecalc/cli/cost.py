"""`glazecalc cost`: what a batch costs, a litre, a piece, and what runs out first."""

from __future__ import annotations

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import gathered, materials_option, output_options
from glazecalc.cli.size_options import SIZE_OPTIONS, AskedSize
from glazecalc.errors import Notice
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.files.shelf import read_shelf
from glazecalc.price import Shelf
from glazecalc.workshop.cost import batch_cost

__all__ = ("command",)


@click.command(short_help="The cost of a batch, a litre and a piece; what runs out first.")
@click.argument("recipe")
@click.option(
    "--prices",
    metavar="FILE",
    help="Your price list: CSV with material,pack,price,currency, as in 'potash feldspar,25 kg,40.00,EUR'.",
)
@click.option(
    "--stock",
    metavar="FILE",
    help="What is on your shelf: CSV with material,stock, as in 'kaolin,12 kg'. One file may hold prices and stock.",
)
@gathered("size", AskedSize, *SIZE_OPTIONS)
@materials_option
@output_options
def command(
    recipe: str, prices: str | None, stock: str | None, size: AskedSize, materials: tuple[str, ...], output: Output
) -> None:
    """Cost a batch of RECIPE by your price list, and see from your stock what runs out first.

    Materials only: labour, firing and seconds are not included. A missing price is named, never taken as nothing. Where a material
    comes in several packs, the one that is cheapest by weight counts.

    \b
    Examples:  glazecalc cost harbour-black.txt --prices prices.csv --fill 10l --sg 1.45
               glazecalc cost harbour-black.txt --prices prices.csv --stock shelf.csv --pieces 60 --gain 63g --spare 10%
    """
    if prices is None and stock is None:
        raise click.UsageError(
            "which prices? Give your price list (--prices FILE), your stock (--stock FILE), or both."
        )
    output.goes_to()
    library = load_materials(*materials)
    scaled = size.scaled(read_recipe(recipe), library)
    shelves = {file: read_shelf(file, library, own=scaled.materials) for file in (prices, stock) if file is not None}
    priced, stocked = shelves[prices or stock or ""], shelves[stock or prices or ""]
    said = [notice for shelf in shelves.values() for notice in shelf.notices]
    if prices is not None and not priced.prices:
        said.append(Notice("no-prices", f"{prices} holds no prices."))
    if stock is not None and not stocked.has_amounts:
        said.append(Notice("no-stock", f"{stock} does not say how much is left of anything."))
    found = batch_cost(scaled, Shelf(prices=priced.prices, stock_g=stocked.stock_g, notices=tuple(said)))
    read = (recipe, *materials, *shelves)
    reply(found, output=output, read=read)
