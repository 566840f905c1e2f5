"""The page of a search for batches: the question, the batches side by side, then each with what it keeps and what not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazecalc.reformulate.answers import Answer, Outcome
from glazecalc.show import reformulate as text_page
from glazecalc.show.effects import effect_note, effect_rows, moved_parts
from glazecalc.show.html.changes import cautions_of, leans, sources_of
from glazecalc.target import check_label

__all__ = ("page",)

_TO = "\u2192"
_TOLERANCES = "this program's own choice, from the bands in which producers sell; each can be given in the call"


def page(outcome: Outcome, *, full: bool = False) -> tuple[str, dict[str, Any]]:  # noqa: ARG001 - here every answer stands whole
    """Return the template and its parts."""
    effects = [effect for answer in outcome.answers for effect in answer.effects]
    return "reformulate.html", {
        "title": outcome.name,
        "convention": outcome.convention.description,
        "wanted": text_page.wanted(outcome.wanted),
        "nothing": "" if outcome.answers else text_page.NOTHING,
        "simpler": text_page.simpler(outcome.answers),
        "beside": _beside(outcome) if len(outcome.answers) > 1 else None,
        "compared": bool(outcome.before),
        "answers": [_answer(answer, outcome) for answer in outcome.answers],
        "shared": text_page.shared(outcome.answers),
        "unmet": text_page.unmet_rows(outcome),
        "more_lines": text_page.more_lines_words(outcome).replace("->", _TO),
        "helps": [[name, change.replace("->", _TO)] for name, change in text_page.help_rows(outcome)],
        "effect_note": effect_note(effects),
        "last": text_page.LAST,
        "sources": [
            *sources_of(outcome.materials, effects),
            ("tolerances", _TOLERANCES),
        ],
    }


def _kind(answer: Answer, outcome: Outcome) -> str:
    return text_page.KINDS[answer.kind] if outcome.before else ""


def _beside(outcome: Outcome) -> dict[str, Any]:
    """Return all batches in one table: a line a material, a column an answer, and below what they come to."""
    columns = [{(line.material, line.addition): line.parts for line in answer.lines} for answer in outcome.answers]
    if outcome.before:
        columns.insert(0, {(line.material.id, line.addition): line.parts for line in outcome.before})
    names = {(line.material.id, line.addition): line.material.name for line in outcome.before}
    names |= {(line.material, line.addition): line.name for answer in outcome.answers for line in answer.lines}
    listed = sorted(names, key=lambda key: key[1])  # the base before its additions
    rows = [
        [f"{'+ ' if key[1] else ''}{names[key]}", *(f"{c[key]:.1f}" if c.get(key) else "-" for c in columns)]
        for key in listed
    ]
    empty = [""] if outcome.before else []
    sums = [["total deviation, tolerances", *empty, *(f"{answer.score:.1f}" for answer in outcome.answers)]]
    if all(answer.cost is not None for answer in outcome.answers):
        was = outcome.answers[0].cost_before
        before = [f"{was:.2f}" if was is not None else "?"] if outcome.before else []
        sums.append(["cost per kg dry", *before, *(f"{answer.cost:.2f}" for answer in outcome.answers)])
    return {"before": bool(outcome.before), "count": len(outcome.answers), "rows": rows, "sums": sums}


def _answer(answer: Answer, outcome: Outcome) -> dict[str, Any]:
    before = bool(outcome.before)
    return {
        "kind": _kind(answer, outcome),
        "says": text_page.in_words(answer, outcome),
        "heads": ["material", *(["before", "now", "change", ""] if before else ["parts"])],
        "lines": _lines(answer, outcome),
        "totals": text_page.totals_words(answer),
        "below": [text for text in (text_page.alike_words(answer, outcome), text_page.cost_words(answer)) if text],
        "formula": _formula(answer, outcome),
        "spread": text_page.spread_words(answer),
        "held": text_page.held(answer),
        "effects": effect_rows(answer.effects),
        "figures": [[name, now] for name, _, now, *_ in effect_rows(answer.effects)],
        "cautions": cautions_of(answer, compared=before),
        "notices": [message for _, message in text_page.own_notices(answer, outcome)],
    }


def _lines(answer: Answer, outcome: Outcome) -> list[list[str]]:
    """Return the lines of a batch: the parts before and now, the change, whether it is new or gone; without a batch before, the parts."""
    rows = text_page.part_rows(answer, outcome.before)
    if not outcome.before:
        return [row[:-1] for row in rows]
    moves = [line.parts - line.before for line in answer.lines]
    used = {line.material for line in answer.lines}
    moves += [-line.parts for line in outcome.before if line.material.id not in used]
    return [[*row[:-1], moved_parts(move), row[-1].strip()] for row, move in zip(rows, moves, strict=True)]


def _formula(answer: Answer, outcome: Outcome) -> list[tuple[str, str, str, str, Any]]:
    """Return what was wanted, what is reached and by how much it is off: first what was named, then what came beside."""
    named = dict(text_page.wanted(outcome.wanted))
    kept = {oxide: f"{moles:.2f}" for oxide, moles in outcome.target.items() if moles >= 0.005}
    beside = [oxide for oxide, value in answer.unity.items() if value >= 0.005 and oxide not in named]
    also = [label for label, off in answer.deviation.items() if abs(off) >= 0.0005 and label not in (*named, *beside)]
    labels = [*named, *beside, *also]
    off = [answer.deviation.get(label, 0.0) for label in labels]
    return [
        (
            label,
            named.get(label) or kept.get(label, ""),
            _reached(label, answer.unity),
            text_page.moles(moles, sign=True) if abs(moles) >= 0.0005 else "",
            bar,
        )
        for label, moles, bar in zip(labels, off, leans(off), strict=True)
    ]


def _reached(label: str, unity: Mapping[str, float]) -> str:
    """Return what a batch reaches of an oxide, a sum or a ratio; a dash where there is nothing to divide by."""
    above, _, below = label.partition(":")
    first, second = (sum(unity.get(o, 0.0) for o in check_label(part)) if part else 1.0 for part in (above, below))
    return f"{first / second:.2f}" if second else "-"
