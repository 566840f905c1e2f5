"""How a value shows itself in one line, whatever it holds: its class and the fields that say something."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import wraps
from typing import Any

__all__ = ("Brief",)

_LONGEST, _LONGEST_WORD = 199, 40  # letters; this program's own choice


class Brief:
    """A value whose ``repr`` is one line under 200 letters: its own where it has one, else class and fields, defaults left out."""

    __slots__ = ()

    def __init_subclass__(cls) -> None:
        """Set the line into the class itself: a dataclass writes none of its own over one that stands there."""
        cls.__repr__ = _one_line(cls.__repr__)  # type: ignore[method-assign]

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(_said(self))})"


def _one_line(own: Callable[[Any], str]) -> Callable[[Any], str]:
    if hasattr(own, "__wrapped__"):
        return own

    @wraps(own)
    def line(self: Any) -> str:
        text = " ".join(own(self).split())
        return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 2]}…{text[-1]}"

    return line


def _said(value: Any) -> Iterable[str]:
    for field in fields(value) if is_dataclass(value) else ():
        given = getattr(value, field.name)
        usual = field.default_factory() if field.default_factory is not MISSING else field.default
        if field.repr and (usual is MISSING or type(given) is not type(usual) or given != usual):
            yield f"{field.name}={_word(given)}"


def _word(given: Any) -> str:
    """Return one field in a word or two: what holds others by how many there are."""
    if isinstance(given, Enum):
        return given.name
    if isinstance(given, str):
        return repr(given if len(given) <= _LONGEST_WORD else f"{given[: _LONGEST_WORD - 1]}…")
    if isinstance(given, float):
        return f"{given:.6g}"
    if is_dataclass(given) and not isinstance(given, Mapping):
        return f"<{type(given).__name__}>"
    if isinstance(given, Mapping):
        return f"{{{len(given)} entries}}"
    if isinstance(given, tuple | list):
        alike = len(given) < 4 and all(isinstance(item, str | float | int | None) for item in given)
        return f"({', '.join(map(_word, given))})" if alike else f"({len(given)} of {type(given[0]).__name__})"
    shape = getattr(given, "shape", None)
    return f"<{type(given).__name__} {shape}>" if shape is not None else str(given)
