"""Pictures of what the models say: expansion beside the studio's firings, viscosity over temperature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from glazecalc.cone_temperatures import cone_temperature_c, heat_points
from glazecalc.cones import CONES
from glazecalc.convert.moles import as_row
from glazecalc.errors import CompositionError, ConeError
from glazecalc.estimate.expansion import expansion as expansion_of
from glazecalc.estimate.fired_glazes import fired_glazes
from glazecalc.estimate.firings import FitRange
from glazecalc.estimate.melted import fired_set
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.viscosity import viscosities
from glazecalc.estimate.viscosity import viscosity as viscosity_of
from glazecalc.plot.glazes import DrawnGlaze, Glazes, glazes_of
from glazecalc.plot.style import FAINT, INK, PAPER, dress, legend, look, name_rows, new_axes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ("expansion", "viscosity")

_RESULTS = {"shivered": "v", "sound": "o", "crazed": "x"}  # result of a firing -> marker
_MELTS = {"mature": ("o", "matured"), "running": ("^", "ran"), "unmelted": ("x", "did not melt"), "underfired": ("x", "did not melt")}  # fmt: skip
_STEP_C = 10.0  # between the points of a curve
_APART_C = 16.0  # between two named cones
_FEW = 2  # glazes whose bands can be told apart; of more the curves alone are


def expansion(
    glazes: Glazes, *, firings: FitRange | None = None, level: float = 0.90, title: str = "", ax: Axes | None = None
) -> Axes:
    """Draw the calculated expansion of glazes with its interval, over the studio's own firings on one body.

    Parameters
    ----------
    glazes : CheckReport, Composition, Comparison, or several
        What is drawn; a mapping gives the names.
    firings : FitRange, optional
        From `calibrate`, by the fitted model: what came out sound is shaded, each firing a mark by its result.
    level : float
        Of the interval: 0.80, 0.90 or 0.95.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        Mean linear expansion, 20-300 C, across [1e-6 per K]; a row a glaze.

    Raises
    ------
    CompositionError
        For firings that were calculated by another model than the fitted one.
    UnknownNameError
        For another level.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> gc.plot.expansion({"Harbour Black": glaze}).get_xlabel()
    'mean linear expansion, 20-300 °C [1e-6 per K]'
    """
    drawn = glazes_of(glazes)
    if firings is not None and firings.model != "fitted":
        text = f"the firings were calculated by '{firings.model}', the picture is by 'fitted'."
        raise CompositionError(text, "Numbers of two models are never compared: calibrate with model='fitted'.")
    found = [expansion_of(glaze.mole_percent, level=level) for glaze in drawn]
    rows = len(drawn) + (1 if firings is not None else 0)
    ax = ax if ax is not None else new_axes(7.0, 1.7 + 0.55 * rows)
    for at, one in enumerate(found):
        its = look(at)
        if one.low is not None and one.high is not None:
            ax.plot([one.low, one.high], [at, at], color=its.colour, linewidth=5, alpha=0.35, solid_capstyle="butt")
            ax.plot([one.low, one.high], [at, at], "|", color=its.colour, markersize=11)
        ax.plot(one.value, at, its.marker, color=its.colour, markersize=8, markeredgecolor=INK)
        ax.annotate(
            _words(one), (one.value, at), (0, 9), textcoords="offset points", ha="center", fontsize=7.5, color=INK
        )
    names = [glaze.name for glaze in drawn]
    below = f"By the fitted model; the bar holds {100 * level:.0f} % of measured glasses like it. A calculated number, not a measured one."
    if firings is not None:
        _fired(ax, firings, len(drawn))
        names.append(f"fired on {firings.body}")
        below += f" Shaded: what came out sound on {firings.body}."
        legend(ax, beside=True)
    name_rows(ax, names)
    ax.set_ylim(rows - 0.4, -0.7)
    unit = "mean linear expansion, 20-300 °C [1e-6 per K]"
    return dress(ax, title or "Thermal expansion", below=below, x=unit, grid="x")


def _words(one: Estimate) -> str:
    half = f" ± {(one.high - one.low) / 2:.1f}" if one.low is not None and one.high is not None else ""
    return f"{one.value:.1f}{half}{'' if one.in_window else '  outside the tested range'}"


def _fired(ax: Axes, firings: FitRange, row: int) -> None:
    """Draw the firings on a row of their own, and what came out sound behind all rows."""
    if firings.good is not None:
        low, high = firings.good
        ax.axvspan(low, high, facecolor="#e6ede4", hatch="//", edgecolor=PAPER, linewidth=0, zorder=0)
        if low == high:  # one glaze: a line, where a span would not be seen
            ax.axvline(low, color="#cfdcca", linewidth=5, zorder=0)
    for result, marker in _RESULTS.items():
        mine = [one.expansion for one in firings.results if one.result == result]
        if mine:
            ax.plot(mine, [row] * len(mine), marker, color=INK, markersize=6, markerfacecolor="none", label=f"{result} ({len(mine)})")  # fmt: skip


def viscosity(
    glazes: Glazes,
    *,
    temperatures_c: tuple[float, float] = (950.0, 1320.0),
    observations: bool = False,
    level: float = 0.90,
    title: str = "",
    ax: Axes | None = None,
) -> Axes:
    """Draw the viscosity of the clear melt over temperature, its interval as a band, the cones along the top.

    Parameters
    ----------
    glazes : CheckReport, Composition, Comparison, or several
        What is drawn; a mapping gives the names. A report is marked at its own firing.
    temperatures_c : tuple of float
        From and to [deg C].
    observations : bool
        Show the published glazes that were fired at their temperature, each with what came of it.
    level : float
        Of the interval: 0.80, 0.90 or 0.95.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        Temperature across [deg C], log10 of the viscosity up [Pa s].

    Raises
    ------
    CompositionError
        Where the model has no viscosity for a glaze, or the temperatures are no range.
    UnknownNameError
        For another level.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> report = gc.check(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> gc.plot.viscosity(report).get_ylabel()
    'log₁₀ viscosity [Pa s]'
    """
    low, high = temperatures_c
    if not low < high:
        raise CompositionError(f"{low:g} to {high:g} C is no range of temperatures.", "Give (950, 1320).")
    drawn = glazes_of(glazes)
    ax = ax if ax is not None else new_axes(8.2, 4.8)
    at_c = [float(one) for one in np.linspace(low, high, max(2, round((high - low) / _STEP_C) + 1))]
    if observations:
        _observed(ax, low, high)
    for at, glaze in enumerate(drawn):
        _curve(ax, glaze, at, at_c, level, crowded=len(drawn) > _FEW)
    _yardsticks(ax)
    ax.set_xlim(low, high)
    _cones(ax, low, high, {label for glaze in drawn for label in _own(glaze)})
    legend(ax, first=[glaze.name for glaze in drawn], below=True)
    below = f"Clear melt by the fitted model; the band holds {100 * level:.0f} % of measured melts. Grains and crystals stiffen a glaze. Cones as a chart prints them, at 60 °C an hour."
    return dress(ax, title or "How stiff the melt is", below=below, x="temperature [°C]", y="log₁₀ viscosity [Pa s]")


def _curve(ax: Axes, glaze: DrawnGlaze, at: int, at_c: Sequence[float], level: float, *, crowded: bool) -> None:
    from matplotlib.patheffects import Normal, Stroke

    its = look(at)
    found = [viscosity_of(glaze.mole_percent, temperature_c=celsius, level=level) for celsius in at_c]
    ax.plot(
        at_c,
        [one.value for one in found],
        color=its.colour,
        linestyle=its.line,
        linewidth=2,
        label=glaze.name,
        zorder=4,
        path_effects=[Stroke(linewidth=3.2, foreground=INK), Normal()] if crowded else None,
    )
    ends = [(one.low, one.high) for one in found]
    if all(end is not None for pair in ends for end in pair):
        lows, highs = zip(*ends, strict=True)
        ax.fill_between(
            at_c,
            lows,
            highs,
            facecolor=its.colour,
            alpha=0.09 if crowded else 0.18,
            hatch="" if crowded else its.hatch,
            edgecolor=its.colour,
            linewidth=0.4,
        )
    for one in glaze.estimates("viscosity", "fitted"):
        if one.temperature_range_c is not None:
            ax.plot(one.temperature_range_c[0], one.value, its.marker, color=its.colour, markersize=9, markeredgecolor=INK, zorder=5)  # fmt: skip


def _yardsticks(ax: Axes) -> None:
    """Mark the viscosities that fired glazes and bending cones are known by."""
    of = fired_set()
    for value, words in (
        (of.stiff_as_a_cone.value, "a cone that bends"),
        (of.viscosity.melt_upper_tenth, "most that matured lie below"),
        (of.viscosity.run_lower_tenth, "most that matured and stayed lie above"),
    ):
        ax.axhline(value, color=FAINT, linewidth=0.8, linestyle=(0, (1, 2)), zorder=1)
        ax.annotate(
            words, (1.01, value), xycoords=("axes fraction", "data"), ha="left", va="center", fontsize=7, color=FAINT
        )


def _own(glaze: DrawnGlaze) -> list[str]:
    """Return the cones that a report is fired at."""
    if glaze.report is None or not glaze.report.cone:
        return []
    try:
        return [point.cone.label for point in heat_points(glaze.report.cone) if point.cone is not None]
    except ConeError:
        return []


def _cones(ax: Axes, low: float, high: float, own: set[str]) -> None:
    """Name the cones along the top, those of the glazes first and then as many as there is room for."""
    found: dict[str, float] = {}
    for label in (*sorted(own), *(str(cone) for cone in CONES)):
        try:
            celsius = cone_temperature_c(label).celsius
        except ConeError:
            continue
        if low < celsius < high and all(abs(celsius - other) >= _APART_C for other in found.values()):
            found[label] = celsius
    top = ax.secondary_xaxis("top")
    top.set_xticks(list(found.values()), list(found))
    top.tick_params(labelsize=7.5, length=3, colors=FAINT, direction="in", pad=-12)
    top.spines["top"].set_visible(False)
    top.set_zorder(6)  # above the curves and lines, which would strike the names through
    for words in top.get_xticklabels():
        words.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
    for label, celsius in found.items():
        ax.axvline(celsius, color=FAINT, linewidth=1.2 if label in own else 0.4, linestyle=":", zorder=1)


def _observed(ax: Axes, low: float, high: float) -> None:
    kinds: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for one in fired_glazes():
        value = float(viscosities(as_row(one.mole_percent), one.temperature_c)[0])
        if np.isfinite(value) and low <= one.temperature_c <= high:
            marker, said = _MELTS[one.melt]
            if one.moved and one.melt == "mature":
                marker, said = "s", "matured, moved a good deal"
            kinds.setdefault((said, marker), []).append((one.temperature_c, value))
    for (said, marker), points in sorted(kinds.items()):
        ax.plot(
            *zip(*points, strict=True), marker, color=FAINT, markersize=4.5, markerfacecolor="none", linestyle="none",
            label=f"fired: {said} ({len(points)})", zorder=2,
        )  # fmt: skip
