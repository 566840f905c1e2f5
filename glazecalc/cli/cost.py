"""`glazecalc cost`: what a batch costs, a litre, a piece, and what runs out first."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import click

from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.cli.size_options import check_one_size, moisture_of, scaled_batch, size_options
from glazecalc.convert.batch import resolve
from glazecalc.errors import Notice
from glazecalc.files.recipes import read_recipe
from glazecalc.files.shelf import read_prices, read_stock
from glazecalc.library import MaterialLibrary
from glazecalc.show.cost import cost_page, litres, share_percent
from glazecalc.workshop.cost import BatchCost, batch_cost
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.scale import ScaledBatch

__all__ = ("command",)


@click.command(short_help="What a batch costs, a litre, a piece; what runs out first.")
@click.argument("recipe")
@click.option(
    "--prices", metavar="FILE", help="CSV: material,pack,price,currency, as in 'potash feldspar,25 kg,40.00,EUR'."
)
@click.option("--stock", metavar="FILE", help="CSV: material,stock, as in 'kaolin,12 kg'.")
@size_options
@materials_option
@json_option
def command(
    recipe: str, prices: str | None, stock: str | None, materials: tuple[str, ...], as_json: bool, **given: Any
) -> None:
    """Cost a batch of RECIPE by your price list, and see from your stock what runs out first.

    Materials only: labour, firing and seconds are not in it. A missing price is named, never taken as nothing. Where a material has
    several packs, the one that is cheapest by weight counts.

    \b
    Examples:  glazecalc cost harbour-black.txt --prices prices.csv --fill 10l --sg 1.45
               glazecalc cost harbour-black.txt --prices prices.csv --stock shelf.csv --pieces 60 --gain 63g --spare 10%
    """
    check_one_size(given, None)
    if prices is None and stock is None:
        raise click.UsageError(
            "cost of what? Give your price list (--prices FILE), your stock (--stock FILE), or both."
        )
    library = library_from(materials)
    batch = resolve(read_recipe(recipe), library)
    scaled, need = scaled_batch(batch, given, moisture_of(given["moist"], library, batch), library)
    own = MaterialLibrary(batch.materials)
    notices = [*scaled.notices, *(need.notices if need else ())]
    price_list, said = read_prices(prices, library, own) if prices is not None else (None, ())
    notices += said
    shelf, said = read_stock(stock, library, own) if stock is not None else (None, ())
    notices += said
    cost = batch_cost(scaled, price_list, shelf)
    notices += _missing(cost)
    if as_json:
        echo_json(_json(cost, scaled, need, notices))
    else:
        click.echo(cost_page(cost, scaled, need, stock is not None))
    echo_notices(dict.fromkeys(notices))


def _missing(cost: BatchCost) -> list[Notice]:
    notices = []
    if cost.unpriced:
        notices.append(Notice("no-price", f"no price is known for {', '.join(cost.unpriced)}; the total is left open."))
    if cost.without_stock:
        notices.append(
            Notice("no-stock", f"no stock is given for {', '.join(cost.without_stock)}; it may run out sooner.")
        )
    return notices


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _json(cost: BatchCost, scaled: ScaledBatch, need: GlazeNeed | None, notices: list[Notice]) -> dict[str, Any]:
    first = cost.runs_out_first
    return {
        "lines": [
            {
                "material": x.material,
                "name": x.name,
                "mass_g": x.mass_g,
                "price_per_kg": _number(x.price_per_kg),
                "cost": _number(x.cost),
                "share_percent": share_percent(x, cost),
                "stock_g": _number(x.stock_g),
                "batches": _number(x.batches),
                "short_g": _number(x.short_g),
                "packs_to_buy": x.packs_to_buy,
            }
            for x in cost.lines
        ],
        "currency": cost.currency,
        "total": _number(cost.total),
        "priced_total": _number(cost.priced_total),
        "unpriced": list(cost.unpriced),
        "dry_mass_g": scaled.dry_mass_g,
        "litres": litres(scaled) or None,
        "per_litre": _number(cost.each(litres(scaled))),
        "pieces": need.pieces if need else None,
        "per_piece": _number(cost.each(need.pieces)) if need else None,
        "per_kg": _number(cost.each(scaled.dry_mass_g / 1000)),
        "runs_out_first": {"material": first.material, "name": first.name, "batches": _number(first.batches)}
        if first
        else None,
        "notices": [{"code": n.code, "message": n.message} for n in notices],
    }
