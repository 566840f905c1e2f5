"""The weighing sheet as a page to print: one page of A4 or Letter, and one screen's width of a telephone."""

from __future__ import annotations

import html
from collections.abc import Sequence

from glazecalc.plain_text import visible
from glazecalc.show.notices import notice_texts
from glazecalc.show.sheet import BENCH, beside, heads, notes, signatures, sums, water_lines
from glazecalc.workshop.weighing_list import ListUnit, ScaledBatch, SheetRow, list_unit, sheet_rows

__all__ = ("html_page", "sheet_html")

_BOX = "\u2610"
# Sizes in mm, so that a sheet of 14 lines stays on a page of 297 or 279 mm: a test adds them up.
_STYLE = """
*{box-sizing:border-box}
body{font:4mm/5.2mm sans-serif;color:#000;background:#fff;margin:4mm auto;padding:0 3mm;max-width:190mm;overflow-wrap:anywhere}
h1{font-size:6mm;line-height:7mm;margin:0}
p,ul{margin:1mm 0}
ul{padding-left:4mm}
table{border-collapse:collapse;width:100%;margin:2mm 0}
td,th{border-bottom:.2mm solid #000;padding:.6mm 1mm;text-align:left;vertical-align:top}
td.n,th.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}
td.n{font-size:4.6mm}
td.b{width:7mm;font-size:5mm}
.w{border:.5mm solid #000;padding:1mm 2mm;margin:2mm 0}
.w p{margin:.5mm 0}
.f{display:flex;flex-wrap:wrap;gap:1mm 6mm;margin:3mm 0}
.f .l{display:inline-block;min-width:24mm;border-bottom:.2mm solid #000}
.s{font-size:2.9mm;line-height:3.5mm}
.c{columns:2 80mm;column-gap:5mm}
.c p,.c ul{margin:.4mm 0;break-inside:avoid}
@page{size:auto;margin:11mm}
@media print{body{margin:0;padding:0;max-width:none}.w,tr{break-inside:avoid}}
"""


def sheet_html(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
    bench: Sequence[str] = (),
) -> str:
    """Return the weighing list as one HTML page that prints in black on white; every text is escaped."""
    rows, written = sheet_rows(scaled, unit=unit), list_unit(scaled, unit)
    over = [html.escape(text) for text in heads(scaled, date, batch_no)]
    body = [f"<h1>{over[0]}</h1>", f"<p>{' &middot; '.join(over[1:])}</p>" if over[1:] else ""]
    if water := water_lines(scaled, _BOX):
        lines = "".join(f"<p>{_BOX} {html.escape(text)}</p>" for text in water)
        body.append(f'<div class="w"><p><strong>Water first</strong></p>{lines}</div>')
    body += ["<table>", _head(written)]
    for i, row in enumerate(rows):
        if row.line.addition and not (i and rows[i - 1].line.addition):
            body.append('<tr><th colspan="4">additions, on top of the base</th></tr>')
        body.append(_row(row, written))
    body += ["</table>", _filled(scaled, mesh), '<div class="s c">']
    below = [*sums(scaled, rows, written), *notes(scaled), *notice_texts(scaled.notices)]
    body += [f"<p>{html.escape(text)}</p>" for text in below]
    if bench:
        body.append(f"<p>{html.escape(f'At the bench, {BENCH}:')}</p>")
        body.append("<ul>" + "".join(f"<li>{html.escape(text)}</li>" for text in bench) + "</ul>")
    body.append("</div>")
    return html_page(scaled.recipe.name or "Weighing list", "\n".join(text for text in body if text))


def _head(written: ListUnit) -> str:
    names = (html.escape(f"{word} {written.heading}".rstrip()) for word in ("weigh", "running"))
    return "<tr><th></th><th>powder</th>" + "".join(f'<th class="n">{name}</th>' for name in names) + "</tr>"


def _row(row: SheetRow, written: ListUnit) -> str:
    tail = "".join(f' <span class="s">{html.escape(text)}</span>' for text in beside(row, written, _BOX))
    name = ("+ " if row.line.addition else "") + html.escape(row.line.name)
    numbers = "".join(f'<td class="n">{written.number(amount)}</td>' for amount in (row.printed, row.running))
    return f'<tr><td class="b">{_BOX}</td><td>{name}{tail}</td>{numbers}</tr>'


def _filled(scaled: ScaledBatch, mesh: str) -> str:
    """Return the fields that are filled in by hand."""
    blank = '<span class="l">&nbsp;</span>'
    out = []
    for name, said in signatures(scaled, mesh):
        written = html.escape(said)
        field = written if name == "sieve" and said else f"{blank} {written}".rstrip()
        out.append(f"<span>{html.escape(name)} {field}</span>")
    return f'<p class="f">{"".join(out)}</p>'


def html_page(title: str, body: str) -> str:
    """Return a whole page around `body`, which must be escaped already."""
    return visible(
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{html.escape(title)}</title><style>{_STYLE}</style></head>\n<body>\n{body}\n</body></html>\n"
    )
