"""What stands on the shelf: packs with their prices, and the stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from glazecalc.errors import CompositionError, Notice
from glazecalc.frozen import FrozenDict

__all__ = ("Price", "Shelf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What one pack costs.

    Attributes
    ----------
    material : str
        Id.
    pack_g : Decimal
        Weight of the pack [g]; more than zero.
    price : Decimal
        Of the pack, in `currency`; zero or more.
    currency : str
        Code by ISO 4217.

    Raises
    ------
    CompositionError
        For a weight, price or code that cannot be.
    """

    material: str
    pack_g: Decimal
    price: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not (self.pack_g.is_finite() and self.pack_g > 0):
            raise CompositionError(f"a pack of {self.pack_g} g cannot be; more than zero was expected.")
        if not (self.price.is_finite() and self.price >= 0):
            raise CompositionError(f"the price {self.price} of {self.material} is not zero or more.")
        if not (len(self.currency) == 3 and self.currency.isalpha() and self.currency.isupper()):
            raise CompositionError(f"'{self.currency}' is no currency code of ISO 4217.", "Write it like EUR.")

    @property
    def per_kg(self) -> Decimal:
        """Price of one kilogram."""
        return self.price * 1000 / self.pack_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What a studio has, and what it pays for it.

    Attributes
    ----------
    prices : Mapping
        Material id -> its packs, cheapest by weight first.
    stock_g : Mapping
        Material id -> what is there [g]; None where it stands on the shelf and how much is not said.
    notices : tuple of Notice
        What the reader found worth saying; not part of equality.

    Raises
    ------
    CompositionError
        For a stock below zero.
    """

    prices: Mapping[str, tuple[Price, ...]] = field(default_factory=FrozenDict)
    stock_g: Mapping[str, Decimal | None] = field(default_factory=FrozenDict)
    notices: tuple[Notice, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        packs = {material: tuple(sorted(found, key=lambda p: p.per_kg)) for material, found in self.prices.items()}
        object.__setattr__(self, "prices", FrozenDict(packs))
        object.__setattr__(self, "stock_g", FrozenDict(self.stock_g))
        for material, stock in self.stock_g.items():
            if stock is not None and not (stock.is_finite() and stock >= 0):
                raise CompositionError(f"the stock of {material} is {stock} g; zero or more was expected.")

    @property
    def ids(self) -> tuple[str, ...]:
        """The materials on the shelf, in the order of the file."""
        return tuple(self.stock_g)

    @property
    def has_amounts(self) -> bool:
        """True where it says of any material how much is left."""
        return any(stock is not None for stock in self.stock_g.values())
