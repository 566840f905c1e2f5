"""Words of the trade for what a material is, and the kind of material that each belongs to."""

from __future__ import annotations

import re
from itertools import pairwise

__all__ = ("kind_meant",)

_WORDS_OF_KINDS: dict[str, str] = {  # words of the trade; two words with a hyphen stand side by side
    "silica": "silica quartz flint sand",
    "clay": "clay kaolin bentonite fireclay earthenware stoneware terracotta slip",
    "feldspar": "feldspar spar nepheline cornish-stone",
    "alkaline_earth": "whiting chalk limestone calcite dolomite talc wollastonite magnesite strontium barium",
    "boron": "borax colemanite ulexite borate boric boron",
    "zinc": "zinc",
    "frit": "frit",
    "lithium": "lithium spodumene petalite lepidolite",
    "opacifier": "zircon zirconium tin titania titanium opacifier",
    "colourant": "colourant colorant stain pigment iron cobalt copper manganese chrome chromium nickel rutile ilmenite vanadium ochre umber",
    "alumina": "alumina corundum",
    "ash": "wood-ash plant-ash straw-ash volcanic-ash fly-ash",
    "additive": "additive gum cmc binder deflocculant dispersant flocculant preservative",
}
_FIRST_OF_SEVERAL: tuple[str, ...] = ("frit", "clay")  # a zinc borate frit is a frit, an iron-rich clay a clay


def kind_meant(text: str) -> str | None:
    """Return the kind that a word or name of the trade belongs to (``kaolin`` is a clay); None where none or several do."""
    words = re.findall(r"[a-z]+", text.lower())
    said = {*words, *(f"{one}-{other}" for one, other in pairwise(words))}
    fits = [kind for kind, known in _WORDS_OF_KINDS.items() if said & set(known.split())]
    first = [kind for kind in _FIRST_OF_SEVERAL if kind in fits]
    return first[0] if first else fits[0] if len(fits) == 1 else None
