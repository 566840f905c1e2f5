"""Pictures of how sure a number is: what one part more of a bag does, and how far the bags' tolerances move it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, TypeAlias

from glazecalc.errors import UnknownNameError, did_you_mean
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.spread import SampledRange, Spread
from glazecalc.plot.style import FAINT, INK, PAPER, dress, look, name_rows, new_axes, oxide_words
from glazecalc.sentences import capital

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

__all__ = ("sensitivity", "spread")

Counted: TypeAlias = Literal["unity", "weight percent"]


def sensitivity(changes: pd.DataFrame, *, of: str = "SiO2:Al2O3", title: str = "", ax: Axes | None = None) -> Axes:
    """Draw what one part more of each material does to one number.

    Parameters
    ----------
    changes : DataFrame
        From `gc.sensitivity`.
    of : str
        One of its columns: ``"SiO2:Al2O3"``, an oxide or an estimate.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        One bar a material, the largest change on top; what lowers the number is hatched.

    Raises
    ------
    UnknownNameError
        For a column that is not there.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> changes = gc.sensitivity(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> gc.plot.sensitivity(changes, of="expansion").get_xlabel()
    'change of expansion [1e-6 per K]'
    """
    if of not in changes.columns:
        known = [str(column) for column in changes.columns]
        raise UnknownNameError(
            f"the table has no column '{of}'.", did_you_mean(of, known) or f"It has {', '.join(known)}."
        )
    column = changes[of].dropna().astype(float)
    ordered = column.reindex(column.abs().sort_values(ascending=False).index)
    ax = ax if ax is not None else new_axes(7.0, 1.7 + 0.34 * len(ordered))
    for row, value in enumerate(ordered.to_list()):
        its = look(1 if value < 0 else 0)
        ax.barh(row, value, 0.66, color=its.colour, hatch=its.hatch, edgecolor=PAPER, linewidth=0.4)
        away = -3 if value < 0 else 3
        ax.annotate(
            f"{value:+#.2g}".rstrip(".") if value else "0", (value, row), (away, 0), textcoords="offset points", ha="right" if value < 0 else "left",
            va="center", fontsize=7.5, color=INK,
        )  # fmt: skip
    ax.axvline(0, color=FAINT, linewidth=0.8)
    name_rows(ax, [str(name) for name in ordered.index])
    ax.set_ylim(len(ordered) - 0.4, -0.6)
    ax.margins(x=0.18)
    attrs = changes.attrs
    unit = "by moles" if ":" in of else attrs.get("units", {}).get(of, "")
    is_estimate = ":" not in of and unit not in ("", attrs.get("unit"))
    words = of if is_estimate else oxide_words(of).replace(":", " : ")
    more, counted_in = attrs.get("parts_more", 1.0), attrs.get("counted_in", "parts")
    below = (
        f"{more:g} {'part' if (more, counted_in) == (1, 'parts') else counted_in} more of each, the other lines as they are."
        + ("" if is_estimate else f" {attrs.get('convention', '')}.")
    )
    label = f"change of {words}{f' [{unit}]' if unit else ''}"
    return dress(ax, title or f"What a little more does to {words}", below=below, x=label, grid="x")


def spread(found: Spread, *, of: Counted | Estimate = "unity", title: str = "", ax: Axes | None = None) -> Axes:
    """Draw how far the bags' tolerances move the numbers of a recipe.

    Parameters
    ----------
    found : Spread
        From `gc.spread`.
    of : str or Estimate
        ``"unity"``, ``"weight percent"``, or an estimate that was drawn with it.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        From low to high: oxides as per cent of the middle of each, so that bars of equal length are equally unsure for their size,
        with the ends themselves beside them. An estimate is drawn by its bags alone, by its model alone, and by both together where the
        spread has that.

    Raises
    ------
    UnknownNameError
        For an estimate that the spread has not.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> found = gc.spread(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> gc.plot.spread(found).get_xlabel()
    'from the middle of each [% of it]'
    """
    also = "".join(f" {capital(said)}." for said in found.basis[1:])  # the scale, and moist clays
    share = f"{100 * found.level:.0f} % of {found.samples} random draws of the analyses lie in a bar.{also}"
    if of in ("unity", "weight percent"):
        ranges = {oxide: ends for oxide, ends in (found.unity if of == "unity" else found.fired).items() if ends.high}
        unit, least = ("mol in the unity formula", 0.005) if of == "unity" else ("wt % of the fired glaze", 0.05)
        rows = {oxide_words(oxide): ends for oxide, ends in ranges.items() if ends.high >= least}
        traces = [oxide_words(oxide) for oxide, ends in ranges.items() if ends.high < least]
        if of == "unity":
            share = f"{found.convention.description}. {share}"
        if traces:
            share += f" Below {least:g} and left out: {', '.join(traces)}."
        ax = _bars(ax, rows, of_its_middle=True)
        ax.axvline(0, color=FAINT, linewidth=0.8)
        ax.margins(x=0.08)
        share += f" At the right the ends in {unit}."
        return dress(
            ax, title or "Where the bags may put it", below=share, x="from the middle of each [% of it]", grid="x"
        )
    if isinstance(of, str) or of.name not in found.estimates:
        known = ["unity", "weight percent", *found.estimates]
        name = of if isinstance(of, str) else of.name
        hint = did_you_mean(name, known) or f"It has {', '.join(known)}."
        raise UnknownNameError(f"the spread has no '{name}'.", hint)
    rows = {"bags alone": found.estimates[of.name]}
    if of.low is not None and of.high is not None:
        rows["model alone"] = SampledRange(of.low, of.high)
    if of.name in found.estimates_with_model_error:
        rows["bags and model"] = found.estimates_with_model_error[of.name]
    ax = _bars(ax, rows)
    ax.axvline(of.value, color=INK, linewidth=1, linestyle=":")
    return dress(ax, title or f"How sure: {of.name}", below=share, x=f"{of.quantity} [{of.unit}]", grid="x")


def _bars(ax: Axes | None, rows: dict[str, SampledRange], *, of_its_middle: bool = False) -> Axes:
    ax = ax if ax is not None else new_axes(7.0, 1.7 + 0.32 * len(rows))
    its = look(0)
    for row, ends in enumerate(rows.values()):
        middle = (ends.low + ends.high) / 2
        drawn = [100 * (end / middle - 1) for end in ends] if of_its_middle else list(ends)
        ax.plot(drawn, [row, row], color=its.colour, linewidth=6, alpha=0.45, solid_capstyle="butt")
        ax.plot(drawn, [row, row], "|", color=its.colour, markersize=9)
        ax.annotate(
            _ends(ends), (1.01, row), xycoords=("axes fraction", "data"), ha="left",
            va="center", fontsize=7.5, color=INK,
        )  # fmt: skip
    name_rows(ax, list(rows))
    ax.set_ylim(len(rows) - 0.4, -0.6)
    return ax


def _ends(ends: SampledRange) -> str:
    """Return both ends with two digits of the distance between them, three decimals at most: 3.51 to 3.65, 0.008 to 0.035."""
    apart = ends.high - ends.low
    digits = 2 if apart <= 0 else min(3, max(1, 1 - math.floor(math.log10(apart))))
    low, high = (f"{end:.{digits}f}" for end in ends)
    return low if low == high else f"{low} to {high}"
