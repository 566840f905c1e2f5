"""The batches of a question: one-for-one swaps, each worked through, and reworked ones, the first proven as far as it goes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.optimise.batches import Fit, Problem, deviation_of
from glazecalc.optimise.choices import choice
from glazecalc.optimise.reworked import best_reworked, of_its_own
from glazecalc.optimise.swaps import best_swaps, swap_scores
from glazecalc.reformulate.posing import problem_of
from glazecalc.reformulate.question import Question
from glazecalc.reformulate.variants import serve_alike

__all__ = ("Found", "best_batches")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The batches of one problem by their kind, each kind by deviation; `alike` has new material -> those that serve like it."""

    problem: Problem
    swaps: tuple[Fit, ...]
    reworked: tuple[Fit, ...]
    alike: FrozenDict[int, tuple[int, ...]] = field(default_factory=FrozenDict)

    @property
    def best(self) -> Fit | None:
        """The batch of least deviation, of either kind."""
        return min((*self.swaps, *self.reworked), key=self.off, default=None)

    def off(self, one: Fit) -> float:
        """Return the deviation of one batch [tolerances], held terms in their weight, without the solver's noise."""
        return round(deviation_of(self.problem, one), 6)


def best_batches(question: Question) -> Found:
    """Return the batches of the question; where the held terms cannot be met they weigh less, and it is solved anew."""
    problem = problem_of(question, question.at_hand.materials)
    found = _of_both_kinds(question, problem)
    best = found.best
    if best is not None:
        moles, least = best.parts @ problem.sources.moles, choice("met_within_mol")
        if any(abs(term.deviation(moles)) > least for term in problem.goals.held):
            factor = min(problem.goals.hold_factor, choice("hold_factor_impossible"))
            found = _of_both_kinds(question, replace(problem, goals=replace(problem.goals, hold_factor=factor)))
    return found


def _of_both_kinds(question: Question, problem: Problem) -> Found:
    materials = question.at_hand.materials
    swapping = question.batch is not None and bool(problem.sources.familiar.any())
    scores = swap_scores(problem) if swapping else {}
    alike = _by_likeness(materials, tuple(scores))
    near = [j for j in alike if scores[j] <= min(scores.values()) + choice("alternatives_within_tolerances")]
    swaps = best_swaps(problem, near[: question.answers])

    def alike_by_place(one: int, other: int) -> bool:
        return serve_alike(materials[one], materials[other])

    changed = replace(problem, two_changes=swapping)
    reworked = best_reworked(changed, question.answers, ranked=tuple(scores), alike=alike_by_place)
    found = Found(problem=problem, swaps=tuple(swaps), reworked=tuple(reworked), alike=alike)
    alone = of_its_own(problem) if swapping else None
    farthest = math.inf if alone is None else found.off(alone)  # what the recipe does without anything new

    def worth(fits: Sequence[Fit]) -> tuple[Fit, ...]:
        return tuple(one for one in sorted(fits, key=found.off) if found.off(one) <= farthest)

    return replace(found, swaps=worth(swaps), reworked=worth(reworked))


def _by_likeness(materials: Sequence[Material], ranked: Sequence[int]) -> FrozenDict[int, tuple[int, ...]]:
    """Return the first of each class of variants -> the others of the class, in the order of `ranked`."""
    found: dict[int, tuple[int, ...]] = {}
    for j in ranked:
        first = next((i for i in found if serve_alike(materials[i], materials[j])), None)
        found |= {j: ()} if first is None else {first: (*found[first], j)}
    return FrozenDict(found)
