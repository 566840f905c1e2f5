"""The one reader of CSV: recipes, firings, release results, prices and stock stand in tables of the same rules.

Comma, semicolon or tab between the cells; ``#`` starts a comment, on a line of its own or after white space; quotes
around what holds any of these; a first line that names the columns, in any order, whatever the case.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from glazecalc.errors import Fault, Notice, did_you_mean

__all__ = ("Row", "Table", "format_table", "read_lines", "read_table")

_QUOTED_OR_COMMENT = re.compile(r'(?<![^,;\t\r\n])[ ]*"(?:[^"]|"")*"|(?<!\S)#[^\r\n]*|(?<=[,;])#[^\r\n]*')
_UNNAMED = "one without a name"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line it starts on (1-based), and known column -> text, empty where the row has none."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """What was read: the known columns in the order of the file, the rows that hold anything, and what is to be said."""

    columns: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()
    notices: tuple[Notice, ...] = ()


def read_table(
    text: str, faults: list[Fault], *, what: str, required: Sequence[str], optional: Sequence[str] = ()
) -> Table:
    """Read a table with a header.

    Parameters
    ----------
    text : str
        The text; a byte order mark and any line ends are fine.
    faults : list of Fault
        What is wrong is appended here, each with its line; without a usable header there are no rows.
    what : str
        What the rows are, for messages ("results").
    required, optional : sequence of str
        Columns; further ones are not read, which a notice says.

    Returns
    -------
    Table
    """
    records, delimiter = _records(text, faults)
    start = f"Start with '{','.join(required)}'."
    if not records:
        if not faults:
            faults.append(Fault(None, f"the file is empty: it holds no {what}.", f"{start} Then one row each."))
        return Table()
    line, header = records[0]
    names = [re.sub(r"[\s_]+", " ", cell.lower()) for cell in header]
    known = (*required, *optional)
    missing = [name for name in required if name not in names]
    further = [cell for cell, name in zip(header, names, strict=True) if cell and name not in known]
    if missing:
        near = " ".join(filter(None, (did_you_mean(name, missing, most=1) for name in names if name not in known)))
        said = (
            f"missing: {', '.join(missing)}" if len(missing) < len(required) else f"'{header[0][:60]}' is not a column"
        )
        faults.append(Fault(line, f"the first line must name the columns; {said}.", near or start))
    twice = sorted({name for name in names if name and names.count(name) > 1})
    faults.extend(Fault(line, f"the column '{name}' stands twice.", "Keep one.") for name in twice)
    if missing or twice:
        return Table()
    rows: list[Row] = []
    for number, cells in records[1:]:
        if any(cells[len(names) :]):
            hint = "A decimal comma? Part the cells with ';' or quote the number." if delimiter == "," else ""
            faults.append(Fault(number, f"the row has {len(cells)} fields, the header {len(names)}.", hint))
            continue
        named = list(zip(names, cells + [""] * (len(names) - len(cells)), strict=False))
        if any(cell and not name for name, cell in named):
            further.append(_UNNAMED)
        rows.append(Row(number, {name: cell for name, cell in named if name in known}))
    if len(records) == 1:
        faults.append(Fault(None, f"the file holds a header and no {what}.", "Write one row each."))
    notices = []
    if further:
        near = " ".join(filter(None, (did_you_mean(name, [k for k in known if k not in names]) for name in further)))
        message = f"further columns are not read: {', '.join(dict.fromkeys(further))}."
        notices.append(Notice("columns-not-read", f"{message} {near}".strip()))
    return Table(tuple(name for name in names if name in known), tuple(rows), tuple(notices))


def read_lines(text: str) -> list[tuple[int, str]]:
    """Return the lines that hold anything, each with its number (1-based), without comments."""
    plain = re.sub(r"(?<!\S)#.*", "", text.lstrip("\ufeff"))
    return [(number, line.strip()) for number, line in enumerate(plain.splitlines(), start=1) if line.strip()]


def _records(text: str, faults: list[Fault]) -> tuple[list[tuple[int, list[str]]], str]:
    plain = _QUOTED_OR_COMMENT.sub(_without_comment, text.lstrip("\ufeff"))
    header = next((line for line in plain.splitlines() if line.strip()), "")
    delimiter = max(";\t,", key=header.count)
    reader = csv.reader(io.StringIO(plain, newline=""), delimiter=delimiter, skipinitialspace=True, strict=True)
    found: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            if any(cells):
                found.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        faults.append(Fault(line, f"this is not valid CSV: {error}.", "Check the quotes."))
        return [], delimiter
    return found, delimiter


def _without_comment(match: re.Match[str]) -> str:
    return "" if match.group().startswith("#") else match.group()


def format_table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table that `read_table` reads back; what would end a cell or start a comment is quoted."""
    lines = [",".join(_quoted(cell) for cell in cells) for cells in (columns, *rows)]
    return "\n".join(lines) + "\n"


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if re.search(r'[,;\t\r\n"#]', cell) else cell
