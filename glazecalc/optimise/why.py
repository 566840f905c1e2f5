"""Why an oxide cannot be met, and which single material would help most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.material import Material
from glazecalc.optimise.batches import Fit, Problem, lowest_score, reach, relaxed, value_of
from glazecalc.optimise.goals import Term
from glazecalc.oxides import AXIS
from glazecalc.reformulate.answers import Help, Unmet

__all__ = ("helps", "unmet")

Floats = NDArray[np.float64]
_WORDS = {
    "B2O3": "boron", "Li2O": "lithia", "Na2O": "soda", "K2O": "potash", "MgO": "magnesia", "CaO": "lime", "SrO": "strontia", "BaO": "baryta",
    "ZnO": "zinc", "PbO": "lead", "Al2O3": "alumina", "SiO2": "silica", "P2O5": "phosphate", "TiO2": "titania", "ZrO2": "zirconia", "SnO2": "tin",
    "Fe2O3": "iron", "CoO": "cobalt", "CuO": "copper", "MnO": "manganese",
}  # fmt: skip
_LITTLE = 0.03  # moles: a trace of another flux, not a missing source
_NONE = 1e-6  # moles per mole of flux: nothing
_TRACE = 0.05  # share of what is wanted
_HELPFUL = 0.25  # share of the deviation that a material must take away to be worth naming
_MOST_HELPS = 3


def unmet(problem: Problem, found: Fit, names: Sequence[str], *, met_within: float) -> tuple[Unmet, ...]:
    """Return the terms that `found` misses: the held ones beyond `met_within` [mol], or, with none held, those beyond their tolerance.

    Parameters
    ----------
    problem : Problem
    found : Fit
        The best batch.
    names : sequence of str
        The materials, in the problem's order.
    met_within : float
        [mol per mol of flux].
    """
    moles = found.parts @ problem.moles
    held = [term for term in problem.terms if term.held]
    missed = []
    for term in held or problem.terms:
        off = term.deviation(moles)
        if abs(off) > (met_within if held else term.tolerance * (1 + 1e-6)):
            missed.append(Unmet(oxide=term.label, shortfall=-off, why=_why(problem, term, off, found, names)))
    listed = {entry.oxide for entry in missed}
    # a sum of two that are listed says nothing new
    return tuple(e for e in missed if not ("+" in e.oxide and not held and set(e.oxide.split("+")) & listed))


def _why(problem: Problem, term: Term, off: float, found: Fit, names: Sequence[str]) -> str:
    brings = problem.own_moles @ term.coefficients
    what = term.label
    if ":" in what:
        low, high = reach(problem, term.coefficients)
        if low <= term.high and high >= term.low:
            return f"{what} can be met, but not together with the rest: {_against(problem, term)}."
        return f"no batch of these materials has that ratio of {what.replace(':', ' to ')}."
    if off < 0:
        if brings.max(initial=0.0) <= 0:
            return f"none of the materials at hand brings {what}{_no_source(term)}."
        crowd = _crowded(problem, term, off, found, names)
        if crowd:
            return crowd
        _, most = reach(problem, term.coefficients)
        if most < _TRACE * term.low:
            return f"none of the materials at hand brings {what}, traces aside{_no_source(term)}."
        if most < term.low - _NONE:
            sources = _named(names, brings)
            return f"at most {most:.2f} can be reached with {sources} as the only source{'s' if ' and ' in sources or ',' in sources else ''}."
        return f"{what} alone could be met; it comes from {_named(names, brings)}, {_against(problem, term)}."
    least, _ = reach(problem, term.coefficients)
    users = [(names[j], found.parts[j] * brings[j]) for j in found.support if brings[j] > 0]
    users.sort(key=lambda pair: -pair[1])
    main = [name for name, amount in users if amount > 0.1 * users[0][1]] if users else []
    if not users or sum(amount for _, amount in users) < 0.5 * float(term.coefficients @ (found.parts @ problem.moles)):
        return f"{what} comes with the lines that keep their number."
    text = ", ".join(main[:3])
    if least > term.high + _NONE:
        return f"every batch of these materials brings at least {least:.2f}: {what} always comes with {text}."
    return f"{what} comes with {text}, which {'is' if len(main) == 1 else 'are'} needed for {_purpose(problem, found, brings, term)}."


def _no_source(term: Term) -> str:
    word = _WORDS.get(term.oxides[0]) if len(term.oxides) == 1 else None
    return f": no source of {word} is left" if word else ""


def _crowded(problem: Problem, term: Term, off: float, found: Fit, names: Sequence[str]) -> str:
    """Say which other fluxes take the place of a flux that is short by a little: the fluxes sum to one."""
    moles = found.parts @ problem.moles
    if -off > _LITTLE or not all(problem.basis[k] for k in np.flatnonzero(term.coefficients)):
        return ""
    others = [
        t
        for t in problem.terms
        if len(t.oxides) == 1 and not set(t.oxides) & set(term.oxides) and t.deviation(moles) > _NONE
    ]
    others = sorted((t for t in others if problem.basis[AXIS.index(t.oxides[0])]), key=lambda t: -t.deviation(moles))
    if sum(t.deviation(moles) for t in others) < -0.9 * off:
        return ""
    first = others[0]
    brings = (problem.own_moles @ first.coefficients) * found.parts
    with_it = _named([names[j] for j in found.support], np.array([brings[j] for j in found.support]))
    text = ", ".join(f"{t.label} {t.deviation(moles):.3f}" for t in others[:3])
    return f"other fluxes come along ({text}; most of it with {with_it}), and the fluxes sum to one."


def _named(names: Sequence[str], brings: Floats) -> str:
    order = [int(j) for j in np.argsort(-brings, kind="stable") if brings[j] > 0.05 * brings.max()]
    shown = [names[j] for j in order[:3]]
    more = f" and {len(order) - 3} more" if len(order) > 3 else ""
    return ", ".join(shown) + more


def _against(problem: Problem, term: Term) -> str:
    # hold this term alone and see which others get worse
    held = tuple(replace(t, held=t is term) for t in problem.terms)
    moles = lowest_score(replace(problem, terms=held))
    if moles is None:
        return "and the conditions leave no batch that does it"
    worse = [(abs(t.deviation(moles)) / t.tolerance, t) for t in problem.terms if t is not term and len(t.oxides) == 1]
    worse = sorted((w for w in worse if w[0] > 1.0), key=lambda w: -w[0])[:2]
    if not worse:
        return "and with it the other aims could stay"
    parts = [
        f"{t.label} {abs(t.deviation(moles)):.2f} {'over' if t.deviation(moles) > 0 else 'short'}" for _, t in worse
    ]
    return "and then " + " and ".join(parts) + " would follow"


def _purpose(problem: Problem, found: Fit, brings: Floats, term: Term) -> str:
    users = [j for j in found.support if brings[j] > 0]
    wanted = {oxide for t in problem.terms if t.stated and t.low > _NONE for oxide in t.oxides} - set(term.oxides)
    amounts = {
        AXIS[k]: sum(found.parts[j] * problem.moles[j, k] for j in users) for k in range(len(AXIS)) if AXIS[k] in wanted
    }
    chief = sorted((o for o in amounts if amounts[o] > _NONE), key=lambda o: -amounts[o])[:2]
    return " and ".join(chief) or "the sum of the fluxes"


def helps(
    problem: Problem, found: Fit, others: Sequence[Material], widened: Callable[[Material], Problem]
) -> tuple[Help, ...]:
    """Return the materials that, added alone, would take away most of the deviation; best first, three at most.

    Parameters
    ----------
    problem : Problem
        With what is at hand.
    found : Fit
        The best batch of it.
    others : sequence of Material
        What is not at hand.
    widened : function
        Gives the problem with one more material.
    """
    before = value_of(problem, found)
    results = []
    for material in others:
        wide = replace(widened(material), most_lines=None, line_charge=0.0)
        after = lowest_value(wide)
        if after is not None and before - after > _HELPFUL * before:
            results.append((after, material))
    results.sort(key=lambda pair: (round(pair[0], 6), pair[1].id))
    return tuple(
        Help(material=m.id, name=m.name, score_before=before, score_after=value) for value, m in results[:_MOST_HELPS]
    )


def lowest_value(problem: Problem) -> float | None:
    """Return the least objective without a limit on the number of lines, or None."""
    found = relaxed(problem)
    return None if found is None else found.value
