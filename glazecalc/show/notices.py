"""The notices that stand at the foot of a page: how a name was read that fits none exactly."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.errors import Notice
from glazecalc.show.text import wrapped

__all__ = ("name_readings", "notice_lines")

_READINGS = ("name-completed", "mesh-not-in-chemistry", "read-as-recipe")


def name_readings(notices: Iterable[Notice]) -> tuple[str, ...]:
    """Return how each loosely written name was read, each once; nothing where all were exact."""
    return tuple(dict.fromkeys(f"note: {notice.message}" for notice in notices if notice.code in _READINGS))


def notice_lines(notices: Iterable[Notice]) -> list[str]:
    """Return the same as lines of a page, after an empty one."""
    read = name_readings(notices)
    return ["", *(line for text in read for line in wrapped(text, indent=0, hang=2))] if read else []
