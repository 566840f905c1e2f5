"""The page of an outcome: answers with old and new parts, deviations, what is not met and what would help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from glazecalc.convert.batch import BatchLine
from glazecalc.oxides import INDEX
from glazecalc.reformulate.answers import Answer, Outcome
from glazecalc.show.effects import caution_changes, effect_lines, effect_notes
from glazecalc.show.table import table
from glazecalc.show.text import WIDTH, wrapped

__all__ = (
    "KINDS",
    "LAST",
    "NOTHING",
    "alike_words",
    "cost_words",
    "help_rows",
    "held",
    "in_words",
    "moles",
    "more_lines_words",
    "own_notices",
    "page",
    "part_rows",
    "shared",
    "simpler",
    "spread_words",
    "totals_words",
    "unmet_rows",
    "wanted",
)

KINDS = {"one-for-one": "one for one", "reworked": "reworked"}
NOTHING = "No batch of these materials answers the question."
LAST = "The same chemistry does not mean the same behaviour: mix 100 g and fire a tile beside the old one before you change the bucket."
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
        lines += wrapped(f"Wanted   {'  '.join(map(' '.join, wanted(outcome.wanted)))}", indent=0, hang=9)
    if not count:
        lines += ["", NOTHING]
    lines += wrapped(simpler(outcome.answers), indent=0)
    for number, answer in enumerate(outcome.answers, start=1):
        kind = f", {KINDS[answer.kind]}" if outcome.before else ""
        lines += ["", *wrapped(f"Answer {number} of {count}{kind}: {in_words(answer, outcome)}", indent=0, hang=2)]
        lines += _answer(answer, outcome, full or number == 1)
    if in_every := shared(outcome.answers):
        lines += ["", *(line for text in in_every for line in wrapped(f"* in every answer: {text}", hang=4))]
    if outcome.unmet:
        lines += ["", "Not met by the best answer"]
        for oxide, off, why in unmet_rows(outcome):
            lines += wrapped(f"{oxide:9s} {off}: {why}", hang=12)
    if outcome.more_lines is not None:
        lines += ["", *wrapped(more_lines_words(outcome), indent=0)]
    if outcome.helps:
        lines += ["", "One more material that would help most"]
        lines += table(help_rows(outcome), left=(0, 1))
    if effects := [effect for answer in outcome.answers for effect in answer.effects]:
        lines += ["", *effect_notes(effects)]
    return "\n".join([*lines, "", *wrapped(LAST, indent=0)])


def unmet_rows(outcome: Outcome) -> list[tuple[str, str, str]]:
    """Return what the best answer does not meet: the oxide, how much short or over, and why."""
    return [
        (one.oxide, f"{moles(abs(one.shortfall))} {'short' if one.shortfall > 0 else 'over'}", one.why)
        for one in outcome.unmet
    ]


def more_lines_words(outcome: Outcome) -> str:
    """Return what one line more would bring; empty where nothing is known of it."""
    more = outcome.more_lines
    if more is None:
        return ""
    what = f" ({', '.join(outcome.names.get(m, m) for m in more.materials)})" if more.materials else ""
    change = f"{more.score_before:.1f} -> {more.score_after:.1f} tolerances"
    return f"At most {outcome.lines_cap} base lines were allowed. One more{what}: deviation {change}."


def help_rows(outcome: Outcome) -> list[list[str]]:
    """Return the materials that would help most, each with what the deviation would come to."""
    change = "deviation {0.score_before:.1f} -> {0.score_after:.1f} tolerances"
    return [[entry.name, change.format(entry)] for entry in outcome.helps]


def simpler(answers: Sequence[Answer]) -> str:
    """Return what the simpler swap costs beside the best reworked batch, in a sentence."""
    swaps, reworked = ([a.score for a in answers if a.kind == kind] for kind in KINDS)
    if not swaps or not reworked:
        return ""
    more = min(swaps) - min(reworked)
    if more < 0.05:
        return "One new material does as well as a batch reworked."
    return f"One new material alone comes {more:.1f} tolerances less near than the best batch reworked."


def in_words(answer: Answer, outcome: Outcome) -> str:
    """Return what moved in the formula, then how far it is off in all and whether a closer batch may exist."""
    moved = sorted(
        ((o, v) for o, v in answer.deviation.items() if o in INDEX and abs(v) >= 0.005), key=lambda p: -abs(p[1])
    )
    words = ", ".join(f"{oxide} {'up' if value > 0 else 'down'} by {moles(abs(value))}" for oxide, value in moved)
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


def shared(answers: Sequence[Answer]) -> list[str]:
    """Return what is said of each of several answers in the same words: it stands once, below them."""
    if len(answers) < 2:
        return []
    said = [{notice.message for notice in answer.notices} for answer in answers]
    return [n.message for n in answers[0].notices if all(n.message in one for one in said)]


def _answer(answer: Answer, outcome: Outcome, whole: bool) -> list[str]:
    before = outcome.before
    lines = _parts(answer, before)
    if alike := alike_words(answer, outcome):
        lines += wrapped(alike, hang=4)
    lines += wrapped(f"Reached  {_formula(answer.unity)}", hang=11)
    seen = {oxide: value for oxide, value in answer.deviation.items() if abs(value) >= 0.0005}
    off = "  ".join(f"{oxide} {moles(value, sign=True)}" for oxide, value in seen.items())
    lines += wrapped(f"Off by   {off or 'less than 0.0005 in every oxide'}", hang=11)
    if said := spread_words(answer):
        lines += wrapped(said, hang=11)
    if answer.kept:
        lines += wrapped("Held     " + "  ".join(held(answer)), hang=11)
    lines += effect_lines(answer.effects, all_of_them=whole)
    lines += caution_changes(answer, compared=bool(before))
    if cost := cost_words(answer):
        lines.append(f"  {cost}")
    for code, message in own_notices(answer, outcome):
        if whole or code.startswith(_IN_SHORT):
            lines += wrapped(f"* {message}", hang=4)
    return lines


def alike_words(answer: Answer, outcome: Outcome) -> str:
    """Return which materials would do as well; empty where there is no choice."""
    if len(answer.alternatives) < 2:
        return ""
    names = ", ".join(outcome.names.get(material, material) for material in answer.alternatives)
    return f"Any of these serves alike, in slightly other parts: {names}."


def spread_words(answer: Answer) -> str:
    """Return whether the new batch lies within what the old one's analyses leave open; empty where there is no old one."""
    if answer.within_spread is None:
        return ""
    text = "yes" if answer.within_spread else f"no ({', '.join(answer.beyond_spread)})"
    return f"Inside the spread of the old batch's own analyses: {text}"


def held(answer: Answer) -> list[str]:
    """Return what was to be held, each with what is reached and by how much it misses."""
    off = [(one, "held" if abs(one.deviation) < 1e-6 else moles(one.deviation, sign=True)) for one in answer.kept]
    return [f"{one.label} {one.reached:.2f} ({said})" for one, said in off]


def cost_words(answer: Answer) -> str:
    """Return what a kilogram costs, and did before; empty where a price is missing."""
    if answer.cost is None:
        return ""
    was = f" (before: {answer.cost_before:.2f})" if answer.cost_before is not None else ""
    return f"Cost per kg dry {answer.cost:.2f}{was}"


def own_notices(answer: Answer, outcome: Outcome) -> list[tuple[str, str]]:
    """Return what is said of this answer alone: codes and messages."""
    in_every = shared(outcome.answers)
    return [(notice.code, notice.message) for notice in answer.notices if notice.message not in in_every]


def _parts(answer: Answer, before: Sequence[BatchLine]) -> list[str]:
    rows = [[row[0].ljust(40), *row[1:]] for row in part_rows(answer, before)]
    rows = [["".ljust(40), "before", "now"], *rows] if before else rows
    return [*table(rows, left=(0, len(rows[0]) if before else 2), gap=4), f"  {totals_words(answer)}"]


def part_rows(answer: Answer, before: Sequence[BatchLine]) -> list[list[str]]:
    """Return the lines: name, parts before and now, `` new`` or `` gone``; of a batch that had none before name and parts."""
    digits = 1 if answer.total >= 50 else 2
    rows = []
    for line in answer.lines:
        was = [f"{line.before:.{digits}f}" if line.before else "-"] if before else []
        name = f"{'+ ' if line.addition else ''}{line.name}"
        rows.append([name, *was, f"{line.parts:.{digits}f}", " new" if before and not line.before else ""])
    used = {line.material for line in answer.lines}
    for gone in before:
        if gone.material.id not in used:
            name = f"{'+ ' if gone.addition else ''}{gone.material.name}"
            rows.append([name, f"{gone.parts:.{digits}f}", "-", " gone"])
    return rows


def totals_words(answer: Answer) -> str:
    """Return what the lines add up to, the loss on ignition and the raw clay."""
    digits = 1 if answer.total >= 50 else 2
    totals = f"base {answer.base_total:.{digits}f}"
    if answer.additions_total:
        totals += f", additions {answer.additions_total:.{digits}f}, total {answer.total:.{digits}f}"
    return (
        f"{totals}; loss on ignition {answer.loss_percent:.1f} % of the base; raw clay {answer.raw_clay_percent:.0f} %"
    )


def _formula(unity: Mapping[str, float]) -> str:
    return "  ".join(f"{oxide} {value:.2f}" for oxide, value in unity.items() if value >= 0.005)


def wanted(ends: Mapping[str, tuple[float, float]]) -> list[tuple[str, str]]:
    """Return what was wanted: oxide, sum or ratio, and its number or both ends."""
    shown = ((label, low, high) for label, (low, high) in ends.items() if high >= 0.005)
    return [(label, f"{low:.2f}" if low == high else f"{low:g} to {high:g}") for label, low, high in shown]


def moles(value: float, *, sign: bool = False) -> str:
    """Return moles per mole of flux with as many digits as they deserve."""
    digits = 2 if abs(value) >= 0.0095 else 3
    return f"{value:+.{digits}f}" if sign else f"{value:.{digits}f}"
