"""A question written as a problem for the solver: what each material brings, what a line may weigh, how much clay stays."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.batch import folded_moles
from glazecalc.convert.moles import basis_of, counted, moles_of
from glazecalc.material import Material
from glazecalc.optimise.batches import Problem, Shape, Sources
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import Goals, Term
from glazecalc.oxides import molar_mass
from glazecalc.reformulate.question import Question

__all__ = ("problem_of",)

Floats = NDArray[np.float64]


def problem_of(question: Question, materials: Sequence[Material]) -> Problem:
    """Return the problem of choosing from `materials`."""
    asked = "_unasked" if question.at_hand.unasked else ""
    sources = _sources(question, materials, choice(f"new_line_charge{asked}"))
    basis = basis_of(question.wanted.convention)
    goals = Goals(terms=question.wanted.terms, basis=basis, hold_factor=choice(f"hold_factor{asked}"))
    most_flux = float(sources.moles[:, basis].sum(axis=1).max())
    shape = _shape(question, materials, sources, choice(f"least_parts{asked}"), most_flux)
    slack = 0.0 if len(materials) <= choice("small_shelf_materials") else choice("large_shelf_slack_tolerances")
    return Problem(sources=sources, goals=goals, shape=shape, time_limit_s=question.time_limit_s, slack=slack)


def _sources(question: Question, materials: Sequence[Material], charge: float) -> Sources:
    convention, before = question.wanted.convention, question.before
    in_base = np.array([material.id not in question.at_hand.on_top for material in materials], dtype=np.bool_)
    riders = [line for line in question.fixed if not (line.addition and question.wanted.base_only)]
    brought = np.array([line.parts for line in riders]) @ moles_of([line.material for line in riders], convention)
    rider = brought / question.free_total
    return Sources(
        moles=moles_of(materials, convention) + in_base[:, None] * rider,
        rider=rider,
        in_base=in_base,
        familiar=np.array([material.id in before for material in materials], dtype=np.bool_),
        start=_start(question, materials),
        line_charge=charge,
        side_cost=_side_cost(question, materials, charge),
    )


def _start(question: Question, materials: Sequence[Material]) -> Floats | None:
    """Return the parts of the recipe as it was (m,), per mole of flux."""
    if question.batch is None:
        return None
    before, convention = question.before, question.wanted.convention
    moles = counted(folded_moles(question.batch, base_only=question.wanted.base_only), convention)
    flux = moles[basis_of(convention)].sum()
    return np.array([before.get(material.id, 0.0) for material in materials]) / flux if flux > 0 else None


def _side_cost(question: Question, materials: Sequence[Material], charge: float) -> Floats:
    """Return what one part of each material costs by the second aim (m,), too little to weigh against the fit."""
    prices = question.prices
    if question.prefer == "loss":
        losses = np.array([max(0.0, m.loi_percent or 0.0) for m in materials])
        return charge * choice("loss_cost_share") * losses / 100.0
    if question.prefer == "cost" and prices:
        mean = math.fsum(prices.values()) / len(prices) or 1.0
        return charge * choice("price_cost_share") * np.array([prices.get(m.id, mean) for m in materials]) / mean
    return np.zeros(len(materials))


def _shape(
    question: Question, materials: Sequence[Material], sources: Sources, least_new: float, most_flux: float
) -> Shape:
    limits, share = question.limits, question.free_total / question.base_total
    # ends are per 100 of the whole base, the columns are the free part of it
    chosen = zip(materials, sources.familiar, strict=True)
    least = [limits.least.get(material.id, 0.0 if old else least_new) for material, old in chosen]
    most = np.array([limits.most.get(material.id, 100.0) for material in materials])
    clay = np.array([_suspends(question, material) for material in materials], dtype=np.bool_) & sources.in_base
    low, high = limits.raw_clay or (0.0, 100.0)
    heaviest = math.fsum(_heaviest_mass(term) for term in question.wanted.terms if not term.is_ratio)
    factor = choice("heaviest_mass_factor")
    return Shape(
        least_share=np.minimum(np.array(least) / 100.0 / share, 1.0),
        most_share=np.minimum(most / 100.0 / share, 1.0),
        must=np.array([material.id in limits.least for material in materials], dtype=np.bool_),
        share_rows=((clay, low / 100.0 / share, high / 100.0 / share),) if limits.raw_clay is not None else (),
        most_lines=limits.max_materials - sum(not line.addition for line in question.fixed),
        usual_mass=choice("usual_mass_factor") * heaviest,
        mass_limit=factor * heaviest + factor / max(most_flux, 1e-6),
    )


def _suspends(question: Question, material: Material) -> bool:
    """Return True for a raw clay that may be there to keep the glaze in suspension: a red one not in a white or coloured glaze."""
    red = material.analysis.get("Fe2O3", 0.0) >= choice("red_clay_percent")
    return material.is_raw_clay and (not red or question.is_dark or material.id in question.before)


def _heaviest_mass(term: Term) -> float:
    """Return the most grams of oxides that a term may ask for in a unity batch."""
    most = max((abs(end) for end in (term.low, term.high) if math.isfinite(end)), default=0.0)
    return most * max(molar_mass(oxide) for oxide in term.oxides)
