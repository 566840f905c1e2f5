"""What a batch costs and what runs out first; money is decimal throughout."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from glazecalc.errors import WorkshopError
from glazecalc.files.shelf import currency_decimals
from glazecalc.price import Price
from glazecalc.workshop.scale import ScaledBatch

__all__ = ("BatchCost", "CostLine", "batch_cost")

_FINE_BELOW = 10  # currency units; a smaller total is shown with two more decimals, or test batches would cost nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One material of a costed batch.

    Attributes
    ----------
    material, name : str
    mass_g : float
        What is weighed, base and addition together [g].
    price_per_kg, cost : Decimal or None
        None where no price is known.
    stock_g, batches, short_g : Decimal or None
        On the shelf [g], batches that it makes, what is missing for this one [g]; None where no stock is known.
    packs_to_buy : int or None
        Whole packs that cover what is missing.
    """

    material: str
    name: str
    mass_g: float
    price_per_kg: Decimal | None
    cost: Decimal | None
    stock_g: Decimal | None
    batches: Decimal | None
    short_g: Decimal | None
    packs_to_buy: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchCost:
    """What a batch costs in materials.

    Attributes
    ----------
    lines : tuple of CostLine
    currency : str or None
        Code by ISO 4217; None without prices.
    total : Decimal or None
        Sum of the costs as shown; None while a price is missing.
    priced_total : Decimal or None
        Sum over the lines that have a price.
    unpriced, without_stock : tuple of str
        Names.
    runs_out_first : CostLine or None
        The line whose stock makes the fewest batches.
    places : int
        Decimals of the costs.
    """

    lines: tuple[CostLine, ...]
    currency: str | None
    total: Decimal | None
    priced_total: Decimal | None
    unpriced: tuple[str, ...]
    without_stock: tuple[str, ...]
    runs_out_first: CostLine | None
    places: int

    def each(self, count: float) -> Decimal | None:
        """Return the total divided by `count` (litres, pieces)."""
        if self.total is None or not count > 0:
            return None
        return (self.total / Decimal(repr(float(count)))).quantize(
            Decimal(1).scaleb(-max(self.places, 2)), ROUND_HALF_UP
        )


def batch_cost(
    scaled: ScaledBatch,
    prices: Mapping[str, Sequence[Price]] | None = None,
    stock_g: Mapping[str, Decimal] | None = None,
) -> BatchCost:
    """Return what `scaled` costs by `prices`, and how far `stock_g` [g] goes.

    Where a material has several packs, the cheapest by weight counts. A missing price is never taken as nothing.

    Raises
    ------
    WorkshopError
        If the prices of the batch are in several currencies.
    """
    masses: dict[str, tuple[str, float]] = {}
    for line in scaled.lines:
        name, before = masses.get(line.material, (line.name, 0.0))
        masses[line.material] = (name, before + line.weigh_g)
    chosen = {m: packs[0] for m in masses if prices is not None and (packs := tuple(prices.get(m, ())))}
    currencies = sorted({price.currency for price in chosen.values()})
    if len(currencies) > 1:
        raise WorkshopError(
            f"the prices are in {' and '.join(currencies)}; one currency was expected.",
            "Convert them by a rate of your own.",
        )
    exact = {m: Decimal(repr(masses[m][1])) * price.price / price.pack_g for m, price in chosen.items()}
    minor = currency_decimals()[currencies[0]] if currencies else 2
    places = minor if sum(exact.values(), Decimal(0)) >= _FINE_BELOW else minor + 2
    lines = tuple(
        _line(m, name, mass, chosen.get(m), exact.get(m), (stock_g or {}).get(m), places)
        for m, (name, mass) in masses.items()
    )
    costs = [line.cost for line in lines if line.cost is not None]
    unpriced = tuple(line.name for line in lines if line.cost is None and line.mass_g > 0) if prices is not None else ()
    priced = sum(costs, Decimal(0)) if costs else None
    stocked = [line for line in lines if line.batches is not None]
    return BatchCost(
        lines=lines,
        currency=currencies[0] if currencies else None,
        total=priced if prices is not None and not unpriced else None,
        priced_total=priced,
        unpriced=unpriced,
        without_stock=tuple(line.name for line in lines if line.stock_g is None) if stock_g is not None else (),
        runs_out_first=min(stocked, key=lambda line: line.batches or Decimal(0)) if stocked else None,
        places=places,
    )


def _line(
    material: str,
    name: str,
    mass_g: float,
    price: Price | None,
    exact: Decimal | None,
    stock_g: Decimal | None,
    places: int,
) -> CostLine:
    mass = Decimal(repr(mass_g))
    short = max(mass - stock_g, Decimal(0)) if stock_g is not None else None
    return CostLine(
        material=material,
        name=name,
        mass_g=mass_g,
        price_per_kg=price.per_kg if price else None,
        cost=exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP) if exact is not None else None,
        stock_g=stock_g,
        batches=stock_g / mass if stock_g is not None and mass > 0 else None,
        short_g=short,
        packs_to_buy=math.ceil(short / price.pack_g) if short and price else None,
    )
