"""A recipe brought to a real weight: to a dry mass, to a bucket, or as far as one material lasts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from glazecalc.arguments import the_recipe
from glazecalc.convert.batch import Batch, resolve
from glazecalc.errors import Notice, WorkshopError
from glazecalc.library import MaterialLibrary, name_key
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.workshop.density import SolidsDensity, given_density, solids_density
from glazecalc.workshop.slurry import fill_amounts, water_for_gravity
from glazecalc.workshop.steps import round_to_step, rounding_notices

__all__ = (
    "ScaledBatch", "WeighLine", "batch_density", "fill", "fill_batch", "limit_factor", "realised_recipe", "recipe_lines", "scale", "scale_lines",
    "with_water",
)  # fmt: skip

_LARGEST_G = 1e9  # a thousand tonnes; more is a slip of the pen


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighLine:
    """One line of a weighing list.

    Attributes
    ----------
    material : str
        Id of the material; the name as written where no library was used.
    name : str
        What is printed.
    mass_g : float
        Dry mass [g].
    addition : bool
        True for what goes on top of the base.
    exact_g : float
        The mass before rounding to the scale's step [g].
    moisture_percent : float
        Water in the bag [% of the dry weight]: `weigh_g` is larger than `mass_g` by it.
    """

    material: str
    name: str
    mass_g: float
    addition: bool
    exact_g: float
    moisture_percent: float = 0.0

    @property
    def weigh_g(self) -> float:
        """What the scale must show [g]: the dry mass with the water that the bag holds."""
        return self.mass_g * (1 + self.moisture_percent / 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaledBatch:
    """A weighing list.

    Attributes
    ----------
    recipe : Recipe
        Where it came from.
    lines : tuple of WeighLine
        In the order of the recipe.
    factor : float
        Grams for one part of the recipe (or for one of its grams).
    water_g, volume_ml, specific_gravity : float or None
        Water in the slurry [g], its volume [ml] and gravity; None where no gravity was asked for.
    density : SolidsDensity or None
        Density of the dry solids used.
    step_g : float or None
        The scale's step [g]; None where nothing was rounded.
    notices : tuple of Notice
        What must be said.
    """

    recipe: Recipe
    lines: tuple[WeighLine, ...]
    factor: float
    water_g: float | None = None
    volume_ml: float | None = None
    specific_gravity: float | None = None
    density: SolidsDensity | None = None
    step_g: float | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def dry_mass_g(self) -> float:
        """Sum of all lines, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines)

    @property
    def base_g(self) -> float:
        """Sum of the base, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines if not line.addition)

    @property
    def additions_g(self) -> float:
        """Sum of the additions, dry [g]."""
        return math.fsum(line.mass_g for line in self.lines if line.addition)

    @property
    def exact_dry_g(self) -> float:
        """Sum of all lines before rounding [g]."""
        return math.fsum(line.exact_g for line in self.lines)

    @property
    def pour_water_g(self) -> float | None:
        """Water to pour [g]: `water_g` less what moist materials bring."""
        if self.water_g is None:
            return None
        return self.water_g - math.fsum(line.weigh_g - line.mass_g for line in self.lines)


def recipe_lines(recipe: Recipe | Batch) -> tuple[tuple[tuple[str, str, float, bool], ...], tuple[Notice, ...]]:
    """Return (material, name, parts, addition) of each line, lines of one material and role summed, and what was said.

    A resolved `Batch` gives ids; a bare `Recipe` gives its names as written.
    """
    if isinstance(recipe, Batch):
        lines = tuple(
            (m.id, m.name, p, a) for m, p, a in zip(recipe.materials, recipe.parts, recipe.addition, strict=True)
        )
        return lines, recipe.notices
    summed: dict[tuple[tuple[str, ...], bool], tuple[str, str, float, bool]] = {}
    notices = list(recipe.notices)
    for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
        key = (name_key(item.material), item.addition)
        if key in summed:
            name, _, before, _ = summed[key]
            notices.append(Notice("same-material-twice", f"{name} stands twice; summed to {before + amount:g}."))
            summed[key] = (name, name, before + amount, item.addition)
        else:
            summed[key] = (item.material, item.material, amount, item.addition)
    base = math.fsum(p for _, _, p, a in summed.values() if not a)
    if summed and not recipe.has_mass_units and abs(base - 100) > 0.05:
        notices.append(Notice("base-total", f"the base totals {base:g}, not 100; scaled by parts as it stands."))
    return tuple(summed.values()), tuple(notices)


def scale(
    recipe: Recipe | Batch | Mapping[str, float],
    *,
    all_in_g: float | None = None,
    base_g: float | None = None,
    step_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> ScaledBatch:
    """Bring a recipe to a dry weight.

    Parameters
    ----------
    recipe : Recipe, Batch or Mapping
        A batch (a recipe that met its library) gives ids; a recipe, or a mapping of name -> parts, needs no library.
    all_in_g : float, optional
        Weight of base and additions together [g]. Give this or `base_g`.
    base_g : float, optional
        Weight of the base alone [g]; the additions come on top.
    step_g : float, optional
        Round each line to this step [g], half up.
    moisture_percent : Mapping, optional
        Material -> water in the bag [% of the dry weight].

    Returns
    -------
    ScaledBatch

    Raises
    ------
    WorkshopError
        If neither or both weights are given, or the recipe has nothing to scale.

    Examples
    --------
    >>> batch = scale({"whiting": 20, "kaolin": 30, "silica": 50}, all_in_g=300)
    >>> [(line.name, line.mass_g) for line in batch.lines]
    [('whiting', 60.0), ('kaolin', 90.0), ('silica', 150.0)]
    """
    recipe = recipe if isinstance(recipe, Batch) else the_recipe(recipe)
    asked = all_in_g if all_in_g is not None else base_g
    if asked is None or (all_in_g is not None and base_g is not None):
        raise WorkshopError(
            "give one weight: of the base alone, or all-in with the additions.", "all_in_g=5000, or base_g=5000."
        )
    lines, notices = recipe_lines(recipe)
    counted = math.fsum(p for _, _, p, a in lines if all_in_g is not None or not a)
    if asked > _LARGEST_G:
        raise WorkshopError(f"a batch of {asked / 1e6:.3g} t cannot be meant.", "Write it like 5kg or 300g.")
    if not (math.isfinite(asked) and asked > 0):
        raise WorkshopError(f"a weight above zero was expected; got {asked:g} g.", "Write it like 5kg or 300g.")
    if not counted > 0:
        raise WorkshopError("the recipe has no base to scale.", "Lines without '+' make the base.")
    return scale_lines(recipe, asked / counted, lines, notices, step_g=step_g, moisture_percent=moisture_percent)


def scale_lines(
    recipe: Recipe | Batch,
    factor: float,
    lines: Sequence[tuple[str, str, float, bool]],
    notices: Sequence[Notice] = (),
    *,
    step_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> ScaledBatch:
    """Return the weighing list of `lines` times `factor` [g a part]."""
    wet = dict(moisture_percent or {})
    if isinstance(recipe, Batch):
        wet = {m.id: m.moisture_percent for m in recipe.materials if m.moisture_percent} | wet
    found = list(notices)
    weighed = []
    for material, name, parts, addition in lines:
        exact, moist = parts * factor, wet.get(material, 0.0)
        if not math.isfinite(moist) or moist < 0:
            raise WorkshopError(f"the moisture of {name} is {moist:g} %; zero or more was expected.")
        dry = exact if step_g is None else round_to_step(exact * (1 + moist / 100), step_g) / (1 + moist / 100)
        weighed.append(
            WeighLine(
                material=material, name=name, mass_g=dry, addition=addition, exact_g=exact, moisture_percent=moist
            )
        )
    if step_g is not None:
        found.extend(rounding_notices(((x.name, x.exact_g, x.mass_g) for x in weighed), step_g))
    plain = recipe.recipe if isinstance(recipe, Batch) else recipe
    return ScaledBatch(recipe=plain, lines=tuple(weighed), factor=factor, step_g=step_g, notices=tuple(found))


def batch_density(batch: Batch, solids_density_g_cm3: float | None = None) -> SolidsDensity:
    """Return the density of a batch's dry solids: as given, or from its materials."""
    if solids_density_g_cm3 is not None:
        return given_density(solids_density_g_cm3)
    return solids_density(batch.parts, batch.materials)


def with_water(scaled: ScaledBatch, gravity: float, density: SolidsDensity) -> ScaledBatch:
    """Return the list with the water that brings its dry material to `gravity`."""
    water = water_for_gravity(scaled.dry_mass_g, gravity, density.g_cm3)
    watered = replace(
        scaled,
        water_g=water,
        volume_ml=scaled.dry_mass_g / density.g_cm3 + water,
        specific_gravity=gravity,
        density=density,
        notices=scaled.notices + density.notices,
    )
    return _checked_water(watered)


def fill_batch(
    batch: Batch,
    *,
    volume_ml: float,
    specific_gravity: float,
    density: SolidsDensity,
    step_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> ScaledBatch:
    """Return the weighing list and the water that fill `volume_ml` [ml] at `specific_gravity`.

    With a step, the dry material is what the rounded lines add to and the water makes up the volume.
    """
    dry, _ = fill_amounts(volume_ml, specific_gravity, density.g_cm3)
    scaled = scale(batch, all_in_g=dry, step_g=step_g, moisture_percent=moisture_percent)
    filled = replace(
        scaled,
        water_g=volume_ml - scaled.dry_mass_g / density.g_cm3,
        volume_ml=volume_ml,
        specific_gravity=specific_gravity,
        density=density,
        notices=scaled.notices + density.notices,
    )
    return _checked_water(filled)


def _checked_water(scaled: ScaledBatch) -> ScaledBatch:
    if scaled.pour_water_g is not None and scaled.pour_water_g < 0:
        raise WorkshopError(
            f"the moist materials bring {-scaled.pour_water_g:.0f} g more water than the whole slurry may hold.",
            "Dry them, or ask for a lower gravity.",
        )
    return scaled


def fill(
    recipe: Recipe | Mapping[str, float],
    *,
    volume_l: float,
    specific_gravity: float,
    materials: MaterialLibrary,
    solids_density: float | None = None,
    step_g: float | None = None,
) -> ScaledBatch:
    """Bring a recipe to a bucket of slurry.

    Parameters
    ----------
    recipe : Recipe or Mapping
        A recipe, or a mapping of material name -> parts.
    volume_l : float
        Volume of the slurry [l].
    specific_gravity : float
        Weight of the slurry over that of as much water.
    materials : MaterialLibrary
        Where names are looked up and densities found.
    solids_density : float, optional
        Density of the dry solids [g/cm3] in place of the computed one.
    step_g : float, optional
        Round each line to this step [g].

    Returns
    -------
    ScaledBatch

    Raises
    ------
    WorkshopError
        For a gravity at or below water's, at or above the solids', or a volume that is none.
    """
    batch = resolve(recipe, materials)
    return fill_batch(
        batch,
        volume_ml=volume_l * 1000,
        specific_gravity=specific_gravity,
        density=batch_density(batch, solids_density),
        step_g=step_g,
    )


def limit_factor(lines: Sequence[tuple[str, str, float, bool]], left_g: Mapping[str, float]) -> tuple[float, str]:
    """Return the largest factor [g a part] that the stock allows, and the name of the material that sets it.

    Parameters
    ----------
    lines : sequence
        As `recipe_lines` gives them.
    left_g : Mapping
        Material -> what is left of it, dry [g].

    Raises
    ------
    WorkshopError
        If a material named is not in the recipe, or its stock is not above zero.
    """
    needed: dict[str, tuple[str, float]] = {}
    for material, name, parts, _ in lines:
        needed[material] = (name, needed.get(material, (name, 0.0))[1] + parts)
    factors = []
    for material, grams in left_g.items():
        if material not in needed:
            raise WorkshopError(
                f"{material} is not in the recipe, so it limits nothing.",
                f"It has {', '.join(name for name, _ in needed.values())}.",
            )
        name, parts = needed[material]
        if not (math.isfinite(grams) and grams > 0):
            raise WorkshopError(f"the stock of {name} is {grams:g} g; something above zero was expected.")
        if parts > 0:
            factors.append((grams / parts, name))
    if not factors:
        raise WorkshopError("the recipe uses none of the materials named.", 'Write it like --limit "kaolin 800 g".')
    return min(factors)


def realised_recipe(scaled: ScaledBatch) -> Recipe:
    """Return the recipe as weighed, in grams: what rounding made of it."""
    return Recipe(
        name=scaled.recipe.name,
        ingredients=tuple(
            Ingredient(material=line.material, amount=line.mass_g, unit="g", addition=line.addition)
            for line in scaled.lines
        ),
    )
