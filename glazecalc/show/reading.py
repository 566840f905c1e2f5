"""One of the eight short answers by itself: what is said, on what ground, and what settles it."""

from __future__ import annotations

from glazecalc.readings.reading import Reading
from glazecalc.show.text import bullet

__all__ = ("page",)

_LABEL = 10


def page(reading: Reading) -> str:
    """Return the page of a reading."""
    parts = ((reading.about, reading.says), ("  ground", reading.because), ("  do", reading.do))
    return "\n".join(line for lead, text in parts for line in bullet(lead, text, width=_LABEL))
