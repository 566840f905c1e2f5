"""From the parts that a search found to an answer: a recipe to weigh, what it reaches and misses, what else changes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.caution.caution import Caution
from glazecalc.check_report import CheckReport, check
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import unity_array_of, unity_of
from glazecalc.errors import Notice
from glazecalc.estimate.difference import EstimateDifference, differences_between
from glazecalc.estimate.spread import SampledRange, Sampling, spread_of_batch
from glazecalc.files.shipped import load_data
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.optimise.batches import Fit, Problem, to_step
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import Term, tolerance_of
from glazecalc.oxides import AXIS, INDEX
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Answer, Effect, Kept, Line, Outcome
from glazecalc.reformulate.question import Question, Wanted
from glazecalc.source import BASES

__all__ = ("answer_of", "changes_between", "recipe_of", "with_effects")

Floats = NDArray[np.float64]


def answer_of(question: Question, problem: Problem, found: Fit) -> Answer:
    """Return the answer of one batch on the unity scale."""
    wanted, goals, step = question.wanted, problem.goals, question.parts_step
    parts = found.parts * (question.free_total / float(found.parts @ problem.sources.in_base))
    if step is not None:
        parts = to_step(parts, problem, step, question.free_total)
    lines, template = _lines(question, problem, parts), question.template
    unit = "g" if question.batch is not None and question.batch.recipe.has_mass_units else ""
    recipe = recipe_of(question.name, template, lines, unit, based_on=template.name or template.based_on)
    batch = resolve(recipe, question.library)
    unity = unity_of(batch, wanted.convention, base_only=wanted.base_only)
    reached = unity_array_of(unity)
    short_g, about_stock = _against_stock(question, batch)
    notices = [*_about_scale(question, batch), *_about_lines(question, batch), *_about_stand_ins(wanted, reached)]
    return Answer(
        recipe=recipe,
        lines=lines,
        unity=unity,
        deviation=FrozenDict(_deviations(wanted, reached)),
        kept=tuple(_kept(term, reached) for term in goals.held),
        score=goals.score(reached),
        within_tolerance=all(abs(t.deviation(reached)) <= t.tolerance * (1 + 1e-9) for t in goals.terms),
        base_total=batch.base_total,
        additions_total=batch.additions_total,
        loss_percent=batch.loss_percent(base_only=True),
        raw_clay_percent=batch.share_percent(lambda m: m.is_raw_clay),
        cost=_price_per_kg({m.id: amount for m, amount in batch.by_material()}, question.prices),
        cost_before=_price_per_kg(question.before, question.prices),
        short_g=short_g,
        gap=_gap(found, goals.score(reached)),
        stopped=found.stopped,
        notices=(*notices, *about_stock),
    )


def _gap(found: Fit, score: float) -> float:
    """Return by how much a closer batch is not excluded: nothing below what shows, and never more than all of it."""
    return 0.0 if found.gap < choice("gap_shows_tolerances") else min(found.gap, score)


def _kept(term: Term, moles: Floats) -> Kept:
    reached, off = float(term.coefficients @ moles), term.deviation(moles)
    return Kept(label=term.label, low=term.low, high=term.high, reached=reached, deviation=off)


def recipe_of(name: str, template: Recipe, lines: Sequence[Line], unit: str, *, based_on: str) -> Recipe:
    """Return `lines` as a recipe under the header of another."""
    items = (Ingredient(material=line.name, amount=line.parts, unit=unit, addition=line.addition) for line in lines)
    return replace(template, name=name, ingredients=tuple(items), text="", path="", notices=(), based_on=based_on)


def _lines(question: Question, problem: Problem, parts: Floats) -> tuple[Line, ...]:
    """Return the lines, base before additions: what the recipe had, then what is new, then what keeps its number."""
    on_top, familiar, before = question.at_hand.on_top, problem.sources.familiar, question.before
    used = sorted(np.flatnonzero(parts > 0), key=lambda j: (not familiar[j], -parts[j]))
    chosen = [(question.at_hand.materials[j], float(parts[j])) for j in used]
    lines = [(material, amount, material.id in on_top) for material, amount in chosen]
    lines += [(line.material, line.parts, line.addition) for line in question.fixed]
    lines.sort(key=lambda line: line[2])
    return tuple(
        Line(material=m.id, name=m.name, parts=p, addition=a, before=before.get(m.id, 0.0)) for m, p, a in lines
    )


def _price_per_kg(parts: Mapping[str, float], prices: Mapping[str, float]) -> float | None:
    """Return the price of one kilogram of the batch; None while a price is missing."""
    if not parts or any(material not in prices for material in parts):
        return None
    return math.fsum(prices[material] * amount for material, amount in parts.items()) / math.fsum(parts.values())


def _deviations(wanted: Wanted, reached: Floats) -> dict[str, float]:
    """Return oxide -> deviation [mol] for every oxide that is wanted or reached, and for the sums and ratios that were asked."""
    single = {term.oxides[0]: term for term in wanted.terms if term.is_single}
    together = {oxide for term in wanted.terms if not term.is_single for oxide in term.oxides}
    free = together - single.keys() - wanted.moles.keys()
    found = {}
    for oxide, value in zip(AXIS, reached, strict=True):
        target = wanted.moles.get(oxide, 0.0)
        if oxide not in free and (value > 0 or target > 0):
            ranged = oxide in single and oxide not in wanted.moles
            found[oxide] = single[oxide].deviation(reached) if ranged else float(value) - target
    return found | {t.label: t.deviation(reached) for t in wanted.terms if t.stated and not t.is_single}


def _against_stock(question: Question, batch: Batch) -> tuple[FrozenDict[str, float], list[Notice]]:
    """Return what the shelf lacks for the batch that is to be mixed [g], and the same in words."""
    mass_g, stock_g = question.batch_mass_g, question.stock_g
    if mass_g is None:
        return FrozenDict(), []
    short, said = {}, []
    for material, amount in batch.by_material():
        needed, there = amount / batch.all_in_total * mass_g, stock_g.get(material.id)
        if there is not None and needed > there:
            short[material.id] = needed - there
            text = f"{_mass(mass_g)} take {_mass(needed)} of {material.name}; the shelf holds {_mass(there)}."
            said.append(Notice("more-than-stock", text))
    return FrozenDict(short), said


def _mass(mass_g: float) -> str:
    return f"{mass_g / 1000:.3g} kg" if mass_g >= 1000 else f"{mass_g:.3g} g"


def _about_scale(question: Question, batch: Batch) -> list[Notice]:
    if not question.before:
        return [Notice("scaled", f"the parts are scaled to a base of {batch.base_total:g}.")]
    said = [Notice("scaled", f"the parts are scaled to the base total of the recipe, {question.base_total:g}.")]
    if batch.additions_total > 0 and question.fixed:
        text = "the deviation of their oxides follows from the change in loss on ignition."
        said.append(Notice("additions-kept", f"additions keep their amounts; {text}"))
    return said


def _about_lines(question: Question, batch: Batch) -> list[Notice]:
    said, old = [], question.before
    new = [material for material in batch.materials if material.id not in old]
    soluble = [material.name for material in new if material.is_soluble or material.is_slightly_soluble]
    if soluble and old:
        said.append(Notice("new-soluble", f"new, and soluble or slightly soluble in the bucket: {', '.join(soluble)}."))
    clay, little = batch.share_percent(lambda m: m.is_raw_clay), choice("least_clay_parts")
    before = question.batch.share_percent(lambda m: m.is_raw_clay) if question.batch is not None else None
    if clay < little and (before is None or before >= little):
        change = f" (before: {before:.0f} %)" if before is not None else ""
        text = f"{clay:.0f} % raw clay{change}: little to keep the slurry in suspension (trade practice)."
        said.append(Notice("little-clay", text))
    if question.batch is not None:
        was, now = question.batch.loss_percent(base_only=True), batch.loss_percent(base_only=True)
        if abs(now - was) > choice("loss_shows_percent"):
            text = f"the base loses {now:.1f} % in the fire (before: {was:.1f} %): it shrinks and gasses otherwise."
            said.append(Notice("loss-changed", text))
    remembered = [m.name for m in new if m.basis == "recalled"]
    if remembered:
        text = f"{BASES['recalled']}: {', '.join(remembered)}. Your bag's own sheet is better."
        said.append(Notice("analysis-from-memory", text))
    return said


def _about_stand_ins(wanted: Wanted, reached: Floats) -> list[Notice]:
    said, shows = [], choice("oxide_shows_mol")
    for entry in load_data("reformulate_tolerances.yaml")["stand_ins"]:
        change = {o: float(reached[INDEX[o]]) - wanted.moles.get(o, 0.0) for o in (entry["oxide"], entry["by"])}
        if -change[entry["oxide"]] > shows and change[entry["by"]] > shows:
            said.append(Notice(f"stand-in-{entry['by'].lower()}", str(entry["message"])))
    return said


def with_effects(outcome: Outcome, before: Batch | None, materials: MaterialLibrary, *, all_in: bool = True) -> Outcome:
    """Return `outcome` with the estimates and cautions of each answer beside those of the batch `before`.

    `all_in` says that the unity formulas are those of base and additions together, as the spread of `before` is.
    """
    was, ends = None, None
    if before is not None:
        was = check(before.recipe, materials)
        if all_in:
            how = Sampling(samples=int(choice("spread_samples")))
            ends = spread_of_batch(before, how, convention=outcome.convention).unity
    return replace(outcome, answers=tuple(_with(answer, was, ends, materials) for answer in outcome.answers))


def _with(
    answer: Answer, was: CheckReport | None, ends: Mapping[str, SampledRange] | None, materials: MaterialLibrary
) -> Answer:
    effects, new, gone, standing = changes_between(was, check(answer.recipe, materials))
    answer = replace(answer, effects=effects, new_cautions=new, vanished_cautions=gone, standing_cautions=standing)
    if not ends:
        return answer
    beyond = []  # what the old batch's own analyses leave open: 90 % of samples
    for oxide in dict.fromkeys([*ends, *answer.unity]):
        low, high = (ends[oxide].low, ends[oxide].high) if oxide in ends else (0.0, 0.0)
        slack = choice("trace_tolerances") * tolerance_of(oxide)
        if not low - slack <= answer.unity[oxide] <= high + slack:
            beyond.append(oxide)
    return replace(answer, within_spread=not beyond, beyond_spread=tuple(beyond))


def changes_between(
    was: CheckReport | None, now: CheckReport
) -> tuple[tuple[Effect, ...], tuple[Caution, ...], tuple[Caution, ...], tuple[Caution, ...]]:
    """Return each estimate of `now` beside that of `was`; the cautions that are new, gone, and those of lead and cadmium that stand."""
    moved: dict[str, EstimateDifference] = {}
    if was is not None:
        found = differences_between(was.mole_percent, now.mole_percent, was.estimates, now.estimates)
        moved = {one.second.name: one for one in found}
    effects = tuple(Effect(now=estimate, difference=moved.get(estimate.name)) for estimate in now.estimates)
    before_cautions = was.cautions if was is not None else ()
    new, gone = _without(before_cautions, now.cautions), _without(now.cautions, before_cautions)
    standing = tuple(caution for caution in now.cautions if caution.never_folded and caution not in new)
    return effects, new, gone, standing


def _without(known: Sequence[Caution], cautions: Sequence[Caution]) -> tuple[Caution, ...]:
    codes = {caution.code for caution in known}
    return tuple(caution for caution in cautions if caution.code not in codes)
