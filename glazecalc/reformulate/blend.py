"""Test series: lines and triangles between recipes, rising additions, and the same from wet buckets."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from glazecalc.check_report import check
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, BatchLine, resolve
from glazecalc.errors import CompositionError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.series import Series, Tile, TileLine
from glazecalc.workshop.density import given_density, solids_density
from glazecalc.workshop.slurry import dry_g_per_ml
from glazecalc.workshop.steps import at_the_scale
from glazecalc.workshop.studio_size import questioned_size

__all__ = ("Series", "blend")

Rising = Mapping[str, tuple[float, float]]
_DEFAULT = Convention()


def blend(
    recipes: Recipe | Mapping[str, float] | Sequence[Recipe | Mapping[str, float]],
    materials: MaterialLibrary,
    *,
    side: int = 5,
    rising: Mapping[str, tuple[float, float]] | None = None,
    tile_g: float = 100.0,
    step_g: float = 0.1,
    specific_gravities: Sequence[float] = (),
    solids_density_g_cm3: float | None = None,
    convention: Convention = _DEFAULT,
) -> Series:
    """Plan a series of tests.

    Parameters
    ----------
    recipes : Recipe, mapping, or a sequence of them
        Two for a line, three for a triangle; one together with `rising`.
    materials, convention
        As for `unity_formula`.
    side : int
        Tiles along the line, or along each side of the triangle; a triangle of n a side has n (n + 1) / 2.
    rising : mapping, optional
        Material -> (from, to), additions in per cent of the base that rise together over one recipe.
    tile_g : float
        Dry weight of a tile, all-in; of its base in a rising series [g].
    step_g : float
        The scale's step [g].
    specific_gravities : sequence of float, optional
        Specific gravity of the slurry of each recipe, for blending wet; the volumes then hold equal dry weights [-].
    solids_density_g_cm3 : float, optional
        Solids density; by default from each recipe's materials [g/cm3].

    Returns
    -------
    Series
        Every tile with its weights, unity formula, estimates and cautions.

    Raises
    ------
    CompositionError
        For a wrong number of recipes, tiles or gravities, or amounts that cannot be.
    WorkshopError
        For a gravity or density that no slurry has.
    FileFaultsError
        For names.

    Notes
    -----
    Shares are by dry weight, all-in. Wet: dry g per ml = (SG - 1) d / (d - 1), Brongniart's relation, for each slurry.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> clear, black = (gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "harbour-black"))
    >>> series = gc.blend([clear, black], materials, side=3)
    >>> {line.name: round(line.mass_g, 2) for line in series.tiles[1].lines if line.addition}
    {'Red iron oxide': 3.7, 'Cobalt carbonate': 0.46}
    """
    given = [recipes] if isinstance(recipes, Recipe | Mapping) else recipes
    batches = [resolve(recipe, materials) for recipe in given]
    masses_g = {"weight of a tile": tile_g, "scale's step": step_g}
    _check(batches, side, rising or {}, masses_g, specific_gravities)
    names = tuple(batch.recipe.name or f"recipe {i}" for i, batch in enumerate(batches, start=1))
    contents, said = _contents(batches, specific_gravities, solids_density_g_cm3)
    plan = _Plan(materials, batches, names, contents, tile_g, step_g, convention)
    needed: tuple[float, ...] = ()
    if rising:
        kind = "rising"
        tiles, said = _rising(rising, side, plan)
    else:
        kind = "line" if len(batches) == 2 else "triaxial"
        tiles = [_tile(i, shares, plan) for i, shares in enumerate(_points(side, len(batches)), start=1)]
        needed = tuple(math.fsum(tile.corners_g[i] for tile in tiles) for i in range(len(batches)))
    large = questioned_size(tile_g * len(tiles))
    return Series(
        kind=kind,
        corners=names,
        tiles=tuple(tiles),
        tile_g=tile_g,
        step_g=step_g,
        needed_g=needed,
        needed_ml=_volumes(needed, contents),
        dry_g_per_ml=contents,
        convention=convention,
        notices=tuple(dict.fromkeys([*(notice for batch in batches for notice in batch.notices), *said, *large])),
    )


@dataclass(frozen=True, slots=True)
class _Plan:
    """What every tile of a series is made of and with; `contents` are the slurries' dry g per ml, empty without them."""

    library: MaterialLibrary
    batches: Sequence[Batch]
    names: tuple[str, ...]
    contents: tuple[float, ...]
    tile_g: float
    step_g: float
    convention: Convention


def _check(
    batches: Sequence[Batch], side: int, rising: Rising, masses_g: Mapping[str, float], gravities: Sequence[float]
) -> None:
    if rising and len(batches) != 1:
        raise CompositionError(f"a progression varies one recipe; {len(batches)} were given.")
    if not rising and len(batches) not in (2, 3):
        text = f"a line blend has two recipes and a triaxial three; {len(batches)} given."
        raise CompositionError(text, "For a progression of one recipe say which addition rises.")
    if side < 2:
        raise CompositionError(f"{side} tile along a side is no series; two or more were expected.")
    count = side if rising or len(batches) == 2 else side * (side + 1) // 2
    most = int(choice("most_tiles"))
    if count > most:
        raise CompositionError(f"{count} tiles are more than one plan holds ({most}).", "Take fewer along a side.")
    for what, value in masses_g.items():
        if not (math.isfinite(value) and value > 0):
            raise CompositionError(f"the {what} is {value:g} g; a number above zero was expected.")
    if gravities and (rising or len(gravities) != len(batches)):
        text = f"{len(gravities)} gravit{'y' if len(gravities) == 1 else 'ies'} for {len(batches)} recipes"
        raise CompositionError(f"{text}: one for each slurry was expected, in the order of the recipes.")
    for name, ends in rising.items():
        if not all(math.isfinite(end) and end >= 0 for end in ends):
            raise CompositionError(f"{name} rises from {ends[0]:g} to {ends[1]:g} %; zero or more was expected.")


def _points(side: int, corners: int) -> list[tuple[float, ...]]:
    last = side - 1
    if corners == 2:
        return [((last - i) / last, i / last) for i in range(side)]
    return [((last - row) / last, (row - i) / last, i / last) for row in range(side) for i in range(row + 1)]


def _contents(
    batches: Sequence[Batch], gravities: Sequence[float], density: float | None
) -> tuple[tuple[float, ...], list[Notice]]:
    """Return the dry glaze of each slurry [g per ml], and what is to be said about it."""
    contents: list[float] = []
    notices: list[Notice] = []
    if not gravities:
        return (), notices
    for batch, gravity in zip(batches, gravities, strict=True):
        masses = [line.parts for line in batch.lines]
        solids = given_density(density) if density is not None else solids_density(masses, batch.materials)
        notices.extend(solids.notices)
        contents.append(dry_g_per_ml(gravity, solids.g_cm3))
        if not solids.given:
            text = f"{batch.recipe.name or 'the recipe'}: solids density {solids.g_cm3:.2f} g/cm3, from its materials."
            notices.append(Notice("density-assumed", text))
    whole = math.fsum(contents)
    shares = ":".join(f"{100 * content / whole:.0f}" for content in contents)
    text = f"volumes are chosen so that the shares are right by dry weight; equal volumes of these slurries would mix {shares}."
    notices.append(Notice("equal-dry", text))
    return tuple(contents), notices


def _volumes(masses_g: Sequence[float], contents: Sequence[float]) -> tuple[float, ...]:
    return tuple(g / content for g, content in zip(masses_g, contents, strict=True)) if contents else ()


def _tile(number: int, shares: tuple[float, ...], plan: _Plan) -> Tile:
    lines: dict[tuple[str, bool], BatchLine] = {}
    for share, batch in zip(shares, plan.batches, strict=True):
        for line in batch.lines:
            key = (line.material.id, line.addition)
            before = lines[key].parts if key in lines else 0.0
            mass_g = share * plan.tile_g * line.parts / batch.all_in_total
            lines[key] = replace(line, parts=before + mass_g)
    corners_g = tuple(share * plan.tile_g for share in shares)
    named = zip(shares, plan.names, strict=True)
    title = " + ".join(f"{100 * share:.0f} % {name}" for share, name in named if share > 0)
    code = "-".join(f"{100 * share:.0f}" for share in shares)
    tile = _weighed(number, code, shares, list(lines.values()), title, plan)
    return replace(tile, corners_g=corners_g, corners_ml=_volumes(corners_g, plan.contents))


def _rising(rising: Rising, side: int, plan: _Plan) -> tuple[list[Tile], list[Notice]]:
    (batch,) = plan.batches
    notices: list[Notice] = []
    ends: dict[str, tuple[Material, float, float]] = {}
    for name, (low, high) in rising.items():
        material, said = plan.library.find(name)
        notices.extend(said)
        if material.id in ends:
            raise CompositionError("one material rises twice.")
        ends[material.id] = (material, low, high)
    replaced = [line for line in batch.additions if line.material.id in ends]
    if replaced:
        names = ", ".join(line.material.name for line in replaced)
        notices.append(
            Notice("addition-replaced", f"the recipe's own addition of {names} gives way to the rising one.")
        )
    kept = [
        replace(line, parts=plan.tile_g * line.parts / batch.base_total) for line in batch.lines if line not in replaced
    ]
    tiles = []
    for i in range(side):
        place = i / (side - 1)
        amounts = [(material, low + place * (high - low)) for material, low, high in ends.values()]
        risen = [BatchLine(material=m, parts=plan.tile_g * percent / 100.0, addition=True) for m, percent in amounts]
        code = ", ".join(f"{material.name} {percent:.3g} %" for material, percent in amounts)
        title = f"{batch.recipe.name or 'The recipe'} + {code}"
        tiles.append(_weighed(i + 1, code, (1 - place, place), [*kept, *risen], title, plan))
    return tiles, notices


def _weighed(
    number: int, code: str, shares: tuple[float, ...], lines: Sequence[BatchLine], title: str, plan: _Plan
) -> Tile:
    """Return the tile that `lines` [g] make."""
    weighed = []
    for line in sorted(lines, key=lambda line: line.addition):
        bag, exact = line.material, line.parts
        mass, is_fine = at_the_scale(exact, plan.step_g)
        if exact > 0:
            one = TileLine(
                material=bag.id, name=bag.name, exact_g=exact, mass_g=mass, addition=line.addition, fine_scale=is_fine
            )
            weighed.append(one)
    items = (Ingredient(material=one.name, amount=one.exact_g, unit="g", addition=one.addition) for one in weighed)
    first = plan.batches[0].recipe
    header = replace(first, name=title, based_on=first.name, version="", notes="", text="", path="", notices=())
    recipe = replace(header, ingredients=tuple(items))
    report = check(recipe, plan.library, convention=plan.convention)
    return Tile(
        number=number,
        code=code,
        shares=shares,
        lines=tuple(weighed),
        recipe=recipe,
        unity=report.unity,
        mole_percent=report.mole_percent,
        estimates=report.estimates,
        cautions=report.cautions,
        notices=(*_about_step(weighed, plan.step_g), *(n for n in report.notices if n.code == "no-estimate")),
    )


def _about_step(lines: Sequence[TileLine], step_g: float) -> tuple[Notice, ...]:
    most = choice("coarse_percent")
    coarse = [line for line in lines if 100 * step_g / 2 / line.exact_g > most]
    if not coarse:
        return ()
    listed = ", ".join(f"{line.name} {line.exact_g:.3g} g" for line in coarse)
    text = f"a step of {step_g:g} g is more than +-{most:g} % of {listed}: take a finer scale or larger tiles."
    return (Notice("step-is-coarse", text),)
