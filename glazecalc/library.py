"""The library in which the names of materials are looked up."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from glazecalc.errors import AmbiguousNameError, Notice, UnknownNameError, did_you_mean
from glazecalc.material import Material

__all__ = ("MaterialLibrary", "name_key")

_WORDS = {"spar": "feldspar", "spars": "feldspar", "carb": "carbonate", "ox": "oxide", "calc": "calcined"}
_MESH = re.compile(
    r"\(\s*#?\d{2,4}\s*(?:mesh|m|#)?\s*\)|\b\d{2,4}\s*(?:mesh\b|m\b|#)|#\s*\d{2,4}\b|\b(?:200|325|400)\b", re.IGNORECASE
)


@cache
def name_key(name: str) -> tuple[str, ...]:
    """Return the words of a name, in lower case and sorted: what counts when names are compared."""
    return tuple(sorted(re.findall(r"[\w.+%#]+", name.lower().replace("_", " ").replace("-", " "))))


class MaterialLibrary(Mapping[str, Material]):
    """Materials by id, looked up by any of their names; read-only.

    Parameters
    ----------
    materials : iterable of Material
        Later ones hide earlier ones of the same id (a user's folder over the bundled one); `notices` says which.
    notices : iterable of Notice
        What the reading of the files found.
    """

    def __init__(self, materials: Iterable[Material], notices: Iterable[Notice] = ()) -> None:
        self._by_id: dict[str, Material] = {}
        self._by_key: dict[tuple[str, ...], str] = {}
        found = list(notices)
        for material in materials:
            found.extend(self._add(material))
        self.notices: tuple[Notice, ...] = tuple(found)

    def _add(self, material: Material) -> Iterator[Notice]:
        hidden = {self._by_key[name_key(n)] for n in material.names if name_key(n) in self._by_key} | (
            {material.id} & self._by_id.keys()
        )
        for other_id in sorted(hidden):
            other = self._by_id[other_id]
            if material.id == other_id or name_key(material.name) in {name_key(other.id), name_key(other.name)}:
                yield Notice(
                    "material-hides-bundled",
                    f"{material.name} ({material.path}) stands in place of {other.name} ({other.path}).",
                )
                del self._by_id[other_id]
                self._by_key = {key: value for key, value in self._by_key.items() if value != other_id}
            else:
                taken = [n for n in material.names if self._by_key.get(name_key(n)) == other_id]
                yield Notice(
                    "material-name-taken",
                    f"{material.name} ({material.path}) takes the name '{', '.join(taken)}' from {other.name} ({other.path}).",
                )
        self._by_id[material.id] = material
        for name in material.names:
            self._by_key[name_key(name)] = material.id

    def __getitem__(self, key: str) -> Material:
        return self._by_id[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_id)

    def __len__(self) -> int:
        return len(self._by_id)

    def __repr__(self) -> str:
        return f"<MaterialLibrary of {len(self)} materials>"

    def find(self, name: str) -> tuple[Material, tuple[Notice, ...]]:
        """Return the material that `name` means, and what must be said about how it was found.

        Raises
        ------
        AmbiguousNameError
            If several materials fit; they are named.
        UnknownNameError
            If none does; near names are given.
        """
        exact = self._by_key.get(name_key(name))
        if exact is not None:
            return self._by_id[exact], ()
        bare = _MESH.sub(" ", name).strip()
        if bare and bare != name.strip():
            exact = self._by_key.get(name_key(bare))
            if exact is not None:
                found = self._by_id[exact]
                return found, (
                    Notice(
                        "mesh-not-in-chemistry",
                        f"'{name}' is read as {found.name}; mesh changes melting, not the analysis.",
                    ),
                )
        fits = self._fits(bare or name)
        if len(fits) == 1:
            return fits[0], (Notice("name-completed", f"'{name}' is read as {fits[0].name}."),)
        if fits:
            names = sorted(material.name for material in fits)
            shown = ", ".join(names[:20]) + (f" and {len(names) - 20} more" if len(names) > 20 else "")
            raise AmbiguousNameError(f"'{name}' fits several materials: {shown}.", "Write which one.")
        known = [n for material in self._by_id.values() for n in material.names]
        raise UnknownNameError(
            f"no material is called '{name[:80]}'.",
            did_you_mean(name, known) or "'glazecalc materials' lists all; --materials DIR adds your own.",
        )

    def _fits(self, name: str) -> list[Material]:
        words = [_WORDS.get(word, word) for word in name_key(name)]
        if not words:
            return []
        spelled_out = self._by_key.get(tuple(sorted(words)))
        if spelled_out is not None:
            return [self._by_id[spelled_out]]
        whole: dict[str, Material] = {}
        begun: dict[str, Material] = {}
        for key, material_id in self._by_key.items():
            if all(word in key for word in words):
                whole[material_id] = self._by_id[material_id]
            elif all(any(part.startswith(word) for part in key) for word in words if len(word) >= 3) and all(
                len(word) >= 3 for word in words
            ):
                begun[material_id] = self._by_id[material_id]
        fits = list((whole or begun).values())
        plain = [m for m in fits if all(other is m or _is_plainer(m, other) for other in fits)]
        return plain or fits


def _is_plainer(material: Material, other: Material) -> bool:
    # "red iron oxide" is plainer than "red iron oxide, natural": every word of the one stands in the other
    return any(
        set(name_key(a)) < set(name_key(b)) for a in (material.name, material.id) for b in (other.name, other.id)
    )
