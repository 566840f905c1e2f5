"""How many bags a batch opens, where a price list knows the pack."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from glazecalc.price import Shelf

__all__ = ("Bags", "bags_to_open")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bags:
    """The bags of one material that a batch opens, the last perhaps in part: how many, and what one holds [g]."""

    material: str
    name: str
    count: int
    pack_g: float


def bags_to_open(lines: Iterable[tuple[str, str, float]], shelf: Shelf) -> tuple[Bags, ...]:
    """Return the bags for lines of (material, name, weight [g]), largest weight first; of several packs the cheapest by weight counts."""
    weights: dict[str, tuple[str, float]] = {}
    for material, name, grams in lines:
        weights[material] = (name, weights.get(material, (name, 0.0))[1] + grams)
    found = []
    for material, (name, grams) in sorted(weights.items(), key=lambda pair: -pair[1][1]):
        packs = shelf.prices.get(material, ())
        if packs and grams > 0:
            count = math.ceil(Decimal(repr(grams)) / packs[0].pack_g)
            found.append(Bags(material=material, name=name, count=count, pack_g=float(packs[0].pack_g)))
    return tuple(found)
