"""The weighing list of what goes into a bucket that is half used: the same list as a whole batch has, water first."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from glazecalc.convert.batch import Batch
from glazecalc.errors import Notice, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Recipe
from glazecalc.workshop.density import SolidsDensity
from glazecalc.workshop.scale import scale
from glazecalc.workshop.slurry import Adjustment
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("moist_share", "too_coarse", "top_up", "whole_bucket")


def moist_share(batch: Batch, materials: MaterialLibrary, moisture_percent: Mapping[str, float]) -> float:
    """Return the water that the materials of a batch bring, weighed moist [g per dry g]."""
    scaled = scale(batch.recipe, materials, all_in_g=1.0, moisture_percent=moisture_percent)
    return math.fsum(line.weigh_g for line in scaled.lines) / scaled.dry_mass_g - 1


def top_up(
    batch: Batch,
    materials: MaterialLibrary,
    change: Adjustment | None,
    colouring_g: Sequence[tuple[Material, float]],
    density: SolidsDensity,
    *,
    step_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> ScaledBatch | None:
    """Return the weighing list of an addition, with its water, and of what colours the bucket [g]; None where nothing is weighed."""
    name = f"{batch.recipe.name}, to add to the bucket".removeprefix(", ")
    found = ScaledBatch(recipe=replace(batch.recipe, name=name), lines=(), factor=0.0, step_g=step_g)
    if change is not None and change.add_dry_g > 0:
        scaled = scale(
            batch.recipe, materials, all_in_g=change.add_dry_g, step_g=step_g, moisture_percent=moisture_percent
        )
        found = replace(scaled, recipe=found.recipe)
    if colouring_g:
        asked: dict[str, float] = {}
        for material, mass_g in colouring_g:
            asked[material.id] = asked.get(material.id, 0.0) + mass_g
        recipe = Recipe.from_parts("", asked)
        colours = scale(recipe, materials, base_g=math.fsum(asked.values()), step_g=step_g)
        about = [n for n in colours.notices if n.code in ("rounds-to-nothing", "step-is-coarse", "fine-scale")]
        found = replace(
            found,
            lines=(
                *found.lines,
                *(replace(line, name=f"{line.name}, for the full bucket", addition=True) for line in colours.lines),
            ),
            materials=(*found.materials, *colours.materials),
            notices=(*found.notices, *about),
        )
    if not found.lines:
        return None
    if change is None:
        return found
    exact = math.fsum(line.exact_g * line.moisture_percent / 100 for line in found.lines)
    if exact > change.add_water_g * (1 + 1e-9) + 1e-6:
        said = f"the moist materials bring {exact - change.add_water_g:.0f} g more water than may be added."
        raise WorkshopError(said, "Dry them, or ask for a lower specific gravity.")
    brought = math.fsum(line.weigh_g - line.mass_g for line in found.lines)
    return replace(
        found,
        water_g=max(change.add_water_g, brought),  # the step may round a moist line up
        volume_ml=change.volume_ml,
        specific_gravity=change.specific_gravity,
        density=density,
    )


def whole_bucket(
    batch: Batch, materials: MaterialLibrary, dry_g: float, volume_ml: float, gravity: float, density: SolidsDensity
) -> ScaledBatch:
    """Return the bucket as it is once the addition is in it, for its label."""
    scaled = scale(batch.recipe, materials, all_in_g=dry_g)
    return replace(scaled, volume_ml=volume_ml, specific_gravity=gravity, density=density, notices=())


def too_coarse(addition_g: float, off_g: float) -> tuple[Notice, ...]:
    """Return what is to be said where an addition is no larger than the error of the sample."""
    if not 0 < addition_g <= off_g:
        return ()
    text = f"the sample leaves {off_g:.0f} g open, as much as is to be added or more: weigh a larger sample, or add half and measure again."
    return (Notice("error-beyond-addition", text),)
