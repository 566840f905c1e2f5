"""The foot of every page: the notices, so that a printed page keeps how it was read and where its numbers come from."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.errors import Notice
from glazecalc.show.text import wrapped

__all__ = ("foot", "notice_texts", "with_notices")


def notice_texts(notices: Iterable[Notice]) -> tuple[str, ...]:
    """Return what the notices say, each once."""
    return tuple(dict.fromkeys(f"note: {notice.message}" for notice in notices))


def foot(notices: Iterable[Notice]) -> list[str]:
    """Return the lines of the foot: the notices after an empty line; nothing where there are none."""
    lines = [line for text in notice_texts(notices) for line in wrapped(text, indent=0, hang=2)]
    return ["", *lines] if lines else []


def with_notices(body: str, notices: Iterable[Notice]) -> str:
    """Return a page with its foot."""
    lines = foot(notices)
    return "\n".join([body.rstrip("\n"), *lines]) if lines else body
