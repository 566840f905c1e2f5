"""The weighing sheet: water first, then the powders, largest first, with a running total and boxes to tick; as plain text."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from glazecalc.display import RECALLED
from glazecalc.heat import heat_words
from glazecalc.plain_text import visible
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.practice import choice, sieve_opening_um
from glazecalc.workshop.steps import step_text
from glazecalc.workshop.weighing_list import ListUnit, ScaledBatch, SheetRow, list_unit, sheet_rows

__all__ = (
    "BENCH",
    "beside",
    "heads",
    "notes",
    "page",
    "rounding_text",
    "sieve_text",
    "signatures",
    "sums",
    "water_lines",
)

_TIED = "\u00a0"  # a space at which no line is broken
_BOX = f"[{_TIED}]"
_BLANK = "____________"
BENCH = "the dry powder (the makers' safety data sheets come first)"


def sieve_text(mesh: str) -> str:
    """Return a sieve in words: its mesh, and its opening where the table has it."""
    opening = sieve_opening_um(mesh)
    return mesh if opening is None else f"{mesh} mesh ({opening} micrometre by ASTM E11; {RECALLED})"


def heads(scaled: ScaledBatch, date: str, batch_no: str) -> list[str]:
    """Return what stands at the head of a sheet, the name first."""
    recipe = scaled.recipe
    parts = [
        recipe.name or "Weighing list",
        f"version {recipe.version}" if recipe.version else "",
        f"{heat_words(recipe.cone)} {recipe.atmosphere}".rstrip() if recipe.cone else "",
        date,
        f"batch {batch_no}" if batch_no else "",
    ]
    return [part for part in parts if part]


def water_lines(scaled: ScaledBatch, box: str = _BOX) -> list[str]:
    """Return the lines of the water, each to be ticked: what to pour first, jug by jug, and what to hold back."""
    gum, held = scaled.gum_solution, scaled.hold_back_g
    out = []
    if gum is not None:
        out.append(f"gum solution {gum.water_g:.0f} ml, {gum.g_per_l:g} g of gum in a litre of water")
    if scaled.first_water_g is None or held is None:
        return out
    poured, held = round(scaled.first_water_g + held) - round(held), round(held)
    if not poured + held:
        return out
    name = "plain water" if gum is not None else "water"
    jugs = _jugs(poured, scaled.jug_ml, box)
    first = f"{name} {poured + held} g (or ml): pour {poured} first{jugs}"
    return [*out, first, f"hold back {held} g of it until the gravity is measured"]


def _jugs(poured_ml: int, jug_ml: float, box: str) -> str:
    """Return how often a jug is filled, a box for each; nothing where one jug holds it all."""
    full, rest = divmod(poured_ml, jug_ml)
    if not full:
        return ""
    left = f" and {rest:.0f} ml" if round(rest) else ""
    size = f"{jug_ml / 1000:g}{_TIED}l"
    if full > choice("most_jugs"):
        return f", {full:.0f} times {size}{left}"
    return f", jugs of {size}: {' '.join([box] * int(full))}{left}"


def beside(row: SheetRow, written: ListUnit, box: str = _BOX) -> list[str]:
    """Return what stands beside a line: a fine scale, the dry weight of a moist bag, the rounds of a small scale."""
    line, out = row.line, []
    if line.fine_scale:
        grams = f" ({line.weigh_g:.3g} g)" if written.counted_in not in ("g", "kg") else ""
        out.append(f"fine scale{grams}")
    if line.moisture_percent:
        out.append(f"holds {line.mass_g:.1f} g dry")
    if len(row.rounds) > 1:
        boxes = (f"{box}{_TIED}{written.number(mass).replace(' ', _TIED)}" for mass in row.rounds)
        out.append(f"in {len(row.rounds)}: {'  '.join(boxes)}")
    return out


def sums(scaled: ScaledBatch, rows: Sequence[SheetRow], written: ListUnit) -> list[str]:
    """Return what the lines add up to, and what rounding to the step did to the sum."""
    base = sum((r.printed for r in rows if not r.line.addition), Decimal(0))
    extra = sum((r.printed for r in rows if r.line.addition), Decimal(0))
    weight = written.weight
    total = f"base {weight(base)} + additions on top {weight(extra)} = {weight(base + extra)} total batch"
    out = [total if extra else f"total batch {weight(base)}; no additions"]
    if in_solution := [line for line in scaled.lines if line.in_solution]:
        out[0] += f", and {sum(line.mass_g for line in in_solution):.1f} g of gum in its solution"
    if scaled.step_g is not None and abs(scaled.dry_mass_g - scaled.exact_dry_g) > 1e-9 * scaled.exact_dry_g:
        took = f"took the dry total from {scaled.exact_dry_g:.2f} g to {scaled.dry_mass_g:.2f} g"
        out.append(f"rounding to {step_text(scaled.step_g)} {took}")
    if any(line.moisture_percent for line in scaled.lines):
        out.append(f"weighed moist; that is {scaled.dry_mass_g:.1f} g of dry glaze")
    factor = float(MASS_UNITS[written.counted_in])
    exact = Decimal(repr(sum(line.weigh_g for line in scaled.lines if not line.in_solution) / factor))
    if scaled.step_g is None and abs(base + extra - exact) > Decimal("1e-9") * exact:
        place = Decimal(1).scaleb(-written.decimals)
        unrounded = exact.quantize(place.scaleb(-2))
        unit = written.counted_in
        out.append(f"the lines are printed to {place} {unit}; unrounded they add to {unrounded} {unit}")
    return out


def rounding_text(scaled: ScaledBatch) -> str:
    """Return what rounding to the step does to the unity formula, oxide by oxide; empty where nothing was rounded."""
    if not scaled.rounding:
        return ""
    seen = choice("rounding_seen_moles")
    moved = [(oxide, moles) for oxide, moles in scaled.rounding.items() if abs(moles.moved) >= seen]
    if not moved:
        return f"rounding moves the unity formula by less than {seen:g} mole in every oxide"
    largest = sorted(moved, key=lambda pair: -abs(pair[1].moved))
    listed = ", ".join(
        f"{oxide} {moles.exact:.2f} to {moles.rounded:.2f} ({moles.moved:+.3f})" for oxide, moles in largest
    )
    return f"rounding moves the unity formula: {listed}"


def notes(scaled: ScaledBatch) -> list[str]:
    """Return what a sheet says below its list: the slurry, the order, the bags, the rounding."""
    need, out = scaled.need, []
    if scaled.volume_ml is not None and scaled.density is not None:
        where = "given" if scaled.density.given else "from the materials"
        solids = f"solids density {scaled.density.g_cm3:.2f} g/cm3, {where}"
        out.append(f"makes {scaled.volume_ml / 1000:.2f} l at specific gravity {scaled.specific_gravity:g} ({solids})")
    if scaled.water_g is not None and scaled.pour_water_g is not None:
        brought = scaled.water_g - scaled.pour_water_g
        out += [f"the moist materials bring {brought:.0f} g of water more"] if brought > 0.5 else []
    if need is not None:
        low, high = need.low_g / 1000, need.high_g / 1000
        between = f" ({low:.1f} to {high:.1f} kg, from the lightest to the heaviest coat)" if high > low else ""
        kept = (
            f"; {need.reserve_g:.0f} g more in the {need.reserve_l:g} l that stay in the bucket"
            if need.reserve_g
            else ""
        )
        out.append(
            f"{need.pieces} pieces at {need.per_piece_g:.1f} g dry each, {need.spare_percent:g} % spare: {need.dry_g:.0f} g{between}{kept}"
        )
    if scaled.bags:
        out.append("bags to open: " + "; ".join(f"{x.name} {x.count} of {x.pack_g / 1000:g} kg" for x in scaled.bags))
    if moved := rounding_text(scaled):
        out.append(moved)
    return out


def signatures(scaled: ScaledBatch, mesh: str) -> list[tuple[str, str]]:
    """Return what is filled in by hand, and beside each what was asked for."""
    wanted = f"(wanted {scaled.specific_gravity:g})" if scaled.specific_gravity is not None else ""
    return [("sieve", sieve_text(mesh)), ("gravity measured", wanted), ("weighed by", "")]


def page(
    scaled: ScaledBatch,
    *,
    unit: str = "g",
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
    bench: Sequence[str] = (),
) -> str:
    """Return the weighing list as plain text in 100 columns; `bench` are cautions in short form, `mesh` a sieve in meshes per inch."""
    rows, written = sheet_rows(scaled, unit=unit), list_unit(scaled, unit)
    out = wrapped("   ".join(heads(scaled, date, batch_no)), indent=0)
    if water := water_lines(scaled):
        out += ["", "  water first"]
        out += [line.replace(_TIED, " ") for text in water for line in wrapped(f"{_BOX}  {text}", hang=7)]
    out += ["", *_list(rows, written)]
    (sieve, mesh_text), *by_hand = signatures(scaled, mesh)
    filled = [
        f"{sieve} {mesh_text or _BLANK}",
        "    ".join(f"{name} {_BLANK} {said}".rstrip() for name, said in by_hand),
    ]
    for block in (sums(scaled, rows, written), notes(scaled), filled):
        out += ["", *(line for text in block for line in wrapped(text, hang=4))] if block else []
    if bench:
        out += ["", f"  at the bench, {BENCH}:"]
        out += [line for text in bench for line in wrapped(text, indent=4, hang=6)]
    return visible("\n".join(out))


def _list(rows: Sequence[SheetRow], written: ListUnit) -> list[str]:
    cells = [["", "powder", f"weigh {written.heading}".rstrip(), f"running {written.heading}".rstrip(), ""]]
    for i, row in enumerate(rows):
        if row.line.addition and not (i and rows[i - 1].line.addition):
            cells.append(["", "additions, on top of the base"])
        box = "[ ]+" if row.line.addition else "[ ]"
        numbers = [written.number(row.printed), written.number(row.running)]
        cells.append([box, row.line.name, *numbers, "; ".join(beside(row, written))])
    return [line.replace(_TIED, " ") for line in table(cells, left=(0, 1, 4), wrap=(1, 4))]
