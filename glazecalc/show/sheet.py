"""The weighing sheet: largest first, a running total, boxes to tick; as plain text and as a page to print."""

from __future__ import annotations

import html
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from glazecalc.units import MASS_UNITS
from glazecalc.workshop.scale import ScaledBatch, WeighLine
from glazecalc.workshop.steps import weigh_rounds

__all__ = ("SheetRow", "sheet_rows", "weighing_sheet_html", "weighing_sheet_text")

_DECIMALS = {"g": 1, "kg": 3, "oz": 2, "lb": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One line to weigh, as printed.

    Attributes
    ----------
    name : str
    printed, running : Decimal
        What the scale must show, and all lines up to here, in the unit of the sheet. Running totals are sums of printed numbers.
    addition : bool
    rounds : tuple of Decimal
        The weighings it is split into; one where the scale holds it at once.
    dry_g : float or None
        The dry mass in a moist material [g].
    """

    name: str
    printed: Decimal
    running: Decimal
    addition: bool
    rounds: tuple[Decimal, ...]
    dry_g: float | None = None


def _decimals(scaled: ScaledBatch, unit: str) -> int:
    if unit != "g":
        return _DECIMALS.get(unit, 3)
    if scaled.step_g is not None:
        exponent = Decimal(str(scaled.step_g)).normalize().as_tuple().exponent
        return min(max(0, -int(exponent)), 3)  # a step of 0.1 oz has no end in grams
    smallest = min((line.weigh_g for line in scaled.lines if line.weigh_g > 0), default=1.0)
    return 2 if smallest < 1 else 1


def sheet_rows(scaled: ScaledBatch, *, unit: str = "g", capacity_g: float | None = None) -> tuple[SheetRow, ...]:
    """Return the rows in the order of weighing: the base, largest first, then the additions, largest first."""
    place = Decimal(1).scaleb(-_decimals(scaled, unit))
    factor = float(MASS_UNITS[unit])
    order = sorted(scaled.lines, key=lambda line: (line.addition, -line.weigh_g))
    running = Decimal(0)
    rows = []
    for line in order:
        rounds = _rounds(line, scaled, factor, place, capacity_g)
        printed = sum(rounds, Decimal(0))
        running += printed
        dry = line.mass_g if line.moisture_percent else None
        rows.append(
            SheetRow(name=line.name, printed=printed, running=running, addition=line.addition, rounds=rounds, dry_g=dry)
        )
    return tuple(rows)


def _rounds(
    line: WeighLine, scaled: ScaledBatch, factor: float, place: Decimal, capacity_g: float | None
) -> tuple[Decimal, ...]:
    printed = Decimal(repr(line.weigh_g / factor)).quantize(place, ROUND_HALF_UP)
    if capacity_g is None or line.weigh_g <= capacity_g:
        return (printed,)
    step = round(scaled.step_g / factor, 9) if scaled.step_g is not None else float(place)
    return tuple(Decimal(str(x)).quantize(place) for x in weigh_rounds(float(printed), capacity_g / factor, step))


def _heads(scaled: ScaledBatch, marks: Sequence[str]) -> list[str]:
    recipe = scaled.recipe
    parts = [recipe.name or "Weighing list"]
    if recipe.version:
        parts.append(f"version {recipe.version}")
    if recipe.cone:
        parts.append(f"cone {recipe.cone}" + (f" {recipe.atmosphere}" if recipe.atmosphere else ""))
    return [*parts, *marks]


def _sums(scaled: ScaledBatch, rows: Sequence[SheetRow], unit: str) -> list[str]:
    base = sum((r.printed for r in rows if not r.addition), Decimal(0))
    extra = sum((r.printed for r in rows if r.addition), Decimal(0))
    out = []
    if extra:
        out.append(f"base {base} {unit} + additions on top {extra} {unit} = {base + extra} {unit} all-in")
    else:
        out.append(f"all-in {base} {unit}; there are no additions")
    if scaled.step_g is not None and abs(scaled.dry_mass_g - scaled.exact_dry_g) > 1e-9 * scaled.exact_dry_g:
        out.append(
            f"rounding to {scaled.step_g:g} g took the dry total from {scaled.exact_dry_g:.2f} g to {scaled.dry_mass_g:.2f} g"
        )
    if any(line.moisture_percent for line in scaled.lines):
        out.append(f"weighed moist; the dry material in it is {scaled.dry_mass_g:.1f} g")
    exact = Decimal(repr(sum(line.weigh_g for line in scaled.lines) / float(MASS_UNITS[unit])))
    if scaled.step_g is None and abs(base + extra - exact) > Decimal("1e-9") * exact:
        place = Decimal(1).scaleb(-_decimals(scaled, unit) - 2)
        out.append(
            f"the lines are printed to {Decimal(1).scaleb(-_decimals(scaled, unit))} {unit}; unrounded they add to {exact.quantize(place)} {unit}"
        )
    return out


def _water(scaled: ScaledBatch) -> list[str]:
    if scaled.water_g is None or scaled.volume_ml is None or scaled.density is None:
        return []
    pour = scaled.pour_water_g
    out = [f"water {pour:.0f} g ({pour:.0f} ml)" if pour is not None else ""]
    if pour is not None and abs(pour - scaled.water_g) > 0.5:
        out[0] += f"; the moist materials bring {scaled.water_g - pour:.0f} g more"
    where = "given" if scaled.density.given else "from the materials"
    out.append(
        f"makes {scaled.volume_ml / 1000:.2f} l at specific gravity {scaled.specific_gravity:g} (dry solids {scaled.density.g_cm3:.2f} g/cm3, {where})"
    )
    out.append("pour the water first, powder into water, a little held back until the gravity is measured")
    return out


def weighing_sheet_text(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    capacity_g: float | None = None,
    notes: Sequence[str] = (),
    marks: Sequence[str] = (),
    cautions: Sequence[str] = (),
) -> str:
    """Return the weighing list as plain text in 100 columns.

    Parameters
    ----------
    scaled : ScaledBatch
    unit : str
        Unit of the printed weights.
    capacity_g : float, optional
        What the scale holds [g]; heavier lines are split.
    notes, marks, cautions : sequence of str
        Lines below; marks for the head (date, batch); bench cautions in short form.
    """
    rows = sheet_rows(scaled, unit=unit, capacity_g=capacity_g)
    out = [*textwrap.wrap("   ".join(_heads(scaled, marks)), 98), ""]
    out.append(f"       {'material':<34}{'weigh ' + unit:>12}{'running ' + unit:>14}")
    added = False
    for row in rows:
        if row.addition and not added:
            added = True
            out.append("  additions, on top of the base")
        sign = "+" if row.addition else " "
        tail = f"   holds {row.dry_g:.1f} g dry" if row.dry_g is not None else ""
        out.append(f"  [ ]{sign} {row.name:<34.34}{row.printed:>12}{row.running:>14}{tail}".rstrip())
        if len(row.rounds) > 1:
            out += _round_lines(row.rounds)
    out += ["", *(f"  {text}" for text in _sums(scaled, rows, unit))]
    water = _water(scaled)
    if water:
        out += ["", *(f"  {text}" for text in water)]
    if notes:
        out.append("")
        out += [
            line for text in notes for line in textwrap.wrap(text, 98, initial_indent="  ", subsequent_indent="    ")
        ]
    if cautions:
        out += ["", "  at the bench, the dry powder (the makers' safety data sheets come first):"]
        out += [
            line
            for text in cautions
            for line in textwrap.wrap(text, 98, initial_indent="    ", subsequent_indent="      ")
        ]
    return "\n".join(out)


def _round_lines(rounds: Sequence[Decimal]) -> list[str]:
    boxes = [f"[ ] {mass}" for mass in rounds]
    lines = [boxes[i : i + 6] for i in range(0, len(boxes), 6)]
    first = f"         in {len(rounds)}: "
    return [(first if i == 0 else " " * len(first)) + "   ".join(line) for i, line in enumerate(lines)]


_STYLE = (
    "body{font:18px/1.4 sans-serif;color:#000;background:#fff;margin:1.5em}h1{font-size:1.6em;margin:0 0 .2em}"
    "table{border-collapse:collapse;margin:.8em 0;font-size:1.4em}td,th{border-bottom:1px solid #000;padding:.25em .7em;text-align:left}"
    "td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}.s{font-size:.8em}@page{margin:15mm}"
)  # fmt: skip


def weighing_sheet_html(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    capacity_g: float | None = None,
    notes: Sequence[str] = (),
    marks: Sequence[str] = (),
    cautions: Sequence[str] = (),
) -> str:
    """Return the weighing list as one HTML page that prints in black on white; every text is escaped."""
    rows = sheet_rows(scaled, unit=unit, capacity_g=capacity_g)
    heads = [html.escape(text) for text in _heads(scaled, marks)]
    body = [f"<h1>{heads[0]}</h1>", f"<p>{' &middot; '.join(heads[1:])}</p>" if heads[1:] else "", "<table>"]
    body.append(f'<tr><th></th><th>material</th><th class="n">weigh {unit}</th><th class="n">running {unit}</th></tr>')
    added = False
    for row in rows:
        if row.addition and not added:
            added = True
            body.append('<tr><th colspan="4">additions, on top of the base</th></tr>')
        boxes = " ".join(f"&#9744;&nbsp;{mass}" for mass in row.rounds) if len(row.rounds) > 1 else ""
        tail = f' <span class="s">in {len(row.rounds)}: {boxes}</span>' if boxes else ""
        tail += f' <span class="s">holds {row.dry_g:.1f} g dry</span>' if row.dry_g is not None else ""
        sign = "+ " if row.addition else ""
        body.append(
            f'<tr><td>&#9744;</td><td>{sign}{html.escape(row.name)}{tail}</td><td class="n">{row.printed}</td><td class="n">{row.running}</td></tr>'
        )
    body.append("</table>")
    body += [f"<p>{html.escape(text)}</p>" for text in [*_sums(scaled, rows, unit), *_water(scaled), *notes]]
    if cautions:
        body.append("<p>At the bench, the dry powder (the makers&#39; safety data sheets come first):</p>")
        body.append("<ul>" + "".join(f"<li>{html.escape(text)}</li>" for text in cautions) + "</ul>")
    return html_page(scaled.recipe.name or "Weighing list", "\n".join(text for text in body if text))


def html_page(title: str, body: str) -> str:
    """Return a whole page around `body`, which must be escaped already."""
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{html.escape(title)}</title>'
        f"<style>{_STYLE}</style></head>\n<body>\n{body}\n</body></html>\n"
    )
