"""``glazecalc blend``: a line, a triangle or a rising series of tests, weighed dry or measured wet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from glazecalc.cli.options import (
    convention_from,
    convention_option,
    echo_json,
    echo_notices,
    json_option,
    library_from,
    materials_option,
)
from glazecalc.cli.quantities import MASS, NUMBER
from glazecalc.cli.reformulate_options import range_of
from glazecalc.show.table import table
from glazecalc.show.text import wrapped

if TYPE_CHECKING:
    from glazecalc.reformulate.blend import Series, Tile

__all__ = ("command",)

_SHOWN = {"expansion": "expansion", "softening temperature": "softens deg C"}
_COLUMNS = 8  # tiles side by side on a page of 100 columns


@click.command("blend")
@click.argument("recipes", nargs=-1, required=True)
@click.option(
    "--side",
    type=click.IntRange(2),
    default=5,
    show_default=True,
    help="Tiles along the line, or along each side of the triangle.",
)
@click.option(
    "--rise", multiple=True, metavar="NAME=LOW..HIGH", help="An addition that rises, in % of the base; may repeat."
)
@click.option(
    "--tile",
    type=MASS,
    default="100g",
    show_default=True,
    help="Dry weight of a tile (of its base where an addition rises).",
)
@click.option("--step", type=MASS, default="0.1g", show_default=True, help="The scale's step.")
@click.option(
    "--gravity", type=NUMBER, multiple=True, help="Specific gravity of each slurry, in order, to blend wet; may repeat."
)
@click.option("--density", type=NUMBER, help="Density of the dry solids, g/cm3; by default from the materials.")
@click.option("--csv", "csv_file", metavar="FILE", help="Write the plan as a table for a sheet.")
@materials_option
@convention_option
@json_option
def command(
    recipes: tuple[str, ...],
    side: int,
    rise: tuple[str, ...],
    tile: float,
    step: float,
    gravity: tuple[float, ...],
    density: float | None,
    csv_file: str | None,
    materials: tuple[str, ...],
    convention: tuple[str, ...],
    as_json: bool,
) -> None:
    """A numbered plan of tests between RECIPES: two make a line, three a triangle, one a series with --rise.

    \b
    Example:  glazecalc blend clear.txt black.txt --side 5 --tile 100g
              glazecalc blend clear.txt --rise "cobalt carbonate=0..2" --side 5
              glazecalc blend clear.txt black.txt --gravity 1.45 --gravity 1.55

    Shares are by dry weight. With gravities the volumes are set so that this holds.
    """
    from glazecalc.files.recipes import read_recipe
    from glazecalc.files.text_file import write_text_atomically
    from glazecalc.reformulate.blend import blend

    rising: dict[str, tuple[float, float]] = {}
    for text in rise:
        name, _, ends = text.rpartition("=")
        pair = range_of(ends, "--rise")
        if not name.strip() or pair is None:
            raise click.UsageError(f"'{text}' for --rise is not NAME=LOW..HIGH.")
        rising[name.strip()] = pair
    library = library_from(materials)
    chosen = convention_from(convention)
    written = [read_recipe(path) for path in recipes]
    series = blend(
        written, library, side=side, rising=rising or None, tile_g=tile, step_g=step, gravities=gravity, solids_density_g_cm3=density, convention=chosen
    )  # fmt: skip
    page = "" if as_json else _page(series)
    if csv_file:
        write_text_atomically(csv_file, series_csv(series))
    if as_json:
        echo_json(series.to_dict())
    else:
        click.echo(page)
    echo_notices(series.notices)
    if csv_file:
        click.echo(f"note: the plan is in {csv_file}.", err=True)


def series_csv(series: Series) -> str:
    """Return the plan as CSV: one row a tile; shares, dry and wet amounts of the corners, then the weight of each material."""
    materials = _materials(series)
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    corners = list(series.corners) if series.kind != "rising" else []
    head = ["tile", "code", *(f"{name} share %" for name in corners)]
    head += [f"{name} dry g" for name in corners]
    head += [f"{name} ml" for name in corners] if series.needed_ml else []
    head += [f"{'+ ' if added else ''}{name} g" for (_, added), name in materials.items()]
    head += [f"expansion {e.model} {e.unit}" for e in series.tiles[0].estimates if e.quantity == "expansion"]
    sheet.writerow(head)
    for tile in series.tiles:
        row: list[object] = [tile.number, tile.code]
        if corners:
            row += (
                [f"{100 * share:.1f}" for share in tile.shares]
                + [f"{g:.1f}" for g in tile.corners_g]
                + [f"{ml:.1f}" for ml in tile.corners_ml]
            )
        masses = {(line.material, line.addition): line.mass_g for line in tile.lines}
        row += [f"{masses.get(key, 0.0):g}" for key in materials]
        row += [f"{e.value:.2f}" for e in tile.estimates if e.quantity == "expansion"]
        sheet.writerow(row)
    return out.getvalue()


def _materials(series: Series) -> dict[tuple[str, bool], str]:
    found: dict[tuple[str, bool], str] = {}
    for added in (False, True):
        for tile in series.tiles:
            for line in tile.lines:
                if line.addition == added:
                    found.setdefault((line.material, added), line.name)
    return found


def _page(series: Series) -> str:
    what = {"line": "Line blend", "triaxial": "Triaxial blend", "rising": "Rising addition"}[series.kind]
    lines = [f"{what}: {' / '.join(series.corners)}", "=" * 40]
    lines.append(
        f"{len(series.tiles)} tiles of {series.tile_g:g} g{' base' if series.kind == 'rising' else ' dry'}; weights to {series.step_g:g} g."
    )
    if series.kind != "rising":
        lines += ["", "Mixing from the ends", *table(_mixing(series), left=(1,))]
        lines += [
            f"  In all: {', '.join(f'{name} {g:.0f} g' for name, g in zip(series.corners, series.needed_g, strict=True))} dry, and some to spare."
        ]
        if series.needed_ml:
            wet = ", ".join(f"{name} {ml:.0f} ml" for name, ml in zip(series.corners, series.needed_ml, strict=True))
            lines += [f"  Wet: {wet}. Stir each bucket before every draw."]
    else:
        lines += ["", "Tiles", *table([(str(tile.number), tile.code) for tile in series.tiles], left=(1,))]
    lines += ["", "Weighing each tile from its materials, g", *_weights(series)]
    lines += ["", "Calculated", *table(_calculated(series), left=(1,))]
    if any(not e.in_window for tile in series.tiles for e in tile.estimates if e.quantity in _SHOWN):
        lines.append("  ? outside the range that its model was tested on. Expansion in 1e-6 per K.")
    lines += _cautions(series.tiles)
    coarse = [tile for tile in series.tiles if tile.notices]
    if coarse:
        lines += [
            "",
            *wrapped(
                f"Tile {', '.join(str(tile.number) for tile in coarse)}: {coarse[0].notices[0].message}",
                indent=0,
                hang=2,
            ),
        ]
    return "\n".join(lines)


def _mixing(series: Series) -> list[list[str]]:
    head = ["tile", "code %", *(f"{name[:20]} g" for name in series.corners)]
    head += [f"{name[:20]} ml" for name in series.corners] if series.needed_ml else []
    tiles = [
        [str(t.number), t.code, *(f"{g:.1f}" for g in t.corners_g), *(f"{ml:.1f}" for ml in t.corners_ml)]
        for t in series.tiles
    ]
    return [head, *tiles]


def _weights(series: Series) -> list[str]:
    materials = _materials(series)
    digits = max(0, len(f"{series.step_g:.6f}".rstrip("0").split(".")[1]))
    lines: list[str] = []
    for start in range(0, len(series.tiles), _COLUMNS):
        tiles = series.tiles[start : start + _COLUMNS]
        rows = [["tile", *(str(tile.number) for tile in tiles)]]
        for (key, added), name in materials.items():
            masses = [
                next((line.mass_g for line in tile.lines if (line.material, line.addition) == (key, added)), 0.0)
                for tile in tiles
            ]
            rows.append(
                [f"{'+ ' if added else ''}{name[:32]}", *(f"{mass:.{digits}f}" if mass else "-" for mass in masses)]
            )
        rows.append(["total", *(f"{sum(line.mass_g for line in tile.lines):.{digits}f}" for tile in tiles)])
        lines += [*table(rows), ""]
    return lines[:-1]


def _calculated(series: Series) -> list[list[str]]:
    models = [(e.quantity, e.model) for e in series.tiles[0].estimates if e.quantity in _SHOWN]
    oxides = [
        o for o in ("Al2O3", "B2O3", "SiO2") if any(t.unity is not None and t.unity[o] > 0.005 for t in series.tiles)
    ]
    heads = [
        f"{_SHOWN[quantity]} {model}" if quantity == "expansion" else _SHOWN[quantity] for quantity, model in models
    ]
    rows = [["tile", "code", *oxides, "SiO2:Al2O3", *heads]]
    for tile in series.tiles:
        unity = tile.unity
        ratio = unity.silica_alumina_ratio if unity is not None else None
        cells = [f"{unity[o]:.2f}" if unity is not None else "-" for o in oxides] + [
            f"{ratio:.1f}" if ratio is not None else "-"
        ]
        found = {(e.quantity, e.model): e for e in tile.estimates}
        cells += [
            f"{found[m].value:.{0 if 'deg C' in found[m].unit else 1}f}{'' if found[m].in_window else ' ?'}"
            if m in found
            else "-"
            for m in models
        ]
        rows.append([str(tile.number), tile.code[:30], *cells])
    return rows


def _head(message: str) -> str:
    # the figures in a message are those of one tile
    return message.split(". ", 1)[0].split(": ", 1)[0].split(" (", 1)[0].rstrip(".")


def _cautions(tiles: Sequence[Tile]) -> list[str]:
    where: dict[str, tuple[str, list[int]]] = {}
    for tile in tiles:
        for caution in tile.cautions:
            where.setdefault(caution.code, (caution.message, []))[1].append(tile.number)
    lines = ["", "Cautions (glazecalc check shows each whole)"]
    for message, numbers in where.values():
        which = "all" if len(numbers) == len(tiles) else ", ".join(map(str, numbers))
        lines += wrapped(f"tile {which}: {_head(message)}.", indent=2, hang=4)
    return lines if where else []
