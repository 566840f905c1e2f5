"""The page of one tile of a series: what to weigh, what is calculated of it, and its cautions."""

from __future__ import annotations

from glazecalc.reformulate.series import Tile
from glazecalc.show.cautions import caution_lines
from glazecalc.show.table import table
from glazecalc.show.text import heading, rule, unit_text, wrapped
from glazecalc.show.unity import unity_block

__all__ = ("page",)


def page(tile: Tile) -> str:
    """Return the tile as the page of its series has it, alone."""
    rows = [
        [f"{'+ ' if line.addition else ''}{line.name}", f"{line.mass_g:g}", "fine scale" if line.fine_scale else ""]
        for line in tile.lines
    ]
    total = sum(line.mass_g for line in tile.lines)
    lines = [*heading(f"Tile {tile.number}: {tile.recipe.name}", tile.code), rule(), "Weigh, g"]
    lines += [*table([*rows, ["total", f"{total:g}", ""]], left=(0, 2)), ""]
    lines += unity_block(tile.unity) if tile.unity is not None else ["no unity formula: nothing to divide by"]
    if tile.estimates:
        estimates = [
            [one.name, unit_text(str(one)), "" if one.in_window else "outside the tested range"]
            for one in tile.estimates
        ]
        lines += ["", "Calculated", *table(estimates, left=(0, 1, 2))]
    if tile.cautions:
        lines += ["", *wrapped("Cautions ('glazecalc check' shows each in full)", indent=0)]
        lines += caution_lines(tile.cautions, rest="check --full")
    return "\n".join(lines)
