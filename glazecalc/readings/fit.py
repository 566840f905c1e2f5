"""Does it fit the clay? By the studio's own firings, else by both expansions measured, else by the fired glazes that matured."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazecalc.errors import CompositionError
from glazecalc.estimate.expansion import expansion
from glazecalc.estimate.firings import FitRange, place
from glazecalc.estimate.melted import fired_set
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.stress import Mismatch
from glazecalc.readings.facts import Facts
from glazecalc.readings.fired_melt import and_list
from glazecalc.readings.materials import held
from glazecalc.readings.reading import Reading

__all__ = ("read",)

_TEST = (
    "Fire it on your clay and quench a piece from the oven (ASTM C554): crazing shows with ink, shivering at the edges."
)
_OWN = "Note what crazed, fitted or shivered on your clay and give --firings FILE: that answers for your clay."


def read(facts: Facts) -> Reading:
    """Return the reading `fit`."""
    if facts.fit is not None:
        return _by_firings(facts, facts.fit)
    if facts.mismatch is not None:
        return _measured(facts, facts.mismatch)
    return _among_fired(facts)


def _reading(
    facts: Facts, code: str, says: str, because: str, evidence: Mapping[str, Any], do: str, source: str
) -> Reading:
    """Return the reading with what the calculation does not know about this batch and this body."""
    crystals, glass = held(facts.batch, "hardly_expand"), held(facts.batch, "counted_as_glass")
    beside = []
    if crystals:
        beside.append(
            f"What stays of {and_list(crystals)} as crystals hardly expands: the glaze then expands less than calculated."
        )
    if glass:
        beside.append(f"{and_list(glass)} is counted as glass, though most of it stays as crystals.")
    body = facts.body
    if body is not None and body.cone and facts.cone and body.cone != facts.cone:
        beside.append(
            f"{body.name} is described at cone {body.cone}, not at cone {facts.cone}: it expands otherwise there."
        )
    return Reading(
        about="fit",
        code=code,
        says=" ".join((says, *beside)),
        because=because,
        evidence={**evidence, "hardly_expand": list(crystals), "counted_as_glass": list(glass)},
        do=do,
        source=source,
    )


def _by_firings(facts: Facts, fit: FitRange) -> Reading:
    try:
        value = expansion(facts.mole_percent, model=fit.model).value  # type: ignore[arg-type]  # checked where the range was made
    except CompositionError as error:
        return _not_judged(facts, str(error.message))
    said = place(value, fit)
    n = {name: sum(result.result == name for result in fit.results) for name in ("sound", "crazed", "shivered")}
    counted = and_list([f"{count} {name}" for name, count in n.items() if count])
    ends = [
        f"shivered up to {fit.shivered_up_to:.1f}" if fit.shivered_up_to is not None else "",
        f"sound from {fit.good[0]:.1f} to {fit.good[1]:.1f}" if fit.good is not None else "",
        f"crazed from {fit.crazed_from:.1f}" if fit.crazed_from is not None else "",
    ]
    return _reading(
        facts,
        "fit-by-your-firings",
        f"By your own firings on {fit.body}: {said}.",
        f"Calculated {value:.1f} e-6 per K among {len(fit.results)} of your firings ({counted}): {', '.join(filter(None, ends))}.",
        {
            "body": fit.body,
            "model": fit.model,
            "expansion_1e6_per_k": value,
            "place": said,
            **{f"{name}_firings": count for name, count in n.items()},
            "good_1e6_per_k": None if fit.good is None else list(fit.good),
            "shivered_up_to_1e6_per_k": fit.shivered_up_to,
            "crazed_from_1e6_per_k": fit.crazed_from,
        },
        f"{_TEST} Then add it to the list.",
        "your own firings",
    )


def _measured(facts: Facts, mismatch: Mismatch) -> Reading:
    tension = mismatch.stress_mpa > 0
    side = "tension: crazing side" if tension else "compression" if mismatch.stress_mpa < 0 else "no stress"
    return _reading(
        facts,
        "fit-crazing-side" if tension else "fit-among",
        f"Both measured: {mismatch.stress_mpa:+.0f} MPa in the glaze, {side}.",
        f"Body minus glaze {mismatch.difference_1e6_per_k:+.1f} e-6 per K, both measured on one range. No stress at which a glaze must craze or "
        "shiver is established.",
        {
            "stress_mpa": mismatch.stress_mpa,
            "difference_1e6_per_k": mismatch.difference_1e6_per_k,
            "state": mismatch.state,
        },
        f"{_TEST} {_OWN}",
        mismatch.source,
    )


def _not_judged(facts: Facts, why: str) -> Reading:
    return _reading(
        facts, "fit-not-judged", f"Not judged: {why}", "Without an expansion there is nothing to lay against others.",
        {}, f"{_TEST} {_OWN}", fired_set().source,
    )  # fmt: skip


def _fitted(facts: Facts) -> Estimate | None:
    return next((e for e in facts.estimates if e.quantity == "expansion" and e.model == "fitted"), None)


def _among_fired(facts: Facts) -> Reading:
    estimate = _fitted(facts)
    if estimate is None:
        return _not_judged(facts, "the model has no expansion for this glaze.")
    if estimate.low is None:
        return _not_judged(
            facts, f"it lies beyond every glass that the model was fitted to: {and_list(estimate.outside)}."
        )
    fired = fired_set()
    found, value = fired.expansion, estimate.value
    matured = found.matured
    if value > found.upper_tenth:
        code, says = (
            "fit-crazing-side",
            "On the crazing side: it is calculated to expand more than nine in ten fired glazes that matured.",
        )
    elif value < found.lower_tenth:
        code, says = (
            "fit-shivering-side",
            "On the shivering side: it is calculated to expand less than nine in ten fired glazes that matured.",
        )
    else:
        code, says = (
            "fit-among",
            "Its calculated expansion lies among those of fired glazes that matured; your clay decides.",
        )
    crazed = found.crazed
    because = (
        f"Calculated {value:.1f} e-6 per K, more than {matured.below(value)} of the {matured.n} that matured ({matured.sources} sources), on many clays. "
        f"The set holds {crazed.n} crazed ({crazed.values[0]:.1f} to {crazed.values[-1]:.1f}) and {found.shivered.n or 'no'} shivered ones."
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
    return _reading(
        facts, code, says, because, evidence, f"{_OWN} {_TEST}", f"{fired.source}; expansion: {estimate.source}"
    )
