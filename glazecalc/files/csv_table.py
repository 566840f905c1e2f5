"""Rows of a CSV text, whichever of comma, semicolon or tab parts its fields."""

from __future__ import annotations

import csv
import io

from glazecalc.errors import Fault, FileFaultsError

__all__ = ("read_rows",)


def read_rows(text: str, path: str) -> tuple[list[tuple[int, list[str]]], str]:
    """Return the rows that hold anything, each with its number (1-based), and the delimiter that the first of them uses most.

    Raises
    ------
    FileFaultsError
        If the text is not valid CSV.
    """
    body = text.lstrip("\ufeff")
    header = next((line for line in body.splitlines() if line.strip()), "")
    delimiter = max(";\t,", key=header.count) if header else ","
    try:
        rows = list(csv.reader(io.StringIO(body, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise FileFaultsError(path, [Fault(None, f"this is not valid CSV: {error}.", "Check the quotes.")]) from None
    return [
        (number, [cell.strip() for cell in row])
        for number, row in enumerate(rows, start=1)
        if any(cell.strip() for cell in row)
    ], delimiter
