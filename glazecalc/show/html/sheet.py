"""The weighing card: water first, then the powders with a box to tick and a running total; one page of A4 or Letter, one telephone wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from glazecalc.caution.bench import short_cautions
from glazecalc.sentences import capital
from glazecalc.show.sheet import BENCH, beside, heads, notes, signatures, sums, water_lines
from glazecalc.workshop.practice import basis, choice, choice_basis
from glazecalc.workshop.weighing_list import ScaledBatch, list_unit, sheet_rows

__all__ = ("BOX", "card", "page", "slurry_sources")

BOX = "\u2610"  # where a text of the card asks for a box, the template sets one to tick


def page(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
    bench: Sequence[str] | None = None,
) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts; without `bench` the cautions are those of the materials on the list."""
    title, *line = heads(scaled, date, batch_no)
    below = short_cautions(scaled.materials) if bench is None else bench
    return "sheet.html", {
        "title": title,
        "line": " \u00b7 ".join(line),
        "card": card(scaled, unit=unit, mesh=mesh),
        "bench": BENCH,
        "cautions": below,
        "sources": list(slurry_sources(scaled)),
    }


def card(scaled: ScaledBatch, *, unit: str = "g", mesh: str = "") -> dict[str, Any]:
    """Return the parts of the list itself, without heading, cautions and foot; another page may hold it."""
    rows, written = sheet_rows(scaled, unit=unit), list_unit(scaled, unit)
    total, *further = sums(scaled, rows, written)
    return {
        "water": water_lines(scaled, BOX),
        "heads": [f"{word} {written.heading}".rstrip() for word in ("weigh", "running")],
        "lines": [
            {
                "name": row.line.name,
                "addition": row.line.addition,
                "first_addition": row.line.addition and not (place and rows[place - 1].line.addition),
                "weigh": written.number(row.printed),
                "running": written.number(row.running),
                "beside": beside(row, written, BOX),
            }
            for place, row in enumerate(rows)
        ],
        "total": capital(total),
        "by_hand": [(name, said, name == "sieve" and bool(said)) for name, said in signatures(scaled, mesh)],
        "notes": [*further, *notes(scaled)],
    }


def slurry_sources(scaled: ScaledBatch) -> Iterator[tuple[str, str]]:
    """Yield what the water of a list stands on; nothing where no gravity was asked for."""
    if scaled.density is None:
        return
    yield "water", basis("slurry")
    if not scaled.density.given:
        yield "density of the powders", "the densities in the files of the materials, by the volumes of their grains"
    if water_lines(scaled):
        yield "held back", f"{choice('hold_back_percent'):g} % of the water, {choice_basis('hold_back_percent')}"
