"""Recipe files: which reader a file needs, and writing one back whole."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.text_file import read_text, write_text_atomically
from glazecalc.recipe import Recipe

__all__ = ("format_recipe", "read_recipe", "write_recipe")


def read_recipe(path: str | Path) -> Recipe:
    """Read a recipe: ``.yaml``/``.yml`` as YAML, ``.csv``/``.tsv`` as CSV, anything else as plain text.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Recipe

    Raises
    ------
    FileFaultsError
        If the file cannot be used, with every fault and its line.
    """
    text = read_text(path)
    ending = Path(path).suffix.lower()
    if ending in (".yaml", ".yml"):
        from glazecalc.files.recipe_yaml import parse_recipe_yaml

        return parse_recipe_yaml(text, str(path))
    if ending in (".csv", ".tsv"):
        from glazecalc.files.recipe_csv import parse_recipe_csv

        return parse_recipe_csv(text, str(path))
    if ending in (".xlsx", ".xls", ".ods", ".doc", ".docx", ".pdf"):
        raise FileFaultsError(
            str(path), [Fault(None, f"a {ending} file is not read.", "Save it as CSV or plain text.")]
        )
    return parse_recipe_text(text, str(path))


def format_recipe(recipe: Recipe, ending: str) -> str:
    """Return the recipe as it would stand in a file with this `ending` (``.txt``, ``.yaml``, ``.csv``)."""
    if ending in (".yaml", ".yml"):
        from glazecalc.files.recipe_yaml import format_recipe_yaml

        return format_recipe_yaml(recipe)
    if ending == ".csv":
        from glazecalc.files.recipe_csv import format_recipe_csv

        return format_recipe_csv(recipe)
    return format_recipe_text(recipe)


def write_recipe(recipe: Recipe, path: str | Path) -> None:
    """Write a recipe in the form that the ending of `path` names; an unchanged text recipe keeps every byte.

    The file is written beside its place and then moved there, so that it is never half written.

    Raises
    ------
    FileFaultsError
        If the file cannot be written; an old file is then untouched.
    """
    write_text_atomically(path, format_recipe(recipe, Path(path).suffix.lower()))
