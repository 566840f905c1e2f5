"""The weighing sheet: largest first, a running total, boxes to tick; as plain text and as a page to print."""

from __future__ import annotations

import html
from collections.abc import Sequence
from decimal import Decimal

from glazecalc.display import RECALLED
from glazecalc.heat import heat_words
from glazecalc.plain_text import visible
from glazecalc.recipe import misses_100
from glazecalc.show.notices import notice_texts
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.gum import GumSolution
from glazecalc.workshop.practice import choice, sieve_opening_um
from glazecalc.workshop.weighing_list import ScaledBatch, SheetRow, printed_decimals, sheet_rows

__all__ = ("html_page", "page", "sheet_html", "sieve_text")

_TIED = "\u00a0"  # a space at which no line is broken
_BENCH = "the dry powder (the makers' safety data sheets come first)"


def sieve_text(mesh: str) -> str:
    """Return a sieve in words: its mesh, and its opening where the table has it."""
    opening = sieve_opening_um(mesh)
    return mesh if opening is None else f"{mesh} mesh ({opening} micrometre by ASTM E11; {RECALLED})"


def _heads(scaled: ScaledBatch, date: str, batch_no: str) -> list[str]:
    recipe = scaled.recipe
    parts = [
        recipe.name or "Weighing list",
        f"version {recipe.version}" if recipe.version else "",
        f"{heat_words(recipe.cone)} {recipe.atmosphere}".rstrip() if recipe.cone else "",
        date,
        f"batch {batch_no}" if batch_no else "",
    ]
    return [part for part in parts if part]


def _sums(scaled: ScaledBatch, rows: Sequence[SheetRow], unit: str) -> list[str]:
    base = sum((r.printed for r in rows if not r.line.addition), Decimal(0))
    extra = sum((r.printed for r in rows if r.line.addition), Decimal(0))
    out = [f"base {base} {unit} + additions on top {extra} {unit} = {base + extra} {unit} total batch"]
    if not extra:
        out = [f"total batch {base} {unit}; no additions"]
    if scaled.step_g is not None and abs(scaled.dry_mass_g - scaled.exact_dry_g) > 1e-9 * scaled.exact_dry_g:
        took = f"took the dry total from {scaled.exact_dry_g:.2f} g to {scaled.dry_mass_g:.2f} g"
        out.append(f"rounding to {scaled.step_g:g} g {took}")
    if any(line.moisture_percent for line in scaled.lines):
        out.append(f"weighed moist; that is {scaled.dry_mass_g:.1f} g of dry glaze")
    exact = Decimal(repr(sum(line.weigh_g for line in scaled.lines) / float(MASS_UNITS[unit])))
    if scaled.step_g is None and abs(base + extra - exact) > Decimal("1e-9") * exact:
        place = Decimal(1).scaleb(-printed_decimals(scaled, unit))
        unrounded = exact.quantize(place.scaleb(-2))
        out.append(f"the lines are printed to {place} {unit}; unrounded they add to {unrounded} {unit}")
    return out


def _water(scaled: ScaledBatch) -> list[str]:
    if scaled.water_g is None or scaled.pour_water_g is None or scaled.volume_ml is None or scaled.density is None:
        return []
    brought = scaled.water_g - scaled.pour_water_g
    moist = f"; the moist materials bring {brought:.0f} g more" if brought > 0.5 else ""
    where = "given" if scaled.density.given else "from the materials"
    return [
        f"water {scaled.pour_water_g:.0f} g ({scaled.pour_water_g:.0f} ml){moist}",
        f"makes {scaled.volume_ml / 1000:.2f} l at specific gravity {scaled.specific_gravity:g} (solids density {scaled.density.g_cm3:.2f} g/cm3, {where})",
        "start with most of the water, add the powder to it, check the specific gravity, then add the rest of the water",
    ]


def _notes(scaled: ScaledBatch, gum: GumSolution | None, mesh: str) -> list[str]:
    need, notes = scaled.need, []
    if need is not None:
        notes.append(
            f"{need.pieces} pieces at {need.per_piece_g:.1f} g dry each, {need.spare_percent:g} % spare: {need.dry_g:.0f} g"
            + (
                f" ({need.low_g / 1000:.1f} to {need.high_g / 1000:.1f} kg, from the lightest to the heaviest coat)"
                if need.high_g > need.low_g
                else ""
            )
        )
    if scaled.rounding:
        oxide, moles = max(scaled.rounding.items(), key=lambda pair: abs(pair[1].rounded - pair[1].exact))
        moved, seen = moles.rounded - moles.exact, choice("rounding_seen_moles")
        most = f"most at {oxide}: {moles.exact:.2f} to {moles.rounded:.2f} ({moved:+.3f})"
        little = f"by less than {seen:g} mole in every oxide"
        notes.append(f"rounding moves the unity formula {little if abs(moved) < seen else most}")
    if gum is not None:
        beside = f", and {gum.plain_water_g:.0f} g of plain water" if gum.plain_water_g is not None else ""
        solution = f"{gum.water_g:.0f} ml of solution ({gum.g_per_l:g} g per litre of water)"
        notes.append(f"the gum goes in as {solution}{beside}")
    if mesh:
        notes.append(f"sieve: {sieve_text(mesh)}")
    if misses_100(scaled.recipe):
        base = f"the base of the recipe totals {scaled.recipe.base_total:g}, not 100"
        notes.append(f"{base}: scaled as written")
    return notes


def page(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    gum: GumSolution | None = None,
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
    bench: Sequence[str] = (),
) -> str:
    """Return the weighing list as plain text in 100 columns; `bench` are cautions in short form, `mesh` a sieve in meshes per inch."""
    rows = sheet_rows(scaled, unit=unit)
    out = [*wrapped("   ".join(_heads(scaled, date, batch_no)), indent=0), "", *_list(rows, unit)]
    for block in (_sums(scaled, rows, unit), _water(scaled), _notes(scaled, gum, mesh)):
        out += ["", *(line for text in block for line in wrapped(text, hang=4))] if block else []
    if bench:
        out += ["", f"  at the bench, {_BENCH}:"]
        out += [line for text in bench for line in wrapped(text, indent=4, hang=6)]
    return visible("\n".join(out))


def _list(rows: Sequence[SheetRow], unit: str) -> list[str]:
    cells = [["", "material", f"weigh {unit}", f"running {unit}", ""]]
    for i, row in enumerate(rows):
        if row.line.addition and not (i and rows[i - 1].line.addition):
            cells.append(["", "additions, on top of the base"])
        beside = [f"holds {row.line.mass_g:.1f} g dry"] if row.line.moisture_percent else []
        if len(row.rounds) > 1:
            boxes = (f"[{_TIED}]{_TIED}{mass}" for mass in row.rounds)
            beside.append(f"in {len(row.rounds)}: {'  '.join(boxes)}")
        box = "[ ]+" if row.line.addition else "[ ]"
        cells.append([box, row.line.name, str(row.printed), str(row.running), "; ".join(beside)])
    return [line.replace(_TIED, " ") for line in table(cells, left=(0, 1, 4), wrap=(1, 4))]


_STYLE = (
    "body{font:18px/1.4 sans-serif;color:#000;background:#fff;margin:1.5em}h1{font-size:1.6em;margin:0 0 .2em}"
    "table{border-collapse:collapse;margin:.8em 0;font-size:1.4em}td,th{border-bottom:1px solid #000;padding:.25em .7em;text-align:left}"
    "td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}.s{font-size:.8em}@page{margin:15mm}"
)  # fmt: skip


def sheet_html(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    gum: GumSolution | None = None,
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
    bench: Sequence[str] = (),
) -> str:
    """Return the same as one HTML page that prints in black on white; every text is escaped."""
    rows = sheet_rows(scaled, unit=unit)
    heads = [html.escape(text) for text in _heads(scaled, date, batch_no)]
    body = [f"<h1>{heads[0]}</h1>", f"<p>{' &middot; '.join(heads[1:])}</p>" if heads[1:] else "", "<table>"]
    body.append(f'<tr><th></th><th>material</th><th class="n">weigh {unit}</th><th class="n">running {unit}</th></tr>')
    for i, row in enumerate(rows):
        if row.line.addition and not (i and rows[i - 1].line.addition):
            body.append('<tr><th colspan="4">additions, on top of the base</th></tr>')
        body.append(_html_row(row))
    body.append("</table>")
    below = [*_sums(scaled, rows, unit), *_water(scaled), *_notes(scaled, gum, mesh), *notice_texts(scaled.notices)]
    body += [f"<p>{html.escape(text)}</p>" for text in below]
    if bench:
        body.append(f"<p>{html.escape(f'At the bench, {_BENCH}:')}</p>")
        body.append("<ul>" + "".join(f"<li>{html.escape(text)}</li>" for text in bench) + "</ul>")
    return html_page(scaled.recipe.name or "Weighing list", "\n".join(text for text in body if text))


def _html_row(row: SheetRow) -> str:
    tail = ""
    if len(row.rounds) > 1:
        boxes = " ".join(f"&#9744;&nbsp;{mass}" for mass in row.rounds)
        tail = f' <span class="s">in {len(row.rounds)}: {boxes}</span>'
    if row.line.moisture_percent:
        tail += f' <span class="s">holds {row.line.mass_g:.1f} g dry</span>'
    name = ("+ " if row.line.addition else "") + html.escape(row.line.name)
    numbers = f'<td class="n">{row.printed}</td><td class="n">{row.running}</td>'
    return f"<tr><td>&#9744;</td><td>{name}{tail}</td>{numbers}</tr>"


def html_page(title: str, body: str) -> str:
    """Return a whole page around `body`, which must be escaped already."""
    return visible(
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{html.escape(title)}</title>'
        f"<style>{_STYLE}</style></head>\n<body>\n{body}\n</body></html>\n"
    )
