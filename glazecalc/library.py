"""The library in which the names of materials are looked up."""

from __future__ import annotations

import math
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from dataclasses import replace
from os import PathLike
from typing import TYPE_CHECKING, Any, ClassVar, cast

from glazecalc.display import Shown
from glazecalc.errors import AmbiguousNameError, ArgumentError, Notice, UnknownNameError
from glazecalc.material import Material
from glazecalc.names import NearNames, without_mesh
from glazecalc.oxides import AXIS
from glazecalc.spelling import name_key, spelled_out

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("MaterialLibrary", "OnFile", "library_of")

_MOST_SHOWN = 20


class OnFile:
    """A material that is known by its names as yet; `read` gives the whole of it, once, when it is needed."""

    __slots__ = ("_known", "_read", "id", "name", "names", "path")

    def __init__(self, names: tuple[str, ...], path: str, read: Callable[[], Material]) -> None:
        self.id, self.name, *_ = self.names = names
        self.path = path
        self._read = read
        self._known: Material | None = None

    @property
    def material(self) -> Material:
        """The material itself."""
        if self._known is None:
            self._known = self._read()
        return self._known


class MaterialLibrary(Shown, Mapping[str, Material]):
    """Materials by id, looked up by any of their names; read-only.

    Parameters
    ----------
    materials : iterable of Material
        Later ones hide earlier ones of the same id or name (a user's folder over the bundled one); `notices` says which.
    """

    PAGE: ClassVar[str] = "material_list"
    JSON: ClassVar[tuple[str, ...]] = ("materials", "notices")

    def __init__(self, materials: Iterable[Material]) -> None:
        self._by_id: dict[str, Material | OnFile] = {}
        self._by_key: dict[tuple[str, ...], str] = {}
        self._near_names: NearNames | None = None  # made where a name is unknown, and kept
        self.notices = tuple(notice for entry in _all_materials(materials) for notice in self._add(entry))
        self._by_word: dict[str, set[tuple[str, ...]]] = {}
        for key in self._by_key:
            for word in key:
                self._by_word.setdefault(word, set()).add(key)

    def _add(self, entry: Material | OnFile) -> Iterator[Notice]:
        keys = {name_key(name): name for name in entry.names}
        hidden = {self._by_key[key] for key in keys if key in self._by_key} | ({entry.id} & self._by_id.keys())
        if hidden:
            entry = yield from self._hiding(sorted(hidden), _read(entry), keys)
        self._by_id[entry.id] = entry
        self._by_key |= dict.fromkeys(keys, entry.id)

    def _hiding(
        self, hidden: list[str], material: Material, keys: Mapping[tuple[str, ...], str]
    ) -> Generator[Notice, None, Material]:
        """Yield what must be said of the materials whose ids or names this one takes; return it with what it keeps of them."""
        kept: list[Material] = []
        for other in (self[other_id] for other_id in hidden):
            new, old = f"{material.name} ({material.path})", f"{other.name} ({other.path})"
            if material.id == other.id or name_key(material.name) in {name_key(other.id), name_key(other.name)}:
                more = {*other.hazards, *other.inherited_hazards} - {*material.hazards, *material.inherited_hazards}
                keeps = bool(more) and not (material.hazards_note and not material.hazards)
                also = " and keeps its hazards" if keeps else ""
                yield Notice("material-hides-bundled", f"{new} stands in place of {old}{also}.")
                kept += [other] if keeps else []
                del self._by_id[other.id]
                self._by_key = {key: value for key, value in self._by_key.items() if value != other.id}
            else:
                taken = ", ".join(name for key, name in keys.items() if self._by_key.get(key) == other.id)
                yield Notice("material-name-taken", f"{new} takes the name '{taken}' from {old}.")
        if kept:
            theirs = (key for other in kept for key in (*other.hazards, *other.inherited_hazards))
            material = replace(
                material,
                inherited_hazards=tuple(dict.fromkeys((*material.inherited_hazards, *theirs))),
                inherited_from=" and ".join(other.name for other in kept),
            )
        return material

    def to_frame(self) -> pd.DataFrame:
        """Return one row a material, by id: its name, what it is, and its analysis; NaN where an oxide or the loss was not reported."""
        import pandas as pd

        held = {oxide for material in self.values() for oxide in material.analysis}
        rows = [
            {
                "name": material.name,
                "kind": material.kind,
                "basis": material.basis,
                "for_sale": material.for_sale,
                "loi_percent": math.nan if material.loi_percent is None else material.loi_percent,
                **{oxide: material.analysis.get(oxide, math.nan) for oxide in AXIS if oxide in held},
            }
            for material in self.values()
        ]
        frame = pd.DataFrame(rows, index=pd.Index(list(self), name="material"))
        frame.attrs["units"] = {column: "wt %" for column in frame.columns if column == "loi_percent" or column in held}
        frame.attrs["notices"] = [notice.message for notice in self.notices]
        return frame

    def __getitem__(self, key: str) -> Material:
        if key in self._by_id:
            return _read(self._by_id[key])
        raise UnknownNameError(f"no material has the id {key!r}.", f"To look up a name write materials.find({key!r}).")

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_id)

    def __len__(self) -> int:
        return len(self._by_id)

    @property
    def materials(self) -> tuple[Material, ...]:
        """Every material, in the order of reading."""
        return tuple(self.values())

    def __getstate__(self) -> dict[str, Any]:
        """Return what is pickled: every material itself, wherever it goes."""
        return self.__dict__ | {"_by_id": dict(self)}

    def __repr__(self) -> str:
        return f"<MaterialLibrary of {len(self)} materials>"

    def with_material(self, material: Material) -> MaterialLibrary:
        """Return the library with one material more; it hides what has its id or name, which `notices` says."""
        return library_of([*self._by_id.values(), material])

    def exact(self, name: str) -> Material | None:
        """Return the material with this id, name or alias, or None; case, word order, hyphens and commas do not count."""
        if not isinstance(name, str):
            raise ArgumentError(f"{name!r} is of type {type(name).__name__}; the name of a material was expected.")
        found = self._by_key.get(name_key(name))
        return None if found is None else self[found]

    def candidates(self, name: str) -> tuple[tuple[Material, ...], tuple[Notice, ...]]:
        """Return every material that `name` may mean, and what must be said where that is just one.

        An exact name stands before everything; then the name without its mesh; then short words spelled out; then names
        that hold, or begin with, the words given. Empty where nothing fits.
        """
        exact = self.exact(name)
        if exact is not None:
            return (exact,), ()
        nearly = self._nearly_exact(name)
        if nearly is not None:
            return (nearly[0],), (nearly[1],)
        fits = self._holding(spelled_out(name_key(without_mesh(name) or name)))
        return tuple(fits), (_completed(name, fits[0]),) if len(fits) == 1 else ()

    def find(self, name: str, *, suggest: bool = True) -> tuple[Material, tuple[Notice, ...]]:
        """Return the material that `name` means, and what must be said about how it was found.

        An AmbiguousNameError names the materials where several fit; an UnknownNameError gives near names where none does,
        which takes a while and may be left out: `suggest`.
        """
        fits, said = self.candidates(name)
        if not fits:
            raise UnknownNameError(f"no material is called '{name[:80]}'.", self._near(name) if suggest else "")
        return _only(name, fits, "materials"), said

    def find_in(
        self, name: str, own: Iterable[Material], *, suggest: bool = True
    ) -> tuple[Material, tuple[Notice, ...]]:
        """Return the material that `name` means where one speaks about a recipe whose materials are `own`.

        An exact name means that material, whether or not it is one of `own`. A name that fits nothing exactly is
        looked for among `own` first and in the whole library after that. Whether a material outside `own` will do is for
        the caller to say. Errors are those of `find`.
        """
        recipe_has = MaterialLibrary({material.id: material for material in own}.values())
        exact = self.exact(name) or recipe_has.exact(name)
        if exact is not None:
            return exact, ()
        if self._nearly_exact(name) is None:
            fits, _ = recipe_has.candidates(name)
            if fits:
                meant = _only(name, fits, "materials of the recipe")
                return meant, (Notice("read-as-recipe", f"'{name}' is read as the recipe's {meant.name}."),)
        return self.find(name, suggest=suggest)

    def _nearly_exact(self, name: str) -> tuple[Material, Notice] | None:
        """Return the material whose name this is without the mesh, or with its short words in full."""
        bare = without_mesh(name)
        if bare and bare != name.strip():
            found = self.exact(bare)
            if found is not None:
                text = f"'{name}' is read as {found.name}; mesh changes melting, not the analysis."
                return found, Notice("mesh-not-in-chemistry", text)
        spelled = self._by_key.get(spelled_out(name_key(bare or name)))
        return None if spelled is None else (self[spelled], _completed(name, self[spelled]))

    def _holding(self, words: tuple[str, ...]) -> list[Material]:
        if not words:
            return []
        whole = set.intersection(*(self._by_word.get(word, set()) for word in words))
        if not whole and all(len(word) >= 3 for word in words):
            whole = set.intersection(*(self._beginning_with(word) for word in words))
        fits = [self[found] for found in dict.fromkeys(self._by_key[key] for key in self._by_key if key in whole)]
        plain = [m for m in fits if all(other is m or _is_plainer(m, other) for other in fits)]
        return plain or fits

    def _beginning_with(self, word: str) -> set[tuple[str, ...]]:
        return {key for known, keys in self._by_word.items() if known.startswith(word) for key in keys}

    def _near(self, name: str) -> str:
        if self._near_names is None:
            self._near_names = NearNames(self.values())
        key = name_key(name)
        stand_ins = [m for m in self.values() if key in map(name_key, m.instead_of)]
        sold_first = sorted(stand_ins, key=lambda material: not material.for_sale)
        near = tuple(m.name for m in sold_first) or self._near_names.suggest(name)
        if not near:
            return "'glazecalc materials' lists all; --materials DIR adds your own."
        return f"Did you mean {' or '.join(repr(found) for found in near)}?"


def library_of(entries: Iterable[Material | OnFile]) -> MaterialLibrary:
    """Return a library of materials some of which are not read yet."""
    return MaterialLibrary(cast("Iterable[Material]", entries))


def _read(entry: Material | OnFile) -> Material:
    return entry.material if isinstance(entry, OnFile) else entry


def _all_materials(given: Iterable[Material]) -> Iterable[Material | OnFile]:
    found: list[Any] = list(given) if isinstance(given, Iterable) and not isinstance(given, str | Mapping) else [given]
    for item in found:
        if not isinstance(item, Material | OnFile):
            loads = f"Load them first: gc.load_materials({str(item)!r})." if isinstance(item, str | PathLike) else ""
            message = f"{item!r} is of type {type(item).__name__}; a list of Material was expected."
            raise ArgumentError(message, loads or "Write gc.MaterialLibrary([material, ...]).")
    return found


def _completed(name: str, found: Material) -> Notice:
    return Notice("name-completed", f"'{name}' is read as {found.name}.")


def _only(name: str, fits: tuple[Material, ...], what: str) -> Material:
    if len(fits) == 1:
        return fits[0]
    names = [m.name for m in sorted(fits, key=lambda material: (not material.for_sale, material.name))]
    more = f" and {len(names) - _MOST_SHOWN} more" if len(names) > _MOST_SHOWN else ""
    shown = ", ".join(names[:_MOST_SHOWN])
    raise AmbiguousNameError(f"'{name}' fits several {what}: {shown}{more}.", "Write which one.")


def _is_plainer(material: Material, other: Material) -> bool:
    # "red iron oxide" is plainer than "red iron oxide, natural": every word of the one stands in the other
    longer = [set(name_key(name)) for name in (other.name, other.id)]
    return any(set(name_key(name)) < words for name in (material.name, material.id) for words in longer)
