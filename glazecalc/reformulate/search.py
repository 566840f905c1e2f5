"""From a question to answers: the common part of substitution and matching."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from glazecalc.convert.unity import unity_array_of
from glazecalc.errors import Notice
from glazecalc.frozen import FrozenDict
from glazecalc.optimise.batches import Fit, Problem
from glazecalc.optimise.bounds import loosened
from glazecalc.optimise.choices import choice
from glazecalc.optimise.why import Help, Unmet, helps, unmet
from glazecalc.reformulate.answering import answer_of
from glazecalc.reformulate.answers import Answer, Kind, Outcome
from glazecalc.reformulate.at_hand import general_use
from glazecalc.reformulate.finding import Found, best_batches
from glazecalc.reformulate.more_lines import more_lines, one_line_more
from glazecalc.reformulate.posing import problem_of
from glazecalc.reformulate.question import Question

__all__ = ("search",)


def search(question: Question) -> Outcome:
    """Return the answers, the better kind first, with what cannot be met and what would help."""
    found, question = _with_clay(question)
    notices, best, problem = list(question.notices), found.best, found.problem
    wider, materials, cap = one_line_more(found), question.at_hand.materials, question.limits.max_materials
    if best is None:
        notice, missing = _nothing(question, problem)
        notices.append(notice)
    else:
        loose = loosened(problem, best, wider)
        missing = unmet(problem, best, materials, loose, met_within=choice("met_within_mol"))
    if any(one.stopped for one in (*found.swaps, *found.reworked)):
        text = f"the time limit of {question.time_limit_s:g} s ended the search; some closer batches may not have been found."
        notices.append(Notice("search-stopped", text))
    answers, more = tuple(_answers(question, found)), more_lines(found, wider, materials, cap)
    spoken = {material for answer in answers for material in answer.alternatives} | set(more.materials if more else ())
    before = question.batch.lines if question.batch is not None else ()
    used = dict.fromkeys([line.material.id for line in before])
    used |= dict.fromkeys(line.material for answer in answers for line in answer.lines)
    return Outcome(
        name=question.name,
        materials=tuple(question.library[material] for material in used),
        names=FrozenDict({material.id: material.name for material in materials if material.id in spoken}),
        before=before,
        answers=answers,
        unmet=missing,
        helps=_helps(question, problem, best) if best is not None and missing else (),
        lines_cap=cap,
        more_lines=more,
        target=question.wanted.moles,
        wanted=question.wanted.ends,
        convention=question.wanted.convention,
        notices=tuple(dict.fromkeys(notices)),
    )


def _with_clay(question: Question) -> tuple[Found, Question]:
    """Return what is found with the raw clay that practice asks for, or without it where that cannot be, which is then said.

    A recipe keeps its clay as long as any batch has it; a target gives it up where it cannot be met otherwise.
    """
    found, limits = best_batches(question), question.limits
    if limits.raw_clay is None or not limits.clay_by_practice:
        return found, question
    if found.best is not None and not limits.clay_yields:
        return found, question
    free = replace(question, limits=replace(limits, raw_clay=None))
    other = best_batches(free)
    if other.best is None:
        return found, question
    worth = choice(f"clay_given_up_tolerances{'_unasked' if question.at_hand.unasked else ''}")
    if found.best is not None and found.off(found.best) - other.off(other.best) <= worth:
        return found, question
    text = f"{limits.raw_clay[0]:.2g} parts of raw clay, which keep a glaze in suspension, cannot be had with this formula: given up."
    return other, replace(free, notices=(*question.notices, Notice("clay-given-up", text)))


def _answers(question: Question, found: Found) -> list[Answer]:
    """Return the answers in two groups, each by deviation; one-for-one swaps first where they are as near, or nearly.

    After the best of each kind come the next best of both. A swap with a further new material that brings next to nothing is not
    another answer.
    """
    swaps = [
        (off, replace(answer, alternatives=_alike(question, found, one)))
        for (off, answer), one in zip(_of(question, found, found.swaps, "one-for-one"), found.swaps, strict=True)
    ]
    reworked = _of(question, found, found.reworked, "reworked")
    weighed = [_weights(answer) for _, answer in swaps]  # whole parts can make a reworked batch a swap
    reworked = [pair for pair in reworked if _weights(pair[1]) not in weighed]
    swaps, reworked = (sorted(group, key=lambda pair: pair[0]) for group in (swaps, reworked))
    if not swaps or not reworked:
        return [answer for _, answer in (*swaps, *reworked)][: question.answers]
    simple_first = swaps[0][0] <= reworked[0][0] + choice("swap_within_tolerances")
    first, second = (swaps, reworked) if simple_first else (reworked, swaps)
    if question.answers == 1:
        return [first[0][1]]
    more = [pair for pair in reworked[1:] if not _hardly_more(pair, swaps)]
    rest = sorted((*swaps[1:], *more), key=lambda pair: pair[0])[: question.answers - 2]
    return [pair[1] for group in (first, second) for pair in group if pair is group[0] or pair in rest]


def _weights(answer: Answer) -> dict[tuple[str, bool], float]:
    return {(line.material, line.addition): round(line.parts, 6) for line in answer.lines}


def _hardly_more(one: tuple[float, Answer], swaps: Sequence[tuple[float, Answer]]) -> bool:
    new, most = one[1].new, one[0] + choice("worth_a_line_tolerances")
    return any(new & {*swap.new, *swap.alternatives} for off, swap in swaps if off <= most)


def _of(question: Question, found: Found, fits: Iterable[Fit], kind: Kind) -> list[tuple[float, Answer]]:
    """Return the answers of the batches with their deviation [tolerances], held terms in their weight."""
    answers = [replace(answer_of(question, found.problem, one), kind=kind) for one in fits]
    return [(round(found.problem.goals.weighted(unity_array_of(a.unity)), 6), a) for a in answers]


def _alike(question: Question, found: Found, swap: Fit) -> tuple[str, ...]:
    """Return the ids of the new material of a swap and of those that serve like it; nothing where it stands alone."""
    materials = question.at_hand.materials
    new = next(j for j in swap.support if not found.problem.sources.familiar[j])
    others = found.alike.get(new, ())
    return tuple(materials[j].id for j in (new, *others)) if others else ()


def _helps(question: Question, problem: Problem, best: Fit) -> tuple[Help, ...]:
    have = {material.id for material in question.at_hand.materials} | question.at_hand.banned
    others = [m for m in general_use(question.library, question.wanted.oxides)[0] if m.id not in have]
    return helps(problem, best, ((m, problem_of(question, (*question.at_hand.materials, m))) for m in others))


def _nothing(question: Question, problem: Problem) -> tuple[Notice, tuple[Unmet, ...]]:
    """Return why there is no batch, and all that is asked for as unmet."""
    text = "no batch meets the least and most parts asked for: ease one of them, or allow more materials."
    notice = Notice("limits-conflict", text)
    if not (problem.flux > 0).any():
        what = "alumina" if question.wanted.convention.unity_on_alumina else "flux (R2O or RO)"
        text = f"none of the materials at hand brings any {what}: no batch of them has a unity formula."
        notice = Notice("no-flux", text)
    why = "no batch of the materials at hand meets the conditions."
    asked = [t for t in question.wanted.terms if t.stated and 0 < t.low < math.inf and not t.is_ratio]
    return notice, tuple(Unmet(oxide=t.label, shortfall=t.low, code="no-batch", why=why) for t in asked)
