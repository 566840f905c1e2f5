"""Old batch beside new: its lines, its estimates, its cautions; for every page that changes a batch."""

from __future__ import annotations

from collections.abc import Sequence

from glazecalc.reformulate.answers import Answer, Effect
from glazecalc.reformulate.nudge import Nudge
from glazecalc.sentences import capital
from glazecalc.show.cautions import caution_headline
from glazecalc.show.differences import change, star_note, value_of
from glazecalc.show.table import table
from glazecalc.show.text import unit_text, wrapped

__all__ = ("caution_changes", "effect_lines", "effect_notes")


def effect_lines(effects: Sequence[Effect], *, all_of_them: bool = True) -> list[str]:
    """Return the estimates before and after, and below what their signs mean; of an answer in short expansion and softening."""
    chosen = [e for e in effects if all_of_them or e.now.quantity in ("expansion", "softening temperature")]
    rows = []
    for effect in chosen:
        now, moved = effect.now, effect.difference
        values = ["", "", value_of(now)] if moved is None else [value_of(moved.first), "->", value_of(now)]
        told = ("", "") if moved is None else change(moved)
        outside = now.outside if moved is None else moved.outside
        rows.append([f"{capital(now.name)} [{unit_text(now.unit)}]{' ?' if outside else ''}", *values, *told])
    return table(rows, left=(0, 3, 4, 5))


def effect_notes(effects: Sequence[Effect]) -> list[str]:
    """Return what stands once below the lines of effects: errors, star, brackets, and what lies outside a tested range."""
    moved = [effect.difference for effect in effects if effect.difference is not None]
    notes = star_note(moved)
    if "?" not in notes and any(effect.now.outside for effect in effects):
        notes = f"{notes} ? outside the tested range of its model.".strip()
    if any(effect.now.corrected is not None for effect in effects):
        notes = f"{notes} In brackets: Appen's value, corrected by measured glasses.".strip()
    return wrapped(notes) if notes else []


def caution_changes(answer: Answer | Nudge, *, compared: bool = True) -> list[str]:
    """Return the cautions that a new batch brings, those that it does away with, and lead and cadmium that stay in it."""
    told = (
        ("New caution" if compared else "Caution", answer.new_cautions),
        ("Caution gone", answer.vanished_cautions),
        ("Caution as before", answer.standing_cautions),
    )
    return [
        line
        for word, cautions in told
        for one in cautions
        for line in wrapped(f"{word}, {caution_headline(one)}", hang=4)
    ]
