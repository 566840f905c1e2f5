"""What else a new batch changes: estimates and cautions, by the functions that own them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from glazecalc.caution.caution import Caution
from glazecalc.check_report import CheckReport, check
from glazecalc.convert.batch import Batch
from glazecalc.estimate.spread import SampledRange, Sampling, spread_of_batch
from glazecalc.library import MaterialLibrary
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import tolerance_of
from glazecalc.reformulate.answers import Answer, Effect, Outcome

__all__ = ("cautions_between", "effects_between", "with_effects")


def with_effects(outcome: Outcome, before: Batch | None, materials: MaterialLibrary, *, all_in: bool = True) -> Outcome:
    """Return `outcome` with the estimates and cautions of each answer beside those of the batch `before`.

    `all_in` says that the unity formulas are those of base and additions together, as the spread of `before` is.
    """
    was = check(before.recipe, materials) if before is not None else None
    open_ends = (
        spread_of_batch(before, Sampling(samples=int(choice("spread_samples"))), convention=outcome.convention).unity
        if before is not None and all_in
        else {}
    )
    return replace(
        outcome, answers=tuple(_beside_spread(_with(answer, was, materials), open_ends) for answer in outcome.answers)
    )


def _beside_spread(answer: Answer, ends: Mapping[str, SampledRange]) -> Answer:
    """Say whether the answer lies within what the old batch's own analyses leave open (90 % of samples)."""
    if not ends:
        return answer
    beyond = []
    for oxide in dict.fromkeys([*ends, *answer.unity]):
        value, end = answer.unity[oxide], ends.get(oxide)
        low, high = (end.low, end.high) if end is not None else (0.0, 0.0)
        slack = choice("trace_tolerances") * tolerance_of(oxide)
        if not low - slack <= value <= high + slack:
            beyond.append(oxide)
    return replace(answer, within_spread=not beyond, beyond_spread=tuple(beyond))


def _with(answer: Answer, was: CheckReport | None, materials: MaterialLibrary) -> Answer:
    now = check(answer.recipe, materials)
    new, gone = cautions_between(was, now)
    return replace(answer, effects=effects_between(was, now), new_cautions=new, vanished_cautions=gone)


def effects_between(was: CheckReport | None, now: CheckReport) -> tuple[Effect, ...]:
    """Return each estimate of `now` beside the same one of `was`."""
    old = {(e.quantity, e.model, e.temperature_range_c): e.value for e in was.estimates} if was is not None else {}
    return tuple(
        Effect(
            quantity=e.quantity,
            model=e.model,
            unit=e.unit,
            before=old.get((e.quantity, e.model, e.temperature_range_c)),
            after=e.value,
            in_window=e.in_window,
        )
        for e in now.estimates
    )


def cautions_between(was: CheckReport | None, now: CheckReport) -> tuple[tuple[Caution, ...], tuple[Caution, ...]]:
    """Return the cautions whose code is new in `now`, and those of `was` whose code is gone."""
    return _cautions(was, now), _cautions(now, was) if was is not None else ()


def _cautions(less: CheckReport | None, more: CheckReport) -> tuple[Caution, ...]:
    known = {caution.code for caution in less.cautions} if less is not None else set()
    return tuple(caution for caution in more.cautions if caution.code not in known)
