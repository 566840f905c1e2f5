"""What a batch costs and what runs out first; money is decimal throughout."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import Notice, WorkshopError
from glazecalc.files.shelf import currency_decimals
from glazecalc.library import MaterialLibrary
from glazecalc.price import Price, Shelf
from glazecalc.recipe import Recipe
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.practice import choice
from glazecalc.workshop.scale import scale
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("BatchCost", "CostLine", "RunsOut", "batch_cost", "cost")


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
    share_percent : float or None
        Of the total [%]; None where either is open.
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
    share_percent: float | None = None
    stock_g: Decimal | None
    batches: Decimal | None
    short_g: Decimal | None
    packs_to_buy: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsOut:
    """The material whose stock makes the fewest batches of this size."""

    material: str
    name: str
    batches: Decimal


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class BatchCost(Shown):
    """What a batch costs in materials.

    Attributes
    ----------
    scaled : ScaledBatch
        The batch, with its volume and the order of pieces where these were asked for.
    lines : tuple of CostLine
    currency : str or None
        Code by ISO 4217; None without prices.
    total : Decimal or None
        Sum of the costs as shown; None while a price is missing.
    priced_total : Decimal or None
        Sum over the lines that have a price.
    unpriced, without_stock : tuple of str
        Names.
    has_stock : bool
        True where the shelf says what it holds.
    runs_out_first : RunsOut or None
    places : int
        Decimals of the costs.
    notices : tuple of Notice
    """

    PAGE: ClassVar[str] = "cost"
    JSON: ClassVar[tuple[str, ...]] = (
        "lines", "currency", "total", "priced_total", "unpriced", "dry_mass_g=scaled.dry_mass_g", "litres=scaled.litres",
        "per_litre", "pieces=scaled.need.pieces", "per_piece", "per_kg", "runs_out_first", "notices",
    )  # fmt: skip
    scaled: ScaledBatch
    lines: tuple[CostLine, ...]
    currency: str | None
    total: Decimal | None
    priced_total: Decimal | None
    unpriced: tuple[str, ...]
    without_stock: tuple[str, ...]
    has_stock: bool
    runs_out_first: RunsOut | None
    places: int
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<BatchCost {self.scaled.recipe.name!r}: {self.total} {self.currency}>"

    @property
    def per_litre(self) -> Decimal | None:
        """Cost of a litre of slurry."""
        return self.each(self.scaled.litres or 0.0)

    @property
    def per_kg(self) -> Decimal | None:
        """Cost of a kilogram, dry."""
        return self.each(self.scaled.dry_mass_g / 1000)

    @property
    def per_piece(self) -> Decimal | None:
        """Cost of a piece of the order."""
        return self.each(self.scaled.need.pieces if self.scaled.need else 0)

    def each(self, count: float) -> Decimal | None:
        """Return the total divided by `count` (litres, pieces)."""
        if self.total is None or not count > 0:
            return None
        return (self.total / Decimal(repr(float(count)))).quantize(
            Decimal(1).scaleb(-max(self.places, 2)), ROUND_HALF_UP
        )


def cost(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    shelf: Shelf,
    all_in_g: float | None = None,
    base_g: float | None = None,
    volume_l: float | None = None,
    need: GlazeNeed | None = None,
    specific_gravity: float | None = None,
    solids_density_g_cm3: float | None = None,
) -> BatchCost:
    """Return what a batch costs by the prices of a shelf, and how far its stock goes.

    Materials only: labour, firing and seconds are not in it. A missing price is named, never taken as nothing. Where a material has
    several packs, the one that is cheapest by weight counts.

    Parameters
    ----------
    recipe : Recipe or Mapping
        A recipe, or a mapping of material name -> parts.
    materials : MaterialLibrary
        Where names are looked up and densities found.
    shelf : Shelf
        Prices and stock, from `read_shelf`.
    all_in_g, base_g, volume_l, need, specific_gravity, solids_density_g_cm3
        How large the batch is, as for `scale`.

    Returns
    -------
    BatchCost

    Raises
    ------
    WorkshopError
        As `scale`; or if the prices of the batch are in several currencies.

    Examples
    --------
    >>> from decimal import Decimal
    >>> import glazecalc as gc
    >>> from glazecalc.price import Price, Shelf
    >>> price = Price(material="kaolin", pack_g=Decimal(25000), price=Decimal("37.50"), currency="EUR")
    >>> shelf = Shelf(prices={"kaolin": (price,)}, stock_g={"kaolin": Decimal(9500)})
    >>> found = cost({"kaolin": 100}, gc.load_materials(), shelf=shelf, all_in_g=2000)
    >>> found.total, found.runs_out_first.batches
    (Decimal('3.0000'), Decimal('4.75'))
    """
    scaled = scale(
        recipe,
        materials,
        all_in_g=all_in_g,
        base_g=base_g,
        volume_l=volume_l,
        need=need,
        specific_gravity=specific_gravity,
        solids_density_g_cm3=solids_density_g_cm3,
    )
    return batch_cost(scaled, shelf)


def batch_cost(scaled: ScaledBatch, shelf: Shelf) -> BatchCost:
    """Return what a weighing list costs by the prices of `shelf`, and how far its stock goes.

    Raises
    ------
    WorkshopError
        If the prices of the batch are in several currencies.
    """
    masses: dict[str, tuple[str, float]] = {}
    for line in scaled.lines:
        name, before = masses.get(line.material, (line.name, 0.0))
        masses[line.material] = (name, before + line.weigh_g)
    chosen = {m: packs[0] for m in masses if (packs := tuple(shelf.prices.get(m, ())))}
    currencies = sorted({price.currency for price in chosen.values()})
    if len(currencies) > 1:
        raise WorkshopError(
            f"the prices are in {' and '.join(currencies)}; one currency was expected.",
            "Convert them by a rate of your own.",
        )
    exact = {m: Decimal(repr(masses[m][1])) * price.price / price.pack_g for m, price in chosen.items()}
    minor = currency_decimals()[currencies[0]] if currencies else 2
    places = minor if sum(exact.values(), Decimal(0)) >= Decimal(choice("small_total")) else minor + 2
    lines = tuple(
        _line(m, name, mass, chosen.get(m), exact.get(m), shelf.stock_g.get(m), places)
        for m, (name, mass) in masses.items()
    )
    costs = [line.cost for line in lines if line.cost is not None]
    unpriced = tuple(line.name for line in lines if line.cost is None and line.mass_g > 0) if shelf.prices else ()
    priced = sum(costs, Decimal(0)) if costs else None
    total = priced if shelf.prices and not unpriced else None
    without_stock = tuple(line.name for line in lines if line.stock_g is None) if shelf.has_amounts else ()
    said = []
    if unpriced:
        said.append(Notice("no-price", f"no price is known for {', '.join(unpriced)}; the total is left open."))
    if without_stock:
        said.append(Notice("no-stock", f"no stock is given for {', '.join(without_stock)}; it may run out sooner."))
    return BatchCost(
        scaled=scaled,
        lines=tuple(replace(line, share_percent=_share_percent(line, total)) for line in lines),
        currency=currencies[0] if currencies else None,
        total=total,
        priced_total=priced,
        unpriced=unpriced,
        without_stock=without_stock,
        has_stock=shelf.has_amounts,
        runs_out_first=_first(lines),
        places=places,
        notices=tuple(dict.fromkeys((*scaled.notices, *shelf.notices, *said))),
    )


def _share_percent(line: CostLine, total: Decimal | None) -> float | None:
    return float(100 * line.cost / total) if line.cost is not None and total else None


def _first(lines: Sequence[CostLine]) -> RunsOut | None:
    stocked = [(line.batches, line) for line in lines if line.batches is not None]
    if not stocked:
        return None
    batches, line = min(stocked, key=lambda pair: pair[0])
    return RunsOut(material=line.material, name=line.name, batches=batches)


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
