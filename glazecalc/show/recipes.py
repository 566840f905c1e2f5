"""The page of many recipes: a row each, and what could not be read."""

from __future__ import annotations

from glazecalc.recipe_collection import RecipeCollection, RecipeRow
from glazecalc.show.folder import reject_lines
from glazecalc.show.table import table
from glazecalc.show.text import heading, number, rule, wrapped

__all__ = ("page",)

_MOST_SHOWN = 40


def page(found: RecipeCollection) -> str:
    """Return the list: name, firing, use and totals of each recipe, the first ones of many."""
    counted = f"{len(found.recipes)} recipe{'s' if len(found.recipes) != 1 else ''}"
    missed = f", {len(found.rejects)} not read" if found.rejects else ""
    rows = [["recipe", "cone", "atmosphere", "use", "lines", "base", "additions", ""]]
    rows += map(_row, found.rows[:_MOST_SHOWN])
    lines = [*heading(found.source, counted + missed), rule()]
    lines += table(rows, left=(0, 1, 2, 3, 7), indent=0)
    if len(found.recipes) > _MOST_SHOWN:
        lines.append(f"and {len(found.recipes) - _MOST_SHOWN:,} more: to_frame() has them all")
    if found.rejects:
        lines += ["", "NOT READ"]
        lines += [line for reject in found.rejects[:_MOST_SHOWN] for line in reject_lines(reject)]
        more = len(found.rejects) - _MOST_SHOWN
        lines += [f"  and {more:,} more: 'rejects' has them all"] if more > 0 else []
    if found.left_aside:
        aside = f"Left aside, no recipes by their names: {', '.join(found.left_aside)}."
        lines += ["", *wrapped(aside, indent=0, hang=2)]
    return "\n".join(lines)


def _row(row: RecipeRow) -> list[str]:
    recipe = row.recipe
    additions = number(recipe.additions_total, 1) if recipe.additions else ""
    card = [row.label, recipe.cone, recipe.atmosphere, recipe.use]
    return [*card, str(len(recipe.ingredients)), number(recipe.base_total, 1), additions, row.unit]
