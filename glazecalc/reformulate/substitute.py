"""New batches for a recipe whose material is gone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from glazecalc.arguments import the_recipe
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import unity_array_of, unity_of
from glazecalc.errors import CompositionError, Notice
from glazecalc.files.shipped import load_data
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.goals import Term, goal_terms, hold
from glazecalc.oxides import AXIS, INDEX
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Outcome
from glazecalc.reformulate.at_hand import at_hand, find_in
from glazecalc.reformulate.effects import with_effects
from glazecalc.reformulate.search import Limits, Scene, search

__all__ = ("substitute",)

_DEFAULT = Convention()
_ON_TOP = ("colourant", "opacifier", "additive")
_LEAST_LINES = 6
_MOSTLY = 0.9
_LEAST_CLAY = 5.0  # parts per 100 of base; trade practice for a slop that stays in suspension


def substitute(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    without: Sequence[str] = (),
    also: Sequence[str] = (),
    only: Sequence[str] = (),
    stock: Sequence[str] = (),
    keep: Iterable[str] | str = (),
    max_materials: int | None = None,
    answers: int = 5,
    tolerances: Mapping[str, float] | None = None,
    least: Mapping[str, float] | None = None,
    most: Mapping[str, float] | None = None,
    clay: tuple[float, float] | None = None,
    step: float | None = None,
    free_colourants: bool = False,
    prefer: str = "fewest-new",
    prices: Mapping[str, float] | None = None,
    convention: Convention = _DEFAULT,
    time_limit_s: float = 5.0,
) -> Outcome:
    """Find batches that keep the unity formula of a recipe without some of its materials.

    Parameters
    ----------
    recipe : Recipe or mapping
        A recipe, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    without : sequence of str
        Materials that must not be used.
    also : sequence of str
        Materials at hand besides those of the recipe.
    only, stock : sequence of str
        The materials that may be used at all; `stock` is a shelf list and says what of the recipe is not on it. Without
        `also`, `only` and `stock` the whole library is searched.
    keep : iterable of str
        Oxides, sums and ratios to hold exactly where possible, e.g. ``["K2O+Na2O", "Al2O3"]``.
    max_materials : int, optional
        At most so many base lines [lines]; by default six, or as many as the recipe has if that is more.
    answers : int
        At most so many structurally different answers [answers].
    tolerances : mapping, optional
        Oxide -> deviation that weighs 1 [mol per mol of flux], over the default ones.
    least, most : mapping, optional
        Material name -> parts [per 100 of base]; a material with a least amount is always used.
    clay : tuple of float, optional
        Least and most raw clay [parts per 100 of base].
    step : float, optional
        Round the parts to this step [parts].
    free_colourants : bool
        Let colourants and additions change too; by default they keep their numbers.
    prefer : str
        Second aim among batches that fit as well: ``fewest-new``, ``loss`` or ``cost``.
    prices : mapping, optional
        Material name -> price of one kilogram.
    convention : Convention
        What counts as flux.
    time_limit_s : float
        For the search of all answers together [s].

    Returns
    -------
    Outcome
        Answers best first. The parts stand on the base total of the recipe.

    Raises
    ------
    FileFaultsError, UnknownNameError, AmbiguousNameError
        For names.
    CompositionError
        Where the recipe has no unity formula or nothing is left to use.

    Notes
    -----
    Parts are scaled to fluxes of one mole, so that each deviation is linear in them. The sum of the deviations, each over its
    tolerance, is least (a mixed-integer linear problem, solved by HiGHS); oxides of `keep` weigh a thousand times as much.
    Tolerances and their reasons: ``glazecalc/data/reformulate_tolerances.yaml``.
    """
    written = the_recipe(recipe)
    batch = resolve(written, materials)
    own = list({m.id: m for m in batch.materials}.values())
    gone, notices = find_in(without, own, materials)
    unity = unity_of(batch, convention)
    target_array = unity_array_of(unity)
    target = {oxide: float(target_array[INDEX[oxide]]) for oxide in AXIS if target_array[INDEX[oxide]] > 0}
    terms = goal_terms(dict(target), convention=convention, tolerances=tolerances)
    terms = hold(terms, keep, target)
    gone_ids = {m.id for m in gone}
    fixed_lines = [] if free_colourants else _fixed(batch, gone_ids)
    fixed_ids = {material.id for material, _, _ in fixed_lines}
    terms = tuple(term for term in terms if term.held or not _rides(term, fixed_lines, batch))
    chosen, said = at_hand(materials, own=own, without=gone, also=also, only=only, stock=stock, wanted=set(target))
    notices += said
    stand_in = _stand_in(batch, gone_ids, chosen)
    if stand_in is not None:
        fixed_lines.append(stand_in)
        fixed_ids.add(stand_in[0].id)
        terms = tuple(term for term in terms if term.held or not set(term.oxides) <= {"ZrO2"})
    before = _before(batch)
    base_before = {m.id for m, added in zip(batch.materials, batch.addition, strict=True) if not added}
    gone_on_top = [a for m, a in zip(batch.materials, batch.addition, strict=True) if m.id in gone_ids]
    free = [m for m in chosen if m.id not in fixed_ids or m.id in base_before - fixed_ids]
    on_top = tuple(_goes_on_top(m, base_before, before, gone_on_top) for m in free)
    if not any(not top for top in on_top):
        raise CompositionError("no base material is left to make a batch from.", "Name some with --also or --only.")
    unasked = not (also or only or stock)
    if unasked and clay is None and _clay_share(batch) >= _LEAST_CLAY:
        clay = (_LEAST_CLAY, 100.0)
        notices.append(
            Notice(
                "clay-asked",
                f"from the whole library at least {_LEAST_CLAY:g} parts of raw clay are asked for, as the recipe has clay.",
            )
        )
    limits = Limits(
        max_materials=max_materials if max_materials is not None else max(_LEAST_LINES, len(base_before)),
        least=_by_id(least, materials), most=_by_id(most, materials), clay=clay, step=step, answers=answers, prefer=prefer,
        prices=_by_id(prices, materials), time_limit_s=time_limit_s,
    )  # fmt: skip
    scene = Scene(
        name=_title(written, gone), template=written, library=materials, materials=tuple(free), as_addition=on_top, before=before,
        fixed=tuple(fixed_lines), ride=True, base_total=batch.base_total, unit="g" if written.has_mass_units else "", terms=terms, target=target,
        convention=convention, limits=limits, banned=frozenset(gone_ids), unasked=unasked, batch=batch,
        notices=tuple(dict.fromkeys([*batch.notices, *notices])),
    )  # fmt: skip
    return replace(with_effects(search(scene), batch, materials), before=batch.lines)


def _clay_share(batch: Batch) -> float:
    base = zip(batch.parts, batch.materials, batch.addition, strict=True)
    return 100.0 * sum(p for p, m, added in base if m.is_raw_clay and not added) / batch.base_total


def _title(recipe: Recipe, gone: Sequence[Material]) -> str:
    words = f" without {', '.join(m.name.lower() for m in gone)}" if gone else ", reworked"
    return (recipe.name or "The recipe") + words


def _before(batch: Batch) -> dict[str, float]:
    amounts: dict[str, float] = {}
    for material, part in zip(batch.materials, batch.parts, strict=True):
        amounts[material.id] = amounts.get(material.id, 0.0) + part
    return amounts


def _fixed(batch: Batch, gone: set[str]) -> list[tuple[Material, Ingredient, float]]:
    lines = []
    for material, part, added in zip(batch.materials, batch.parts, batch.addition, strict=True):
        if material.id not in gone and (added or material.kind == "colourant"):
            unit = "g" if batch.recipe.has_mass_units else ""
            lines.append((material, Ingredient(material=material.name, amount=part, unit=unit, addition=added), part))
    return lines


def _rides(term: Term, fixed: Sequence[tuple[Material, Ingredient, float]], batch: Batch) -> bool:
    """Return True for an oxide that the lines which keep their number bring: nothing can be chosen about it."""
    columns = [INDEX[oxide] for oxide in term.oxides] + [INDEX["FeO"]] * ("Fe2O3" in term.oxides)
    whole = float(batch.oxide_masses()[columns].sum())
    kept = sum(
        amount * material.analysis.get(AXIS[column], 0.0) / 100.0 for material, _, amount in fixed for column in columns
    )
    return whole > 0 and kept > _MOSTLY * whole


def _goes_on_top(material: Material, base: set[str], before: Mapping[str, float], gone_on_top: Sequence[bool]) -> bool:
    if material.id in base:
        return False
    if material.id in before:
        return True
    return material.kind in _ON_TOP and bool(gone_on_top) and all(gone_on_top)


def _stand_in(batch: Batch, gone: set[str], chosen: Sequence[Material]) -> tuple[Material, Ingredient, float] | None:
    """Return the line of an opacifier that takes the place of another by weight, where no formula can judge the swap."""
    for entry in load_data("reformulate_tolerances.yaml")["stand_ins"]:
        if "used" not in entry or any(m.analysis.get(entry["oxide"], 0.0) > 1.0 for m in chosen):
            continue
        lost = [
            (part, added)
            for m, part, added in zip(batch.materials, batch.parts, batch.addition, strict=True)
            if m.id in gone and m.analysis.get(entry["oxide"], 0.0) > 50.0
        ]
        taking = [m for m in chosen if m.analysis.get(entry["by"], 0.0) > 50.0]
        if lost and taking:
            amount = float(entry["used"]) * sum(part for part, _ in lost)
            unit = "g" if batch.recipe.has_mass_units else ""
            return taking[0], Ingredient(material=taking[0].name, amount=amount, unit=unit, addition=lost[0][1]), amount
    return None


def _by_id(values: Mapping[str, float] | None, materials: MaterialLibrary) -> dict[str, float]:
    return {materials.find(name)[0].id: float(value) for name, value in (values or {}).items()}
