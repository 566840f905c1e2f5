"""Which words of a name count: what makes two spellings one name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from unicodedata import normalize

__all__ = ("name_key", "plain_letters", "spelled_out")

_SHORT_FORMS = {"spar": "feldspar", "spars": "feldspar", "carb": "carbonate", "ox": "oxide", "calc": "calcined"}


@lru_cache(maxsize=16_384)
def name_key(name: str) -> tuple[str, ...]:
    """Return the words of a name, in lower case and sorted: what counts when names are compared."""
    return tuple(sorted(re.findall(r"[\w.+%#]+", normalize("NFC", name).lower().replace("_", " ").replace("-", " "))))


def plain_letters(word: str) -> str:
    """Return a word in small letters as a pattern reads it that takes no note of case: a long s is an s, a dotted capital I an i."""
    return word.casefold().replace("i\u0307", "i").replace("\u0131", "i")


def spelled_out(words: Iterable[str]) -> tuple[str, ...]:
    """Return the key of a name with its short words in full: ``cobalt carb`` is cobalt carbonate."""
    return tuple(sorted(_SHORT_FORMS.get(word, word) for word in words))
