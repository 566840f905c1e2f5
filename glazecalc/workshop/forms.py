"""A material in another form on the shelf: moist, hydrated, calcined, oxide for carbonate."""

from __future__ import annotations

import math
from dataclasses import replace

from glazecalc.errors import Notice, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import VOLATILES, molar_mass
from glazecalc.recipe import Recipe
from glazecalc.workshop.practice import choice

__all__ = ("dry_basis_percent", "form_factor", "swap_form")


def dry_basis_percent(wet_basis_percent: float) -> float:
    """Return a moisture given on the wet weight [%] on the dry weight [%]: 7 % of the wet is 7.53 % of the dry."""
    if not (math.isfinite(wet_basis_percent) and 0 <= wet_basis_percent < 100):
        said = f"a moisture of {wet_basis_percent:g} % of the wet weight is not possible; 0 to below 100 was expected."
        raise WorkshopError(said)
    return 100 * wet_basis_percent / (100 - wet_basis_percent)


def form_factor(wanted: Material, on_shelf: Material) -> float:
    """Return how much of `on_shelf` brings the oxides of one part of `wanted`.

    The two must be the same oxides in the same proportion once fired (borax and its hydrates, raw and calcined clay, an oxide
    and its carbonate); another analysis is a substitution, and refused.
    """
    a, b = (_oxides(m) for m in (wanted, on_shelf))
    total_a, total_b = math.fsum(a.values()), math.fsum(b.values())
    if not (total_a > 0 and total_b > 0):
        raise WorkshopError(f"{wanted.name} or {on_shelf.name} leaves no oxide in the fire.")
    for oxide in sorted(a.keys() | b.keys()):
        here, there = 100 * a.get(oxide, 0.0) / total_a, 100 * b.get(oxide, 0.0) / total_b
        if abs(here - there) > choice("same_form_percent"):
            raise WorkshopError(
                f"{on_shelf.name} is not another form of {wanted.name}: fired, {oxide} is {there:.1f} % for {here:.1f} %.",
                "That changes the chemistry: look for a substitute instead.",
            )
    return total_a / total_b


def _oxides(material: Material) -> dict[str, float]:
    found = {oxide: value for oxide, value in material.analysis.items() if oxide not in VOLATILES}
    if "FeO" in found:
        found["Fe2O3"] = found.get("Fe2O3", 0.0) + found.pop("FeO") * molar_mass("Fe2O3") / (2 * molar_mass("FeO"))
    return found


def swap_form(recipe: Recipe, materials: MaterialLibrary, wanted: str, on_shelf: str) -> Recipe:
    """Return the recipe with one of its materials in another form, the amount corrected; `notices` says what was done."""
    own = [materials.find(item.material)[0] for item in recipe.ingredients]
    old, said_old = materials.find_in(wanted, own)
    new, said_new = materials.find(on_shelf)
    if old.id not in {material.id for material in own}:
        names = ", ".join(dict.fromkeys(material.name for material in own))
        raise WorkshopError(f"{old.name} is not in the recipe.", f"It has {names}. The recipe's material comes first.")
    factor = form_factor(old, new)
    unit = "g" if recipe.has_mass_units else ""
    lines = []
    for item, amount, material in zip(recipe.ingredients, recipe.amounts(), own, strict=True):
        if material.id == old.id:
            lines.append(replace(item, material=new.id, amount=amount * factor, unit=unit))
        elif item.addition and item.unit == "%":
            # Per cent stands on the old base; written out so that the addition does not move with it.
            lines.append(replace(item, amount=amount, unit=unit))
        else:
            lines.append(item)
    said = f"{new.name} in place of {old.name}: {factor:.4f} parts for one bring the same oxides; totals and loss on ignition change."
    notices = (*recipe.notices, *said_old, *said_new, Notice("other-form", said))
    return replace(recipe, ingredients=tuple(lines), text="", notices=notices)
