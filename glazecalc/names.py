"""How names of materials are compared: which words count, and which names lie near to one that nobody has."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple
from unicodedata import normalize

from glazecalc.material import Material
from glazecalc.oxides import POISONS
from glazecalc.spelling import name_key, spelled_out

__all__ = ("NearNames", "without_mesh")

_MESH = re.compile(
    r"\(\s*#?\d{2,4}\s*(?:mesh|m|#)?\s*\)|\b\d{2,4}\s*(?:mesh\b|m\b|#)|#\s*\d{2,4}\b|\b(?:200|325|400)\b", re.IGNORECASE
)

# Words that say what sort of thing a material is, not which one.
_KIND_WORDS = {"clay": "clay", "feldspar": "feldspar", "frit": "frit", "ash": "ash", "oxide": "", "carbonate": ""}
_COMMON_WORDS = frozenset(
    (*_KIND_WORDS, "dioxide", "trioxide", "pentoxide", "ideal", "natural", "calcined", "basic", "raw", "ground", "mixed",
     "white", "black", "red", "green", "grey", "yellow", "high", "light", "american", "english")
)  # fmt: skip
_COMMON_WEIGHT = 0.3  # of a word like "oxide" beside one like "cobalt"; this program's own choice
_CLOSE_ENOUGH = 0.7  # share of the letters of both names that must agree; this program's own choice
_LONGEST_WORD = 40

_TRACE_PERCENT = 0.5  # what a feldspar may hold of baria without being a poison; this program's own choice
_POISON_OXIDES = (*POISONS, "BaO", "V2O5", "NiO")
_POISON_WORDS = (
    "antimon", "arsen", "barium", "beryll", "cadmi", "chromate", "cyanide", "fluorid", "lead", "mercur", "nickel",
    "selen", "thall", "uran", "vanad",
)  # fmt: skip


def without_mesh(name: str) -> str:
    """Return the name without its sieve: ``silica (325)`` is silica."""
    return _MESH.sub(" ", name).strip()


class _Known(NamedTuple):
    """One name of one material."""

    name: str
    material_id: str
    words: tuple[str, ...]
    squeezed: str
    sorts: frozenset[str]
    harmful: bool


class NearNames:
    """The names of a library, ready to be searched for those that an unknown name may stand for.

    A poison or a colourant is offered only for a slip of one letter in its own word; a word that names a kind
    (clay, feldspar, frit, ash, oxide, carbonate) keeps the search within that kind.
    """

    def __init__(self, materials: Iterable[Material]) -> None:
        self._by_length: dict[int, dict[str, int]] = defaultdict(dict)  # word -> its letters
        self._with_word: dict[str, list[_Known]] = defaultdict(list)
        for material in materials:
            for known in _names_of(material):
                for word in {*known.words, known.squeezed}:
                    self._by_length[len(word)][word] = _letters(word)
                    self._with_word[word].append(known)

    def suggest(self, name: str, *, most: int = 3) -> tuple[str, ...]:
        """Return the names nearest to `name`, best first, one a material; none where nothing is near."""
        words = spelled_out(name_key(name))
        squeezed = _squeezed(name)
        near = {word: self._near_words(word) for word in {*words, squeezed}}
        wanted = {word for word in words if word in _KIND_WORDS}
        telling = [word for word in words if word not in _COMMON_WORDS] or list(words)
        heard = (known for word in (*telling, squeezed) for other in near[word] for known in self._with_word[other])
        best: dict[str, tuple[float, str]] = {}
        for known in {id(known): known for known in heard}.values():
            if not wanted <= known.sorts:
                continue
            score = max(_agreement(words, known.words, near), _whole(squeezed, known, near))
            if score < _CLOSE_ENOUGH or (known.harmful and not _is_slip(words, squeezed, known, near)):
                continue
            if score > best.get(known.material_id, (0.0, ""))[0]:
                best[known.material_id] = (score, known.name)
        ranked = sorted(best.values(), key=lambda found: (-found[0], found[1]))
        return tuple(found for _, found in ranked[:most])

    def _near_words(self, word: str) -> dict[str, int]:
        """Return the known words a slip away from `word`, with the number of letters to change."""
        most = _slips_allowed(len(word))
        letters = _letters(word)
        found = {}
        for length in range(len(word) - most, len(word) + most + 1):
            for other, others in self._by_length.get(length, {}).items():
                if (letters ^ others).bit_count() <= 2 * most:
                    distance = _letters_apart(word, other, most)
                    if distance <= most:
                        found[other] = distance
        return found


def _names_of(material: Material) -> Iterator[_Known]:
    every_word = {word for name in material.names for word in spelled_out(name_key(name))}
    sorts = frozenset(w for w, kind in _KIND_WORDS.items() if w in every_word or material.kind == (kind or None))
    told = " ".join((*material.names, *material.hazards)).lower()
    poison = any(material.analysis.get(oxide, 0.0) > _TRACE_PERCENT for oxide in _POISON_OXIDES)
    harmful = material.kind == "colourant" or poison or any(word in told for word in _POISON_WORDS)
    for name in dict.fromkeys((material.name, *material.aliases, material.id)):
        shown = material.name if name == material.id else name
        yield _Known(shown, material.id, spelled_out(name_key(name)), _squeezed(name), sorts, harmful)


def _squeezed(name: str) -> str:
    return re.sub(r"[^\w.+%#]|_", "", normalize("NFC", name).lower())


def _weight(word: str) -> float:
    return len(word) * (_COMMON_WEIGHT if word in _COMMON_WORDS else 1.0)


def _agreement(words: tuple[str, ...], known: tuple[str, ...], near: dict[str, dict[str, int]]) -> float:
    """Return the share of the letters of both names that agree, word by word."""
    agreed = 0.0
    for word in words:
        hits = [near[word][other] for other in known if other in near[word]]
        if hits:
            agreed += 2.0 * _weight(word) * (1.0 - min(hits) / len(word))
    return agreed / (sum(map(_weight, words)) + sum(map(_weight, known)) or 1.0)


def _whole(squeezed: str, known: _Known, near: dict[str, dict[str, int]]) -> float:
    distance = near[squeezed].get(known.squeezed)
    return 0.0 if distance is None else 1.0 - distance / len(squeezed)


def _is_slip(words: tuple[str, ...], squeezed: str, known: _Known, near: dict[str, dict[str, int]]) -> bool:
    """Return True where every telling word of a poison was given, with at most one letter wrong in a long one."""

    def given(own: str, word: str) -> bool:
        distance = near[word].get(own)
        return distance == 0 or (distance == 1 and len(own) >= 5)

    telling = set(known.words) - _COMMON_WORDS
    return all(any(given(own, word) for word in words) for own in telling) or given(known.squeezed, squeezed)


def _slips_allowed(length: int) -> int:
    return 0 if length < 4 or length > _LONGEST_WORD else 1 if length < 8 else 2


def _letters(word: str) -> int:
    """Return the set of letters of a word as the bits of one number, quick to compare."""
    bits = 0
    for letter in word:
        bits |= 1 << (ord(letter) % 64)
    return bits


def _letters_apart(a: str, b: str, most: int) -> int:
    """Return the letters to change, add, drop or swap between two words; `most` + 1 stands for anything beyond `most`."""
    if a == b:
        return 0
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, letter in enumerate(a, 1):
        two_before, before, row = before, row, [i]
        for j, other in enumerate(b, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == b[j - 2] and a[i - 2] == other:
                cost = min(cost, two_before[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
    return row[-1]
