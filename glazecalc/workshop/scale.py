"""A recipe brought to a real weight: to a dry mass, a bucket, an order of pieces, or as far as one material lasts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace

from glazecalc.convert.batch import resolve
from glazecalc.convert.unity import unity_formula
from glazecalc.errors import GlazeError, Notice, WorkshopError
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe, as_recipe
from glazecalc.workshop.density import SolidsDensity, batch_density
from glazecalc.workshop.moisture import questioned_moisture
from glazecalc.workshop.parts_lines import PartsLine, by_line, parts_lines
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.practice import choice
from glazecalc.workshop.slurry import fill_amounts, water_for_gravity
from glazecalc.workshop.steps import at_the_scale, rounding_notices
from glazecalc.workshop.studio_size import questioned_size
from glazecalc.workshop.weighing_list import RoundedMoles, ScaledBatch, WeighLine, sheet_rows

__all__ = ("fill", "limit_factor", "scale")

_ONE_SIZE = (
    "all_in_g=5000 or base_g=5000; or a bucket (volume_l=10, specific_gravity=1.45), an order of pieces (need=...), "
    "or what is left (left_g={'kaolin': 800})."
)


def scale(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary | None = None,
    *,
    all_in_g: float | None = None,
    base_g: float | None = None,
    volume_l: float | None = None,
    need: GlazeNeed | None = None,
    left_g: Mapping[str, float] | None = None,
    specific_gravity: float | None = None,
    solids_density_g_cm3: float | None = None,
    bucket_l: float | None = None,
    step_g: float | None = None,
    capacity_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> ScaledBatch:
    """Bring a recipe to a real weight. Give one of `all_in_g`, `base_g`, `volume_l`, `need`, `left_g`.

    Parameters
    ----------
    recipe : Recipe or Mapping
        A recipe, or a mapping of material name -> parts.
    materials : MaterialLibrary, optional
        Where names are looked up and densities found. Without it the names stay as written.
    all_in_g, base_g : float, optional
        Dry weight of base and additions together, or of the base alone [g]; the additions come on top of it.
    volume_l, specific_gravity : float, optional
        Volume of slurry to make [l] and its weight over that of as much water. With a gravity the water is worked out, for any size.
    need : GlazeNeed, optional
        An order of pieces, from `need_from_gains` or `need_from_area`.
    left_g : Mapping, optional
        Material -> what is left of it, as weighed [g]; the batch is as large as that allows.
    solids_density_g_cm3 : float, optional
        Solids density [g/cm3] in place of that of the materials.
    bucket_l : float, optional
        What the bucket holds [l]; more is refused.
    step_g, capacity_g : float, optional
        The scale: each line is rounded half up to its step (where that loses or moves it too far, it
        keeps its true weight, `fine_scale`), and split into rounds that it holds beside its pan [g].
    moisture_percent : Mapping, optional
        Material -> water in the bag [% of the dry weight].

    Returns
    -------
    ScaledBatch

    Raises
    ------
    WorkshopError
        If not exactly one size is given, a name is not in the recipe, or the slurry cannot be.

    Examples
    --------
    >>> import glazecalc as gc
    >>> batch = gc.scale({"whiting": 20, "kaolin": 30, "silica": 50}, all_in_g=300)
    >>> [(line.name, round(line.mass_g)) for line in batch.lines]
    [('whiting', 60), ('kaolin', 90), ('silica', 150)]
    """
    recipe = as_recipe(recipe)
    if sum(size is not None for size in (all_in_g, base_g, volume_l, need, left_g)) != 1:
        raise WorkshopError("give one weight: of the base alone, or of the total batch with its additions.", _ONE_SIZE)
    batch = resolve(recipe, materials) if materials is not None else None
    lines, notices = parts_lines(batch or recipe)
    moist, said = by_line(moisture_percent or {}, lines, batch, materials)
    wet = {m.id: m.moisture_percent for m in (batch.materials if batch else ()) if m.moisture_percent} | moist
    notices += (*said, *questioned_moisture((line.name, wet.get(line.material, 0.0)) for line in lines))
    as_slurry = specific_gravity is not None or volume_l is not None
    density = batch_density(batch, solids_density_g_cm3) if as_slurry else None
    if left_g is not None:
        left, said = by_line(left_g, lines, batch, materials)
        dry_left = {m: _down_to_step(grams, step_g) / (1 + wet.get(m, 0.0) / 100) for m, grams in left.items()}
        factor, name = limit_factor(lines, dry_left)
        notices = (*notices, *said, Notice("limited-by", f"{name} sets the size of the batch."))
    elif base_g is not None:
        factor = _factor(lines, base_g, base_alone=True)
    else:
        if need is not None:
            need = _with_reserve(need, specific_gravity, density)
            all_in_g = need.dry_g + (need.reserve_g or 0.0)
        elif all_in_g is None:
            all_in_g = _dry_g(volume_l, specific_gravity, density)
        factor = _factor(lines, all_in_g, base_alone=False)
    scaled = ScaledBatch(
        recipe=recipe,
        lines=_weigh_lines(lines, factor, wet, step_g),
        factor=factor,
        materials=batch.materials if batch else (),
        step_g=step_g,
        capacity_g=capacity_g,
        need=need,
        notices=notices,
    )
    scaled = _rounded(scaled, materials)
    if density is not None and specific_gravity is not None:
        scaled = _with_water(scaled, specific_gravity, density, volume_l, bucket_l)
    said = (*(need.notices if need else ()), *questioned_size(scaled.dry_mass_g, scaled.volume_ml))
    return _with_rounds(replace(scaled, notices=(*scaled.notices, *said)))


def fill(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    volume_l: float,
    specific_gravity: float,
    solids_density_g_cm3: float | None = None,
    step_g: float | None = None,
) -> ScaledBatch:
    """Bring a recipe to a bucket of slurry; with a step, the water makes up the volume over the rounded lines.

    Parameters
    ----------
    recipe : Recipe or Mapping
        A recipe, or a mapping of material name -> parts.
    materials : MaterialLibrary
        Where names are looked up and densities found.
    volume_l, specific_gravity : float
        Volume of the slurry [l], and its weight over that of as much water.
    solids_density_g_cm3 : float, optional
        Solids density [g/cm3] in place of the computed one.
    step_g : float, optional
        Round each line to this step [g].

    Returns
    -------
    ScaledBatch

    Raises
    ------
    WorkshopError
        For a gravity at or below water's, at or above the solids', or a volume that is none.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials, black = gc.load_materials("materials"), gc.read_recipe("recipes/harbour-black.txt")
    >>> bucket = gc.fill(black, materials, volume_l=10, specific_gravity=1.45, solids_density_g_cm3=2.6)
    >>> round(bucket.dry_mass_g, 1), round(bucket.water_g, 1)
    (7312.5, 7187.5)
    """
    return scale(
        recipe,
        materials,
        volume_l=volume_l,
        specific_gravity=specific_gravity,
        solids_density_g_cm3=solids_density_g_cm3,
        step_g=step_g,
    )


def _factor(lines: Sequence[PartsLine], asked_g: float, *, base_alone: bool) -> float:
    if not (math.isfinite(asked_g) and asked_g > 0):
        raise WorkshopError(f"a weight above zero was expected; got {asked_g:g} g.", "Write it like 5kg or 300g.")
    if asked_g > choice("largest_batch_g"):
        raise WorkshopError(f"a batch of {asked_g / 1e6:.3g} t is not plausible.", "Write it like 5kg or 300g.")
    counted = math.fsum(line.parts for line in lines if not (base_alone and line.addition))
    if not counted > 0:
        raise WorkshopError("the recipe has no base to scale.", "Lines without '+' make the base.")
    return asked_g / counted


def _down_to_step(grams: float, step_g: float | None) -> float:
    # The rounded line must not ask for more than is left.
    if step_g is None or not step_g > 0:
        return grams
    steps = math.floor(grams / step_g * (1 + 1e-12))
    # Less than a step goes on a fine scale; what is nearly a step would be rounded up to it.
    return steps * step_g if steps else min(grams, step_g * (1 - choice("fine_scale_percent") / 100))


def _weigh_lines(
    lines: Sequence[PartsLine], factor: float, wet: Mapping[str, float], step_g: float | None
) -> tuple[WeighLine, ...]:
    weighed = []
    for line in lines:
        exact, moist = line.parts * factor, wet.get(line.material, 0.0)
        if not math.isfinite(moist) or moist < 0:
            raise WorkshopError(f"the moisture of {line.name} is {moist:g} %; zero or more was expected.")
        weighed_g, is_fine = at_the_scale(exact * (1 + moist / 100), step_g)
        weighed.append(
            WeighLine(
                material=line.material,
                name=line.name,
                mass_g=exact if is_fine or step_g is None else weighed_g / (1 + moist / 100),
                addition=line.addition,
                exact_g=exact,
                moisture_percent=moist,
                fine_scale=is_fine,
            )
        )
    return tuple(weighed)


def _rounded(scaled: ScaledBatch, materials: MaterialLibrary | None) -> ScaledBatch:
    """Return the list with what rounding to its step did, in the unity formula too where a library is at hand."""
    if scaled.step_g is None:
        return scaled
    said = rounding_notices(((x.name, x.exact_g * (1 + x.moisture_percent / 100)) for x in scaled.lines), scaled.step_g)
    rounding = None
    if materials is not None:
        with suppress(GlazeError):  # no flux, or everything rounded to nothing: no formula to compare
            exact, rounded = unity_formula(scaled.recipe, materials), unity_formula(scaled.as_weighed, materials)
            present = [(oxide, float(moles)) for oxide, moles in exact.items() if moles > 0]
            rounding = FrozenDict(
                {oxide: RoundedMoles(moles, float(rounded.get(oxide, 0.0))) for oxide, moles in present}
            )
    return replace(scaled, rounding=rounding, notices=(*scaled.notices, *said))


def _with_reserve(need: GlazeNeed, gravity: float | None, density: SolidsDensity | None) -> GlazeNeed:
    """Return the order with the dry glaze of what stays in the bucket."""
    if not need.reserve_l:
        return need
    if gravity is None or density is None:
        said = f"{need.reserve_l:g} l stay in the bucket: how much glaze is that?"
        raise WorkshopError(said, "Say the gravity: --sg 1.45 (specific_gravity=1.45).")
    return replace(need, reserve_g=_dry_g(need.reserve_l, gravity, density))


def _dry_g(volume_l: float | None, gravity: float | None, density: SolidsDensity | None) -> float:
    if volume_l is None or gravity is None or density is None:
        raise WorkshopError("a volume of slurry needs its specific gravity.", "Write specific_gravity=1.45.")
    return fill_amounts(volume_l * 1000, gravity, density.g_cm3)[0]


def _with_water(
    scaled: ScaledBatch, gravity: float, density: SolidsDensity, volume_l: float | None, bucket_l: float | None
) -> ScaledBatch:
    solids_ml = scaled.dry_mass_g / density.g_cm3
    if volume_l is None:
        water = water_for_gravity(scaled.dry_mass_g, gravity, density.g_cm3)
        volume_ml = solids_ml + water
    else:
        volume_ml = volume_l * 1000
        water = volume_ml - solids_ml
    if bucket_l is not None and volume_ml > bucket_l * 1000:
        said = f"{volume_ml / 1000:.2f} l do not fit into a bucket of {bucket_l:g} l."
        raise WorkshopError(said, "Ask for less, and leave some headroom.")
    watered = replace(
        scaled,
        water_g=water,
        volume_ml=volume_ml,
        specific_gravity=gravity,
        density=density,
        notices=(*scaled.notices, *density.notices),
    )
    if watered.pour_water_g is not None and watered.pour_water_g < 0:
        said = f"the moist materials bring {-watered.pour_water_g:.0f} g more water than the whole slurry may hold."
        raise WorkshopError(said, "Dry them, or ask for a lower specific gravity.")
    return watered


def _with_rounds(scaled: ScaledBatch) -> ScaledBatch:
    if scaled.capacity_g is None:
        return scaled
    rounds = {(row.line.material, row.line.addition): tuple(map(float, row.rounds)) for row in sheet_rows(scaled)}
    lines = tuple(replace(line, rounds_g=rounds[line.material, line.addition]) for line in scaled.lines)
    return replace(scaled, lines=lines)


def limit_factor(lines: Sequence[PartsLine], left_g: Mapping[str, float]) -> tuple[float, str]:
    """Return the largest factor [g a part] that the stock, `PartsLine.material` -> dry [g], allows, and the name that sets it."""
    factors = []
    for material, grams in left_g.items():
        own = [line for line in lines if line.material == material]
        parts = math.fsum(line.parts for line in own)
        if not (math.isfinite(grams) and grams > 0):
            name = own[0].name if own else material
            raise WorkshopError(f"the stock of {name} is {grams:g} g; something above zero was expected.")
        if parts > 0:
            factors.append((grams / parts, own[0].name))
    if not factors:
        raise WorkshopError("the recipe uses none of the materials named.", 'Write it like "kaolin 800 g".')
    return min(factors)
