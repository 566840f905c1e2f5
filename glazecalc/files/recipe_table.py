"""One CSV with many recipes: a row a recipe and a column a material, or a row an ingredient; the header decides."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from typing import Literal

from glazecalc.amounts import parse_recipe_amount, parse_recipe_unit
from glazecalc.errors import MOST_FAULTS, Fault, FileFaultsError, Notice, UnitError
from glazecalc.files.card_fields import FIELD_NAMES, CardFields, field_named, is_field
from glazecalc.files.csv_table import Row, near_miss, records
from glazecalc.files.fields import make
from glazecalc.files.recipe_csv import header_word, ingredient_of, names_recipe
from glazecalc.files.recipe_lines import vague_amount
from glazecalc.files.recipe_text import check_totals
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.recipe_collection import Reject
from glazecalc.units import NUMBER, Written, two_readings

__all__ = ("RecipeTable", "parse_recipe_table")

Kind = Literal["field", "line", "material", "total", "skip"]
_LINE = ("material", "amount", "unit", "role", "note")  # the columns of an ingredient
_MATERIAL_A_ROW = ("material", "materials", "ingredient", "ingredients")
_TOTALS = ("total", "totals", "sum", "base total", "additions total", "grand total", "subtotal")
_NO_MATERIALS = (
    "no", "no.", "nr", "nr.", "number", "#", "id", "code", "date", "file", "line", "photo", "author", "maker", "source", "status", "colour", "color",
    "surface", "unit", "said",
)  # fmt: skip
_NONE_OF_IT = re.compile(r"[-\u2013\u2014]|0+(?:[.,]0*)?")
_NEARLY = 0.8  # likeness of "atmosfere" to "atmosphere", but not of "bone" to "cone"; this program's own choice
_UNIT_BEHIND = re.compile(r"(?P<name>.*\S)\s*(?:\(\s*(?P<round>[^()]*)\)|\[\s*(?P<square>[^\[\]]*)\]|(?P<bare>%))\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeTable:
    """What a table holds: its recipes, its rejects in the order of the rows, and what must be said of its columns."""

    recipes: tuple[Recipe, ...]
    rejects: tuple[Reject, ...]
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Column:
    """What a column holds: a field of the recipe, a part of an ingredient, the amounts of one material, a total, or nothing that is read."""

    kind: Kind
    name: str
    unit: str = ""
    addition: bool = False


@dataclass(slots=True, kw_only=True)
class _Draft:
    """What was read so far of one recipe."""

    line: int
    card: CardFields = field(default_factory=CardFields)
    ingredients: list[Ingredient] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    totals: list[tuple[int, float, str]] = field(default_factory=list)


def parse_recipe_table(text: str, path: str, known: Callable[[str], bool] = lambda _: False) -> RecipeTable:
    """Read a table of many recipes; FileFaultsError where its header cannot be used. `known` tells the names of materials."""
    faults: list[Fault] = []
    notices: list[Notice] = []
    rows, delimiter = records(text, faults)
    if len(rows) < 2 and not faults:
        hint = "Name the columns in the first line, then one row each."
        faults.append(Fault(None, "the table holds no recipes.", hint))
    if faults:
        raise FileFaultsError(path, faults)
    (line, header), body = rows[0], rows[1:]
    columns = list(_columns(header, [cells for _, cells in body], line, notices, known))
    kinds = [column.kind for column in columns]
    if "line" not in kinds and any(header_word(cell) in _MATERIAL_A_ROW for cell in header):
        said = f"a column names a material a row, and none of {', '.join(cell[:40] for cell in header if cell)} is its amount."
        raise FileFaultsError(path, [Fault(line, said, "Call the columns 'recipe,material,amount'.")])
    if "material" not in kinds and not {"material", "amount"} <= {c.name for c in columns if c.kind == "line"}:
        said = "the first line must name the columns; none of them is a material."
        hint = "A column a material ('name,cone,whiting,silica'), or 'recipe,material,amount'."
        raise FileFaultsError(path, [Fault(line, said, hint)])
    skipped = [column.name for column in columns if column.kind == "skip" and column.name]
    if skipped:
        message = f"further columns are not read: {', '.join(dict.fromkeys(skipped))}."
        notices.append(Notice("columns-not-read", message))
    drafts: dict[object, _Draft] = {}
    numbers: list[Written] = []
    for number, cells in body:
        _read_row(drafts, columns, number, cells, numbers, delimiter)
    doubtful: dict[int, list[Fault]] = {}
    for fault in two_readings(numbers):
        doubtful.setdefault(fault.line or 0, []).append(fault)
    made = [_made(draft, path, doubtful) for draft in drafts.values()]
    recipes = tuple(one for one in made if isinstance(one, Recipe))
    rejects = tuple(one for one in made if isinstance(one, Reject))
    return RecipeTable(recipes=recipes, rejects=rejects, notices=(*notices, *_same_names(recipes)))


def _columns(
    header: Sequence[str], body: Sequence[Sequence[str]], line: int, notices: list[Notice], known: Callable[[str], bool]
) -> Iterator[_Column]:
    """Yield what each column holds; what was read loosely is said."""
    words = [header_word(cell) for cell in header]
    by_line = {"material", "amount"} <= {word if word in _LINE else near_miss(word, _LINE, _NEARLY) for word in words}
    for place, (cell, word) in enumerate(zip(header, words, strict=True)):
        names = (*_LINE, "recipe", *FIELD_NAMES) if by_line else ("recipe", *FIELD_NAMES)
        if by_line and word in _LINE:
            yield _Column(kind="line", name=word)
        elif names_recipe(word) or is_field(word):
            yield _Column(kind="field", name="name" if names_recipe(word) else word)
        elif word in _TOTALS:
            yield _Column(kind="total" if not by_line else "skip", name=cell)
        elif not known(_parted(cell)[0]) and (near := near_miss(word, names, _NEARLY)):
            notices.append(Notice("column-read-loosely", f"line {line}: the column '{cell[:40]}' is read as {near}."))
            yield _Column(
                kind="line" if near in _LINE and by_line else "field", name="name" if near == "recipe" else near
            )
        else:
            yield _material(cell, word, [row[place] if place < len(row) else "" for row in body], by_line, known)


def _material(cell: str, word: str, amounts: Sequence[str], by_line: bool, known: Callable[[str], bool]) -> _Column:
    """Return a column of amounts; one without a single amount, that no material is called by, is not read."""
    if not word:
        empty = not any(amounts)
        return _Column(kind="skip", name="" if empty else "one without a name")
    name, unit = _parted(cell.removeprefix("+").strip())
    given = [text for text in amounts if text and not _NONE_OF_IT.fullmatch(text)]
    amount = any(NUMBER.match(text.lstrip("<~+-")) or vague_amount(text) for text in given)
    if by_line or word in _NO_MATERIALS or not (known(name) or amount or not given):
        return _Column(kind="skip", name=cell)
    return _Column(kind="material", name=name, unit=unit, addition=cell.startswith("+"))


def _parted(cell: str) -> tuple[str, str]:
    """Return the name of a column and the unit behind it: ``whiting (g)``, ``tin oxide %``, but ``silica (325)`` is a name."""
    found = _UNIT_BEHIND.match(cell)
    if found is None:
        return cell, ""
    unit = next(part for part in found.group("round", "square", "bare") if part is not None)
    try:
        return found["name"], parse_recipe_unit(unit)
    except UnitError:
        return cell, ""


def _read_row(
    drafts: dict[object, _Draft],
    columns: Sequence[_Column],
    line: int,
    cells: Sequence[str],
    numbers: list[Written],
    delimiter: str,
) -> None:
    by_line = any(column.kind == "line" for column in columns)
    given = [(column, cell) for column, cell in zip(columns, cells, strict=False) if cell]
    name = next((cell for column, cell in given if column.kind == "field" and column.name == "name"), "")
    draft = drafts.setdefault(name if by_line and name else line, _Draft(line=line))
    faults = draft.card.faults
    draft.card.keep("name", name, line)
    if any(cells[len(columns) :]):
        hint = "A decimal comma? Part the cells with ';' or quote the number." if delimiter == "," else ""
        faults.append(Fault(line, f"the row has {len(cells)} fields, the header {len(columns)}.", hint))
        return
    if by_line and not name:
        faults.append(Fault(line, "the row does not say of which recipe it is.", "Write the name on every row."))
    if header_word(name) in (*_TOTALS, "average", "mean"):
        faults.append(Fault(line, f"'{name}' is a row of totals, not a recipe.", "Take it away."))
        return
    for column, cell in given:
        if column.kind == "field":
            if not (
                field_named(column.name) == "notes" and cell in draft.card.notes
            ):  # each row of a recipe may repeat them
                draft.card.set(column.name, cell, line)
        elif column.kind == "total":
            _note_total(draft, line, cell)
    if by_line:
        parts = {column.name: cell for column, cell in given if column.kind == "line"}
        _add(draft, line, {"material": "", "amount": "", **parts}, numbers)
    else:
        for column, cell in given:
            if column.kind == "material" and not _NONE_OF_IT.fullmatch(cell):
                role = "addition" if column.addition else "base"
                _add(draft, line, {"material": column.name, "amount": cell, "unit": column.unit, "role": role}, numbers)
        draft.ingredients[:] = [item for item in draft.ingredients if item.amount]


def _add(draft: _Draft, line: int, cells: dict[str, str], numbers: list[Written]) -> None:
    item = ingredient_of(Row(line, cells, draft.card.faults, draft.notices), numbers)
    if item is not None:
        draft.ingredients.append(item)


def _note_total(draft: _Draft, line: int, cell: str) -> None:
    try:
        amount = parse_recipe_amount(cell)
    except UnitError as error:
        draft.card.faults.append(Fault(line, f"the total: {error.message}", error.hint))
        return
    draft.totals.append((line, float(amount.number), amount.unit))


def _made(draft: _Draft, path: str, doubtful: Mapping[int, list[Fault]]) -> Recipe | Reject:
    card, faults = draft.card, draft.card.faults
    name = card.fields.get("name", "")
    lines = {draft.line, *(item.line for item in draft.ingredients if item.line is not None)}
    faults += [fault for line in sorted(lines) for fault in doubtful.get(line, ())]
    if not draft.ingredients and not faults:
        faults.append(
            Fault(draft.line, "the row holds no amounts.", "Write an amount below the name of each material.")
        )
    recipe = None
    if not faults:
        recipe = make(Recipe, faults, draft.line, **card.given, ingredients=draft.ingredients, path=path)
    if recipe is not None:
        check_totals(draft.totals, recipe, faults, draft.notices)
    if recipe is None or faults:
        label = name or f"line {draft.line}"
        told = tuple(sorted(faults, key=lambda fault: fault.line or 0)[:MOST_FAULTS])
        return Reject(file=PurePath(path).name, name=label, line=draft.line, faults=told)
    return replace(recipe, notices=tuple(draft.notices)) if draft.notices else recipe


def _same_names(recipes: Sequence[Recipe]) -> Iterator[Notice]:
    lines: dict[str, list[str]] = {}
    for recipe in recipes:
        lines.setdefault(recipe.name, []).append(str(recipe.ingredients[0].line))
    for name, found in lines.items():
        if name and len(found) > 1:
            yield Notice("name-twice", f"{len(found)} recipes are called '{name}' (lines {', '.join(found[:9])}).")
