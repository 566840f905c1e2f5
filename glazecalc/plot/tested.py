"""The picture of laboratory results: how far each lies from the limits that it was held against."""

from __future__ import annotations

from typing import TYPE_CHECKING

from glazecalc.display import RECALLED
from glazecalc.errors import CompositionError
from glazecalc.lab.report import LabReport, LabRow
from glazecalc.plot.style import FAINT, INK, PAPER, dress, legend, look, new_axes, plain_log
from glazecalc.release import ELEMENTS, EXTRACTIONS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ("release",)

_STANDINGS = {  # in words -> look, marker
    "over the limit": (2, "X"),
    "at the limit": (1, "s"),
    "under the limit": (0, "o"),
    "kept by further pieces": (3, "D"),
    "cannot show": (4, "$?$"),
}
_LAW = ("legal_limit", "legal_limit_where_adopted", "enforcement_guideline")


def release(report: LabReport, *, title: str = "", ax: Axes | None = None) -> Axes:
    """Draw release results against the limits of each text, as times the limit on a log scale.

    Parameters
    ----------
    report : LabReport
        From `lab_report`.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        One row a text that was compared; result and limit stand in their unit at its end. An arrow: below detection.

    Raises
    ------
    CompositionError
        Where no text could be compared.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> lead = gc.ReleaseResult(element="Pb", value=0.03, unit="mg/dm2")
    >>> report = gc.lab_report([lead], gc.Ware(kind="plate", depth_mm=18), where="eu")
    >>> gc.plot.release(report).get_xlabel()
    'result over limit [times the limit], log scale'
    """
    rows = [row for row in report.rows if row.ratio is not None and row.ratio > 0]
    nothing = [row for row in report.rows if row.ratio == 0]
    left = len(report.rows) - len(rows) - len(nothing)
    if not rows:
        raise CompositionError("no result above zero was held against a limit.", "Read the page: print(report).")
    ax = ax if ax is not None else new_axes(8.6, 1.9 + 0.3 * len(rows))
    named: set[str] = set()
    for at, row in enumerate(rows):
        ratio = row.ratio or 0.0
        said = _said(row)
        place, marker = _STANDINGS[said]
        ax.plot([1.0, ratio], [at, at], color=look(place).colour, linewidth=1.4, alpha=0.6, zorder=2)
        ax.plot(
            ratio, at, marker=marker, color=look(place).colour, markeredgecolor=INK, markeredgewidth=0.7, markersize=7, zorder=4,
            markerfacecolor=look(place).colour if row.legal_status in _LAW else PAPER, linestyle="none",
        )  # fmt: skip
        if said not in named:
            ax.plot([], [], marker=marker, color=look(place).colour, markeredgecolor=INK, linestyle="none", label=said)
        if row.below:
            ax.annotate("", (ratio / 1.6, at), (ratio, at), arrowprops={"arrowstyle": "->", "color": INK}, zorder=3)
        named.add(said)
        ax.annotate(
            f"{row.measured_text}, limit {row.limit:g} {row.unit}{'*' if row.recalled else ''}", (1.01, at), xycoords=("axes fraction", "data"),
            ha="left", va="center", fontsize=7, color=INK,
        )  # fmt: skip
    ax.axvline(1.0, color=INK, linewidth=1.4, zorder=1)
    plain_log(ax)
    ax.margins(x=0.12)
    ax.set_yticks(range(len(rows)), [_name(row) for row in rows])
    ax.set_ylim(len(rows) - 0.4, -0.9)
    ax.annotate("the limit", (1.0, -0.75), (3, 0), textcoords="offset points", fontsize=7, color=FAINT, va="center")
    rest = [
        f"{left} rows could not be compared: read the page." if left else "",
        "Results of zero are not on a log scale." if nothing else "",
        f"Star: {RECALLED}." if any(row.recalled for row in rows) else "",
    ]
    below = " ".join(
        ["No row is a verdict on the ware. Filled: law and its enforcement; hollow: advice, standards, borrowed figures.",
         "Arrow: below detection.", *filter(None, rest)]
    )  # fmt: skip
    legend(ax, first=list(_STANDINGS), below=True)
    return dress(
        ax,
        title or f"Release from a {report.ware.kind}",
        below=below,
        x="result over limit [times the limit], log scale",
        grid="x",
    )


def _said(row: LabRow) -> str:
    if row.further_sample:
        return "kept by further pieces"
    return "cannot show" if row.standing == "cannot show" else f"{row.standing} the limit"


def _name(row: LabRow) -> str:
    fill = f", {EXTRACTIONS[row.extraction]} extraction" if row.extraction not in (None, 1) else ""
    borrowed = ", borrowed figure" if row.legal_status == "comparator" else ""
    return f"{ELEMENTS[row.element]}: {row.short_name or row.document}{fill}{borrowed}"
