"""Recipe files: which reader a file needs, and writing one back whole."""

from __future__ import annotations

from dataclasses import fields
from itertools import zip_longest
from pathlib import Path

from glazecalc.errors import FileFaultsError
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.text_file import file_fault, read_text, write_text_atomically
from glazecalc.recipe import Recipe

__all__ = ("parse_recipe", "read_recipe", "recipe_text_for", "write_recipe")


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

    Examples
    --------
    >>> import glazecalc as gc
    >>> black = gc.read_recipe("recipes/harbour-black.txt")
    >>> black.name, black.cone, len(black.base), black.additions[0].material
    ('Harbour Black', '6', 6, 'Red iron oxide')
    """
    _refuse_other_forms(path)
    return parse_recipe(read_text(path), path)


def parse_recipe(text: str, path: str | Path) -> Recipe:
    """Return the recipe that `text` holds, in the form that the ending of `path` names."""
    ending = Path(path).suffix.lower()
    if ending in (".yaml", ".yml"):
        from glazecalc.files.recipe_yaml import parse_recipe_yaml

        return parse_recipe_yaml(text, str(path))
    if ending in (".csv", ".tsv"):
        from glazecalc.files.recipe_csv import parse_recipe_csv

        return parse_recipe_csv(text, str(path))
    _refuse_other_forms(path)
    return parse_recipe_text(text, str(path))


def _refuse_other_forms(path: str | Path) -> None:
    ending = Path(path).suffix.lower()
    if ending in (".xlsx", ".xls", ".ods", ".doc", ".docx", ".pdf"):
        raise file_fault(path, f"a {ending} file is not read.", "Save it as CSV or plain text.")


def write_recipe(recipe: Recipe, path: str | Path) -> None:
    """Write a recipe in the form that the ending of `path` names; an unchanged text recipe keeps every byte.

    The file is written beside its place and then moved there, so that it is never half written.

    Parameters
    ----------
    recipe : Recipe
        What to write; in CSV its name, firing, use, version and notes stand in comments above the table, ``# cone: 6``.
    path : str or Path
        Its ending decides: ``.yaml`` or ``.yml``, ``.csv`` or ``.tsv``, else plain text.

    Raises
    ------
    FileFaultsError
        If the file cannot be written, or the recipe would be another when it is read back from this form; an old file
        is then untouched.

    Examples
    --------
    >>> import glazecalc as gc, pathlib, tempfile
    >>> clear = gc.Recipe.from_parts("Clear", {"silica": 60, "whiting": 40}, cone="6")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = pathlib.Path(folder, "clear.yaml")
    ...     gc.write_recipe(clear, path)
    ...     gc.read_recipe(path) == clear
    True
    """
    write_text_atomically(path, recipe_text_for(recipe, path))


def recipe_text_for(recipe: Recipe, path: str | Path) -> str:
    """Return the text of a recipe in the form that the ending of `path` names; raise where it would not read back as it is."""
    ending = Path(path).suffix.lower()
    if ending in (".yaml", ".yml"):
        from glazecalc.files.recipe_yaml import format_recipe_yaml as formatted
    elif ending in (".csv", ".tsv"):
        from glazecalc.files.recipe_csv import format_recipe_csv as formatted
    else:
        formatted = format_recipe_text
    text = formatted(recipe)
    _check_reads_back(recipe, text, path)
    return text


def _check_reads_back(recipe: Recipe, text: str, path: str | Path) -> None:
    hint = "Write it in another form (.yaml has room for everything), or change that."
    try:
        back = parse_recipe(text, path)
    except FileFaultsError as error:
        said = f"the recipe could not be read back from this form: {error.faults[0].message}"
        raise file_fault(path, said, hint) from None
    if back == recipe:
        return
    for field in fields(recipe):
        wanted, got = getattr(recipe, field.name), getattr(back, field.name)
        if field.compare and wanted != got:
            if field.name == "ingredients":
                pairs = zip_longest(wanted, got)
                wanted, got = next((a, b) for a, b in pairs if a != b)
            said = f"this form cannot hold the recipe's {field.name}: {wanted!r} would be read back as {got!r}."
            raise file_fault(path, said, hint)
