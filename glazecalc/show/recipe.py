"""The page of a recipe: the card, as a potter types it."""

from __future__ import annotations

from glazecalc.files.recipe_text import format_recipe_text
from glazecalc.recipe import Recipe

__all__ = ("page",)


def page(recipe: Recipe) -> str:
    """Return the card in plain text."""
    return format_recipe_text(recipe).rstrip("\n")
