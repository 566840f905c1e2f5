"""A slip at the scale: a recipe, and what went into the bucket, read together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from glazecalc.arguments import the_library, the_recipe
from glazecalc.convert.batch import Batch, resolve
from glazecalc.errors import AmbiguousNameError, Fault, FileFaultsError, Notice, UnknownNameError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.workshop.parts_lines import PartsLine
from glazecalc.workshop.restore import Mend, WeighedMaterial, restore

__all__ = ("mend",)


def mend(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    weighed: Recipe | Mapping[str, float],
    *,
    all_in_g: float | None = None,
    base_g: float | None = None,
    used_g: float = 0.0,
    used_percent: float | None = None,
    step_g: float | None = None,
) -> Mend:
    """Return the smallest additions that bring a batch that was weighed wrong back to its recipe.

    Parameters
    ----------
    recipe : Recipe or Mapping
        As it should be.
    materials : MaterialLibrary
        Where names are looked up.
    weighed : Recipe or Mapping
        Everything that went in, the slip included; grams where no unit stands. A material of the library that is not in the
        recipe is foreign.
    all_in_g, base_g : float, optional
        The batch as planned, with or without its additions [g]; left out, the smallest batch that restores the recipe.
    used_g : float
        Dry weight of the finished mix that was already used up [g]; it is taken as evenly mixed.
    used_percent : float, optional
        The same as a share of what went in [%].
    step_g : float, optional
        Round the additions to this step of the scale [g].

    Returns
    -------
    Mend

    Raises
    ------
    FileFaultsError
        For what was weighed: names that are not known, shares in place of weights.
    WorkshopError
        For an empty bucket, a batch planned twice, or more used than was weighed.

    Examples
    --------
    >>> import glazecalc as gc
    >>> recipe = {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "silica": 25}
    >>> found = mend(recipe, gc.load_materials(), {"potash feldspar": 400, "whiting": 220}, all_in_g=1000)
    >>> found.verdict, [(line.name, round(line.mass_g)) for line in found.additions]
    ('enlarge', [('Potash feldspar', 40), ('Kaolin', 165), ('Silica', 275)])
    """
    if all_in_g is not None and base_g is not None:
        raise WorkshopError("the planned batch is given once: all-in with the additions, or its base without.")
    batch = resolve(the_recipe(recipe), the_library(materials))
    went_in, notices = _went_in(weighed, materials, batch)
    if used_percent is not None:
        used_g = math.fsum(item.mass_g for item in went_in) * used_percent / 100
    shares = [
        PartsLine(material=material.id, name=material.name, parts=parts) for material, parts in batch.by_material()
    ]
    planned_g = base_g * batch.all_in_total / batch.base_total if base_g is not None else all_in_g
    found = restore(shares, went_in, planned_g=planned_g, used_g=used_g)
    return replace(
        found,
        recipe=batch.recipe.name,
        lines=tuple(replace(line, step_g=step_g) for line in found.lines),
        step_g=step_g,
        notices=tuple(dict.fromkeys((*batch.notices, *notices))),
    )


def _went_in(
    weighed: Recipe | Mapping[str, float], materials: MaterialLibrary, batch: Batch
) -> tuple[tuple[WeighedMaterial, ...], list[Notice]]:
    """Return what went in, one entry a material, and what was said."""
    listed = the_recipe(weighed)
    place = listed.path or "what was weighed"
    if not listed.ingredients:
        raise FileFaultsError(place, [Fault(None, "nothing is listed.", "One line a material: kaolin 400 g.")])
    went_in: dict[str, WeighedMaterial] = {}
    faults: list[Fault] = []
    notices = list(listed.notices)
    for item, amount in zip(listed.ingredients, listed.amounts(), strict=True):
        if item.unit == "%":
            text = f"{item.material} is given in per cent; a weight was expected."
            faults.append(Fault(item.line, text, "Write it like 400 g."))
            continue
        try:
            material, said = materials.find_in(item.material, batch.materials)
        except (UnknownNameError, AmbiguousNameError) as error:
            faults.append(Fault(item.line, error.message, error.hint))
            continue
        notices.extend(said)
        before = went_in.get(material.id)
        if before is not None:
            notices.append(Notice("weighed-twice", f"{item.material} was weighed twice; both count."))
        total = amount + (before.mass_g if before is not None else 0.0)
        went_in[material.id] = WeighedMaterial(material=material.id, name=material.name, mass_g=total)
    if faults:
        raise FileFaultsError(place, faults)
    if isinstance(weighed, Recipe) and not weighed.has_mass_units:
        notices.append(Notice("read-as-grams", "weights without a unit are read as grams."))
    return tuple(went_in.values()), notices
