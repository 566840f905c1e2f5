"""Many recipes from a folder or from one table, with what could not be read beside them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from glazecalc.errors import (
    MOST_FAULTS,
    AmbiguousNameError,
    Fault,
    FileFaultsError,
    GlazeError,
    Notice,
    UnknownNameError,
)
from glazecalc.files.recipe_csv import is_one_recipe
from glazecalc.files.recipe_folder import none_read, recipe_files, reject_of
from glazecalc.files.recipe_table import parse_recipe_table
from glazecalc.files.recipes import parse_recipe, read_recipe
from glazecalc.files.text_file import read_text
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.recipe_collection import RecipeCollection, Reject

__all__ = ("read_recipes",)

_LARGEST_TABLE = 50_000_000  # bytes; this program's own choice


def read_recipes(source: str | Path, materials: MaterialLibrary | None = None) -> RecipeCollection:
    """Read many recipes: every one of a folder, or of one CSV. Nothing is dropped: what cannot be read is told with file, line and reason.

    Of a folder the files are read that `read_recipe` reads (``.txt``, ``.yaml``, ``.yml``, ``.csv``, ``.tsv``, or without an ending), one
    recipe each; folders within it and hidden files are not looked into.

    Of a CSV the header decides. With the columns ``material`` and ``amount`` a row is an ingredient
    (``recipe,material,amount[,unit][,role][,note]``); the rows of a recipe bear its name and need not stand together. Else a row is a
    recipe and a column a material: ``name,cone,whiting,silica,+ red iron oxide``. There a ``+`` before the name makes an addition,
    a unit may stand behind it (``whiting (g)``, ``+ tin oxide %``) or in the cells, and an empty cell, a dash or 0 says that there
    is none of it. A column ``total`` is held against the sum. Both may have ``cone, atmosphere, cooling, body, use, version, based on,
    notes``. Comma, semicolon or tab; decimal commas; columns in any order and case, near spellings are said in `notices`.

    Parameters
    ----------
    source : str or Path
        The folder, or the table.
    materials : MaterialLibrary, optional
        Where names are looked up: what is unknown or fits several becomes a reject, and columns of `parts` are ids. Left out, names stay
        as they are written.

    Returns
    -------
    RecipeCollection
        `parts` is the frame for `unity_table` and its like, `to_frame` what the cards say, `rejects` the rest.

    Raises
    ------
    FileFaultsError
        Where folder, file or header cannot be used, or no recipe at all could be read: with the reasons.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> found = gc.read_recipes("recipes", materials)
    >>> len(found.recipes), len(found.rejects)
    (5, 0)
    >>> gc.unity_table(found.parts(), materials)["SiO2"].round(2).to_list()
    [2.7, 3.58, 1.69, 3.97, 4.35]
    """
    place = Path(source)
    if place.is_dir():
        found = _folder(place)
    elif place.suffix.lower() in (".csv", ".tsv"):
        found = _table(place, materials)
    else:
        recipe = read_recipe(place)
        found = RecipeCollection(source=str(source), recipes=(recipe,))
    found = replace(found, source=str(source))
    if materials is not None:
        found = _looked_up(found, materials)
    if not found.recipes:
        raise none_read(source, "folder" if place.is_dir() else "table", found.rejects)
    return found


def _folder(folder: Path) -> RecipeCollection:
    files, aside = recipe_files(folder)
    recipes: list[Recipe] = []
    rejects: list[Reject] = []
    for path in files:
        try:
            recipes.append(read_recipe(path))
        except GlazeError as error:
            rejects.append(reject_of(path, error))
    return RecipeCollection(source=str(folder), recipes=tuple(recipes), rejects=tuple(rejects), left_aside=tuple(aside))


def _table(path: Path, materials: MaterialLibrary | None) -> RecipeCollection:
    text = read_text(path, most_bytes=_LARGEST_TABLE)
    if is_one_recipe(text):
        return RecipeCollection(source=str(path), recipes=(parse_recipe(text, path),))

    def known(name: str) -> bool:
        return materials is not None and materials.exact(name) is not None

    table = parse_recipe_table(text, str(path), known)
    return RecipeCollection(
        source=str(path), recipes=table.recipes, rejects=table.rejects, notices=table.notices, is_table=True
    )


def _looked_up(found: RecipeCollection, materials: MaterialLibrary) -> RecipeCollection:
    """Return the collection with each name looked up once; recipes with one that means no material, or several, are rejects."""
    wrong: dict[str, GlazeError] = {}
    notices: list[Notice] = []
    names = dict.fromkeys(item.material for recipe in found.recipes for item in recipe.ingredients)
    for name in names:
        try:
            notices += materials.find(name)[1]
        except (UnknownNameError, AmbiguousNameError) as error:
            wrong[name] = error
    kept, rejects = [], list(found.rejects)
    for recipe in found.recipes:
        faults = [
            Fault(item.line, wrong[item.material].message, wrong[item.material].hint)
            for item in recipe.ingredients
            if item.material in wrong
        ]
        if not faults:
            kept.append(recipe)
            continue
        reject = reject_of(Path(recipe.path), FileFaultsError(recipe.path, faults[:MOST_FAULTS]))
        if found.is_table:
            line = recipe.ingredients[0].line
            reject = replace(reject, name=recipe.name or f"line {line}", line=line)
        rejects.append(reject)
    return replace(
        found,
        recipes=tuple(kept),
        rejects=tuple(_in_order(rejects)),
        notices=tuple(dict.fromkeys((*found.notices, *notices))),
        materials=materials,
    )


def _in_order(rejects: Iterable[Reject]) -> list[Reject]:
    return sorted(rejects, key=lambda one: one.line or 0)
