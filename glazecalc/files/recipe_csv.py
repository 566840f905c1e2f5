"""Recipes as CSV: ``material,amount[,unit][,role][,note]``."""

from __future__ import annotations

from pathlib import PurePath

from glazecalc.amounts import parse_recipe_amount
from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError
from glazecalc.files.csv_table import Row, format_table, read_table
from glazecalc.files.fields import make
from glazecalc.files.recipe_lines import make_ingredient, number_text
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.units import Written, two_readings

__all__ = ("format_recipe_csv", "parse_recipe_csv")

_COLUMNS = ("material", "amount", "unit", "role", "note")
_ROLES = {"": False, "base": False, "addition": True, "add": True, "+": True}


def parse_recipe_csv(text: str, path: str = "") -> Recipe:
    """Read a recipe from CSV with a header line; no row is dropped."""
    faults: list[Fault] = []
    notices: list[Notice] = []
    rows = read_table(text, faults, notices, "ingredients", _COLUMNS[:2], _COLUMNS[2:])
    numbers: list[Written] = []
    ingredients = [item for row in rows if (item := _ingredient(row, numbers)) is not None]
    faults += two_readings(numbers)
    name = PurePath(path).stem.replace("-", " ").replace("_", " ")
    recipe = make(Recipe, faults, None, name=name, ingredients=ingredients, path=path, notices=tuple(notices))
    if recipe is None or faults:
        raise FileFaultsError(path or "the recipe", faults)
    return recipe


def _ingredient(row: Row, numbers: list[Written]) -> Ingredient | None:
    before = len(row.faults)
    material, role, written = row.cells["material"], row.cells.get("role", "").lower(), row.cells["amount"]
    if not material:
        row.fault("the row has no material.")
    elif material.lower() in ("total", "totals", "sum"):
        row.fault(f"'{material}' is a totals row, not a material.", "Take it away.")
    if role not in _ROLES:
        row.fault(f"the role '{role[:40]}' is not known.", "Write base or addition.")
    try:
        if not written:
            raise UnitError("the amount is missing.", "Write 0 if there is none of it.")
        amount = parse_recipe_amount(written, row.cells.get("unit", ""))
        numbers.append(Written(row.line, written, amount.number, amount.mark, amount.unit))
    except UnitError as error:
        row.fault(f"in the row of '{material[:60]}': {error.message}", error.hint)
    if len(row.faults) > before:
        return None
    note = row.cells.get("note", "")
    return make_ingredient(row.faults, row.notices, row.line, material, amount, _ROLES[role], note)


def format_recipe_csv(recipe: Recipe) -> str:
    """Return the ingredients as CSV; name, cone and notes of the recipe have no place there."""
    width = 5 if any(item.note for item in recipe.ingredients) else 4
    rows = [
        (item.material, number_text(item.amount), item.unit, "addition" if item.addition else "base", item.note)
        for item in recipe.ingredients
    ]
    return format_table(_COLUMNS[:width], [row[:width] for row in rows])
