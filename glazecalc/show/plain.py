"""Any value of the program as plain values for JSON: one function, and the keys that each class names."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from os import PathLike
from typing import Any

__all__ = ("keyed", "plain")


def plain(value: Any) -> Any:
    """Return `value` as dicts, lists, texts, numbers, true, false and null; numbers stay unrounded.

    A class that names `JSON` gives these keys in this order, null where the way to one is cut short by None; another dataclass
    gives its fields. Mappings keep their order.
    """
    if value is None or isinstance(value, (bool, int, float)) or type(value) is str:
        return value
    if isinstance(value, Enum):
        return plain(value.value)
    if isinstance(value, str | PathLike):
        return str(value)
    if isinstance(value, Fraction | Decimal):
        return float(value)
    if names := getattr(type(value), "JSON", ()):
        return keyed(value, names)
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if dataclasses.is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Iterable):
        return [plain(item) for item in value]
    if hasattr(value, "item"):  # a numpy scalar
        return value.item()
    raise TypeError(f"{type(value).__name__} has no plain form.")


def keyed(value: Any, names: Iterable[str]) -> dict[str, Any]:
    """Return what stands under each of `names`, ``"key"`` or ``"key=path.to.attribute"``, as plain values."""
    return {key: plain(_at(value, path or key)) for key, _, path in (name.partition("=") for name in names)}


def _at(value: Any, path: str) -> Any:
    """Return the attribute at the end of a dotted path, None where a part of the way is None."""
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    return value
