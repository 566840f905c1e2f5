"""Recipes as CSV: ``material,amount[,unit][,role]``; a semicolon or tab may part the fields."""

from __future__ import annotations

import csv
import io
from pathlib import PurePath

from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError, did_you_mean
from glazecalc.files.csv_table import read_rows
from glazecalc.files.recipe_lines import number_text
from glazecalc.recipe import Ingredient, Recipe, check_units
from glazecalc.units import MASS_UNITS, parse_number

__all__ = ("format_recipe_csv", "parse_recipe_csv")

_COLUMNS = ("material", "amount", "unit", "role", "note")
_ROLES = {"": False, "base": False, "addition": True, "add": True, "+": True}
_UNITS = {
    "": "",
    "parts": "",
    "part": "",
    "%": "%",
    "g": "g",
    "grams": "g",
    "gram": "g",
    "kg": "kg",
    "oz": "oz",
    "lb": "lb",
    "lbs": "lb",
    "mg": "mg",
}


def parse_recipe_csv(text: str, path: str = "") -> Recipe:
    """Read a recipe from CSV with a header line.

    Raises
    ------
    FileFaultsError
        With every row that cannot be read; no row is dropped.
    """
    shown = path or "the recipe"
    numbered, delimiter = read_rows(text, shown)
    if not numbered:
        raise FileFaultsError(shown, [Fault(None, "the file is empty.")])
    columns = [cell.lower() for cell in numbered[0][1]]
    faults = [
        Fault(
            numbered[0][0],
            f"'{column[:60]}' is not a column of a recipe.",
            did_you_mean(column, _COLUMNS) or f"Known: {', '.join(_COLUMNS)}.",
        )
        for column in columns
        if column not in _COLUMNS
    ]
    faults += [
        Fault(numbered[0][0], f"the column '{need}' is missing.", "Start with 'material,amount'.")
        for need in ("material", "amount")
        if need not in columns
    ]
    faults += [
        Fault(numbered[0][0], f"the column '{column}' stands twice.")
        for column in sorted(set(columns))
        if columns.count(column) > 1
    ]
    if faults:
        raise FileFaultsError(shown, faults)
    notices: list[Notice] = []
    ingredients = []
    for number, row in numbered[1:]:
        if len(row) > len(columns) and any(row[len(columns) :]):
            hint = "A decimal comma? Part the fields with ';' or quote the number." if delimiter == "," else ""
            faults.append(Fault(number, f"the row has {len(row)} fields, the header {len(columns)}.", hint))
            continue
        item = _ingredient(dict(zip(columns, row, strict=False)), number, faults, notices)
        if item is not None:
            ingredients.append(item)
    if not ingredients and not faults:
        faults.append(Fault(None, "the recipe has no ingredients."))
    wrong_units = check_units(ingredients)
    if wrong_units:
        faults.append(Fault(None, wrong_units, "Give all lines in one way."))
    if faults:
        raise FileFaultsError(shown, faults)
    name = PurePath(path).stem.replace("-", " ").replace("_", " ") if path else ""
    return Recipe(name=name, ingredients=tuple(ingredients), path=path, notices=tuple(notices))


def _ingredient(row: dict[str, str], number: int, faults: list[Fault], notices: list[Notice]) -> Ingredient | None:
    material = row.get("material", "")
    before = len(faults)
    if not material:
        faults.append(Fault(number, "the row has no material."))
    elif material.lower() in ("total", "totals", "sum"):
        faults.append(Fault(number, f"'{material}' is a totals row, not a material.", "Take it away."))
    role = row.get("role", "").lower()
    if role not in _ROLES:
        faults.append(Fault(number, f"the role '{role[:40]}' is not known.", "Write base or addition."))
    unit = row.get("unit", "").lower()
    if unit not in _UNITS:
        faults.append(
            Fault(number, f"the unit '{unit[:40]}' is not known.", f"Known: {', '.join(['%', *MASS_UNITS])}.")
        )
    text = row.get("amount", "")
    amount = 0.0
    try:
        if not text:
            raise UnitError("the amount is missing.", "Write 0 if there is none of it.")
        value, comma = parse_number(text)
        if value < 0:
            raise UnitError(f"the amount {text} is negative.")
        if value > 10**12:
            raise UnitError(f"the amount {text[:20]} is too large to be meant.")
        amount = float(value)
        if comma:
            notices.append(
                Notice(
                    "decimal-comma", f"row {number}: the amount of {material} is read with a decimal comma, {amount:g}."
                )
            )
    except UnitError as error:
        faults.append(Fault(number, f"in the row of '{material[:60]}': {error.message}", error.hint))
    if len(faults) > before:
        return None
    return Ingredient(
        material=material,
        amount=amount,
        unit=_UNITS[unit],
        addition=_ROLES[role],
        note=row.get("note", ""),
        line=number,
    )


def format_recipe_csv(recipe: Recipe) -> str:
    """Return the ingredients as CSV; name, cone and notes have no place there."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["material", "amount", "unit", "role"])
    for item in recipe.ingredients:
        writer.writerow([item.material, number_text(item.amount), item.unit, "addition" if item.addition else "base"])
    return out.getvalue()
