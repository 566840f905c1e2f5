"""Recipes as YAML: the same values under the field names of `Recipe`."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import yaml

from glazecalc.amounts import parse_recipe_amount, parse_recipe_unit
from glazecalc.errors import Fault, FileFaultsError, UnitError
from glazecalc.files.fields import FieldReader, check_number, make
from glazecalc.files.recipe_text import atmosphere_name
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.recipe import Ingredient, Recipe

__all__ = ("format_recipe_yaml", "parse_recipe_yaml")

_TEXTS = ("name", "cone", "atmosphere", "body", "use", "version", "based_on")
_FIELDS = (*_TEXTS, "notes", "base", "additions")
_LINE_FIELDS = ("material", "amount", "unit", "note")
_LARGEST = 1e12


def parse_recipe_yaml(text: str, path: str = "") -> Recipe:
    """Read a recipe from YAML.

    `base` and `additions` are mappings of material to amount, or lists of ``{material, amount, unit, note}``.

    Raises
    ------
    FileFaultsError
        With every fault.
    """
    shown = path or "the recipe"
    faults: list[Fault] = []
    reader = FieldReader(read_yaml(text, shown), faults, "a recipe", _FIELDS)
    base = _lines(reader, "base", addition=False)
    additions = _lines(reader, "additions", addition=True)
    if not base and not faults:
        faults.append(Fault(reader.line, "the recipe has no ingredients.", "Give 'base' as material: amount lines."))
    fields = reader.given(_TEXTS, ()) | {"notes": "\n".join(reader.texts("notes")), "ingredients": (*base, *additions)}
    recipe = reader.make(Recipe, **fields, path=path)
    if recipe is None or faults:
        raise FileFaultsError(shown, faults)
    return replace(recipe, atmosphere=atmosphere_name(recipe.atmosphere))


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
            fields = FieldReader(entry, reader.faults, "an ingredient", _LINE_FIELDS)
            if isinstance(entry.value, dict):
                amount = fields.fields.get("amount", YamlValue(None, entry.line))
                rows.append((fields.text("material", required=True), amount, fields.text("unit"), fields.text("note")))
    else:
        reader.fault(key, f"'{key}' is a mapping of 'material: amount' lines, or a list of them.")
    read = (_ingredient(reader.faults, *row, addition=addition) for row in rows)
    return [ingredient for ingredient in read if ingredient is not None]


def _ingredient(
    faults: list[Fault], material: str, amount: YamlValue, unit: str, note: str, *, addition: bool
) -> Ingredient | None:
    if not material.strip():
        faults.append(Fault(amount.line, "an ingredient has no material name."))
        return None
    what = f"amount of {material[:60]}"
    number: float | None
    try:
        if isinstance(amount.value, str):  # "8 %", "1 lb 8 oz", 1/2
            read = parse_recipe_amount(amount.raw, unit)
            if read.comma:
                said = f"'{what}' is a number; '{amount.raw[:40]}' was found."
                raise UnitError(said, "Write a decimal point in YAML.")
            number, unit = float(read.number), read.unit
        else:
            unit = parse_recipe_unit(unit)
            number = check_number(amount, what, faults, low=0, high=_LARGEST)
    except UnitError as error:
        faults.append(Fault(amount.line, error.message, error.hint))
        return None
    if number is None:
        return None
    fields = {"material": material.strip(), "amount": number, "unit": unit, "addition": addition, "note": note}
    return make(Ingredient, faults, amount.line, **fields, line=amount.line)


def format_recipe_yaml(recipe: Recipe) -> str:
    """Return the recipe as YAML; reading it back gives an equal recipe."""
    data: dict[str, Any] = {}
    for key in (*_TEXTS, "notes"):
        value = getattr(recipe, key)
        if value:
            data[key] = value
    for key, items in (("base", recipe.base), ("additions", recipe.additions)):
        if items:
            data[key] = _block(items)
    text: str = yaml.safe_dump(data, sort_keys=False, allow_unicode=True, width=100)
    return text


def _block(items: tuple[Ingredient, ...]) -> Any:
    names = [item.material for item in items]
    if len(set(names)) == len(names) and not any(item.unit or item.note for item in items):
        return {item.material: _plain_number(item.amount) for item in items}
    rows = []
    for item in items:
        row: dict[str, Any] = {"material": item.material, "amount": _plain_number(item.amount)}
        if item.unit:
            row["unit"] = item.unit
        if item.note:
            row["note"] = item.note
        rows.append(row)
    return rows


def _plain_number(amount: float) -> int | float:
    return int(amount) if amount == int(amount) and amount < 1e15 else amount
