"""Materials that make a reading say more than its number, and which of them a batch holds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.convert.batch import Batch
from glazecalc.files.shipped import read_mapping
from glazecalc.material import Material

__all__ = ("Telling", "held", "telling")

Group = Literal["stay_unmelted", "hardly_expand", "counted_as_glass"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """A kind of material, the words it is known by, and the share of the batch from which it is said [wt %]."""

    name: str
    words: tuple[str, ...]
    from_percent: float
    source: str

    def fits(self, material: Material) -> bool:
        """Return True for a material of this kind: one of the words stands in a name of it."""
        names = " | ".join(material.names).lower().replace("_", " ").replace("-", " ")
        return any(re.search(rf"\b{re.escape(word)}\b", names) for word in self.words)


@cache
def telling(group: Group) -> Mapping[str, Telling]:
    """Return the kinds of one group of the data."""
    return read_mapping(Telling, "reading_materials.yaml", group)


def held(batch: Batch, group: Group) -> tuple[str, ...]:
    """Return the materials of a group that a batch holds enough of, by their own names."""
    kinds = telling(group).values()
    return tuple(
        material.name
        for material, parts in batch.by_material()
        if any(kind.fits(material) and 100 * parts / batch.all_in_total >= kind.from_percent for kind in kinds)
    )
