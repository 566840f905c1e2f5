"""A batch for a target: a unity formula, ranges, ratios, a fired analysis or another recipe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.moles import molar_mass_array
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula, unity_array_of, unity_from_moles, unity_of
from glazecalc.errors import CompositionError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.goals import goal_terms, hold
from glazecalc.oxides import AXIS, INDEX, VOLATILES, check_oxide
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Outcome
from glazecalc.reformulate.at_hand import at_hand, find_all
from glazecalc.reformulate.effects import with_effects
from glazecalc.reformulate.search import Limits, Scene, search
from glazecalc.target import Target, parse_range

__all__ = ("match", "unity_target")

_DEFAULT = Convention()
_MOST_LINES = 6


def match(
    target: Target | Recipe | UnityFormula | FiredAnalysis | MolePercent | Mapping[str, object],
    materials: MaterialLibrary,
    *,
    only: Sequence[str] = (),
    also: Sequence[str] = (),
    stock: Sequence[str] = (),
    without: Sequence[str] = (),
    keep: Iterable[str] | str = (),
    colourants: Mapping[str, float] | None = None,
    total: float | None = None,
    max_materials: int | None = None,
    answers: int = 5,
    tolerances: Mapping[str, float] | None = None,
    least: Mapping[str, float] | None = None,
    most: Mapping[str, float] | None = None,
    clay: tuple[float, float] | None = None,
    step: float | None = None,
    prefer: str = "fewest-new",
    prices: Mapping[str, float] | None = None,
    convention: Convention = _DEFAULT,
    time_limit_s: float = 5.0,
) -> Outcome:
    """Find batches that come to a target.

    Parameters
    ----------
    target : Target, Recipe, UnityFormula, FiredAnalysis, MolePercent or mapping
        A plain mapping is a unity formula: oxide, sum (``"K2O+Na2O"``) or ratio (``"SiO2:Al2O3"``) -> number or range
        [mol per mol of flux]. Of a recipe the base is matched; its additions are carried over.
    materials : MaterialLibrary
        Where names are looked up.
    only, also, stock, without : sequence of str
        As in `substitute`; `also` adds to what a target recipe has.
    keep : iterable of str
        Oxides, sums and ratios to hold exactly where possible.
    colourants : mapping, optional
        Material name -> wt % on top of the base.
    total : float, optional
        Base total of the answers [parts]; by default that of a target recipe, or 100.
    max_materials, answers, tolerances, least, most, clay, step, prefer, prices, time_limit_s
        As in `substitute` [lines, answers, mol per mol of flux, parts per 100 of base, the same, the same, parts, -, price a kg, s].
    convention : Convention
        What counts as flux.

    Returns
    -------
    Outcome
        Answers best first.

    Raises
    ------
    CompositionError
        For a target that is no unity formula, or where nothing is left to use.
    FileFaultsError, UnknownNameError, AmbiguousNameError
        For names.

    Notes
    -----
    The method is that of `substitute`. An oxide that the target does not name is wanted at zero.
    """
    try:
        wanted, batch = _read(target, materials, convention)
        terms = goal_terms(wanted.unity, convention=convention, tolerances=tolerances)
    except CompositionError as error:
        if isinstance(target, Target):
            error.where = error.where or target.path
        raise
    numbers = _numbers(wanted.unity)
    terms = hold(terms, keep, numbers)
    base_total = total if total is not None else wanted.total
    fixed, notices = _on_top(batch, {**wanted.colourants, **(colourants or {})}, base_total, materials)
    own = (
        [m for m, added in zip(batch.materials, batch.addition, strict=True) if not added] if batch is not None else []
    )
    gone, said = find_all(without, materials)
    notices += said
    names = {oxide for term in terms if term.stated and term.high > 0 for oxide in term.oxides}
    if also and batch is None and not only:
        only, also = also, ()
    chosen, said = at_hand(materials, own=own, without=gone, also=also, only=only, stock=stock, wanted=names)
    notices += said

    def by_id(values: Mapping[str, float] | None) -> dict[str, float]:
        return {materials.find(name)[0].id: float(value) for name, value in (values or {}).items()}

    limits = Limits(
        max_materials=max_materials if max_materials is not None else max(_MOST_LINES, len(own), len(only)),
        least=by_id(least), most=by_id(most), clay=clay, step=step, answers=answers, prefer=prefer, prices=by_id(prices), time_limit_s=time_limit_s,
    )  # fmt: skip
    before: dict[str, float] = {}
    if batch is not None:
        for material, part, added in zip(batch.materials, batch.parts, batch.addition, strict=True):
            if not added:
                before[material.id] = before.get(material.id, 0.0) + part
    scene = Scene(
        name=f"{wanted.name or 'The target'}, matched", template=Recipe(name=wanted.name, cone=batch.recipe.cone if batch is not None else ""),
        library=materials, materials=tuple(chosen), as_addition=(False,) * len(chosen), before=before, fixed=tuple(fixed), ride=False,
        base_total=base_total, unit="g" if batch is not None and batch.recipe.has_mass_units else "", terms=terms, target=numbers, convention=convention,
        ratios={label: parse_range(value, label) for label, value in wanted.unity.items() if ":" in label},
        limits=limits, banned=frozenset(m.id for m in gone), unasked=not (only or also or stock), batch=batch,
        notices=tuple(dict.fromkeys([*(batch.notices if batch is not None else ()), *notices])),
    )  # fmt: skip
    return with_effects(search(scene), batch, materials, all_in=batch is not None and not any(batch.addition))


def _read(target: object, materials: MaterialLibrary, convention: Convention) -> tuple[Target, Batch | None]:
    if isinstance(target, Target):
        if target.fired_analysis_percent:
            fired = FiredAnalysis(target.fired_analysis_percent)
            target = replace(target, unity=unity_target(fired, convention), fired_analysis_percent={})
        return target, None
    if isinstance(target, Recipe):
        batch = resolve(target, materials)
        unity = unity_of(batch, convention, base_only=True)
        return Target(name=target.name, unity=_plain(unity), total=batch.base_total), batch
    if isinstance(target, (FiredAnalysis, MolePercent)):
        return Target(unity=unity_target(target, convention)), None
    if isinstance(target, UnityFormula):
        if target.convention != convention:
            raise CompositionError(
                f"the target stands on another convention ({target.convention.describe()}).",
                "Match with the same convention.",
            )
        return Target(unity=_plain(target) if target.moles else dict(target)), None
    if isinstance(target, Mapping):
        return Target(unity=target), None
    raise CompositionError(
        "the target is neither a recipe nor a composition.",
        "Give a unity formula as a mapping, a FiredAnalysis or a Recipe.",
    )


def _plain(unity: UnityFormula) -> dict[str, object]:
    values = unity_array_of(unity)
    return {oxide: float(values[INDEX[oxide]]) for oxide in AXIS if values[INDEX[oxide]] > 0}


def unity_target(composition: FiredAnalysis | MolePercent, convention: Convention) -> dict[str, object]:
    """Return the unity formula of a fired composition as a target."""
    values = np.zeros(len(AXIS))
    for oxide, amount in composition.items():
        check_oxide(oxide)
        if oxide not in VOLATILES:
            values[INDEX[oxide]] = amount
    if isinstance(composition, FiredAnalysis):
        values = values / molar_mass_array()
    return _plain(unity_from_moles(values, convention))


def _numbers(unity: Mapping[str, object]) -> dict[str, float]:
    found = {}
    for label, value in unity.items():
        low, high = parse_range(value, label)
        if low == high and label in INDEX:
            found[label] = low
    return found


def _on_top(
    batch: Batch | None, colourants: Mapping[str, float], base_total: float, materials: MaterialLibrary
) -> tuple[list[tuple[Material, Ingredient, float]], list[Notice]]:
    lines: list[tuple[Material, Ingredient, float]] = []
    notices: list[Notice] = []
    if batch is not None:
        unit = "g" if batch.recipe.has_mass_units else ""
        for material, part, added in zip(batch.materials, batch.parts, batch.addition, strict=True):
            if added:
                amount = part * base_total / batch.base_total
                lines.append(
                    (material, Ingredient(material=material.name, amount=amount, unit=unit, addition=True), amount)
                )
    for name, percent in colourants.items():
        material, said = materials.find(name)
        notices.extend(said)
        amount = percent / 100.0 * base_total
        lines.append((material, Ingredient(material=material.name, amount=amount, addition=True), amount))
    if lines:
        notices.append(
            Notice("base-is-matched", "the unity formula is that of the base; additions stand on top of it.")
        )
    return lines, notices
