"""The page of an outcome: answers with old and new parts, deviations, what is not met and what would help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from glazecalc.convert.batch import BatchLine
from glazecalc.oxides import INDEX
from glazecalc.reformulate.answers import Answer, Outcome
from glazecalc.show.effects import caution_changes, effect_lines, effect_notes
from glazecalc.show.table import table
from glazecalc.show.text import WIDTH, wrapped

__all__ = ("page",)

_KINDS = {"one-for-one": "one for one", "reworked": "reworked"}
_IN_SHORT = (
    "stand-in",
    "little",
    "new",
    "more-than-stock",
    "loss-changed",
)  # how the codes begin of notices on the short page too


def page(outcome: Outcome, *, full: bool = False) -> str:
    """Return the page: every answer whole if `full`, else the first whole and the others by their lines."""
    count = len(outcome.answers)
    lines = [*wrapped(outcome.name, indent=0), "=" * min(len(outcome.name), WIDTH)]
    lines += wrapped(f"{outcome.convention.description}.", indent=0)
    if outcome.wanted:
        lines += wrapped(f"Wanted   {_wanted(outcome.wanted)}", indent=0, hang=9)
    if not count:
        lines += ["", "No batch of these materials answers the question."]
    lines += wrapped(_simpler(outcome.answers), indent=0)
    for number, answer in enumerate(outcome.answers, start=1):
        kind = f", {_KINDS[answer.kind]}" if outcome.before else ""
        lines += ["", *wrapped(f"Answer {number} of {count}{kind}: {_in_words(answer, outcome)}", indent=0, hang=2)]
        lines += _answer(answer, outcome, full or number == 1)
    if shared := _shared(outcome.answers):
        lines += ["", *(line for text in shared for line in wrapped(f"* in every answer: {text}", hang=4))]
    if outcome.unmet:
        lines += ["", "Not met by the best answer"]
        for entry in outcome.unmet:
            word = "short" if entry.shortfall > 0 else "over"
            lines += wrapped(f"{entry.oxide:9s} {_moles(abs(entry.shortfall))} {word}: {entry.why}", hang=12)
    if outcome.more_lines is not None:
        more = outcome.more_lines
        what = f" ({', '.join(outcome.names.get(m, m) for m in more.materials)})" if more.materials else ""
        change = f"{more.score_before:.1f} -> {more.score_after:.1f} tolerances"
        lines += [
            "",
            *wrapped(
                f"At most {outcome.lines_cap} base lines were allowed. One more{what}: deviation {change}.", indent=0
            ),
        ]
    if outcome.helps:
        lines += ["", "One more material that would help most"]
        change = "deviation {0.score_before:.1f} -> {0.score_after:.1f} tolerances"
        lines += table([[entry.name, change.format(entry)] for entry in outcome.helps], left=(0, 1))
    if effects := [effect for answer in outcome.answers for effect in answer.effects]:
        lines += ["", *effect_notes(effects)]
    last = "The same chemistry does not mean the same behaviour: mix 100 g and fire a tile beside the old one before you change the bucket."
    return "\n".join([*lines, "", *wrapped(last, indent=0)])


def _simpler(answers: Sequence[Answer]) -> str:
    """Return what the simpler swap costs beside the best reworked batch, in a sentence."""
    swaps, reworked = ([a.score for a in answers if a.kind == kind] for kind in _KINDS)
    if not swaps or not reworked:
        return ""
    more = min(swaps) - min(reworked)
    if more < 0.05:
        return "One new material does as well as a batch reworked."
    return f"One new material alone comes {more:.1f} tolerances less near than the best batch reworked."


def _in_words(answer: Answer, outcome: Outcome) -> str:
    """Return what moved in the formula, then how far it is off in all and whether a closer batch may exist."""
    moved = sorted(
        ((o, v) for o, v in answer.deviation.items() if o in INDEX and abs(v) >= 0.005), key=lambda p: -abs(p[1])
    )
    words = ", ".join(f"{oxide} {'up' if value > 0 else 'down'} by {_moles(abs(value))}" for oxide, value in moved)
    words = f"{words}; all else kept" if words else "the formula is kept"
    now = _turned(outcome.target, answer.unity)
    first = next(other for other in outcome.answers if other.kind == answer.kind)
    if answer.score < 0.05 or (answer.proven and answer is not first):
        bound = ""  # nothing closer is worth a word, or it was told of the answer before
    elif answer.proven:
        bound = "; proven the best of its kind" if outcome.before else "; proven the best"
    elif answer.stopped:
        bound = f"; a batch closer by up to {answer.gap:.2g} may exist: the time was up"
    else:
        bound = f"; no batch is closer by more than {answer.gap:.2g}"
    met = "" if answer.within_tolerance else ", not every oxide within its own"
    return f"{words}{now}. Total deviation {answer.score:.1f} tolerances{met}{bound}."


def _turned(was: Mapping[str, float], now: Mapping[str, float]) -> str:
    """Return what the glaze has become where its leading alkali changed or its boron went."""
    alkali = {"Na2O": "a soda glaze", "K2O": "a potash glaze", "Li2O": "a lithium glaze"}
    before, after = (max(alkali, key=lambda o: unity.get(o, 0.0)) for unity in (was, now))
    said = [alkali[after]] if now.get(after, 0.0) > 0 and was.get(before, 0.0) > 0 and before != after else []
    if was.get("B2O3", 0.0) >= 0.05 > 0.005 > now.get("B2O3", 0.0):
        said.append("a glaze without boron")
    return f": {' and '.join(said)} now" if said else ""


def _shared(answers: Sequence[Answer]) -> list[str]:
    """Return what is said of each of several answers in the same words: it stands once, below them."""
    if len(answers) < 2:
        return []
    said = [{notice.message for notice in answer.notices} for answer in answers]
    return [n.message for n in answers[0].notices if all(n.message in one for one in said)]


def _answer(answer: Answer, outcome: Outcome, whole: bool) -> list[str]:
    before = outcome.before
    lines = _parts(answer, before)
    if len(answer.alternatives) > 1:
        names = ", ".join(outcome.names.get(material, material) for material in answer.alternatives)
        lines += wrapped(f"Any of these serves alike, in slightly other parts: {names}.", hang=4)
    lines += wrapped(f"Reached  {_formula(answer.unity)}", hang=11)
    seen = {oxide: value for oxide, value in answer.deviation.items() if abs(value) >= 0.0005}
    off = "  ".join(f"{oxide} {_moles(value, sign=True)}" for oxide, value in seen.items())
    lines += wrapped(f"Off by   {off or 'less than 0.0005 in every oxide'}", hang=11)
    if answer.within_spread is not None:
        text = "yes" if answer.within_spread else f"no ({', '.join(answer.beyond_spread)})"
        lines += wrapped(f"Inside the spread of the old batch's own analyses: {text}", hang=11)
    if answer.kept:
        held = [(k, "held" if abs(k.deviation) < 1e-6 else _moles(k.deviation, sign=True)) for k in answer.kept]
        lines += wrapped("Held     " + "  ".join(f"{k.label} {k.reached:.2f} ({off})" for k, off in held), hang=11)
    lines += effect_lines(answer.effects, all_of_them=whole)
    lines += caution_changes(answer, compared=bool(before))
    if answer.cost is not None:
        was = f" (before: {answer.cost_before:.2f})" if answer.cost_before is not None else ""
        lines.append(f"  Cost per kg dry {answer.cost:.2f}{was}")
    shared = _shared(outcome.answers)
    for notice in answer.notices:
        if notice.message not in shared and (whole or notice.code.startswith(_IN_SHORT)):
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
        totals += f", additions {answer.additions_total:.{digits}f}, total {answer.total:.{digits}f}"
    totals += f"; loss on ignition {answer.loss_percent:.1f} % of the base; raw clay {answer.raw_clay_percent:.0f} %"
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
