"""The page of a spread: low and high of every number that was sampled."""

from __future__ import annotations

from collections.abc import Mapping

from glazecalc.estimate.spread import SampledRange, Spread
from glazecalc.show.table import table
from glazecalc.show.text import number, wrapped

__all__ = ("page", "spread_head")


def page(spread: Spread) -> str:
    """Return the ranges in one table, the convention of the unity formula above it and what was assumed below."""
    blocks = (
        ("unity formula [mol]", spread.unity, 2),
        ("", {"SiO2:Al2O3": spread.silica_alumina_ratio} if spread.silica_alumina_ratio else {}, 1),
        ("fired analysis [wt %]", spread.fired, 1),
        ("estimates, bags alone", spread.estimates, 1),
        ("estimates, bags and model", spread.estimates_with_model_error, 1),
    )
    rows = [row for head, ranges, digits in blocks for row in _rows(head, ranges, digits)]
    lines = [spread_head(spread), *wrapped(spread.convention.description, indent=2)]
    lines += table([["", "", "low", "high"], *rows], left=(0, 1), wrap=1)
    return "\n".join([*lines, *(line for text in spread.basis for line in wrapped(f"{text}."))])


def spread_head(spread: Spread) -> str:
    """Return the line above a spread: what share of how many draws lies within, and of what they are."""
    draws = f"{100 * spread.level:.0f} % of {spread.samples} random draws (start {spread.seed})"
    return f"SPREAD  {draws}, material and weighing variation only"


def _rows(head: str, ranges: Mapping[str, SampledRange], digits: int) -> list[list[str]]:
    heads = [head, *[""] * (len(ranges) - 1)]
    return [
        [first, name, number(ends.low, digits), number(ends.high, digits)]
        for first, (name, ends) in zip(heads, ranges.items(), strict=bool(ranges))
    ]
