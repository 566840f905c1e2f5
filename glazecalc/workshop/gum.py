"""CMC gum for brushing: on top of the dry glaze, as powder or stirred up beforehand."""

from __future__ import annotations

import math
from dataclasses import replace

from glazecalc.convert.batch import resolve
from glazecalc.errors import Notice, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.workshop.practice import choice, practice
from glazecalc.workshop.steps import ROUNDING_CODES, rounding_notices
from glazecalc.workshop.weighing_list import GumSolution, ScaledBatch

__all__ = ("as_solution", "with_gum")

_GUM = "cmc_gum"


def with_gum(recipe: Recipe, materials: MaterialLibrary, percent: float) -> Recipe:
    """Return the recipe with CMC gum added on top, in % of the dry glaze (base and additions); `notices` says so."""
    if not 0 < percent <= choice("most_gum_percent"):
        said = f"{percent:g} % of gum was asked for; above 0 and up to about 2 % is usual."
        raise WorkshopError(said, "Write it like --gum 1%.")
    amount = resolve(recipe, materials).all_in_total * percent / 100
    gum = Ingredient(material=_GUM, amount=amount, unit="g" if recipe.has_mass_units else "", addition=True)
    notices = list(recipe.notices)
    low, high = practice("gum")["range"]
    if not low <= percent <= high:
        unusual = f"{percent:g} % of gum is outside what suppliers recommend, {low:g} to {high:g} % of the dry glaze."
        notices.append(Notice("gum-unusual", unusual))
    counted = f"CMC gum, {percent:g} % of the dry glaze, counts as an addition and in the total batch."
    notices.append(Notice("gum", counted))
    return replace(recipe, ingredients=(*recipe.ingredients, gum), text="", notices=tuple(notices))


def as_solution(scaled: ScaledBatch, g_per_l: float) -> ScaledBatch:
    """Return the batch with its gum stirred up, so many g in a litre of water: off the dry list, its water off the plain water."""
    if not (math.isfinite(g_per_l) and g_per_l > 0):
        raise WorkshopError("a gum solution has more than 0 g per litre.", "Write it like --gum-solution 30.")
    gum_g = math.fsum(line.mass_g for line in scaled.lines if line.material == _GUM)
    if not gum_g > 0:
        raise WorkshopError("the batch has no gum.", "Say how much: --gum 1%.")
    water, poured = gum_g / g_per_l * 1000, scaled.pour_water_g
    if poured is not None and water > poured:
        said = f"the gum solution alone brings {water:.0f} g of water, more than the {poured:.0f} g of the slurry."
        raise WorkshopError(said, "Stir the gum up thicker.")
    solution = GumSolution(g_per_l=g_per_l, water_g=water, plain_water_g=None if poured is None else poured - water)
    lines = tuple(replace(x, in_solution=True, fine_scale=False) if x.material == _GUM else x for x in scaled.lines)
    notices = [notice for notice in scaled.notices if notice.code not in ROUNDING_CODES]
    if scaled.step_g is not None:  # the step has nothing to say of what is not weighed dry
        weighed = ((x.name, x.exact_g * (1 + x.moisture_percent / 100)) for x in lines if not x.in_solution)
        notices += rounding_notices(weighed, scaled.step_g)
    return replace(scaled, lines=lines, gum_solution=solution, notices=tuple(notices))
