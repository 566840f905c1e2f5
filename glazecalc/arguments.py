"""What the public functions are given: the right thing, or an error that names the call to write."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from numbers import Real
from os import PathLike
from typing import TypeVar

from glazecalc.convention import Convention
from glazecalc.errors import ArgumentError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe

__all__ = ("check_numbers", "the_convention", "the_library", "the_names", "the_recipe", "the_value")

T = TypeVar("T")


def the_recipe(given: object) -> Recipe:
    """Return a recipe; a mapping of material name -> parts becomes one without additions.

    Raises
    ------
    ArgumentError
        For anything else, with the call to write.
    """
    if isinstance(given, Recipe):
        return given
    if isinstance(given, MaterialLibrary):
        raise ArgumentError(
            "a library of materials stands where the recipe was expected.",
            "The recipe comes first, then the materials.",
        )
    if isinstance(given, Mapping):
        return Recipe.from_parts("", dict(given))
    if isinstance(given, str | PathLike):
        raise ArgumentError(
            f"the recipe is {str(given)!r}, a path or a text; a Recipe was expected.",
            f"Read it first: gc.read_recipe({str(given)!r}).",
        )
    raise ArgumentError(
        f"the recipe is of type {type(given).__name__}; a Recipe, or a mapping of material name to parts, was expected."
    )


def the_library(given: object) -> MaterialLibrary:
    """Return the library.

    Raises
    ------
    ArgumentError
        For anything else, with the call to write.
    """
    if isinstance(given, MaterialLibrary):
        return given
    if isinstance(given, Recipe):
        raise ArgumentError(
            "a recipe stands where the materials were expected.", "The recipe comes first, then the materials."
        )
    if isinstance(given, str | PathLike):
        raise ArgumentError(
            f"the materials are {str(given)!r}, a path or a text; a MaterialLibrary was expected.",
            f"Load them first: gc.load_materials({str(given)!r}).",
        )
    raise ArgumentError(
        f"the materials are of type {type(given).__name__}; a MaterialLibrary was expected.",
        "Write gc.load_materials(), or gc.MaterialLibrary([material, ...]).",
    )


def the_convention(given: object) -> Convention:
    """Return the convention.

    Raises
    ------
    ArgumentError
        For anything else, with the call to write.
    """
    if isinstance(given, Convention):
        return given
    if isinstance(given, str):
        raise ArgumentError(
            f"the convention is the text {given!r}; a Convention was expected.",
            f"Write gc.Convention.from_names([{given!r}]).",
        )
    raise ArgumentError(
        f"the convention is of type {type(given).__name__}; a Convention was expected.",
        "Write gc.Convention(iron_as_feo=True).",
    )


def the_names(given: str | Iterable[str]) -> tuple[str, ...]:
    """Return a list of names; a bare text is one name.

    Raises
    ------
    ArgumentError
        For anything that holds other than texts.
    """
    names = (given,) if isinstance(given, str) else tuple(given) if isinstance(given, Iterable) else (given,)
    wrong = next((name for name in names if not isinstance(name, str)), None)
    if wrong is not None:
        raise ArgumentError(f"{wrong!r} is of type {type(wrong).__name__}; the name of a material was expected.")
    return tuple(str(name) for name in names)


def the_value(given: object, kind: type[T], name: str, write: str) -> T:
    """Return `given` where it is of `kind`; `write` is the call that makes one.

    Raises
    ------
    ArgumentError
        For anything else.
    """
    if isinstance(given, kind):
        return given
    raise ArgumentError(
        f"{name} is of type {type(given).__name__}; a {kind.__name__} was expected.", f"Write {name}={write}."
    )


def check_numbers(**given: object) -> None:
    """Refuse what is no number, ``all_in_g="5kg"``; None stands for what was not given.

    Raises
    ------
    ArgumentError
        For the first that is none.
    """
    for name, value in given.items():
        if value is not None and (isinstance(value, bool) or not isinstance(value, Real)):
            raise ArgumentError(f"{name} is {value!r}; a plain number was expected, in the unit that its name says.")
