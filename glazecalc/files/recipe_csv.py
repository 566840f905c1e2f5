"""Recipes as CSV: ``material,amount[,unit][,role][,note]``."""

from __future__ import annotations

from pathlib import PurePath

from glazecalc.amounts import parse_recipe_amount
from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError
from glazecalc.files.csv_table import Row, format_table, read_table
from glazecalc.files.fields import make
from glazecalc.files.recipe_lines import number_text
from glazecalc.recipe import Ingredient, Recipe

__all__ = ("format_recipe_csv", "parse_recipe_csv")

_ROLES = {"": False, "base": False, "addition": True, "add": True, "+": True}


def parse_recipe_csv(text: str, path: str = "") -> Recipe:
    """Read a recipe from CSV with a header line.

    Raises
    ------
    FileFaultsError
        With every row that cannot be read; no row is dropped.
    """
    faults: list[Fault] = []
    table = read_table(
        text, faults, what="ingredients", required=("material", "amount"), optional=("unit", "role", "note")
    )
    notices = list(table.notices)
    ingredients = [item for row in table.rows if (item := _ingredient(row, faults, notices)) is not None]
    name = PurePath(path).stem.replace("-", " ").replace("_", " ") if path else ""
    recipe = make(Recipe, faults, None, name=name, ingredients=ingredients, path=path, notices=tuple(notices))
    if recipe is None or faults:
        raise FileFaultsError(path or "the recipe", faults)
    return recipe


def _ingredient(row: Row, faults: list[Fault], notices: list[Notice]) -> Ingredient | None:
    before = len(faults)
    material, role, written = row.cells["material"], row.cells.get("role", "").lower(), row.cells["amount"]
    if not material:
        faults.append(Fault(row.line, "the row has no material."))
    elif material.lower() in ("total", "totals", "sum"):
        faults.append(Fault(row.line, f"'{material}' is a totals row, not a material.", "Take it away."))
    if role not in _ROLES:
        faults.append(Fault(row.line, f"the role '{role[:40]}' is not known.", "Write base or addition."))
    try:
        if not written:
            raise UnitError("the amount is missing.", "Write 0 if there is none of it.")
        amount = parse_recipe_amount(written, row.cells.get("unit", ""))
    except UnitError as error:
        faults.append(Fault(row.line, f"in the row of '{material[:60]}': {error.message}", error.hint))
    if len(faults) > before:
        return None
    number = float(amount.number)
    if amount.comma:
        said = f"line {row.line}: the amount of {material} is read with a decimal comma, {number:g}."
        notices.append(Notice("decimal-comma", said))
    return make(
        Ingredient,
        faults,
        row.line,
        material=material,
        amount=number,
        unit=amount.unit,
        addition=_ROLES[role],
        note=row.cells.get("note", ""),
        line=row.line,
    )


def format_recipe_csv(recipe: Recipe) -> str:
    """Return the ingredients as CSV; name, cone and notes of the recipe have no place there."""
    columns = ["material", "amount", "unit", "role", "note"][
        : 5 if any(item.note for item in recipe.ingredients) else 4
    ]
    rows = [
        (item.material, number_text(item.amount), item.unit, "addition" if item.addition else "base", item.note)
        for item in recipe.ingredients
    ]
    return format_table(columns, [row[: len(columns)] for row in rows])
