"""The page of an outcome: answers with old and new parts, deviations, what is not met and what would help."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping

from glazecalc.reformulate.answers import Answer, Effect, Line, Outcome
from glazecalc.show.text import decimals

__all__ = ("effect_line", "first_sentence", "outcome_page")

_WIDTH = 100


def outcome_page(outcome: Outcome, title: str, before: Mapping[str, tuple[str, float]], *, full: bool = False) -> str:
    """Return the page as text of 100 columns.

    Parameters
    ----------
    outcome : Outcome
    title : str
    before : Mapping
        Material id -> (name, parts) of the recipe as it was.
    full : bool
        Show every answer whole; else the first whole and the others by their lines.
    """
    count = len(outcome.answers)
    lines = [title, "=" * min(len(title), _WIDTH)]
    lines += _wrapped(outcome.convention.describe() + ".")
    if outcome.wanted:
        lines += _wrapped("Wanted   " + _wanted(outcome.wanted), "         ")
    if not count:
        lines += ["", "No batch of these materials answers the question."]
    for number, answer in enumerate(outcome.answers, start=1):
        lines += ["", *_answer(answer, number, count, before, full or number == 1)]
    if outcome.unmet:
        lines += ["", "Not met by the best answer"]
        for entry in outcome.unmet:
            word = "short" if entry.shortfall > 0 else "over"
            lines += _wrapped(f"  {entry.oxide:9s} {_moles(abs(entry.shortfall))} {word}: {entry.why}", " " * 12)
    if outcome.helps:
        lines += ["", "One more material that would help most"]
        lines += [
            f"  {entry.name[:60]:60s} deviation {entry.score_before:.1f} -> {entry.score_after:.1f} tolerances"
            for entry in outcome.helps
        ]
    if any(not effect.in_window for answer in outcome.answers for effect in answer.effects):
        lines += ["", "? outside the range that its model was tested on."]
    lines += [
        "",
        *_wrapped(
            "Chemistry kept is not behaviour kept: mix 100 g and fire a tile beside the old one before you change the bucket."
        ),
    ]
    return "\n".join(lines)


def _answer(answer: Answer, number: int, count: int, before: Mapping[str, tuple[str, float]], whole: bool) -> list[str]:
    met = "every oxide within its tolerance" if answer.within_tolerance else "not every oxide within its tolerance"
    lines = [f"Answer {number} of {count}: {met}; deviation {answer.score:.1f} tolerances in all."]
    digits = 1 if answer.total >= 50 else 2
    if before:
        lines.append(f"  {'':52s}{'before':>9s}{'now':>9s}")
    lines += [_line(line, bool(before), digits) for line in answer.lines]
    used = {line.material for line in answer.lines}
    for material, (name, parts) in before.items():
        if material not in used:
            lines.append(f"  {name[:50]:52s}{parts:9.{digits}f}{'-':>9s}   gone")
    totals = f"base {answer.base_total:.{digits}f}"
    if answer.additions_total:
        totals += f", additions {answer.additions_total:.{digits}f}, all-in {answer.total:.{digits}f}"
    lines.append(f"  {totals}; loss {answer.loss_percent:.1f} % of the base; raw clay {answer.raw_clay_percent:.0f} %")
    off = {oxide: value for oxide, value in answer.deviation.items() if abs(value) >= 0.0005}
    lines += _wrapped("  Reached  " + _formula(answer.unity), " " * 11)
    text = "  ".join(f"{oxide} {_moles(value, sign=True)}" for oxide, value in off.items())
    lines += _wrapped("  Off by   " + (text or "nothing that shows (below 0.0005 everywhere)"), " " * 11)
    if answer.within_spread is not None:
        text = "yes" if answer.within_spread else "no: " + ", ".join(answer.beyond_spread)
        lines += _wrapped(f"  Within what the old batch's own analyses leave open: {text}", " " * 11)
    if answer.kept:
        text = "  ".join(
            f"{k.label} {k.reached:.2f} ({'held' if abs(k.deviation) < 1e-6 else _moles(k.deviation, sign=True)})"
            for k in answer.kept
        )
        lines += _wrapped("  Held     " + text, " " * 11)
    if answer.effects:
        lines += [
            effect_line(e) for e in answer.effects if whole or e.quantity in ("expansion", "softening temperature")
        ]
    word = "New caution" if before else "Caution"
    for text in answer.new_cautions:
        lines += _wrapped(f"  {word}: {first_sentence(text)}", "    ")
    for text in answer.vanished_cautions:
        lines += _wrapped(f"  Caution gone: {first_sentence(text)}", "    ")
    if answer.cost is not None:
        was = f" (before: {answer.cost_before:.2f})" if answer.cost_before is not None else ""
        lines.append(f"  Cost of one kg dry {answer.cost:.2f}{was}")
    if answer.gap > 0.05 or answer.stopped:
        why = "the time limit ended the search" if answer.stopped else "the search ends there on a large shelf"
        lines.append(f"  A batch better by up to {answer.gap:.1f} tolerances is not excluded: {why}.")
    shown = answer.notices if whole else [n for n in answer.notices if n.code.startswith(("stand-in", "little", "new"))]
    for notice in shown:
        lines += _wrapped(f"  * {notice.message}", "    ")
    return lines


def effect_line(effect: Effect) -> str:
    """Return one estimate before and after, in one line."""
    digits = decimals(effect.unit)
    name = f"{effect.quantity.capitalize()}, {effect.model}"
    outside = "" if effect.in_window else " ?"
    if effect.before is None:
        return f"  {name:34s}{effect.after:8.{digits}f}{outside} {effect.unit}"
    moved = f"{effect.after - effect.before:+.{digits + (1 if digits else 0)}f}"
    change = f"({moved if float(moved) else '0'})"
    return f"  {name:34s}{effect.before:8.{digits}f} ->{effect.after:6.{digits}f} {change:8s} {effect.unit}{outside}"


def _line(line: Line, compared: bool, digits: int) -> str:
    name = f"{'+ ' if line.addition else ''}{line.name[:48]}"
    if not compared:
        return f"  {name:52s}{line.parts:9.{digits}f}"
    was = f"{line.before:9.{digits}f}" if line.before else f"{'-':>9s}"
    mark = "   new" if not line.before else ""
    return f"  {name:52s}{was}{line.parts:9.{digits}f}{mark}"


def _formula(values: Mapping[str, float]) -> str:
    return "  ".join(f"{oxide} {value:.2f}" for oxide, value in values.items() if value >= 0.005)


def _wanted(ends: Mapping[str, tuple[float, float]]) -> str:
    return "  ".join(
        f"{label} {low:.2f}" if low == high else f"{label} {low:g} to {high:g}"
        for label, (low, high) in ends.items()
        if high >= 0.005
    )


def first_sentence(text: str) -> str:
    """Return the first sentence of a caution."""
    return text.split(". ", 1)[0].rstrip(".") + "."


def _moles(value: float, *, sign: bool = False) -> str:
    digits = 2 if abs(value) >= 0.0095 else 3
    return f"{value:+.{digits}f}" if sign else f"{value:.{digits}f}"


def _wrapped(text: str, indent: str = "") -> Iterable[str]:
    return textwrap.wrap(text, _WIDTH, subsequent_indent=indent, drop_whitespace=True, break_long_words=False)
