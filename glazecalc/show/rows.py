"""The page of a value that is a table and that no command prints: its name, and its rows."""

from __future__ import annotations

import re
from typing import Any

from glazecalc.display import Tabular
from glazecalc.show.fields import head_of
from glazecalc.show.plain import keyed
from glazecalc.show.table import table
from glazecalc.show.text import number, wrapped

__all__ = ("page",)


def page(value: Tabular) -> str:
    """Return the rows in columns, each with its unit at its head."""
    units = value.units
    rows = [keyed(row, value.COLUMNS) for row in getattr(value, value.ROWS)]
    numbers = [column for column in units if any(_is_number(row[column]) for row in rows)]
    heads = [head_of(column, unit) for column, unit in units.items()]
    cells = [[_cell(row[column]) for column in units] for row in rows]
    left = [place for place, column in enumerate(units) if column not in numbers]
    return "\n".join([*wrapped(_head(value), indent=0, hang=2), *table([heads, *cells], left=left)])


def _head(value: Tabular) -> str:
    """Return the name of the recipe that it is of, else what kind of value it is: ``Cones around``."""
    name = getattr(getattr(value, "recipe", None), "name", "")
    return name or re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(value).__name__).capitalize()


def _is_number(cell: Any) -> bool:
    return isinstance(cell, int | float) and not isinstance(cell, bool)


def _cell(cell: Any) -> str:
    if cell is None:
        return "-"
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    return number(cell, 2) if isinstance(cell, float) else str(cell)
