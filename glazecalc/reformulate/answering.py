"""From the parts that a search found to an answer: a recipe to weigh, what it reaches and misses, and what to say about it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import unity_array_of, unity_of
from glazecalc.errors import Notice
from glazecalc.files.shipped import load_data
from glazecalc.frozen import FrozenDict
from glazecalc.optimise.batches import Fit, Problem
from glazecalc.optimise.choices import choice
from glazecalc.optimise.whole_parts import to_step
from glazecalc.oxides import AXIS, INDEX
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Answer, Kept, Line
from glazecalc.reformulate.question import Question, Wanted

__all__ = ("answer_of", "recipe_of")

Floats = NDArray[np.float64]


def answer_of(question: Question, problem: Problem, found: Fit) -> Answer:
    """Return the answer of one batch on the unity scale."""
    wanted, goals, limits = question.wanted, problem.goals, question.limits
    parts = found.parts * (question.free_total / float(found.parts @ problem.sources.in_base))
    if limits.parts_step is not None:
        parts = to_step(parts, problem, limits.parts_step, question.free_total)
    lines = _lines(question, problem, parts)
    template = question.template
    recipe = recipe_of(question.name, template, lines, question.unit, based_on=template.name or template.based_on)
    batch = resolve(recipe, question.library)
    unity = unity_of(batch, wanted.convention, base_only=wanted.base_only)
    reached = unity_array_of(unity)
    short_g, about_stock = _against_stock(question, batch)
    return Answer(
        recipe=recipe,
        lines=lines,
        unity=unity,
        deviation=FrozenDict(_deviations(wanted, reached)),
        kept=tuple(
            Kept(
                label=t.label,
                low=t.low,
                high=t.high,
                reached=float(t.coefficients @ reached),
                deviation=t.deviation(reached),
            )
            for t in goals.held
        ),
        score=goals.score(reached),
        within_tolerance=all(abs(t.deviation(reached)) <= t.tolerance * (1 + 1e-9) for t in goals.terms),
        base_total=batch.base_total,
        additions_total=batch.additions_total,
        loss_percent=batch.loss_percent(base_only=True),
        raw_clay_percent=batch.share_percent(lambda m: m.is_raw_clay),
        cost=_price_per_kg({m.id: amount for m, amount in batch.by_material()}, limits.prices),
        cost_before=_price_per_kg(question.before, limits.prices),
        short_g=short_g,
        gap=found.gap,
        stopped=found.stopped,
        notices=(
            *_about_scale(question, batch),
            *_about_lines(question, batch),
            *_about_stand_ins(wanted, reached),
            *about_stock,
        ),
    )


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
    return tuple(
        Line(material=m.id, name=m.name, parts=amount, addition=addition, before=before.get(m.id, 0.0))
        for m, amount, addition in sorted(lines, key=lambda line: line[2])
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
            found[oxide] = single[oxide].deviation(reached) if oxide in single else float(value) - target
    return found | {t.label: t.deviation(reached) for t in wanted.terms if t.stated and not t.is_single}


def _against_stock(question: Question, batch: Batch) -> tuple[FrozenDict[str, float], list[Notice]]:
    """Return what the shelf lacks for the batch that is to be mixed [g], and the same in words."""
    mass_g, stock_g = question.limits.batch_mass_g, question.limits.stock_g
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
        text = (
            "additions keep their numbers; the deviation of their oxides follows from the change in loss on ignition."
        )
        said.append(Notice("additions-kept", text))
    return said


def _about_lines(question: Question, batch: Batch) -> list[Notice]:
    said = []
    old = question.before
    new = [material for material in batch.materials if material.id not in old]
    soluble = [material.name for material in new if material.is_soluble or material.is_slightly_soluble]
    if soluble and old:
        said.append(Notice("new-soluble", f"new, and soluble in the bucket at least slightly: {', '.join(soluble)}."))
    clay = batch.share_percent(lambda m: m.is_raw_clay)
    before = question.batch.share_percent(lambda m: m.is_raw_clay) if question.batch is not None else None
    little = choice("least_clay_parts")
    if clay < little and (before is None or before >= little):
        change = f" (before: {before:.0f} %)" if before is not None else ""
        text = f"{clay:.0f} % of raw clay{change}: little to keep the slop in suspension (trade practice)."
        said.append(Notice("little-clay", text))
    remembered = [material.name for material in new if material.source.from_memory and material.formula is None]
    if remembered:
        text = f"analyses recalled from memory, check against the bag's own sheet: {', '.join(remembered)}."
        said.append(Notice("analysis-from-memory", text))
    return said


def _about_stand_ins(wanted: Wanted, reached: Floats) -> list[Notice]:
    said, shows = [], choice("oxide_shows_mol")
    for entry in load_data("reformulate_tolerances.yaml")["stand_ins"]:
        change = {o: float(reached[INDEX[o]]) - wanted.moles.get(o, 0.0) for o in (entry["oxide"], entry["by"])}
        if -change[entry["oxide"]] > shows and change[entry["by"]] > shows:
            said.append(Notice(f"stand-in-{entry['by'].lower()}", str(entry["message"])))
    return said
