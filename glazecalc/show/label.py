"""The bucket label: what is in it and what to mind at the bench; as plain text and as a page to print."""

from __future__ import annotations

import html
import textwrap
from dataclasses import dataclass

from glazecalc.caution.bench_label import ShortCautions
from glazecalc.files.shipped import load_data
from glazecalc.show.sheet import html_page

__all__ = ("BucketLabel", "bucket_label_html", "bucket_label_text", "sieve_text")

_WIDTH = 76
_PRACTICE = (
    "Wet, it raises no dust: keep it off food and hands off the mouth. Dried drips and sanding do raise dust: wipe wet, never sweep, "
    "fitted respirator. The makers' safety data sheets and local rules come first."
)
_NOT_SAID = "This label says nothing about use with food."


@dataclass(frozen=True, slots=True, kw_only=True)
class BucketLabel:
    """What a label says.

    Attributes
    ----------
    name, version, date, batch, cone, atmosphere : str
        As given; a blank stays blank.
    dry_g, volume_ml, specific_gravity : float or None
        [g], [ml].
    mesh : str
        Sieve, in meshes per inch.
    cautions : ShortCautions
    """

    name: str
    cautions: ShortCautions
    version: str = ""
    date: str = ""
    batch: str = ""
    cone: str = ""
    atmosphere: str = ""
    dry_g: float | None = None
    volume_ml: float | None = None
    specific_gravity: float | None = None
    mesh: str = ""


def sieve_text(mesh: str) -> str:
    """Return a sieve in words: its mesh, and its opening where the table has it."""
    opening = load_data("workshop_practice.yaml")["sieve"]["opening_um"].get(mesh)
    return mesh if opening is None else f"{mesh} mesh ({opening} micrometre, ASTM E11 from memory)"


def _facts(label: BucketLabel) -> list[tuple[str, str]]:
    return [
        ("version", label.version),
        ("date", label.date),
        ("batch", label.batch),
        ("cone", f"{label.cone} {label.atmosphere}".strip()),
        ("gravity", f"{label.specific_gravity:g}" if label.specific_gravity is not None else ""),
        ("volume", f"{label.volume_ml / 1000:.2f} l" if label.volume_ml is not None else ""),
        ("dry", f"{label.dry_g:.0f} g" if label.dry_g is not None else ""),
        ("sieve", sieve_text(label.mesh)),
    ]


def bucket_label_text(label: BucketLabel) -> str:
    """Return the label as plain text in a frame; a field without an answer is a line to fill in."""
    edge = "+" + "-" * (_WIDTH + 2) + "+"
    lines = [*textwrap.wrap(label.name.upper() or "NAME ____________________", _WIDTH), ""]
    lines += [
        line
        for key, value in _facts(label)
        for line in textwrap.wrap(f"{key:<9} {value or '_' * 18}", _WIDTH, subsequent_indent=" " * 10)
    ]
    lines += ["", "At the bench, the dry powder:"]
    for text in label.cautions.lines():
        lines += textwrap.wrap(text, _WIDTH - 2, initial_indent="  ", subsequent_indent="    ")
    lines += ["", *textwrap.wrap(_PRACTICE, _WIDTH), *textwrap.wrap(_NOT_SAID, _WIDTH)]
    return "\n".join([edge, *(f"| {line:<{_WIDTH}} |" for line in lines), edge])


def bucket_label_html(label: BucketLabel) -> str:
    """Return the label as one HTML page to print; every text is escaped."""
    rows = "".join(
        f"<tr><th>{html.escape(key)}</th><td>{html.escape(value) or '&nbsp;' * 30}</td></tr>"
        for key, value in _facts(label)
    )
    items = "".join(f"<li>{html.escape(text)}</li>" for text in label.cautions.lines())
    body = (
        f"<h1>{html.escape(label.name) or '&nbsp;'}</h1>\n<table>{rows}</table>\n<p>At the bench, the dry powder:</p>\n<ul>{items}</ul>\n"
        f"<p>{html.escape(_PRACTICE)}</p>\n<p>{html.escape(_NOT_SAID)}</p>"
    )
    return html_page(label.name or "Bucket label", body)
