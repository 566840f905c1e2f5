"""The bucket label: what is in it and what to mind at the bench; as plain text."""

from __future__ import annotations

import textwrap

from glazecalc.heat import heat_words
from glazecalc.plain_text import visible
from glazecalc.sentences import capital
from glazecalc.show.sheet import rounding_text, sieve_text
from glazecalc.workshop.bucket_label import BucketLabel
from glazecalc.workshop.weighing_list import list_unit, sheet_rows

__all__ = ("NOT_SAID", "PRACTICE", "contents", "facts", "page")

_WIDTH = 76
PRACTICE = (
    "Wet, it raises no dust: keep it away from food, and your hands away from your mouth. Dried drips and sanding do raise dust: wipe wet, "
    "never sweep, wear a fitted respirator. The makers' safety data sheets and local rules come first."
)
NOT_SAID = "This label says nothing about use with food."


def facts(label: BucketLabel) -> list[tuple[str, str]]:
    """Return what stands at the head of a label, each with what is said of it; empty is a line to fill in."""
    scaled = label.bucket
    recipe, gravity = scaled.recipe, scaled.specific_gravity
    is_cone = heat_words(recipe.cone) != recipe.cone or not recipe.cone
    return [
        ("version", recipe.version),
        ("date", label.date),
        ("batch", label.batch_no),
        ("cone" if is_cone else "fired to", f"{recipe.cone} {recipe.atmosphere}".strip()),
        ("specific gravity", f"{gravity:g}" if gravity is not None else ""),
        ("volume", f"{scaled.litres:.2f} l" if scaled.litres is not None else ""),
        ("dry glaze", f"{scaled.dry_mass_g:.0f} g"),
        ("sieve", sieve_text(label.mesh)),
        ("weighed by", ""),
    ]


def contents(label: BucketLabel) -> list[str]:
    """Return what was weighed in, largest first, and what rounding did to it."""
    scaled = label.bucket
    written, rows = list_unit(scaled, label.unit), sheet_rows(scaled, unit=label.unit)
    listed = [
        f"{'+ ' if row.line.addition else ''}{row.line.name} {written.weight(row.printed)}{' (fine scale)' if row.line.fine_scale else ''}"
        for row in rows
    ]
    if gum := [line for line in scaled.lines if line.in_solution]:
        listed.append(f"+ {gum[0].name} {gum[0].mass_g:.1f} g (in solution)")
    moved = rounding_text(scaled)
    return ["In it: " + "; ".join(listed), *([f"{capital(moved)}"] if moved else [])]


def page(label: BucketLabel) -> str:
    """Return the label as plain text in a frame; a field without an answer is a line to fill in."""
    edge = "+" + "-" * (_WIDTH + 2) + "+"
    lines = [*textwrap.wrap(label.bucket.recipe.name.upper() or "NAME ____________________", _WIDTH), ""]
    lines += [
        line
        for key, value in facts(label)
        for line in textwrap.wrap(f"{key:<16} {value or '_' * 18}", _WIDTH, subsequent_indent=" " * 17)
    ]
    lines += ["", *(line for text in contents(label) for line in textwrap.wrap(text, _WIDTH))]
    lines += ["", "At the bench, the dry powder:"]
    for text in label.bench:
        lines += textwrap.wrap(text, _WIDTH - 2, initial_indent="  ", subsequent_indent="    ")
    lines += ["", *textwrap.wrap(PRACTICE, _WIDTH), *textwrap.wrap(NOT_SAID, _WIDTH)]
    return visible("\n".join([edge, *(f"| {line:<{_WIDTH}} |" for line in lines), edge]))
