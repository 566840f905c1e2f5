"""What stands on the shelf: prices of packs, and the stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from glazecalc.errors import Notice
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
        Weight of the pack [g].
    price : Decimal
        Of the pack, in `currency`.
    currency : str
        Code by ISO 4217.
    line : int
        In the file.
    """

    material: str
    pack_g: Decimal
    price: Decimal
    currency: str
    line: int

    @property
    def per_kg(self) -> Decimal:
        """Price of one kilogram."""
        return self.price * 1000 / self.pack_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What a studio has and what it pays.

    Attributes
    ----------
    prices : Mapping
        Material id -> its packs, cheapest by weight first.
    stock_g : Mapping
        Material id -> what is left of it [g]; None where it stands on the shelf and the amount is not said.
    notices : tuple of Notice
    """

    prices: Mapping[str, tuple[Price, ...]] = field(default_factory=FrozenDict)
    stock_g: Mapping[str, Decimal | None] = field(default_factory=FrozenDict)
    notices: tuple[Notice, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """The materials that stand on the shelf."""
        return tuple(self.stock_g)
