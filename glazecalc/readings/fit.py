"""Does it fit the clay? By the studio's own firings, else by both expansions measured, else by the fired glazes that matured."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glazecalc.cone_temperatures import heats_apart
from glazecalc.errors import CompositionError
from glazecalc.estimate.expansion import expansion
from glazecalc.estimate.melted import fired_set
from glazecalc.estimate.result import Estimate
from glazecalc.heat import heat_words
from glazecalc.plain_text import span_text
from glazecalc.readings.facts import Facts
from glazecalc.readings.materials import held
from glazecalc.readings.reading import Reading
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import and_list, some
from glazecalc.spelling import name_key

if TYPE_CHECKING:
    from glazecalc.estimate.firings import FitRange
    from glazecalc.estimate.stress import Mismatch

__all__ = ("read",)

_TEST = "Quench a fired piece from the oven (ASTM C554): ink shows crazing, the edges show shivering."
_SHORT_TEST = "Quench a piece (ASTM C554)."
_SHORT_DO = ("Settle by your own --firings or a quench test.", "Your --firings or a quench test.")
_OWN = "Best: your own firings on your clay (--body FILE --firings FILE)."


def read(facts: Facts) -> Reading:
    """Return the reading `fit`."""
    if facts.fit is not None:
        return _by_firings(facts, facts.fit)
    if facts.mismatch is not None:
        return _measured(facts, facts.mismatch)
    return _among_fired(facts)


def _reading(
    facts: Facts,
    code: str,
    says: str,
    because: str,
    evidence: Mapping[str, Any],
    do: str,
    source: str,
    *short: str | tuple[str, ...],
) -> Reading:
    """Return the reading with what the calculation does not know about this batch and this body."""
    crystals, glass = held(facts.batch, "hardly_expand"), held(facts.batch, "counted_as_glass")
    beside: list[str] = []
    few_words: list[list[str]] = []
    if crystals or glass:
        as_glass = list(dict.fromkeys((*crystals, *glass)))
        few_words.append([f"Counted as glass: {some(as_glass, most)}." for most in (len(as_glass), 1)])
    if facts.formula.of_unknown_make:
        beside.append(f"By a typical analysis of {and_list(facts.formula.of_unknown_make)}: your own lot decides.")
        few_words.append(["By a typical analysis.", ""])
    if crystals:
        beside.append(
            f"Crystals of {and_list(crystals)} hardly expand: where they stay it expands less than calculated."
        )
    if glass:
        beside.append(f"Counted as glass, though most of it stays as crystals: {and_list(glass)}.")
    body = facts.body
    if body is not None and heats_apart(body.cone, facts.cone):
        at, here = heat_words(body.cone), heat_words(facts.cone)
        beside.append(f"{body.name} is described at {at}, not at {here}: it expands otherwise there.")
    return Reading(
        about="fit",
        code=code,
        says=" ".join((says, *beside)),
        because=because,
        evidence={**evidence, "hardly_expand": crystals, "counted_as_glass": glass},
        do=do,
        source=source,
        short=in_two_lines(*short, *few_words),
    )


def _sound(ends: tuple[float, float]) -> str:
    span = span_text(*ends)
    return f"sound {'from' if ' to ' in span else 'at'} {span}"


def _names(recipe: str) -> set[tuple[str, ...]]:
    """Return the names that a recipe or its file may be meant by; none for an empty text."""
    return {name_key(recipe), name_key(Path(recipe).stem)} - {()}


def _by_firings(facts: Facts, fit: FitRange) -> Reading:
    from glazecalc.estimate.firings import place

    try:
        value = expansion(facts.mole_percent, model=fit.model).value  # type: ignore[arg-type]  # checked where the range was made
    except CompositionError as error:
        return _not_judged(facts, str(error.message))
    said = place(value, fit)
    own = _names(facts.batch.recipe.name) | _names(facts.batch.recipe.path)
    itself = tuple(result.result for result in fit.results if _names(result.recipe) & own)
    n = {name: sum(result.result == name for result in fit.results) for name in ("sound", "crazed", "shivered")}
    counted = and_list([f"{count} {name}" for name, count in n.items() if count])
    ends = [
        f"shivered up to {fit.shivered_up_to:.1f}" if fit.shivered_up_to is not None else "",
        _sound(fit.good) if fit.good is not None else "",
        f"crazed from {fit.crazed_from:.1f}" if fit.crazed_from is not None else "",
    ]
    return _reading(
        facts,
        "fit-by-your-firings",
        f"By your own firings on {fit.body}: {said}."
        + (f" This glaze itself: {and_list(itself)}." if itself else "")
        + (f" {_stress(facts.mismatch)}" if facts.mismatch else ""),
        f"{value:.1f}e-6 per K among {len(fit.results)} of your firings ({counted}): {', '.join(filter(None, ends))}.",
        {
            "body": fit.body,
            "model": fit.model,
            "expansion_1e6_per_k": value,
            "place": said,
            "itself": itself,
            **{f"{name}_firings": count for name, count in n.items()},
            "good_1e6_per_k": fit.good,
            "shivered_up_to_1e6_per_k": fit.shivered_up_to,
            "crazed_from_1e6_per_k": fit.crazed_from,
        },
        f"{_TEST} Then add it to the list.",
        "your own firings",
        f"By {len(fit.results)} of your own firings on {fit.body}: {said} ({value:.1f}e-6 per K).",
        (_SHORT_TEST, ""),
    )


def _stress(mismatch: Mismatch) -> str:
    """Return the stress from both expansions measured, in a sentence."""
    stress = mismatch.stress_mpa
    side = "tension: crazing side" if stress > 0 else "compression" if stress < 0 else "neither tension nor compression"
    return f"Both measured: {stress:+.0f} MPa in the glaze, {side}."


def _measured(facts: Facts, mismatch: Mismatch) -> Reading:
    return _reading(
        facts,
        "fit-crazing-side" if mismatch.stress_mpa > 0 else "fit-among",
        _stress(mismatch),
        f"Body minus glaze {mismatch.difference_1e6_per_k:+.1f}e-6 per K, both measured on one range. No stress at which a glaze must craze or "
        "shiver is established.",
        {
            "stress_mpa": mismatch.stress_mpa,
            "difference_1e6_per_k": mismatch.difference_1e6_per_k,
            "state": mismatch.state,
        },
        f"{_TEST} {_OWN}",
        mismatch.source,
        f"Both measured: {mismatch.stress_mpa:+.0f} MPa in the glaze ({mismatch.state}); no limit is established. {_SHORT_TEST}",
    )


def _not_judged(facts: Facts, why: str) -> Reading:
    return _reading(
        facts, "fit-not-judged", f"Not judged: {why}", "Without an expansion there is nothing to compare.",
        {}, f"{_TEST} {_OWN}", fired_set().source, f"Not judged: {why}", _SHORT_DO,
    )  # fmt: skip


def _fitted(facts: Facts) -> Estimate | None:
    return next((e for e in facts.estimates if e.quantity == "expansion" and e.model == "fitted"), None)


def _among_fired(facts: Facts) -> Reading:
    estimate = _fitted(facts)
    if estimate is None:
        return _not_judged(facts, "the model has no expansion for this glaze.")
    if estimate.low is None:
        return _not_judged(facts, f"it lies beyond every glass of the model: {some(estimate.outside, 1)}.")
    fired = fired_set()
    found, value = fired.expansion, estimate.value
    matured = found.matured
    if value > found.upper_tenth:
        short = f"Crazing side: {value:.1f}e-6 per K, above {matured.below(value)} of {matured.n} matured"
        code, says = (
            "fit-crazing-side",
            "On the crazing side: it is calculated to expand more than most glazes that matured.",
        )
    elif value < found.lower_tenth:
        short = f"Shivering side: {value:.1f}e-6 per K, above {matured.below(value)} of {matured.n} matured"
        code, says = (
            "fit-shivering-side",
            "On the shivering side: it is calculated to expand less than most glazes that matured.",
        )
    else:
        short = f"Your clay decides: {value:.1f}e-6 per K, above {matured.below(value)} of {matured.n} matured"
        code, says = (
            "fit-among",
            "Its calculated expansion lies among those of glazes that matured; your clay decides.",
        )
    crazed = found.crazed
    because = (
        f"{value:.1f}e-6 per K, more than {matured.below(value)} of {matured.n} fired glazes that matured ({matured.sources} sources, many clays); "
        f"in the set {crazed.n} crazed, at {span_text(crazed.values[0], crazed.values[-1])}, and {found.shivered.n or 'none'} shivered."
    )
    evidence = {
        "expansion_1e6_per_k": value,
        "matured": matured.n,
        "matured_expand_less": matured.below(value),
        "lower_tenth_1e6_per_k": found.lower_tenth,
        "upper_tenth_1e6_per_k": found.upper_tenth,
        "crazed_in_the_set": crazed.n,
        "shivered_in_the_set": found.shivered.n,
    }
    known = f"(set: {crazed.n} crazed, {found.shivered.n or 'no'} shivered)"
    source = f"{fired.source}; expansion: {estimate.source}"
    return _reading(facts, code, says, because, evidence, f"{_OWN} {_TEST}", source, f"{short} {known}.", _SHORT_DO)
