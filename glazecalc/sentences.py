"""Words put together for a page: lists, and a text as a sentence begins."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ("and_list", "capital", "some")


def capital(text: str) -> str:
    """Return a text that begins with a capital letter; the rest stays."""
    return f"{text[:1].upper()}{text[1:]}"


def and_list(words: Sequence[str]) -> str:
    """Return ``a, b and c``."""
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else "".join(words)


def some(words: Sequence[str], most: int = 3) -> str:
    """Return ``a, b and c``, what is more than `most` counted."""
    shown = list(words[:most])
    return and_list([*shown, f"{len(words) - most} more"] if len(words) > most else shown)
