"""What stands on the shelf: packs with their prices, and the stock."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from numbers import Real
from typing import TYPE_CHECKING

from glazecalc.display import Shown
from glazecalc.errors import Notice
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("Price", "Shelf")

_BY_CURRENCY = "by row, in the column currency"


@dataclass(frozen=True, slots=True, kw_only=True)
class Price(Shown):
    """What one pack costs; a plain number is taken as it is written, 37.5 as 37.5 exactly.

    Attributes
    ----------
    material : str
        Id.
    pack_g : Decimal
        Weight of the pack [g]; more than zero.
    price : Decimal
        Of the pack, in `currency` (a code of ISO 4217); zero or more.
    """

    material: str
    pack_g: Decimal
    price: Decimal
    currency: str

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Price of '{self.material}'")
        checks.text("material", self.material, required=True)
        pack_g = _decimal(checks, "pack_g", self.pack_g)
        if pack_g == 0:
            checks.fault("pack_g", "'pack_g' is 0; a pack weighs more than nothing.", "Write it like 25 kg.")
        object.__setattr__(self, "pack_g", pack_g)
        object.__setattr__(self, "price", _decimal(checks, "price", self.price))
        code = checks.text("currency", self.currency)
        if not (len(code) == 3 and code.isalpha() and code.isupper()):
            checks.fault("currency", f"'currency' is '{code[:40]}', no code of ISO 4217.", "Write it like EUR.")
        checks.done()

    @property
    def per_kg(self) -> Decimal:
        """Price of one kilogram."""
        return self.price * 1000 / self.pack_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf(Shown):
    """What a studio has, and what it pays for it.

    Attributes
    ----------
    prices : Mapping
        Material id -> its packs, cheapest by weight first.
    stock_g : Mapping
        Material id -> what is there [g]; None where it stands on the shelf and how much is not said.
    notices : tuple of Notice
        What the reader found worth saying; not part of equality.
    """

    prices: Mapping[str, tuple[Price, ...]] = field(default_factory=FrozenDict)
    stock_g: Mapping[str, Decimal | None] = field(default_factory=FrozenDict)
    notices: tuple[Notice, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        checks = FieldChecks("Shelf")
        packs = {}
        for material, prices in checks.mapping("prices", self.prices).items():
            if isinstance(prices, tuple | list) and all(isinstance(price, Price) for price in prices):
                packs[material] = tuple(sorted(prices, key=lambda price: price.per_kg))
            else:
                checks.wrong_type(f"prices: {material}", prices, "a list of Price")
        said = checks.mapping("stock_g", self.stock_g)
        stock = {m: None if g is None else _decimal(checks, f"stock_g: {m}", g) for m, g in said.items()}
        checks.done()
        object.__setattr__(self, "prices", FrozenDict(packs))
        object.__setattr__(self, "stock_g", FrozenDict(stock))

    def to_frame(self) -> pd.DataFrame:
        """Return one row a pack, and one for a material without a price: ``material, stock_g, pack_g, price, currency, price_per_kg``."""
        import pandas as pd

        rows: list[tuple[object, ...]] = []
        for material in dict.fromkeys((*self.stock_g, *self.prices)):
            stock = self.stock_g.get(material)
            left = math.nan if stock is None else float(stock)
            packs = self.prices.get(material, ())
            rows += [(material, left, float(p.pack_g), float(p.price), p.currency, float(p.per_kg)) for p in packs]
            rows += [] if packs else [(material, left, math.nan, math.nan, "", math.nan)]
        frame = pd.DataFrame(rows, columns=["material", "stock_g", "pack_g", "price", "currency", "price_per_kg"])
        frame.attrs["units"] = {
            "stock_g": "g",
            "pack_g": "g",
            "price": _BY_CURRENCY,
            "price_per_kg": f"{_BY_CURRENCY}, per kg",
        }
        frame.attrs["notices"] = [notice.message for notice in self.notices]
        return frame

    @property
    def ids(self) -> tuple[str, ...]:
        """The materials on the shelf, in the order of the file."""
        return tuple(self.stock_g)

    @property
    def has_amounts(self) -> bool:
        """True where it says of any material how much is left."""
        return any(stock is not None for stock in self.stock_g.values())


def _decimal(checks: FieldChecks, field_name: str, value: object) -> Decimal:
    """Return a number of zero or more, exact as it is written."""
    if isinstance(value, bool) or not isinstance(value, Real | Decimal):
        checks.wrong_type(field_name, value, "a number")
        return Decimal(1)
    number = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if not (number.is_finite() and number >= 0):
        checks.fault(field_name, f"'{field_name}' is {value}; zero or more was expected.")
    return number
