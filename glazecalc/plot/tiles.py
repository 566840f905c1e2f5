"""Pictures of a plan of tiles: a number over the triangle, or along a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from glazecalc.errors import CompositionError, UnknownNameError, did_you_mean
from glazecalc.estimate.result import Estimate, decimals
from glazecalc.plot.style import INK, PAPER, RULE, dress, look, new_axes, oxide_words
from glazecalc.reformulate.series import Series, Tile

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ("line_blend", "triaxial")

RATIO = "SiO2:Al2O3"
_LEVELS = 9  # shades of a triangle
_LIGHT, _DARK = "#f3efe2", "#1d4e6b"
_HEIGHT = math.sqrt(3) / 2


def triaxial(
    series: Series,
    *,
    of: str = RATIO,
    seen: Mapping[int, str] | None = None,
    title: str = "",
    ax: Axes | None = None,
) -> Axes:
    """Draw a number over the triangle of a triaxial blend, its tiles numbered.

    Parameters
    ----------
    series : Series
        A triaxial, from `blend`.
    of : str
        ``"SiO2:Al2O3"``, an oxide of the unity formula, or an estimate: ``"expansion"`` (by the fitted model), ``"expansion, appen"``.
    seen : mapping, optional
        Number of a tile -> what came of it, in a word or two; it stands below the tile's value.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        The first recipe on top, the second left, the third right; each tile with its number and value.

    Raises
    ------
    CompositionError
        For a series that is no triaxial.
    UnknownNameError
        For a number that the tiles have not, or something seen on a tile that is not there.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> cards = [gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "chalk-satin", "harbour-black")]
    >>> series = gc.blend(cards, gc.load_materials("materials"), side=4)
    >>> gc.plot.triaxial(series).get_title(loc="left")
    'SiO₂ : Al₂O₃ over the triangle'
    """
    if series.kind != "triaxial":
        raise CompositionError(
            f"this is a {series.kind} series, no triaxial.", "Draw it with gc.plot.line_blend(series)."
        )
    words, unit, found = _values(series, of)
    told = _seen(series, seen)
    ax = ax if ax is not None else new_axes(7.0, 6.4)
    at = {tile.number: _place(tile) for tile in series.tiles}
    _shade(
        ax,
        [(*at[tile.number], value) for tile, (value, _) in zip(series.tiles, found, strict=True) if value is not None],
        f"{words}{unit}",
    )
    for tile, (value, digits) in zip(series.tiles, found, strict=True):
        x, y = at[tile.number]
        text = f"{tile.number}\n{value:.{digits}f}" if value is not None else f"{tile.number}\nnone"
        text += told[tile.number]
        ax.text(
            x, y, text, ha="center", va="center", fontsize=7, color=INK, linespacing=1.25, zorder=4,
            bbox={"boxstyle": "round,pad=0.35", "facecolor": PAPER, "edgecolor": INK, "linewidth": 0.6},
        )  # fmt: skip
    for (x, y), name, side, beside in zip(
        ((0.0, _HEIGHT + 0.08), (-0.5, -0.08), (0.5, -0.08)),
        series.corners,
        ("center",) * 3,
        ("bottom", "top", "top"),
        strict=True,
    ):
        ax.text(x, y, name, ha=side, va=beside, fontsize=9, fontweight="bold", color=INK)
    dress(ax, title or f"{words} over the triangle", below=_below(series), grid="")
    ax.set_aspect("equal")
    ax.set_axis_off()
    ax.set_xlim(-0.68, 0.68)
    ax.set_ylim(-0.2, _HEIGHT + 0.18)
    return ax


def _place(tile: Tile) -> tuple[float, float]:
    first, second, third = tile.shares
    return (third - second) / 2, first * _HEIGHT


def _shade(ax: Axes, points: list[tuple[float, float, float]], label: str) -> None:
    """Shade between the tiles that have a value; darker is more. Nothing to shade where they are all alike."""
    from matplotlib.colors import LinearSegmentedColormap

    ax.plot([0, -0.5, 0.5, 0], [_HEIGHT, 0, 0, _HEIGHT], color=RULE, linewidth=1, zorder=1)
    values = {value for _, _, value in points}
    if len(points) < 3 or len(values) == 1:
        return
    colours = LinearSegmentedColormap.from_list("glaze", [_LIGHT, _DARK])
    x, y, z = zip(*points, strict=True)
    drawn = ax.tricontourf(x, y, z, levels=_LEVELS, cmap=colours, alpha=0.9, zorder=2)
    ax.tricontour(x, y, z, levels=_LEVELS, colors=PAPER, linewidths=0.6, zorder=3)
    bar = ax.get_figure().colorbar(drawn, ax=ax, shrink=0.6, pad=0.02)  # type: ignore[union-attr]
    bar.set_label(label, fontsize=8, color=INK)
    bar.ax.tick_params(labelsize=7.5, colors=INK, length=0)
    bar.outline.set_visible(False)


def line_blend(
    series: Series,
    *,
    of: str = RATIO,
    seen: Mapping[int, str] | None = None,
    title: str = "",
    ax: Axes | None = None,
) -> Axes:
    """Draw a number along a line blend or a rising series, tile by tile; an estimate with its interval.

    Parameters
    ----------
    series : Series
        A line blend or a rising series, from `blend`.
    of : str
        As for `triaxial`.
    seen : mapping, optional
        As for `triaxial`; it stands below the tile's code.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        The tiles across, by number and code; the value up.

    Raises
    ------
    CompositionError
        For a triaxial.
    UnknownNameError
        For a number that the tiles have not, or something seen on a tile that is not there.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> cards = [gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "harbour-black")]
    >>> series = gc.blend(cards, gc.load_materials("materials"), side=4)
    >>> gc.plot.line_blend(series, of="expansion, fitted").get_ylabel()
    'expansion, fitted [1e-6 per K]'
    """
    if series.kind == "triaxial":
        raise CompositionError("this is a triaxial, no line.", "Draw it with gc.plot.triaxial(series).")
    words, unit, found = _values(series, of)
    told = _seen(series, seen)
    ax = ax if ax is not None else new_axes(1.8 + 0.9 * max(4, len(series.tiles)), 4.2)
    its = look(0)
    drawn = [
        (tile, value, digits) for tile, (value, digits) in zip(series.tiles, found, strict=True) if value is not None
    ]
    ax.plot([tile.number for tile, _, _ in drawn], [value for _, value, _ in drawn], marker=its.marker, color=its.colour, markersize=7, markeredgecolor=INK)  # fmt: skip
    for tile, value, digits in drawn:
        one = _estimate(tile, of)
        if one is not None and one.low is not None and one.high is not None:
            ax.plot([tile.number] * 2, [one.low, one.high], color=its.colour, linewidth=5, alpha=0.3)
        ax.annotate(
            f"{value:.{digits}f}", (tile.number, value), (8, 4), textcoords="offset points", fontsize=7.5, color=INK
        )
    names = [f"{tile.number}\n{tile.code}{told[tile.number]}" for tile in series.tiles]
    ax.set_xticks([tile.number for tile in series.tiles], names)
    ax.margins(x=0.08)
    usual = f"{words}: {' to '.join(series.corners)}"
    return dress(ax, title or usual, below=_below(series), x="tile, by number and code", y=f"{words}{unit}", grid="y")


def _seen(series: Series, seen: Mapping[int, str] | None) -> dict[int, str]:
    """Return what is told of each tile as a line of its own, an empty text where nothing is."""
    numbers = [tile.number for tile in series.tiles]
    strange = [number for number in seen or {} if number not in numbers]
    if strange:
        text = f"there is no tile {', '.join(map(str, strange))}."
        raise UnknownNameError(text, f"The tiles are numbered from 1 to {len(numbers)}.")
    return {number: f"\n{seen[number]}" if seen and number in seen else "" for number in numbers}


def _below(series: Series) -> str:
    return (
        f"{series.convention.description}. Shares by dry weight."
        if series.kind != "rising"
        else f"{series.convention.description}."
    )


def _estimate(tile: Tile, of: str) -> Estimate | None:
    return next((one for one in tile.estimates if one.name == of), None)


def _whole_name(series: Series, of: str) -> str:
    """Return the estimate that a bare quantity means, ``expansion`` for ``expansion, fitted``: its one model, else the fitted one."""
    names = dict.fromkeys(one.name for tile in series.tiles for one in tile.estimates)
    meant = [name for name in names if name.startswith((f"{of}, ", f"{of} at "))]
    fitted = [name for name in meant if name.endswith(", fitted")]
    return next((found[0] for found in (meant, fitted) if len(found) == 1), of)


def _values(series: Series, of: str) -> tuple[str, str, list[tuple[float | None, int]]]:
    """Return what is drawn in words, its unit in brackets, and each tile's value with the digits it is worth."""
    of = _whole_name(series, of)
    met = [one for tile in series.tiles if (one := _estimate(tile, of)) is not None]
    if met:
        digits = decimals(met[0].unit)
        values = [_estimate(tile, of) for tile in series.tiles]
        return of, f" [{met[0].unit}]", [(one.value if one is not None else None, digits) for one in values]
    if of == RATIO:
        ratios = [tile.unity.silica_alumina_ratio if tile.unity is not None else None for tile in series.tiles]
        return "SiO₂ : Al₂O₃", " [by moles]", [(ratio, 1) for ratio in ratios]
    oxides = {oxide for tile in series.tiles for oxide in tile.unity_moles}
    if of not in oxides:
        known = [RATIO, *sorted(oxides), *dict.fromkeys(one.name for tile in series.tiles for one in tile.estimates)]
        raise UnknownNameError(f"the tiles have no '{of}'.", did_you_mean(of, known) or f"Known: {', '.join(known)}.")
    amounts = [(tile.unity.get(of, 0.0) if tile.unity is not None else None, 2) for tile in series.tiles]
    return oxide_words(of), f" [{oxide_words(series.convention.unit)}]", list(amounts)
