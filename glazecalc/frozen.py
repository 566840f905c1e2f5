"""A mapping that cannot be changed and, unlike the standard library's, can be pickled and copied."""

from __future__ import annotations

from collections.abc import ItemsView, Iterable, Iterator, Mapping
from typing import Any, TypeVar

__all__ = ("FrozenDict",)

K = TypeVar("K")
V = TypeVar("V", covariant=True)


class FrozenDict(Mapping[K, V]):
    """A read-only copy of a mapping, in the same order."""

    __slots__ = ("_hash", "_items")
    _items: dict[K, V]
    _hash: int

    def __init__(self, items: Mapping[K, V] | Iterable[tuple[K, V]] = ()) -> None:
        object.__setattr__(self, "_items", dict(items))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a frozen mapping cannot be changed.")

    def __getitem__(self, key: K) -> V:
        return self._items[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def items(self) -> ItemsView[K, V]:
        """Return the pairs, straight from the dictionary within: the inherited way looks every key up again."""
        return self._items.items()

    def __contains__(self, key: object) -> bool:
        return key in self._items

    def __hash__(self) -> int:
        try:
            return self._hash
        except AttributeError:  # asked for the first time; a material is asked for again and again
            object.__setattr__(self, "_hash", hash(frozenset(self._items.items())))
            return self._hash

    def __repr__(self) -> str:
        return repr(self._items)

    def __reduce__(self) -> tuple[Any, ...]:
        return FrozenDict, (dict(self._items),)
