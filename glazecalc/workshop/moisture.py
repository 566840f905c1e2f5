"""How moist a bag may be: what is no bag at all is refused, what is hardly one is asked about."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.errors import Notice, WorkshopError
from glazecalc.workshop.practice import choice

__all__ = ("questioned_moisture",)


def questioned_moisture(bags: Iterable[tuple[str, float]]) -> tuple[Notice, ...]:
    """Return the question whether each moisture is meant that is more than a bag holds: name and water [% of the dry weight]."""
    asks, most = choice("moisture_asks_percent"), choice("moisture_most_percent")
    said = []
    for name, percent in dict.fromkeys(bags):
        if percent >= most:
            slip = f" Was {percent - most:g} % meant?" if 0 < percent - most < asks else ""
            text = f"{name}: {percent:g} % of water on the dry weight is more water than powder; no bag holds that."
            raise WorkshopError(text, f"Write it like 'kaolin 8.7%', on the dry weight.{slip}")
        if percent > asks:
            text = f"{name}: {percent:.0f} % of water on the dry weight is a paste rather than a powder: is it meant?"
            said.append(Notice("large-moisture", text))
    return tuple(said)
