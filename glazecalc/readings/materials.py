"""Materials that make a reading say more than its number, and which of them a batch holds."""

from __future__ import annotations

import math
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

    def word_of(self, material: Material) -> str:
        """Return the word by which a material is of this kind, empty where it is not."""
        names = " | ".join(material.names).lower().replace("_", " ").replace("-", " ")
        return next((word for word in self.words if re.search(rf"\b{re.escape(word)}\b", names)), "")

    def held_by(self, batch: Batch) -> tuple[str, ...]:
        """Return the words of what a batch holds of this kind, nothing where it is less than the share."""
        found = [(word, parts) for material, parts in batch.by_material() if (word := self.word_of(material))]
        enough = math.fsum(parts for _, parts in found) * 100 >= self.from_percent * batch.all_in_total
        return tuple(dict.fromkeys(word for word, _ in found)) if enough else ()


@cache
def telling(group: Group) -> Mapping[str, Telling]:
    """Return the kinds of one group of the data."""
    return read_mapping(Telling, "reading_materials.yaml", group)


def held(batch: Batch, group: Group) -> tuple[str, ...]:
    """Return the materials of a group that a batch holds enough of, each by the word it is known by."""
    return tuple(dict.fromkeys(word for kind in telling(group).values() for word in kind.held_by(batch)))
