"""New batches for a recipe whose material is gone."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, BatchLine, resolve
from glazecalc.convert.unity import unity_array_of, unity_of
from glazecalc.errors import CompositionError, Notice
from glazecalc.files.shipped import load_data
from glazecalc.library import MaterialLibrary
from glazecalc.optimise.choices import choice, chosen_kinds
from glazecalc.optimise.goals import Term
from glazecalc.oxides import AXIS, INDEX
from glazecalc.price import Shelf
from glazecalc.recipe import Recipe, as_recipe
from glazecalc.reformulate.answering import with_effects
from glazecalc.reformulate.answers import Outcome
from glazecalc.reformulate.at_hand import AtHand, at_hand
from glazecalc.reformulate.question import Preference, Question, limits_of, on_shelf, wanted_of
from glazecalc.reformulate.search import search

__all__ = ("substitute",)

_DEFAULT = Convention()


def substitute(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    without: str | Iterable[str] = (),
    without_oxide: str | Iterable[str] = (),
    also: str | Iterable[str] = (),
    only: str | Iterable[str] = (),
    stock: str | Iterable[str] | Shelf = (),
    keep: str | Iterable[str] = (),
    max_materials: int | None = None,
    answers: int = 5,
    tolerances: Mapping[str, float] | None = None,
    least: Mapping[str, float] | None = None,
    most: Mapping[str, float] | None = None,
    raw_clay: tuple[float, float] | None = None,
    parts_step: float | None = None,
    free_colourants: bool = False,
    prefer: Preference = "fewest-new",
    prices: Mapping[str, float] | Shelf | None = None,
    batch_mass_g: float | None = None,
    convention: Convention = _DEFAULT,
    time_limit_s: float = 5.0,
) -> Outcome:
    """Find batches that keep the unity formula of a recipe without some of its materials.

    Parameters
    ----------
    recipe, materials, convention
        As for `unity_formula`.
    without, also, only : str or iterable of str
        Materials that must not be used, that are at hand besides those of the recipe, and that may be used at all.
    without_oxide : str or iterable of str
        Oxides that must go: every material with more than a trace of one is left out, and those of the recipe replaced.
    stock : str, iterable of str, or Shelf
        What is on the shelf: as `only`, and what of the recipe is not on it is said. Without `also`, `only` and `stock` the
        whole library is searched.
    keep : str or iterable of str
        Oxides, sums and ratios to hold exactly where possible, e.g. ``["K2O+Na2O", "Al2O3"]``.
    max_materials : int, optional
        At most so many base lines; by default two more than the recipe has.
    answers : int
        At most so many structurally different answers.
    tolerances : mapping, optional
        Oxide -> deviation that weighs 1 [mol per mol of flux], over the default ones.
    least, most : mapping, optional
        Material name -> parts [per 100 of base]; a material with a least amount is always used.
    raw_clay : tuple of float, optional
        Least and most raw clay [parts per 100 of base]; by default two thirds of what the recipe has, or 8 parts where that
        is less, as long as any batch has it.
    parts_step : float, optional
        Round the parts to this step [parts].
    free_colourants : bool
        Let colourants and additions change too; by default they keep their numbers.
    prefer : str
        Second aim among batches that fit as well: ``fewest-new``, ``loss`` or ``cost``.
    prices : mapping or Shelf, optional
        Material name -> price of one kilogram; by default those of a Shelf.
    batch_mass_g : float, optional
        All-in mass of the batch to be mixed, held against what a Shelf says it has [g].
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
        Where the recipe has no unity formula, nothing is left to use, or a limit cannot be.
    OutOfTimeError
        Where the time is up before any batch is found.

    Notes
    -----
    Parts are scaled to fluxes of one mole, so that each deviation is linear in them. The sum of the deviations, each over its
    tolerance, is least (a mixed-integer linear problem, solved by HiGHS); oxides of `keep` weigh a thousand times as much.
    Tolerances and their reasons: ``glazecalc/data/reformulate_tolerances.yaml``.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> black = gc.read_recipe("recipes/harbour-black.txt")
    >>> best = gc.substitute(black, materials, without="potash feldspar", also="soda feldspar").answers[0]
    >>> {line.name: round(line.parts, 1) for line in best.lines if not line.before}
    {'Soda feldspar': 36.0}
    """
    written = as_recipe(recipe)
    batch = resolve(written, materials)
    unity = unity_array_of(unity_of(batch, convention))
    target = {oxide: float(moles) for oxide, moles in zip(AXIS, unity, strict=True) if moles > 0}
    wanted = wanted_of(target, keep, tolerances, convention, base_only=False)
    own = [material for material, _ in batch.by_material()]
    there, notices = at_hand(
        materials,
        own=own,
        without=without,
        without_oxide=without_oxide,
        also=also,
        only=only,
        stock=stock,
        wanted=set(target),
    )
    fixed = [] if free_colourants else _fixed(batch, there.banned)
    terms = [_drifting(t) if not t.held and _rides(t, fixed, batch) else t for t in wanted.terms]
    stand_in = _stand_in(batch, there)
    if stand_in is not None:
        fixed.append(stand_in)
        terms = [term for term in terms if term.held or term.oxides != ("ZrO2",)]
    clay = 100.0 * math.fsum(line.parts for line in batch.base if line.material.is_raw_clay) / batch.base_total
    lines = len(batch.base) + int(choice("lines_more"))
    kept_clay = min(choice("clay_kept_share") * clay, choice("clay_kept_parts"))
    limits, about_limits = limits_of(
        materials, own, lines, max_materials, least=least, most=most, raw_clay=raw_clay, usual_clay=kept_clay
    )
    gone = ", ".join(material.name.lower() for material in there.gone)
    stock_g, per_kg, about_shelf = on_shelf(materials, stock, prices, batch_mass_g)
    question = Question(
        name=(written.name or "The recipe") + (f" without {gone}" if gone else ", reworked"),
        template=written,
        library=materials,
        wanted=replace(wanted, terms=tuple(terms)),
        at_hand=_free(batch, there, fixed),
        fixed=tuple(fixed),
        base_total=batch.base_total,
        limits=limits,
        parts_step=parts_step,
        prices=per_kg,
        stock_g=stock_g,
        batch_mass_g=batch_mass_g,
        answers=answers,
        prefer=prefer,
        time_limit_s=time_limit_s,
        batch=batch,
        notices=(*batch.notices, *notices, *_of_practice(batch, there, materials), *about_shelf, *about_limits),
    )
    return with_effects(search(question), batch, materials)


def _fixed(batch: Batch, gone: Collection[str]) -> list[BatchLine]:
    """Return the lines that keep their number: additions, and colourants of the base."""
    stay = (line for line in batch.lines if line.addition or line.material.kind == "colourant")
    return [line for line in stay if line.material.id not in gone]


def _rides(term: Term, fixed: Sequence[BatchLine], batch: Batch) -> bool:
    """Return True for an oxide that the lines which keep their number bring."""
    columns = [INDEX[oxide] for oxide in term.oxides] + [INDEX["FeO"]] * ("Fe2O3" in term.oxides)
    whole = float(batch.oxide_masses()[columns].sum())
    kept = math.fsum(line.parts * line.material.analysis.get(AXIS[k], 0.0) / 100.0 for line in fixed for k in columns)
    return whole > 0 and kept > choice("mostly_share") * whole


def _drifting(term: Term) -> Term:
    """Return the term of an oxide that rides on fixed lines: it drifts with the loss of the base, but not without end."""
    share = choice("riding_drift_share")
    return replace(term, low=term.low * (1 - share), high=term.high * (1 + share), stated=False)


def _free(batch: Batch, there: AtHand, fixed: Sequence[BatchLine]) -> AtHand:
    """Return what the search may choose from: all that is at hand and does not stand in a fixed line already.

    What stands on top of a base comes into it only where it is named, or where a line of its kind in the base is gone.
    """
    gone, usual = [line for line in batch.lines if line.material.id in there.banned], chosen_kinds("kinds_on_top")
    kinds = usual if any(line.addition for line in gone) else ()
    fixed_ids, base_ids, old_ids = ({line.material.id for line in lines} for lines in (fixed, batch.base, batch.lines))
    fitting = old_ids | {m.id for m in there.materials if not there.unasked or m.kind not in usual or m.kind in kinds}
    in_base = {line.material.kind for line in gone if not line.addition}
    fitting |= {material.id for material in there.materials if material.kind in in_base}
    free = tuple(m for m in there.materials if m.id not in fixed_ids and m.id in fitting)
    on_top = {m.id for m in free if m.id not in base_ids and (m.id in old_ids or m.kind in kinds)}
    if len(on_top) == len(free):
        raise CompositionError("no base material is left to make a batch from.", "Name some with --also or --only.")
    return replace(there, materials=free, on_top=frozenset(on_top))


def _of_practice(batch: Batch, there: AtHand, library: MaterialLibrary) -> list[Notice]:
    """Return what practice takes for a colourant that is gone, with the parts that bring as much of its metal."""
    said = []
    for line in (line for line in batch.lines if line.material.id in there.banned):
        for entry in load_data("reformulate_tolerances.yaml")["colourant_stand_ins"]:
            other, oxide = entry["takes"], entry["equal"]
            if entry["gone"] != line.material.id or other not in library or other in there.banned:
                continue
            had, brings = (material.analysis.get(oxide, 0.0) for material in (line.material, library[other]))
            if had > 0 and brings > 0:
                swap = f"{line.parts * had / brings:.3g} parts of {library[other].name} for {line.parts:g} of {line.material.name}"
                text = f"practice takes {swap}: {entry['note']}. That is practice, not chemistry of the formula: fire a tile."
                said.append(Notice("stand-in-of-practice", text))
    return said


def _stand_in(batch: Batch, there: AtHand) -> BatchLine | None:
    """Return the line of an opacifier that takes the place of another by weight, where no formula can judge the swap."""
    source, left = choice("opacifier_percent"), choice("opacifier_left_percent")
    for entry in load_data("reformulate_tolerances.yaml")["stand_ins"]:
        old, new = entry["oxide"], entry["by"]
        if "used" not in entry or any(m.analysis.get(old, 0.0) > left for m in there.materials):
            continue
        gone = [line for line in batch.lines if line.material.id in there.banned]
        lost = [line for line in gone if line.material.analysis.get(old, 0.0) > source]
        taking = next((m for m in there.materials if m.analysis.get(new, 0.0) > source), None)
        if lost and taking is not None:
            amount = float(entry["used"]) * sum(line.parts for line in lost)
            return BatchLine(material=taking, parts=amount, addition=lost[0].addition)
    return None
