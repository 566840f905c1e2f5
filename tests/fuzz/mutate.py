"""A seeded mutator: it breaks bytes, lines, words, numbers and letters of a text as hands, editors and spreadsheets do."""

from __future__ import annotations

import random
import re
import unicodedata
from collections.abc import Callable, Sequence

__all__ = ("mutated",)

_NUMBER = re.compile(rb"\d+(?:[.,]\d+)?")
_WORD = re.compile(rb"[^\s,;:]+")
_MOST_BYTES = 60_000
_NUMBERS = (
    "0", "-0", "-1", "+5", "1e308", "1e-320", "1e999", "nan", "inf", "-inf", "1,5", "1.250", "1,250", "1.250,5", "1/0", "1/3", "20/25",
    "½", "1½", "٣", "²", "1_000", "0x10", "1 000", "1'000", "9" * 40, "9" * 5000, "0." + "0" * 400 + "1", "12%", "1..2", "<0.5", "~5",
    ".5", "5.", "1e5", "−3", "1–2", "100.5", "400",
)  # fmt: skip
_WORDS = (
    "", "silica", "kaolin", "litharge", "chromium oxide", "red iron oxide", "cmc gum", "bone ash", "cryolite", "cone 06", "cone 77", "+",
    "plus:", "#", "total", "base", "%", "g", "kg", "lb", "EUR", "XYZ", "SiO2", "PbO", "KNaO", "H2O", "null", "true", "~", "[", "]", "{", "}",
    "&a", "*a", "!!python/object:os.system", "|", "---", "...", '"', "'", "w" * 300, "-", "=SUM(A1)", "<b>", "&", "\\", "../r.txt",
    "--json", "--full", "--", "-h", "--step", "--materials",
)  # fmt: skip
_LETTERS = (
    "\u00a0", "\u2009", "\u200b", "\u3000", "\ufeff", "\u202e", "\u2028", "\u0085", "\u007f", "\u001b[31m", "\u009b", "\u0000", "\t", "\r",
    "\r\n", "\u0301", "é", "e\u0301", "ﬁ", "ß", "İ", "Å", "\U0001f3fa", "\ufffe", "\u200d", "‘", "″", "×", "\u00ad",
)  # fmt: skip
_RAW = (
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\x80",
    b"\xc3",
    b"\xed\xa0\x80",
    b"\xf4\x90\x80\x80",
    b"\x1b",
    b"\n",
    b"\r",
    b'"',
    b",",
    b";",
)

Change = Callable[[bytes, random.Random, Sequence[bytes]], bytes]


def mutated(data: bytes, choice: random.Random, others: Sequence[bytes] = ()) -> bytes:
    """Return `data` broken once to five times; `others` are texts of the same kind, of which pieces may be taken."""
    for _ in range(choice.choice((1, 1, 1, 2, 3, 5))):
        data = choice.choice(_CHANGES)(data, choice, others)[:_MOST_BYTES]
    return data


def _bytes(data: bytes, choice: random.Random, _others: Sequence[bytes]) -> bytes:
    at = choice.randint(0, len(data))
    to = min(len(data), at + choice.choice((0, 1, 1, 2, 8)))
    raw = choice.choice((b"", bytes([choice.randrange(256)]), choice.choice(_RAW), data[at:to] * 2))
    return data[:at] + raw + data[to:]


def _cut(data: bytes, choice: random.Random, _others: Sequence[bytes]) -> bytes:
    at = choice.randint(0, len(data))
    return choice.choice((data[:at], data[at:]))


def _lines(data: bytes, choice: random.Random, others: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    at = choice.randrange(len(lines))
    other = choice.choice(others or (data,)).split(b"\n")
    new = choice.choice(
        ([], [lines[at]] * 2, [lines[at]] * 300, [choice.choice(other)], [b""], [b"  " + lines[at]], [lines[at] * 40])
    )
    lines[at : at + 1] = new
    if choice.random() < 0.2:
        choice.shuffle(lines)
    return b"\n".join(lines)


def _words(data: bytes, choice: random.Random, others: Sequence[bytes]) -> bytes:
    taken = _WORD.findall(choice.choice(others or (data,))) or [b""]
    return _replace(data, choice, _WORD, choice.choice((choice.choice(_WORDS).encode(), choice.choice(taken))))


def _numbers(data: bytes, choice: random.Random, _others: Sequence[bytes]) -> bytes:
    return _replace(data, choice, _NUMBER, choice.choice(_NUMBERS).encode())


def _replace(data: bytes, choice: random.Random, pattern: re.Pattern[bytes], new: bytes) -> bytes:
    spans = [match.span() for match in pattern.finditer(data)] or [(len(data), len(data))]
    start, end = choice.choice(spans)
    return data[:start] + new + data[end:]


def _letters(data: bytes, choice: random.Random, _others: Sequence[bytes]) -> bytes:
    text = data.decode("utf-8", "replace")
    if choice.random() < 0.2:
        return unicodedata.normalize(choice.choice(("NFC", "NFD", "NFKC")), text).encode()
    if choice.random() < 0.2:
        return choice.choice((text.upper, text.lower, text.swapcase))().encode()
    if choice.random() < 0.1:
        return text.encode(choice.choice(("utf-16", "latin-1", "utf-8-sig")), "replace")
    at = choice.randint(0, len(text))
    return (text[:at] + choice.choice(_LETTERS) + text[at + choice.choice((0, 0, 1)) :]).encode()


_CHANGES: tuple[Change, ...] = (_bytes, _cut, _lines, _lines, _words, _words, _numbers, _numbers, _letters)
