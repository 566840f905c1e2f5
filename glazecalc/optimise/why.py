"""Why an oxide cannot be met, and which single material would help most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.optimise.batches import Fit, Problem, reach, relaxed, value_of
from glazecalc.optimise.bounds import Loosened
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import Term
from glazecalc.optimise.oxide_words import METAL_WORDS, OXIDE_WORDS
from glazecalc.oxides import AXIS, INDEX

__all__ = ("REASONS", "Help", "Unmet", "helps", "unmet")

Floats = NDArray[np.float64]
Moles = Mapping[str, float]
_NO_OTHERS: Moles = FrozenDict()
_NONE = 1e-6  # moles per mole of flux: the solver's own noise
_CONDITIONS = {  # by the names of `Loosened`
    "raw-clay": "the raw clay that keeps the glaze in suspension stands against it (--raw-clay 0..100 lets it go)",
    "most-parts": "a most amount that was asked for stands against it",
    "least-parts": "a least amount that was asked for stands against it",
    "lines": "the number of lines stands against it (--max-materials allows more)",
}
REASONS = (
    *_CONDITIONS,
    "no-batch",  # the conditions leave no batch at all
    "no-source",  # nothing at hand brings it, traces aside
    "out-of-reach",  # no batch of these materials has so much, or so little, of it
    "crowded-out",  # other fluxes come along and take its place
    "against-others",  # it could be met, but not together with the rest
    "comes-along",  # it comes with materials that bring something else
    "fixed-lines",  # it comes with the lines that keep their number
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmet:
    """An oxide, sum or ratio that the best batch misses, and the reason: one of `REASONS`, and as a sentence.

    The `shortfall` is positive when short, negative when there is too much; `reach` is the most (where short) or the least
    (where over) that any batch of these materials has. `materials` are the ids of those that bring it, most first; with
    ``crowded-out`` those that bring the first of `others`: what comes along instead, or what would follow if this one were
    met. All in mol per mol of flux.
    """

    oxide: str
    shortfall: float
    code: str
    materials: tuple[str, ...] = ()
    reach: float | None = None
    others: Moles = field(default_factory=FrozenDict)
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """A material that is not at hand, and what the deviation would be with it [tolerances]."""

    material: str
    name: str
    score_before: float
    score_after: float


@dataclass(frozen=True, slots=True)
class _Case:
    """One missed term of the best batch, and by how much it is `off`; `brings` (m,) is what each material itself brings of it."""

    problem: Problem
    parts: Floats
    moles: Floats
    materials: Sequence[Material]
    term: Term
    off: float
    brings: Floats

    def because(
        self, code: str, why: str, materials: Iterable[int] = (), reach: float | None = None, others: Moles = _NO_OTHERS
    ) -> Unmet:
        ids, what, short = tuple(self.materials[j].id for j in materials), self.term.label, -self.off
        return Unmet(oxide=what, shortfall=short, code=code, materials=ids, reach=reach, others=others, why=why)


def unmet(
    problem: Problem, found: Fit, materials: Sequence[Material], loose: Loosened, *, met_within: float
) -> tuple[Unmet, ...]:
    """Return the terms that `found` misses: the held ones beyond `met_within` [mol], or, with none held, those beyond their tolerance.

    `loose` are the conditions without which it comes nearer: one without which half of what a term misses is gone is the reason.
    """
    moles = found.parts @ problem.sources.moles
    held = problem.goals.held
    missed = []
    for term in held or problem.goals.terms:
        off = term.deviation(moles)
        if abs(off) > (met_within if held else term.tolerance * (1 + 1e-6)):
            brings = problem.sources.own_moles @ term.coefficients
            why = _why_ratio if term.is_ratio else _why_short if off < 0 else _why_over
            case = _Case(problem, found.parts, moles, materials, term, off, brings)
            missed.append((term, _held_back(case, loose) or why(case)))
    listed = {entry.oxide for _, entry in missed}
    # a sum of two that are listed says nothing new
    return tuple(e for term, e in missed if held or term.is_single or term.is_ratio or not set(term.oxides) & listed)


def _held_back(case: _Case, loose: Loosened) -> Unmet | None:
    for name, moles in loose.items():
        left = case.term.deviation(moles)
        if abs(left) < choice("reason_share") * abs(case.off):
            words = "met" if abs(left) <= case.term.tolerance else f"{abs(left):.2f} off"
            return case.because(name, f"{_CONDITIONS[name]}: without that {case.term.label} would be {words}.")
    return None


def _why_ratio(case: _Case) -> Unmet:
    what = case.term.label
    low, high = reach(case.problem, case.term.coefficients)
    if low <= case.term.high and high >= case.term.low:
        others, then = _against(case)
        text = f"{what} can be met, {then}."
        return case.because("against-others", text, others=others)
    text = f"no batch of these materials has that ratio of {what.replace(':', ' to ')}."
    return case.because("out-of-reach", text)


def _why_short(case: _Case) -> Unmet:
    what, sources = case.term.label, _bringing(case.brings)
    if not sources:
        return case.because("no-source", f"none of the materials at hand brings {what}{_no_source(case.term)}.")
    crowded = _crowded(case)
    if crowded is not None:
        return crowded
    _, most = reach(case.problem, case.term.coefficients)
    if most < choice("trace_share_of_wanted") * case.term.low:
        text = f"none of the materials at hand brings {what}, traces aside{_no_source(case.term)}."
        return case.because("no-source", text, reach=most)
    names = _named(case, sources)
    if most < case.term.low - _NONE:
        text = f"at most {most:.2f} can be reached with {names} as the only source{'s' if len(sources) > 1 else ''}."
        return case.because("out-of-reach", text, materials=sources, reach=most)
    others, then = _against(case)
    text = f"{what} could be met with more {names}, {then}."
    return case.because("against-others", text, materials=sources, reach=most, others=others)


def _why_over(case: _Case) -> Unmet:
    what = case.term.label
    least, _ = reach(case.problem, case.term.coefficients)
    amounts = case.parts * case.brings
    if amounts.sum(where=amounts > 0) < choice("fixed_lines_share") * float(case.term.coefficients @ case.moles):
        return case.because("fixed-lines", f"{what} comes from the lines that keep their amounts.", reach=least)
    main = [j for j in _bringing(amounts) if amounts[j] > choice("main_source_share") * amounts.max()]
    names = ", ".join(case.materials[j].name for j in main[:3])
    if least > case.term.high + _NONE:
        text = f"every batch of these materials brings at least {least:.2f}: {what} always comes from {names}."
        return case.because("out-of-reach", text, materials=main, reach=least)
    needed = f"{'is' if len(main) == 1 else 'are'} needed for {_purpose(case)}"
    return case.because("comes-along", f"{what} comes from {names}, which {needed}.", materials=main, reach=least)


def _no_source(term: Term) -> str:
    words = OXIDE_WORDS.get(term.label) or (METAL_WORDS.get(term.label),)
    return f": no source of {words[0]} is left" if term.is_single and words[0] else ""


def _bringing(amounts: Floats) -> list[int]:
    """Return which materials bring more than a little of the most that one brings, most first."""
    most = amounts.max(initial=0.0)
    order = np.argsort(-amounts, kind="stable")
    return [int(j) for j in order if most > 0 and amounts[j] > choice("minor_source_share") * most]


def _named(case: _Case, chosen: Sequence[int]) -> str:
    more = f" and {len(chosen) - 3} more" if len(chosen) > 3 else ""
    return ", ".join(case.materials[j].name for j in chosen[:3]) + more


def _crowded(case: _Case) -> Unmet | None:
    """Say which other fluxes take the place of a flux that is short by a little: the fluxes sum to one."""
    basis, term = case.problem.goals.basis, case.term
    if -case.off > choice("crowded_out_mol") or not basis[np.flatnonzero(term.coefficients)].all():
        return None
    single = (t for t in case.problem.goals.terms if t.is_single and t.oxides[0] not in term.oxides)
    over = {t: t.deviation(case.moles) for t in single if basis[INDEX[t.oxides[0]]]}
    others = sorted((t for t in over if over[t] > _NONE), key=lambda t: -over[t])
    if sum(over[t] for t in others) < -choice("crowded_out_share") * case.off or not _against(case)[0]:
        return None
    amounts = (case.problem.sources.own_moles @ others[0].coefficients) * case.parts
    sources = _bringing(amounts)
    listed = ", ".join(f"{t.label} {over[t]:.3f}" for t in others[:3])
    text = f"other fluxes come along ({listed}; most of it with {_named(case, sources)}), and the fluxes sum to one."
    return case.because("crowded-out", text, sources, others=FrozenDict({t.label: over[t] for t in others}))


def _against(case: _Case) -> tuple[Moles, str]:
    """Return which other oxides would be missed if this term were held alone, and the same in words."""
    goals = case.problem.goals
    alone = replace(goals, terms=tuple(replace(t, held=t is case.term) for t in goals.terms))
    found = relaxed(replace(case.problem, goals=alone))
    if found is None:
        return _NO_OTHERS, "but by no batch that meets the conditions"
    off = {t: t.deviation(found[1]) for t in goals.terms if t is not case.term and t.is_single}
    worse = sorted((t for t in off if abs(off[t]) > t.tolerance), key=lambda t: -abs(off[t]) / t.tolerance)[:2]
    if not worse:
        return _NO_OTHERS, "and the other aims would stay met"
    parts = [f"{t.label} would be {abs(off[t]):.2f} {'over' if off[t] > 0 else 'short'}" for t in worse]
    return FrozenDict({t.label: off[t] for t in worse}), "but then " + " and ".join(parts)


def _purpose(case: _Case) -> str:
    users = (case.parts > 0) & (case.brings > 0)
    terms = [t for t in case.problem.goals.terms if t.stated and t.low > _NONE]
    wanted = {oxide for t in terms for oxide in t.oxides} - set(case.term.oxides)
    brought = dict(zip(AXIS, case.parts[users] @ case.problem.sources.moles[users], strict=True))
    chief = sorted((o for o in AXIS if o in wanted and brought[o] > _NONE), key=lambda o: -brought[o])[:2]
    return " and ".join(chief) or "the sum of the fluxes"


def helps(problem: Problem, found: Fit, wider: Iterable[tuple[Material, Problem]]) -> tuple[Help, ...]:
    """Return which of the materials, each with the problem of having it too, would take away most of the deviation.

    Best first, three at most.
    """
    before, goals = value_of(problem, found), problem.goals
    results = []
    for material, wide in wider:
        sources, shape = replace(wide.sources, line_charge=0.0), replace(wide.shape, most_lines=None)
        after = relaxed(replace(wide, sources=sources, goals=goals, shape=shape))
        if after is not None and before - after[0] > choice("helpful_share") * before:
            results.append((after[0], material))
    results.sort(key=lambda pair: (round(pair[0], 6), pair[1].id))
    best = results[: int(choice("most_helps"))]
    return tuple(Help(material=m.id, name=m.name, score_before=before, score_after=value) for value, m in best)
