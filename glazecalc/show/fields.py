"""The page of a value that no command prints: what it is called, and a line a field with its unit; what is a frame, as a table."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from numbers import Real
from typing import Any

from glazecalc.display import Shown
from glazecalc.show.table import table
from glazecalc.show.text import unit_text, wrapped

__all__ = ("head_of", "page")

_INDENT, _MOST_COLUMNS = 2, 6
_UNITS = {
    "percent": "%", "mg": "mg", "g": "g", "mm": "mm", "dm2": "dm2", "ml": "ml", "l": "l", "c": "C",
    "g_cm3": "g/cm3", "c_per_h": "C/h", "1e6_per_k": "1e-6 per K",
}  # fmt: skip  # how a field's name ends -> what its number is counted in


def page(value: Shown) -> str:
    """Return what is in a value, plainly."""
    rows = _of_frame(value)
    if rows is None:
        rows = _of_fields(value)
    name = getattr(value, "name", "")
    head = name if isinstance(name, str) and name else _words(type(value).__name__)
    return "\n".join([*wrapped(head, indent=0, hang=2), *rows])


def _of_frame(value: Any) -> list[str] | None:
    frame = value.to_frame() if hasattr(value, "to_frame") else None
    if frame is None or len(frame.columns) > _MOST_COLUMNS:
        return None
    units = {column: "" if unit.startswith("by row") else unit for column, unit in frame.attrs["units"].items()}
    frame = frame.reset_index() if frame.index.name else frame
    heads = [head_of(column, units.get(column, "")) for column in frame]
    cells = [["-" if cell != cell else _said(cell) for cell in row] for row in frame.itertuples(index=False)]
    left = [place for place, column in enumerate(frame) if frame[column].dtype.kind not in "if"]
    return table([heads, *cells], left=left)


def _of_fields(value: Any) -> list[str]:
    met: list[tuple[str, str]] = []
    for field in fields(value) if is_dataclass(value) else ():
        given = getattr(value, field.name)
        usual = field.default_factory() if field.default_factory is not MISSING else field.default
        if (
            field.name in ("name", "line", "path", "notices")
            or given is None
            or (usual is not MISSING and given == usual)
        ):
            continue
        word, unit = _unit_apart(field.name)
        met.append((word, f"{_said(given)}{f' {unit}' if unit else ''}"))
    wide = max((len(word) for word, _ in met), default=0) + 2
    return [line for word, said in met for line in wrapped(f"{word:{wide}}{said}", indent=_INDENT, hang=wide)]


def head_of(column: str, unit: str) -> str:
    """Return the head of a column, its unit in brackets and said once: ``pack [g]``."""
    return f"{_unit_apart(column)[0]} [{unit_text(unit)}]" if unit else column.replace("_", " ")


def _unit_apart(name: str) -> tuple[str, str]:
    """Return the name of a field in words, and the unit that it ends in."""
    for end in sorted(_UNITS, key=len, reverse=True):
        if name == end or name.endswith(f"_{end}"):
            word = name.removesuffix(end).rstrip("_") or name
            return word.replace("_", " "), _UNITS[end]
    return name.replace("_", " "), ""


def _said(given: Any) -> str:
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, Enum):
        return str(given.value)
    if isinstance(given, Real | Decimal):
        return f"{float(given) if isinstance(given, Fraction | Decimal) else given:.6g}"
    if isinstance(given, Mapping):
        return ", ".join(f"{_said(key)} {_said(item)}" for key, item in given.items()) or "none"
    if isinstance(given, tuple | list):
        return ", ".join(map(_said, given)) or "none"
    if is_dataclass(given):
        name = getattr(given, "name", "")
        return name if isinstance(name, str) and name else " ".join(str(given).split())
    shape = getattr(given, "shape", None)
    return str(given) if shape is None else f"{' x '.join(map(str, shape))} numbers"


def _words(name: str) -> str:
    """Return the name of a class in words: ``Weigh line``."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).capitalize()
