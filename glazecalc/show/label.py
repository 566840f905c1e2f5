"""The bucket label: what is in it and what to mind at the bench; as plain text and as a page to print."""

from __future__ import annotations

import html
import textwrap

from glazecalc.heat import heat_words
from glazecalc.plain_text import visible
from glazecalc.sentences import capital
from glazecalc.show.sheet import rounding_text, sieve_text
from glazecalc.show.sheet_html import html_page
from glazecalc.workshop.bucket_label import BucketLabel
from glazecalc.workshop.weighing_list import list_unit, sheet_rows

__all__ = ("label_html", "page")

_WIDTH = 76
_PRACTICE = (
    "Wet, it raises no dust: keep it away from food, and your hands away from your mouth. Dried drips and sanding do raise dust: wipe wet, "
    "never sweep, wear a fitted respirator. The makers' safety data sheets and local rules come first."
)
_NOT_SAID = "This label says nothing about use with food."


def _facts(label: BucketLabel) -> list[tuple[str, str]]:
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


def _contents(label: BucketLabel) -> list[str]:
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
        for key, value in _facts(label)
        for line in textwrap.wrap(f"{key:<16} {value or '_' * 18}", _WIDTH, subsequent_indent=" " * 17)
    ]
    lines += ["", *(line for text in _contents(label) for line in textwrap.wrap(text, _WIDTH))]
    lines += ["", "At the bench, the dry powder:"]
    for text in label.bench:
        lines += textwrap.wrap(text, _WIDTH - 2, initial_indent="  ", subsequent_indent="    ")
    lines += ["", *textwrap.wrap(_PRACTICE, _WIDTH), *textwrap.wrap(_NOT_SAID, _WIDTH)]
    return visible("\n".join([edge, *(f"| {line:<{_WIDTH}} |" for line in lines), edge]))


def label_html(label: BucketLabel) -> str:
    """Return the label as one HTML page to print; every text is escaped."""
    rows = "".join(
        f"<tr><th>{html.escape(key)}</th><td>{html.escape(value) or '&nbsp;' * 30}</td></tr>"
        for key, value in _facts(label)
    )
    contents = "".join(f"<p>{html.escape(text)}</p>" for text in _contents(label))
    items = "".join(f"<li>{html.escape(text)}</li>" for text in label.bench)
    name = label.bucket.recipe.name
    body = (
        f"<h1>{html.escape(name) or '&nbsp;'}</h1>\n<table>{rows}</table>\n{contents}\n<p>At the bench, the dry powder:</p>\n<ul>{items}</ul>\n"
        f"<p>{html.escape(_PRACTICE)}</p>\n<p>{html.escape(_NOT_SAID)}</p>"
    )
    return html_page(name or "Bucket label", body)
