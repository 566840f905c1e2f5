"""The page of an outcome: answers with old and new parts, deviations, what is not met and what would help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from glazecalc.convert.batch import BatchLine
from glazecalc.reformulate.answers import Answer, Outcome
from glazecalc.show.effects import caution_changes, effect_lines, effect_notes
from glazecalc.show.table import table
from glazecalc.show.text import WIDTH, wrapped

__all__ = ("page",)

_IN_SHORT = ("stand-in", "little", "new", "more-than-stock")  # how the codes begin of notices on the short page too


def page(outcome: Outcome, *, full: bool = False) -> str:
    """Return the page: every answer whole if `full`, else the first whole and the others by their lines."""
    count = len(outcome.answers)
    lines = [*wrapped(outcome.name, indent=0), "=" * min(len(outcome.name), WIDTH)]
    lines += wrapped(f"{outcome.convention.description}.", indent=0)
    if outcome.wanted:
        lines += wrapped(f"Wanted   {_wanted(outcome.wanted)}", indent=0, hang=9)
    if not count:
        lines += ["", "No batch of these materials answers the question."]
    for number, answer in enumerate(outcome.answers, start=1):
        met = "every oxide within its tolerance" if answer.within_tolerance else "not every oxide within its tolerance"
        lines += ["", f"Answer {number} of {count}: {met}; deviation {answer.score:.1f} tolerances in all."]
        lines += _answer(answer, outcome.before, full or number == 1)
    if outcome.unmet:
        lines += ["", "Not met by the best answer"]
        for entry in outcome.unmet:
            word = "short" if entry.shortfall > 0 else "over"
            lines += wrapped(f"{entry.oxide:9s} {_moles(abs(entry.shortfall))} {word}: {entry.why}", hang=12)
    if outcome.helps:
        lines += ["", "One more material that would help most"]
        change = "deviation {0.score_before:.1f} -> {0.score_after:.1f} tolerances"
        lines += table([[entry.name, change.format(entry)] for entry in outcome.helps], left=(0, 1))
    if effects := [effect for answer in outcome.answers for effect in answer.effects]:
        lines += ["", *effect_notes(effects)]
    last = "Chemistry kept is not behaviour kept: mix 100 g and fire a tile beside the old one before you change the bucket."
    return "\n".join([*lines, "", *wrapped(last, indent=0)])


def _answer(answer: Answer, before: Sequence[BatchLine], whole: bool) -> list[str]:
    lines = _parts(answer, before)
    lines += wrapped(f"Reached  {_formula(answer.unity)}", hang=11)
    seen = {oxide: value for oxide, value in answer.deviation.items() if abs(value) >= 0.0005}
    off = "  ".join(f"{oxide} {_moles(value, sign=True)}" for oxide, value in seen.items())
    lines += wrapped(f"Off by   {off or 'nothing that shows (below 0.0005 everywhere)'}", hang=11)
    if answer.within_spread is not None:
        text = "yes" if answer.within_spread else "no: " + ", ".join(answer.beyond_spread)
        lines += wrapped(f"Within what the old batch's own analyses leave open: {text}", hang=11)
    if answer.kept:
        held = [(k, "held" if abs(k.deviation) < 1e-6 else _moles(k.deviation, sign=True)) for k in answer.kept]
        lines += wrapped("Held     " + "  ".join(f"{k.label} {k.reached:.2f} ({off})" for k, off in held), hang=11)
    lines += effect_lines(answer.effects, all_of_them=whole)
    lines += caution_changes(answer, compared=bool(before))
    if answer.cost is not None:
        was = f" (before: {answer.cost_before:.2f})" if answer.cost_before is not None else ""
        lines.append(f"  Cost of one kg dry {answer.cost:.2f}{was}")
    if answer.gap > 0.05 or answer.stopped:
        why = "the time limit ended the search" if answer.stopped else "the search ends there on a large shelf"
        lines.append(f"  A batch better by up to {answer.gap:.1f} tolerances is not excluded: {why}.")
    for notice in answer.notices:
        if whole or notice.code.startswith(_IN_SHORT):
            lines += wrapped(f"* {notice.message}", hang=4)
    return lines


def _parts(answer: Answer, before: Sequence[BatchLine]) -> list[str]:
    digits = 1 if answer.total >= 50 else 2
    rows = [["".ljust(40), *(["before", "now"] if before else [])]] if before else []
    for line in answer.lines:
        was = [f"{line.before:.{digits}f}" if line.before else "-"] if before else []
        name = f"{'+ ' if line.addition else ''}{line.name}".ljust(40)
        rows.append([name, *was, f"{line.parts:.{digits}f}", " new" if before and not line.before else ""])
    used = {line.material for line in answer.lines}
    for gone in before:
        if gone.material.id not in used:
            name = f"{'+ ' if gone.addition else ''}{gone.material.name}"
            rows.append([name, f"{gone.parts:.{digits}f}", "-", " gone"])
    totals = f"base {answer.base_total:.{digits}f}"
    if answer.additions_total:
        totals += f", additions {answer.additions_total:.{digits}f}, all-in {answer.total:.{digits}f}"
    totals += f"; loss {answer.loss_percent:.1f} % of the base; raw clay {answer.raw_clay_percent:.0f} %"
    return [*table(rows, left=(0, len(rows[0]) if before else 2), gap=4), f"  {totals}"]


def _formula(unity: Mapping[str, float]) -> str:
    return "  ".join(f"{oxide} {value:.2f}" for oxide, value in unity.items() if value >= 0.005)


def _wanted(ends: Mapping[str, tuple[float, float]]) -> str:
    shown = ((label, low, high) for label, (low, high) in ends.items() if high >= 0.005)
    return "  ".join(
        f"{label} {low:.2f}" if low == high else f"{label} {low:g} to {high:g}" for label, low, high in shown
    )


def _moles(value: float, *, sign: bool = False) -> str:
    digits = 2 if abs(value) >= 0.0095 else 3
    return f"{value:+.{digits}f}" if sign else f"{value:.{digits}f}"
