"""Recipes as YAML: the same values under the field names of `Recipe`."""

from __future__ import annotations

from typing import Any

import yaml

from glazecalc.amounts import LARGEST_AMOUNT, parse_recipe_amount, parse_recipe_unit
from glazecalc.errors import Fault, UnitError
from glazecalc.field_checks import FieldChecks
from glazecalc.files.fields import FieldReader, make, shape
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.recipe import Ingredient, Recipe

__all__ = ("format_recipe_yaml", "parse_recipe_yaml")

_TEXTS = ("name", "cone", "atmosphere", "cooling", "body", "use", "version", "based_on")


def parse_recipe_yaml(text: str, path: str = "") -> Recipe:
    """Read a recipe from YAML.

    `base` and `additions` are mappings of material to amount, or lists of ``{material, amount, unit, note}``.
    """
    shown = path or "the recipe"
    reader = FieldReader(read_yaml(text, shown), "a recipe", (*_TEXTS, "notes", "base", "additions"))
    base, additions = _lines(reader, "base", addition=False), _lines(reader, "additions", addition=True)
    if not base and not reader.faults:
        reader.fault("base", "the recipe has no ingredients.", "Give 'base' as material: amount lines.")
    fields = reader.given(_TEXTS) | {"notes": reader.lines("notes"), "ingredients": (*base, *additions)}
    return reader.build(Recipe, shown, **fields, path=path)


def _lines(reader: FieldReader, key: str, *, addition: bool) -> list[Ingredient]:
    item = reader.fields.get(key)
    if item is None or item.value is None:
        return []
    rows: list[tuple[str, YamlValue, str, str]] = []  # material, amount, unit, note
    if isinstance(item.value, dict):
        for material, entry in item.value.items():
            rows.append((material, YamlValue(entry.value, item.key_lines[material], entry.raw), "", ""))
    elif isinstance(item.value, list):
        for entry in item.value:
            fields = FieldReader(entry, "an ingredient", ("material", "amount", "unit", "note"), reader.faults)
            if isinstance(entry.value, dict):
                amount = fields.fields.get("amount", YamlValue(None, entry.line))
                rows.append((fields.text("material"), amount, fields.text("unit"), fields.text("note")))
    else:
        reader.fault(key, f"'{key}' is a mapping of 'material: amount' lines, or a list of them.")
    read = (_ingredient(reader.faults, *row, addition=addition) for row in rows)
    return [ingredient for ingredient in read if ingredient is not None]


def _ingredient(
    faults: list[Fault], material: str, amount: YamlValue, unit: str, note: str, *, addition: bool
) -> Ingredient | None:
    try:
        number, unit = _amount(amount, f"amount of {material[:60]}", unit)
    except UnitError as error:
        faults.append(Fault(amount.line, error.message, error.hint))
        return None
    fields = {"material": material.strip(), "amount": number, "unit": unit, "addition": addition, "note": note}
    return make(Ingredient, faults, amount.line, **fields, line=amount.line)


def _amount(amount: YamlValue, what: str, unit: str) -> tuple[float, str]:
    value = amount.value
    if isinstance(value, str):  # "8 %", "1 lb 8 oz", 1/2
        read = parse_recipe_amount(amount.raw, unit)
        if read.mark == ",":
            said = f"'{what}' is a number; '{amount.raw[:40]}' was found."
            raise UnitError(said, "Write a decimal point in YAML.")
        return float(read.number), read.unit
    unit = parse_recipe_unit(unit)
    checks = FieldChecks("Ingredient")
    number = None if isinstance(value, bool | list | dict) else checks.number(what, value, 0, LARGEST_AMOUNT)
    if number is None:
        raise UnitError(f"'{what}' is a number; {shape(amount)} was found.")
    if checks.faults:
        raise UnitError(checks.faults[0].message)
    return number, unit


def format_recipe_yaml(recipe: Recipe) -> str:
    """Return the recipe as YAML; reading it back gives an equal recipe."""
    data: dict[str, Any] = {key: getattr(recipe, key) for key in (*_TEXTS, "notes")}
    data |= {"base": _block(recipe.base), "additions": _block(recipe.additions)}
    given = {key: value for key, value in data.items() if value}
    text: str = yaml.safe_dump(given, sort_keys=False, allow_unicode=True, width=100)
    return text


def _block(items: tuple[Ingredient, ...]) -> Any:
    names = {item.material for item in items}
    if len(names) == len(items) and not any(item.unit or item.note for item in items):
        return {item.material: _plain_number(item.amount) for item in items}
    rows = [
        {"material": item.material, "amount": _plain_number(item.amount), "unit": item.unit, "note": item.note}
        for item in items
    ]
    return [{key: value for key, value in row.items() if value != ""} for row in rows]


def _plain_number(amount: float) -> int | float:
    return int(amount) if amount == int(amount) and amount < 1e15 else amount
