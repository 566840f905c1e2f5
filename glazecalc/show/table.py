"""The one writer of tables: aligned columns in which nothing is ever cut; what is too long goes on below."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence

from glazecalc.show.text import WIDTH

__all__ = ("table",)

_NARROWEST = 12


def table(
    rows: Sequence[Sequence[str]],
    *,
    left: Collection[int] = (0,),
    indent: int = 2,
    gap: int = 2,
    width: int = WIDTH,
    wrap: int | Collection[int] | None = None,
    below: Sequence[Sequence[str]] = (),
    narrowest: int = _NARROWEST,
) -> list[str]:
    """Return rows of cells in aligned columns, within `width`; a short row is filled up with empty cells.

    The columns of `left` stand to the left, the others to the right. Where a row would be longer than `width`, the cells of the columns
    `wrap` (by default the first of `left`) go on below, down to the `narrowest` column. `below` holds for each row the lines that stand under it.
    """
    count = max(map(len, rows), default=0)
    filled = [[*row, *[""] * (count - len(row))] for row in rows]
    widths = [max(map(len, column)) for column in zip(*filled, strict=True)]
    first = [min(left, default=0)] if wrap is None else [wrap] if isinstance(wrap, int) else list(wrap)
    _narrow(widths, first, indent + gap * (count - 1), width, narrowest)
    lines = []
    for number, row in enumerate(filled):
        cells = [_broken(cell, widths[i], i in left) for i, cell in enumerate(row)]
        for k in range(max(map(len, cells), default=0)):
            parts = [part[k] if k < len(part) else "" for part in cells]
            shown = [part.ljust(widths[i]) if i in left else part.rjust(widths[i]) for i, part in enumerate(parts)]
            lines.append((" " * indent + (" " * gap).join(shown)).rstrip())
        lines += below[number] if below else ()
    return lines


def _narrow(widths: list[int], first: Sequence[int], spaces: int, width: int, narrowest: int) -> None:
    for columns in (first, range(len(widths))):
        while spaces + sum(widths) > width and (wide := [i for i in columns if widths[i] > narrowest]):
            widths[max(wide, key=lambda i: widths[i])] -= 1


def _broken(cell: str, width: int, to_left: bool) -> list[str]:
    if len(cell) <= width:
        return [cell]
    hang = " " * (len(cell) - len(cell.lstrip()) + 2) if to_left else ""
    return textwrap.wrap(cell, width, subsequent_indent=hang, break_on_hyphens=False)
