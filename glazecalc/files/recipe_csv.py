"""Recipes as CSV: ``material,amount[,unit][,role][,note]``; what the card says stands above it in comments, ``# cone: 6 ox``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import PurePath

from glazecalc.amounts import parse_recipe_amount
from glazecalc.errors import FileFaultsError, Notice, UnitError
from glazecalc.files.card_fields import FIELD_NAMES, CardFields, field_lines, field_named, is_field
from glazecalc.files.csv_table import Row, comments_above, format_comment, format_table, near_miss, read_table, records
from glazecalc.files.fields import make
from glazecalc.files.recipe_lines import make_ingredient, number_text
from glazecalc.files.text_file import file_fault
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.units import Written, two_readings

__all__ = ("format_recipe_csv", "header_word", "ingredient_of", "is_one_recipe", "names_recipe", "parse_recipe_csv")

_COLUMNS = ("material", "amount", "unit", "role", "note")
_ROLES = {"": False, "base": False, "addition": True, "add": True, "+": True}


def parse_recipe_csv(text: str, path: str = "") -> Recipe:
    """Read a recipe from CSV with a header line; no row is dropped. Without a line ``# name:`` its name is that of the file."""
    card = CardFields()
    faults, notices = card.faults, list[Notice]()
    named = False
    for line, comment in comments_above(text):
        named = named or comment.startswith("name:")
        key, colon, _ = comment.partition(":")
        if not card.read(comment, line) and colon and (near := near_miss(key, FIELD_NAMES)):
            said = f"line {line}: '{comment[:40]}' is a comment. Did you mean '{near}:'?"
            notices.append(Notice("comment-not-read", said))
    if not named:
        card.fields.setdefault("name", name_of_file(path))
    found, _ = records(text, [])
    words = [header_word(cell) for cell in found[0][1]] if found else []
    if {"material", "amount"} <= set(words) and len(several := _recipes_named(words, found[1:])) > 1:
        said = f"the table holds {len(several)} recipes: {', '.join(several[:3])}{', ...' if len(several) > 3 else ''}."
        raise file_fault(
            path or "the recipe",
            said,
            "gc.read_recipes(...) in Python reads them all; or give each its own file.",
            found[0][0],
        )
    rows = read_table(text, faults, notices, "ingredients", _COLUMNS[:2], _COLUMNS[2:])
    numbers: list[Written] = []
    ingredients = [item for row in rows if (item := ingredient_of(row, numbers)) is not None]
    faults += two_readings(numbers)
    recipe = make(Recipe, faults, None, **card.given, ingredients=ingredients, path=path, notices=tuple(notices))
    if recipe is None or faults:
        raise FileFaultsError(path or "the recipe", faults)
    return recipe


def header_word(cell: str) -> str:
    """Return the name of a column as it is compared: small letters, plain spaces."""
    return re.sub(r"[\s_]+", " ", cell.lower()).strip()


def names_recipe(word: str) -> bool:
    """Return True for a column that says of which recipe a row is."""
    return word == "recipe" or (is_field(word) and field_named(word) == "name")


def is_one_recipe(text: str) -> bool:
    """Return True for a table of ingredients that names no recipe: they are all of one."""
    rows, _ = records(text, [])
    words = [header_word(cell) for cell in rows[0][1]] if rows else []
    return {"material", "amount"} <= set(words) and not _recipes_named(words, rows[1:])


def _recipes_named(words: Sequence[str], rows: Sequence[tuple[int, list[str]]]) -> list[str]:
    places = [place for place, word in enumerate(words) if names_recipe(word)]
    return list(dict.fromkeys(cells[i] for _, cells in rows for i in places if len(cells) > i and cells[i]))


def ingredient_of(row: Row, numbers: list[Written]) -> Ingredient | None:
    """Return the ingredient of a row with ``material, amount[, unit][, role][, note]``, or None where the row has a fault, which is noted."""
    before = len(row.faults)
    material, role, written = row.cells["material"], row.cells.get("role", "").lower(), row.cells["amount"]
    if not material:
        row.fault("the row has no material.")
    elif material.lower() in ("total", "totals", "sum"):
        row.fault(f"'{material}' is a totals row, not a material.", "Take it away.")
    if role not in _ROLES:
        row.fault(f"the role '{role[:40]}' is not known.", "Write base or addition.")
    elif material.startswith("+"):
        material = material[1:].strip()
        if role == "base":
            row.fault(f"'+ {material[:60]}' has the sign of an addition and the role base.", "Keep one.")
        elif not role:
            row.notice("read-as-addition", f"'+ {material[:60]}' is read as an addition.")
            role = "addition"
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


def name_of_file(path: str) -> str:
    """Return the name of a recipe that has none but that of its file."""
    return PurePath(path).stem.replace("-", " ").replace("_", " ")


def format_recipe_csv(recipe: Recipe) -> str:
    """Return the recipe as CSV, what its card says in comments above the table; reading it back gives an equal recipe."""
    card = [f"name: {recipe.name}", *([f"cone: {recipe.cone}"] if recipe.cone else []), *field_lines(recipe)]
    width = 5 if any(item.note for item in recipe.ingredients) else 4
    rows = [
        (item.material, number_text(item.amount), item.unit, "addition" if item.addition else "base", item.note)
        for item in recipe.ingredients
    ]
    table = format_table(_COLUMNS[:width], [row[:width] for row in rows])
    return "".join(f"{format_comment(line)}\n" for line in card) + table
