"""Prices: what one pack of a material costs."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ("Price",)


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
