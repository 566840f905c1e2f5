"""Old batch beside new: its lines, its estimates, its cautions; for every page that changes a batch."""

from __future__ import annotations

from collections.abc import Sequence

from glazecalc.caution.caution import Caution
from glazecalc.reformulate.answers import Answer, Effect
from glazecalc.reformulate.nudge import Nudge
from glazecalc.sentences import capital
from glazecalc.show.cautions import caution_headline
from glazecalc.show.differences import change, star_note, value_of
from glazecalc.show.table import table
from glazecalc.show.text import unit_text, wrapped

__all__ = (
    "caution_changes",
    "caution_groups",
    "effect_lines",
    "effect_note",
    "effect_notes",
    "effect_rows",
    "moved_parts",
)


def effect_lines(effects: Sequence[Effect], *, all_of_them: bool = True) -> list[str]:
    """Return the estimates before and after, and below what their signs mean; of an answer in short expansion and softening."""
    chosen = [e for e in effects if all_of_them or e.now.quantity in ("expansion", "softening temperature")]
    rows = [[name, was, "->" if was else "", now, *told] for name, was, now, *told in effect_rows(chosen)]
    return table(rows, left=(0, 3, 4, 5))


def effect_rows(effects: Sequence[Effect]) -> list[list[str]]:
    """Return each estimate: its name and unit, before, after, the change in words, and behind it the star with the odds."""
    rows = []
    for effect in effects:
        now, moved = effect.now, effect.difference
        told = ("", "") if moved is None else change(moved)
        outside = now.outside if moved is None else moved.outside
        name = f"{capital(now.name)} [{unit_text(now.unit)}]{' ?' if outside else ''}"
        rows.append([name, "" if moved is None else value_of(moved.first), value_of(now), *told])
    return rows


def effect_notes(effects: Sequence[Effect]) -> list[str]:
    """Return what stands once below the lines of effects, as lines of the page."""
    note = effect_note(effects)
    return wrapped(note) if note else []


def effect_note(effects: Sequence[Effect]) -> str:
    """Return what the signs of effects mean: errors, star, brackets, and what lies outside a tested range; empty for none."""
    moved = [effect.difference for effect in effects if effect.difference is not None]
    notes = star_note(moved)
    if "?" not in notes and any(effect.now.outside for effect in effects):
        notes = f"{notes} ? outside the tested range of its model.".strip()
    if any(effect.now.corrected is not None for effect in effects):
        notes = f"{notes} In brackets: Appen's value, corrected by measured glasses.".strip()
    return notes


def moved_parts(change: float) -> str:
    """Return by how many parts a line changes, as finely as it can be seen; empty where it cannot."""
    return f"{change:+.1f}" if abs(change) >= 0.05 else f"{change:+.2f}" if abs(change) >= 0.005 else ""


def caution_changes(answer: Answer | Nudge, *, compared: bool = True) -> list[str]:
    """Return the cautions that a new batch brings, those that it does away with, and lead and cadmium that stay in it."""
    return [
        line
        for word, cautions in caution_groups(answer, compared=compared)
        for one in cautions
        for line in wrapped(f"{word}, {caution_headline(one)}", hang=4)
    ]


def caution_groups(answer: Answer | Nudge, *, compared: bool = True) -> list[tuple[str, tuple[Caution, ...]]]:
    """Return the same cautions under the words for what became of them."""
    return [
        ("New caution" if compared else "Caution", answer.new_cautions),
        ("Caution gone", answer.vanished_cautions),
        ("Caution as before", answer.standing_cautions),
    ]
