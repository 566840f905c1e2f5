"""What a batch costs and what runs out first; money is decimal throughout."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import ClassVar

from glazecalc.display import Tabular
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
    """One material of a costed batch; what no price or no stock is known for is None.

    `mass_g` is what is weighed, base and addition together; `cost` is rounded as it is printed; `share_percent` of the total; `batches` what the stock makes;
    `short_g` what is missing for this one, and `packs_to_buy` the whole packs that cover it.
    """

    material: str
    name: str
    mass_g: float
    price_per_kg: Decimal | None
    cost: Decimal | None
    cost_unrounded: Decimal | None
    share_percent: float | None
    stock_g: Decimal | None
    batches: Decimal | None
    short_g: Decimal | None
    packs_to_buy: int | None


@dataclass(frozen=True, slots=True)
class RunsOut:
    """The material whose stock makes the fewest batches of this size."""

    material: str
    name: str
    batches: Decimal


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class BatchCost(Tabular):
    """What a batch costs in materials.

    Attributes
    ----------
    currency : str or None
        Code by ISO 4217; None without prices.
    total, priced_total : Decimal or None
        Sum of the costs as shown, None while a price is missing; and over the lines that have a price.
    unpriced, without_stock : tuple of str
        Names.
    places : int
        Decimals of the costs.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "material": "", "name": "", "mass_g": "g", "price_per_kg": "", "cost": "", "share_percent": "% of the cost", "stock_g": "g",
        "batches": "batches", "short_g": "g", "packs_to_buy": "packs",
    }  # fmt: skip
    PAGE: ClassVar[str] = "cost"
    JSON: ClassVar[tuple[str, ...]] = (
        "lines", "currency", "total", "priced_total", "unpriced", "dry_mass_g=scaled.dry_mass_g", "litres=scaled.litres",
        "per_litre", "pieces=scaled.need.pieces", "per_piece", "per_kg", "total_unrounded", "per_litre_unrounded",
        "per_piece_unrounded", "per_kg_unrounded", "runs_out_first", "notices",
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

    @property
    def _units(self) -> Mapping[str, str]:
        return {} if self.currency is None else {"price_per_kg": f"{self.currency} per kg", "cost": self.currency}

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
        """Cost of a piece of the order; what stays in the bucket is not on the pieces."""
        return self.each(self._pieces)

    @property
    def total_unrounded(self) -> Decimal | None:
        """Sum of the costs before any was rounded."""
        if self.total is None:
            return None
        return sum((line.cost_unrounded for line in self.lines if line.cost_unrounded is not None), Decimal(0))

    @property
    def per_litre_unrounded(self) -> Decimal | None:
        """Cost of a litre of slurry before rounding."""
        return self._each(self.scaled.litres or 0.0)

    @property
    def per_kg_unrounded(self) -> Decimal | None:
        """Cost of a kilogram, dry, before rounding."""
        return self._each(self.scaled.dry_mass_g / 1000)

    @property
    def per_piece_unrounded(self) -> Decimal | None:
        """Cost of a piece of the order before rounding."""
        return self._each(self._pieces)

    @property
    def _pieces(self) -> float:
        """Pieces that the whole batch would make, the reserve of the bucket included."""
        need = self.scaled.need
        return need.pieces * (1 + (need.reserve_g or 0.0) / need.dry_g) if need else 0.0

    def each(self, count: float) -> Decimal | None:
        """Return the total divided by `count` (litres, pieces), rounded as it is printed."""
        if self.total is None or not count > 0:
            return None
        place = Decimal(1).scaleb(-max(self.places, 2))
        return (self.total / Decimal(repr(float(count)))).quantize(place, ROUND_HALF_UP)

    def _each(self, count: float) -> Decimal | None:
        total = self.total_unrounded
        return None if total is None or not count > 0 else total / Decimal(repr(float(count)))


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

    Materials only: labour, firing and seconds are not included. A missing price is named, never taken as nothing. Where a material has
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
    >>> import glazecalc as gc
    >>> materials, black = gc.load_materials("materials"), gc.read_recipe("recipes/harbour-black.txt")
    >>> found = gc.cost(black, materials, shelf=gc.read_shelf("prices.csv", materials), all_in_g=2000)
    >>> print(found.total, found.currency)
    7.1650 EUR
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
    """Return what a weighing list costs by the prices of `shelf`, and how far its stock goes."""
    masses: dict[str, tuple[str, float]] = {}
    for line in scaled.lines:
        name, before = masses.get(line.material, (line.name, 0.0))
        masses[line.material] = (name, before + line.weigh_g)
    chosen = {m: packs[0] for m in masses if (packs := tuple(shelf.prices.get(m, ())))}
    currencies = sorted({price.currency for price in chosen.values()})
    if len(currencies) > 1:
        said = f"the prices are in {' and '.join(currencies)}; one currency was expected."
        raise WorkshopError(said, "Convert them by a rate of your own.")
    exact = {m: Decimal(repr(masses[m][1])) * price.price / price.pack_g for m, price in chosen.items()}
    minor = currency_decimals()[currencies[0]] if currencies else 2
    places = minor if sum(exact.values(), Decimal(0)) >= Decimal(choice("small_total")) else minor + 2
    place = Decimal(1).scaleb(-places)
    costs = {m: money.quantize(place, ROUND_HALF_UP) for m, money in exact.items()}
    priced = sum(costs.values(), Decimal(0)) if costs else None
    unpriced = (
        tuple(name for m, (name, mass_g) in masses.items() if m not in costs and mass_g > 0) if shelf.prices else ()
    )
    total = priced if shelf.prices and not unpriced else None
    lines = tuple(
        _line(m, name, mass_g, chosen.get(m), exact.get(m), costs.get(m), shelf.stock_g.get(m), total)
        for m, (name, mass_g) in masses.items()
    )
    without_stock = tuple(line.name for line in lines if line.stock_g is None) if shelf.has_amounts else ()
    left_open = []
    if unpriced:
        left_open.append(Notice("no-price", f"no price is known for {', '.join(unpriced)}; the total is incomplete."))
    if without_stock:
        sooner = f"no stock is given for {', '.join(without_stock)}; it may run out sooner."
        left_open.append(Notice("no-stock", sooner))
    return BatchCost(
        scaled=scaled,
        lines=lines,
        currency=currencies[0] if currencies else None,
        total=total,
        priced_total=priced,
        unpriced=unpriced,
        without_stock=without_stock,
        has_stock=shelf.has_amounts,
        runs_out_first=_first(lines),
        places=places,
        notices=tuple(dict.fromkeys((*scaled.notices, *shelf.notices, *left_open))),
    )


def _first(lines: Sequence[CostLine]) -> RunsOut | None:
    stocked = [RunsOut(line.material, line.name, line.batches) for line in lines if line.batches is not None]
    return min(stocked, key=lambda one: one.batches, default=None)


def _line(
    material: str,
    name: str,
    mass_g: float,
    price: Price | None,
    exact: Decimal | None,
    money: Decimal | None,
    stock_g: Decimal | None,
    total: Decimal | None,
) -> CostLine:
    mass = Decimal(repr(mass_g))
    short = max(mass - stock_g, Decimal(0)) if stock_g is not None else None
    return CostLine(
        material=material,
        name=name,
        mass_g=mass_g,
        price_per_kg=price.per_kg if price else None,
        cost=money,
        cost_unrounded=exact,
        share_percent=float(100 * money / total) if money is not None and total else None,
        stock_g=stock_g,
        batches=stock_g / mass if stock_g is not None and mass > 0 else None,
        short_g=short,
        packs_to_buy=math.ceil(short / price.pack_g) if short and price else None,
    )
