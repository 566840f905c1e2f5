"""The page of a test series, and its plan as CSV for a spreadsheet."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

from glazecalc.caution.caution import Caution
from glazecalc.estimate.result import Estimate
from glazecalc.files.csv_table import format_table
from glazecalc.reformulate.series import Series, Tile, TileLine
from glazecalc.show.cautions import caution_headline
from glazecalc.show.differences import change, star_note, value_of
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import step_text

__all__ = (
    "BRACKETS",
    "calculated_rows",
    "caution_tiles",
    "coarse_words",
    "fine_scale_words",
    "head",
    "mixing_rows",
    "needed_words",
    "page",
    "series_csv",
    "way_rows",
    "weight_rows",
)

BRACKETS = "In brackets: Appen's value, corrected by measured glasses."

_WHAT = {"line": "Line blend", "triaxial": "Triaxial blend", "rising": "Progression"}
_SHOWN = {"expansion": "expansion", "softening temperature": "softens, C"}
_COLUMNS = 8  # tiles side by side on a page of 100 columns


def series_csv(series: Series) -> str:
    """Return the plan as CSV: one row a tile; shares, dry and wet amounts of the corners, then the weight of each material."""
    materials = _materials(series)
    corners = series.corners if series.kind != "rising" else ()
    head = ["tile", "code", *(f"{name} share %" for name in corners), *(f"{name} dry g" for name in corners)]
    head += [f"{name} ml" for name in corners] if series.needed_ml else []
    head += [f"{'+ ' if added else ''}{name} g" for (_, added), name in materials.items()]
    head += [name for e in series.tiles[0].estimates if e.quantity == "expansion" for name in _expansion_heads(e)]
    rows = []
    for tile in series.tiles:
        row = [str(tile.number), tile.code]
        if corners:
            row += [f"{100 * share:.1f}" for share in tile.shares]
            row += [f"{amount:.1f}" for amount in (*tile.corners_g, *tile.corners_ml)]
        row += [f"{mass:g}" for mass in _masses(tile, materials)]
        row += [
            f"{value:.2f}"
            for e in tile.estimates
            if e.quantity == "expansion"
            for value in (e.value, e.corrected)
            if value is not None
        ]
        rows.append(row)
    return format_table(head, rows)


def _expansion_heads(estimate: Estimate) -> list[str]:
    """Return the columns of an expansion: the value, and that of a published method corrected."""
    head = f"expansion {estimate.model}"
    corrected = [f"{head} corrected {estimate.unit}"] if estimate.corrected is not None else []
    return [f"{head} {estimate.unit}", *corrected]


def _materials(series: Series) -> dict[tuple[str, bool], str]:
    """Return (id, addition) -> name of everything that is weighed: the base, most of it first, then the additions."""
    lines = [line for tile in series.tiles for line in tile.lines]
    most: dict[tuple[str, bool], float] = defaultdict(float)
    for line in lines:
        most[line.material, line.addition] += line.exact_g
    listed = sorted(lines, key=lambda line: (line.addition, -most[line.material, line.addition]))
    return {(line.material, line.addition): line.name for line in listed}


def _masses(tile: Tile, materials: Iterable[tuple[str, bool]]) -> list[float]:
    masses = {(line.material, line.addition): line.mass_g for line in tile.lines}
    return [masses.get(key, 0.0) for key in materials]


def page(series: Series) -> str:
    """Return the plan: what to weigh for each tile, what is calculated of it, and the cautions."""
    title, tiles = head(series)
    lines = [*wrapped(title, indent=0, hang=2), "=" * 40, tiles, ""]
    if series.kind == "rising":
        lines += ["Tiles", *table([[str(tile.number), tile.code] for tile in series.tiles], left=(1,))]
    else:
        rows = mixing_rows(series)
        lines += ["Mixing from the end recipes", *table(rows, left=(1,), wrap=range(2, len(rows[0])))]
        lines += [line for text in needed_words(series) for line in wrapped(text, hang=4)]
    lines += ["", "Weighing each tile from its materials, g", *_weights(series)]
    lines += ["", "Calculated", *_calculated(series)]
    if any(not e.in_window for tile in series.tiles for e in tile.estimates if e.quantity in _SHOWN):
        lines.append("  ? outside the tested range of its model. Expansion in 1e-6 per K.")
    if any(e.corrected is not None for tile in series.tiles for e in tile.estimates):
        lines.append(f"  {BRACKETS}")
    lines += [*_ways(series), *_cautions(series.tiles)]
    coarse = coarse_words(series)
    return "\n".join([*lines, *(["", *wrapped(coarse, indent=0, hang=2)] if coarse else [])])


def head(series: Series) -> tuple[str, str]:
    """Return what kind of series of what it is, and its tiles."""
    of = " base" if series.kind == "rising" else " dry"
    tiles = f"{len(series.tiles)} tiles of {series.tile_g:g} g{of}; weights to {series.step_g:g} g."
    return f"{_WHAT[series.kind]}: {' / '.join(series.corners)}", tiles


def needed_words(series: Series) -> list[str]:
    """Return how much of each corner the whole series takes, dry and, where it is blended wet, as slurry."""
    dry = ", ".join(f"{name} {g:.0f} g" for name, g in zip(series.corners, series.needed_g, strict=True))
    said = [f"Mix: {dry} dry, and a little to spare."]
    if series.needed_ml:
        wet = ", ".join(f"{name} {ml:.0f} ml" for name, ml in zip(series.corners, series.needed_ml, strict=True))
        said.append(f"Wet: {wet}. Stir each bucket before you draw from it.")
    return said


def coarse_words(series: Series) -> str:
    """Return for which tiles the step of the scale is too coarse; empty for none."""
    coarse = [tile for tile in series.tiles if any(n.code == "step-is-coarse" for n in tile.notices)]
    numbers = ", ".join(str(tile.number) for tile in coarse)
    return f"Tile{'s' if len(coarse) > 1 else ''} {numbers}: {coarse[0].notices[0].message}" if coarse else ""


def mixing_rows(series: Series) -> list[list[str]]:
    """Return how much of each corner goes into each tile, below the names of the columns."""
    names = ["tile", "code %", *(f"{name} g" for name in series.corners)]
    names += [f"{name} ml" for name in series.corners] if series.needed_ml else []
    return [
        names,
        *([str(t.number), t.code, *(f"{x:.1f}" for x in (*t.corners_g, *t.corners_ml))] for t in series.tiles),
    ]


def _weights(series: Series) -> list[str]:
    lines = [line for rows in weight_rows(series) for line in (*table(rows), "")]
    fine = fine_scale_words(series)
    return [*lines[:-1], f"  {fine}"] if fine else lines[:-1]


def fine_scale_words(series: Series) -> str:
    """Return what the brackets around a weight mean; empty where there are none."""
    if not any(line.fine_scale for tile in series.tiles for line in tile.lines):
        return ""
    lost = (
        f"a step of {step_text(series.step_g)} would lose it or move it by more than {choice('fine_scale_percent'):g} %"
    )
    return f"In brackets: weigh on a fine scale; {lost}."


def weight_rows(series: Series) -> list[list[list[str]]]:
    """Return what of each material goes into each tile [g], below the numbers of the tiles; a table for as many tiles as stand side by side."""
    materials = _materials(series)
    digits = max(0, len(f"{series.step_g:.6f}".rstrip("0").split(".")[1]))
    tables = []
    for start in range(0, len(series.tiles), _COLUMNS):
        tiles = series.tiles[start : start + _COLUMNS]
        cells = [{(line.material, line.addition): _cell(line, digits) for line in tile.lines} for tile in tiles]
        rows = [["tile", *(str(tile.number) for tile in tiles)]]
        for (key, added), name in materials.items():
            rows.append([f"{'+ ' if added else ''}{name}", *(tile.get((key, added), "-") for tile in cells)])
        rows.append(["total", *(_total(tile, digits) for tile in tiles)])
        tables.append(rows)
    return tables


def _cell(line: TileLine, digits: int) -> str:
    """Return a weight; in brackets where it takes a fine scale, with two digits at least."""
    if not line.fine_scale:
        return f"{line.mass_g:.{digits}f}"
    finer = max(digits, 2, 1 - math.floor(math.log10(line.mass_g)))
    return f"({line.mass_g:.{finer}f})"


def _total(tile: Tile, digits: int) -> str:
    places = max(digits, 2) if any(line.fine_scale for line in tile.lines) else digits
    return f"{sum(line.mass_g for line in tile.lines):.{places}f}"


def _calculated(series: Series) -> list[str]:
    rows, models = calculated_rows(series)
    coded = series.kind != "rising"
    return table(rows, left=(1,) if coded else (), wrap=range(len(rows[0]) - models, len(rows[0])))


def calculated_rows(series: Series) -> tuple[list[list[str]], int]:
    """Return what is calculated of each tile, below the names of the columns, and how many of these are estimates."""
    models = [(e.quantity, e.model) for e in series.tiles[0].estimates if e.quantity in _SHOWN]
    unities = [tile.unity for tile in series.tiles if tile.unity is not None]
    oxides = [oxide for oxide in ("Al2O3", "B2O3", "SiO2") if any(unity[oxide] > 0.005 for unity in unities)]
    heads = [f"expansion {model}" if quantity == "expansion" else _SHOWN[quantity] for quantity, model in models]
    coded = series.kind != "rising"  # where an addition rises, the tiles are listed by it above
    rows = [["tile", *(["code"] if coded else []), *oxides, "SiO2:Al2O3", *heads]]
    for tile in series.tiles:
        ratio = tile.unity.silica_alumina_ratio if tile.unity is not None else None
        row = [str(tile.number), *([tile.code] if coded else [])]
        row += [f"{tile.unity[oxide]:.2f}" if tile.unity is not None else "-" for oxide in oxides]
        row.append(f"{ratio:.1f}" if ratio is not None else "-")
        found = {(e.quantity, e.model): e for e in tile.estimates}
        row += [_estimate(found[model]) if model in found else "-" for model in models]
        rows.append(row)
    return rows, len(models)


def _ways(series: Series) -> list[str]:
    rows, note = way_rows(series)
    return ["", "From end to end", *table(rows, left=(0, 1, 2)), *wrapped(note)] if rows else []


def way_rows(series: Series) -> tuple[list[list[str]], str]:
    """Return how the estimates move from end to end, direction first, and what the signs mean."""
    rows, moved = [], []
    for way in series.ways:
        shown = [one for one in way.differences if one.quantity in _SHOWN or one.quantity == "log viscosity"]
        for one in shown:
            label = f"tile {way.first} to {way.second}: {one.quantity}, {one.model} [{one.unit}]{' ?' if one.outside else ''}"
            rows.append([label, *change(one)])
        moved += shown
    return rows, star_note(moved)


def _estimate(estimate: Estimate) -> str:
    return f"{value_of(estimate)}{'' if estimate.in_window else ' ?'}"


def _cautions(tiles: Sequence[Tile]) -> list[str]:
    lines = [
        line
        for which, of_tiles in caution_tiles(tiles)
        for line in wrapped(f"{which}, {caution_headline(next(iter(of_tiles.values())))}", hang=4)
    ]
    return ["", "Cautions ('glazecalc check' shows each in full)", *lines] if lines else []


def caution_tiles(tiles: Sequence[Tile]) -> list[tuple[str, dict[int, Caution]]]:
    """Return the cautions of the tiles, gravest first, those of one headline together, each by the number of its tile."""
    where: dict[tuple[int, str], dict[int, Caution]] = {}
    for tile in tiles:
        for caution in tile.cautions:
            where.setdefault((caution.severity.rank, caution_headline(caution)), {}).setdefault(tile.number, caution)
    found = []
    for (_, _), by_tile in sorted(where.items(), key=lambda entry: entry[0][0]):
        which = f"tile{'s' if len(by_tile) > 1 else ''} {', '.join(map(str, by_tile))}"
        found.append(("all tiles" if len(by_tile) == len(tiles) else which, by_tile))
    return found
