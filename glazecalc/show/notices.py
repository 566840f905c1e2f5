"""The notices that stand at the foot of a page: how a name was read that fits none exactly."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.errors import Notice
from glazecalc.show.text import wrapped

__all__ = ("notice_lines",)

_READINGS = ("name-completed", "mesh-not-in-chemistry", "read-as-recipe")


def notice_lines(notices: Iterable[Notice]) -> list[str]:
    """Return an empty line and how each loosely written name was read; nothing where all were exact."""
    read = dict.fromkeys(notice.message for notice in notices if notice.code in _READINGS)
    return ["", *(line for message in read for line in wrapped(f"note: {message}", indent=0, hang=2))] if read else []
