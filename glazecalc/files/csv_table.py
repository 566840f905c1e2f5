"""The one reader of CSV: recipes, firings, release results, prices and stock stand in tables of the same rules.

Comma, semicolon or tab between the cells; ``#`` starts a comment, on a line of its own or after white space; quotes
around what holds any of these; a first line that names the columns, in any order, whatever the case. A comment above it
may stand in quotes, and be followed by empty cells, as spreadsheets leave it.
"""

from __future__ import annotations

import csv
import difflib
import io
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from glazecalc.errors import Fault, GlazeError, Notice, did_you_mean
from glazecalc.files.fields import make
from glazecalc.plain_text import with_plain_spaces

__all__ = ("Row", "comments_above", "format_comment", "format_table", "near_miss", "read_table", "records")

T = TypeVar("T")
_QUOTED_OR_COMMENT = re.compile(r'(?<![^,;\t\r\n])[ ]*"(?:[^"]|"")*"|(?<!\S)#[^\r\n]*|(?<=[,;])#[^\r\n]*')
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
_QUOTED_COMMENT = re.compile(r'"#((?:[^"]|"")*)"[\s,;]*')
_EMPTY_CELLS = " \t\r\n,;"
_UNNAMED = "one without a name"
_NEAR_MISS = 0.75  # likeness of "units" to "unit", but not of "no" to "note"; this program's own choice


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line it starts on (1-based), its known column -> text, and the lists of what is said of the file."""

    line: int
    cells: dict[str, str]
    faults: list[Fault]
    notices: list[Notice]

    def fault(self, message: str, hint: str = "") -> None:
        """Note what is wrong with the row."""
        self.faults.append(Fault(self.line, message, hint))

    def refuse(self, error: GlazeError) -> None:
        """Note an error that the row met."""
        self.fault(error.message, error.hint)

    def notice(self, code: str, message: str) -> None:
        """Note what was read with care."""
        self.notices.append(Notice(code, f"line {self.line}: {message}"))

    def make(self, kind: Callable[..., T], /, **fields: Any) -> T | None:
        """Return ``kind(**fields)``, or None where it finds faults in itself, which are noted."""
        return make(kind, self.faults, self.line, **fields)


def read_table(
    text: str, faults: list[Fault], notices: list[Notice], what: str, required: Sequence[str], optional: Sequence[str]
) -> list[Row]:
    """Return the rows that hold anything; without a usable header there are none.

    What is wrong goes to `faults`, each with its line. A further column is not read, which a notice says; one that is
    nearly an optional column is a fault, for without its units a recipe would be another. `what` names the rows in a
    message ("results").
    """
    found, delimiter = records(text, faults)
    if not found:
        if not faults:
            hint = f"Start with '{','.join(required)}'. Then one row each."
            faults.append(Fault(None, f"the file is empty: it holds no {what}.", hint))
        return []
    line, header = found[0]
    names = [re.sub(r"[\s_]+", " ", cell.lower()) for cell in header]
    known = (*required, *optional)
    wrong = _header_faults(header, names, required, optional)
    faults.extend(Fault(line, message, hint) for message, hint in wrong)
    if wrong:
        return []
    further = [cell for cell, name in zip(header, names, strict=True) if cell and name not in known]
    rows = []
    for number, cells in found[1:]:
        if any(cells[len(names) :]):
            hint = "A decimal comma? Part the cells with ';' or quote the number." if delimiter == "," else ""
            faults.append(Fault(number, f"the row has {len(cells)} fields, the header {len(names)}.", hint))
            continue
        named = list(zip(names, cells + [""] * (len(names) - len(cells)), strict=False))
        if any(cell and not name for name, cell in named):
            further.append(_UNNAMED)
        rows.append(Row(number, {name: cell for name, cell in named if name in known}, faults, notices))
    if len(found) == 1:
        faults.append(Fault(None, f"the file holds a header and no {what}.", "Write one row each."))
    if further:
        message = f"further columns are not read: {', '.join(dict.fromkeys(further))}."
        notices.append(Notice("columns-not-read", message))
    return rows


def _header_faults(
    header: list[str], names: list[str], required: Sequence[str], optional: Sequence[str]
) -> list[tuple[str, str]]:
    """Return what is wrong with the names of the columns, each with the likely mend."""
    found = []
    others = [name for name in names if name and name not in (*required, *optional)]
    missing = [name for name in required if name not in names]
    if missing:
        near = " ".join(filter(None, (did_you_mean(name, missing, most=1) for name in others)))
        some = len(missing) < len(required)
        said = f"missing: {', '.join(missing)}" if some else f"'{header[0][:60]}' is not a column"
        hint = near or f"Start with '{','.join(required)}'."
        found.append((f"the first line must name the columns; {said}.", hint))
    absent = [name for name in optional if name not in (*names, *required)]
    near_misses = [(name, near_miss(name, absent)) for name in others]
    found += [(f"'{name}' is not a column.", f"Did you mean '{near}'?") for name, near in near_misses if near]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    return found + [(f"the column '{name}' is there twice.", "Keep one.") for name in twice]


def near_miss(word: str, known: Sequence[str], likeness: float = _NEAR_MISS) -> str:
    """Return the one of `known` that a word nearly is, or an empty text."""
    return next(iter(difflib.get_close_matches(word.lower(), known, n=1, cutoff=likeness)), "")


def records(text: str, faults: list[Fault]) -> tuple[list[tuple[int, list[str]]], str]:
    """Return the records that hold anything, each with the line it starts on, and what stands between their cells."""
    lines = _LINE.findall(with_plain_spaces(text))
    above = {number for number, _ in comments_above(text)}
    body = "".join("\n" if number in above else line for number, line in enumerate(lines, start=1))
    plain = _QUOTED_OR_COMMENT.sub(lambda m: "" if m.group().startswith("#") else m.group(), body)
    header = next((line for line in plain.splitlines() if line.strip()), "")
    delimiter = max(";\t,", key=header.count)
    reader = csv.reader(io.StringIO(plain, newline=""), delimiter=delimiter, skipinitialspace=True, strict=True)
    found: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for row in reader:
            cells = [cell.strip().replace("\t", " ") for cell in row]
            if any(cells):
                found.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        faults.append(Fault(line, f"this is not valid CSV: {error}.", "Check the quotes."))
        return [], delimiter
    return found, delimiter


def comments_above(text: str) -> list[tuple[int, str]]:
    """Return the comments above the header, each with its line (1-based), without the ``#``."""
    found = []
    for number, line in enumerate(_LINE.findall(with_plain_spaces(text)), start=1):
        content = line.strip(_EMPTY_CELLS)
        quoted = _QUOTED_COMMENT.fullmatch(line.strip())
        if quoted or content.startswith("#"):
            comment = quoted[1].replace('""', '"') if quoted else content[1:]
            found.append((number, comment.strip()))
        elif content:
            break
    return found


def format_comment(comment: str) -> str:
    """Return a line that `comments_above` reads back, in a table that was opened in a spreadsheet and saved there too."""
    line = f"# {comment}".rstrip()
    return _in_quotes(line) if re.search(r'[,;\t"]', line) else line


def format_table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table that `read_table` reads back; what would end a cell or start a comment is quoted."""
    return "".join(",".join(map(_quoted, cells)) + "\n" for cells in (columns, *rows))


def _quoted(cell: str) -> str:
    return _in_quotes(cell) if re.search(r'[,;\t\r\n"#]', cell) else cell


def _in_quotes(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'
