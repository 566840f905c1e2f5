"""Text as people paste it: what counts as a space, what no text may carry; how an output shows such a character, and a range."""

from __future__ import annotations

import re

__all__ = ("code_point", "forbidden", "span_text", "visible", "with_plain_spaces")

_ZERO_WIDTH = "\u180e\u200b\u2060\ufeff"
_WIDE = "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
_PLAIN = str.maketrans(dict.fromkeys(_WIDE + _ZERO_WIDTH, " "))
_LEADING = re.compile(rf"^[{_ZERO_WIDTH}]+", re.MULTILINE)
# Control characters, the signs that turn the direction of writing, line separators, halves of characters, tags.
_FORBIDDEN = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u206f\ufff9-\ufffb\U000e0000-\U000e007f"
)
_IN_LINES = re.compile(f"[{_FORBIDDEN}\ud800-\udfff]")
_IN_ONE_LINE = re.compile(f"[{_FORBIDDEN}\ud800-\udfff\t\n\r]")
_ON_A_PAGE = re.compile(f"[{_FORBIDDEN}\r]")  # halves of characters no output can encode


def with_plain_spaces(text: str) -> str:
    """Return `text` with every other space (no-break, thin, ideographic, zero-width) as a plain one; lines stay lines."""
    return text if text.isascii() else _LEADING.sub("", text).translate(_PLAIN)


def forbidden(text: str, *, lines: bool = False) -> re.Match[str] | None:
    """Return the first character that no text may carry; `lines` lets line ends and tabs pass."""
    return (_IN_LINES if lines else _IN_ONE_LINE).search(text)


def code_point(character: str) -> str:
    """Return a character by its number: ``U+001B``."""
    return f"U+{ord(character):04X}"


def span_text(low: float, high: float, shape: str = ".1f") -> str:
    """Return ``5.1 to 5.9``; ends that print alike are one number."""
    first, last = format(low, shape), format(high, shape)
    return first if first == last else f"{first} to {last}"


def visible(text: str) -> str:
    """Return `text` for a terminal or a page: a character that none may carry stands there by its number, ``<U+001B>``."""
    return _ON_A_PAGE.sub(lambda found: f"<{code_point(found[0])}>", text)
