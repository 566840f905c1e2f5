"""A batch for a target: a unity formula, ranges, ratios, a fired analysis or another recipe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from glazecalc.arguments import the_names
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, BatchLine, resolve
from glazecalc.convert.moles import molar_mass_array
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula, unity_array_of, unity_from_moles, unity_of
from glazecalc.errors import CompositionError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.optimise.choices import choice
from glazecalc.oxides import AXIS, INDEX, VOLATILES, check_oxide
from glazecalc.price import Shelf
from glazecalc.recipe import Recipe
from glazecalc.reformulate.answering import with_effects
from glazecalc.reformulate.answers import Outcome
from glazecalc.reformulate.at_hand import at_hand
from glazecalc.reformulate.question import Preference, Question, limits_of, on_shelf, wanted_of
from glazecalc.reformulate.search import search
from glazecalc.target import Target

__all__ = ("match",)

_DEFAULT = Convention()


def match(
    target: Target | Recipe | UnityFormula | FiredAnalysis | MolePercent | Mapping[str, object],
    materials: MaterialLibrary,
    *,
    without: str | Iterable[str] = (),
    without_oxide: str | Iterable[str] = (),
    also: str | Iterable[str] = (),
    only: str | Iterable[str] = (),
    stock: str | Iterable[str] | Shelf = (),
    keep: str | Iterable[str] = (),
    colourants: Mapping[str, float] | None = None,
    total: float | None = None,
    max_materials: int | None = None,
    answers: int = 5,
    tolerances: Mapping[str, float] | None = None,
    least: Mapping[str, float] | None = None,
    most: Mapping[str, float] | None = None,
    raw_clay: tuple[float, float] | None = None,
    parts_step: float | None = None,
    prefer: Preference = "fewest-new",
    prices: Mapping[str, float] | Shelf | None = None,
    batch_mass_g: float | None = None,
    convention: Convention = _DEFAULT,
    time_limit_s: float = 5.0,
) -> Outcome:
    """Find batches that come to a target.

    Parameters
    ----------
    target : Target, Recipe, UnityFormula, FiredAnalysis, MolePercent or mapping
        A plain mapping is a unity formula: oxide, sum (``"K2O+Na2O"``) or ratio (``"SiO2:Al2O3"``) -> number or range
        [mol per mol of flux]. Of a recipe the base is matched; its additions are carried over.
    materials, convention
        As for `unity_formula`.
    without, without_oxide, also, only, stock, keep
        As in `substitute`; `also` adds to what a target recipe has.
    colourants : mapping, optional
        Material name -> wt % on top of the base.
    total : float, optional
        Base total of the answers [parts]; by default that of a target recipe, or 100.
    max_materials, answers, tolerances, least, most, raw_clay, parts_step, prefer, prices, batch_mass_g, time_limit_s
        As in `substitute`.

    Returns
    -------
    Outcome
        Answers best first.

    Raises
    ------
    CompositionError
        For a target that is no unity formula, where nothing is left to use, or where a limit cannot be.
    FileFaultsError, UnknownNameError, AmbiguousNameError
        For names.
    OutOfTimeError
        Where the time is up before any batch is found.

    Notes
    -----
    The method is that of `substitute`. An oxide that the target does not name is wanted at zero.

    Examples
    --------
    >>> import glazecalc as gc
    >>> target = {"KNaO": 0.3, "CaO": 0.7, "Al2O3": 0.4, "SiO2": (3.2, 3.6)}
    >>> shelf = ["potash feldspar", "whiting", "kaolin", "silica"]
    >>> best = gc.match(target, gc.load_materials(), only=shelf).answers[0]
    >>> {line.name: round(line.parts, 1) for line in best.lines}
    {'Potash feldspar': 54.2, 'Whiting': 20.9, 'Silica': 18.4, 'Kaolin': 6.5}
    """
    batch: Batch | None = None
    try:
        if isinstance(target, Recipe):
            batch = resolve(target, materials)
            unity = _moles(unity_of(batch, convention, base_only=True))
            asked = Target(name=target.name, unity=unity, total=batch.base_total)
        else:
            asked = _asked(target, convention)
        wanted = wanted_of(asked.unity, keep, tolerances, convention, base_only=True)
    except CompositionError as error:
        if isinstance(target, Target):
            error.where = error.where or target.path
        raise
    colours = {**asked.colourants, **(colourants or {})}
    asked = replace(asked, total=asked.total if total is None else total, colourants=colours)
    fixed, notices = _on_top(batch, asked, materials)
    own = [line.material for line in batch.base] if batch is not None else []
    also, only = the_names(also), the_names(only)
    there, said = at_hand(
        materials,
        own=own,
        without=without,
        without_oxide=without_oxide,
        also=also,
        only=only,
        stock=stock,
        wanted=wanted.oxides,
    )
    lines = len(own) + int(choice("lines_more"))
    if batch is None:
        lines = max(int(choice("most_lines")), len(only or also))
    limits, about_limits = limits_of(
        *(materials, own, lines, max_materials),
        least=least,
        most=most,
        raw_clay=raw_clay,
        usual_clay=choice("clay_kept_parts"),
        clay_yields=True,
    )
    stock_g, per_kg, about_shelf = on_shelf(materials, stock, prices, batch_mass_g)
    question = Question(
        name=f"{asked.name or 'The target'}, matched",
        template=Recipe(name=asked.name, cone=batch.recipe.cone if batch is not None else ""),
        library=materials,
        wanted=wanted,
        at_hand=there,
        fixed=tuple(fixed),
        base_total=asked.total,
        limits=limits,
        parts_step=parts_step,
        prices=per_kg,
        stock_g=stock_g,
        batch_mass_g=batch_mass_g,
        answers=answers,
        prefer=prefer,
        time_limit_s=time_limit_s,
        batch=batch,
        notices=(*(batch.notices if batch is not None else ()), *notices, *said, *about_shelf, *about_limits),
    )
    return with_effects(search(question), batch, materials, all_in=batch is not None and not batch.additions)


def _asked(
    target: Target | UnityFormula | FiredAnalysis | MolePercent | Mapping[str, object], convention: Convention
) -> Target:
    """Return what is asked for as a target with a unity formula."""
    if isinstance(target, Target):
        if not target.fired_analysis_percent:
            return target
        unity = _unity_of_fired(FiredAnalysis(target.fired_analysis_percent), convention)
        return replace(target, unity=unity, fired_analysis_percent={})
    if isinstance(target, (FiredAnalysis, MolePercent)):
        return Target(unity=_unity_of_fired(target, convention))
    if isinstance(target, UnityFormula):
        if target.convention != convention:
            text = f"the target stands on another convention ({target.convention.description})."
            raise CompositionError(text, "Match with the same convention.")
        return Target(unity=_moles(target) if target.moles else dict(target))
    return Target(unity=target)


def _moles(unity: UnityFormula) -> dict[str, object]:
    return {oxide: float(moles) for oxide, moles in zip(AXIS, unity_array_of(unity), strict=True) if moles > 0}


def _unity_of_fired(composition: FiredAnalysis | MolePercent, convention: Convention) -> dict[str, object]:
    amounts = np.zeros(len(AXIS))
    for oxide, amount in composition.items():
        if check_oxide(oxide) not in VOLATILES:
            amounts[INDEX[oxide]] = amount
    moles = amounts / molar_mass_array() if isinstance(composition, FiredAnalysis) else amounts
    return _moles(unity_from_moles(moles, convention))


def _on_top(batch: Batch | None, asked: Target, library: MaterialLibrary) -> tuple[list[BatchLine], list[Notice]]:
    """Return what stands on top of the base: the additions of a recipe that is matched, and the target's colourants."""
    lines: list[BatchLine] = []
    notices: list[Notice] = []
    if batch is not None:
        scale = asked.total / batch.base_total
        lines = [replace(line, parts=line.parts * scale) for line in batch.additions]
    for name, percent in asked.colourants.items():
        material, said = library.find(name)
        notices.extend(said)
        lines.append(BatchLine(material=material, parts=percent / 100.0 * asked.total, addition=True))
    if lines:
        text = "the unity formula is that of the base; additions stand on top of it."
        notices.append(Notice("base-is-matched", text))
    return lines, notices
