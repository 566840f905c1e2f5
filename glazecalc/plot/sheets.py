"""The pictures of a whole result on one sheet, as the commands write them, and the bytes of its file."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from typing import TYPE_CHECKING

from glazecalc.check_report import CheckReport
from glazecalc.comparison import Comparison
from glazecalc.errors import GlazeError
from glazecalc.estimate.firings import FitRange
from glazecalc.heat import heat_words
from glazecalc.plot.chemistry import contributions, oxides, silica_alumina
from glazecalc.plot.melt import expansion, viscosity
from glazecalc.plot.style import FAINT, INK, figure
from glazecalc.plot.tiles import RATIO, line_blend, triaxial
from glazecalc.reformulate.series import Series

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ("as_file", "blend_sheet", "check_sheet", "compare_sheet")

_TITLE = 110  # letters of a line of it
Draw = Callable[["Axes"], "Axes"]


def check_sheet(report: CheckReport, firings: FitRange | None = None) -> Figure:
    """Return the sheet of one recipe: its oxides, what brings them, where it stands, how it expands and melts."""
    at = f", {heat_words(report.cone)}" if report.cone else ""
    return _sheet(
        f"{report.batch.recipe.name or 'no title'}{at}",
        [
            (
                6.0,
                [
                    lambda ax: oxides(report, counted="unity" if report.unity is not None else "mole percent", ax=ax),
                    lambda ax: contributions(report, ax=ax),
                ],
            ),
            (5.5, [lambda ax: silica_alumina(report, ax=ax), lambda ax: viscosity(report, ax=ax)]),
            (2.6, [lambda ax: expansion(report, firings=firings, ax=ax)]),
        ],
    )


def compare_sheet(found: Comparison) -> Figure:
    """Return the sheet of two recipes side by side."""
    both = found.a.unity is not None and found.b.unity is not None
    return _sheet(
        " and ".join(one.batch.recipe.name or "no title" for one in (found.a, found.b)),
        [
            (
                6.5,
                [
                    lambda ax: oxides(found, counted="unity" if both else "mole percent", ax=ax),
                    lambda ax: silica_alumina(found, ax=ax),
                ],
            ),
            (5.0, [lambda ax: expansion(found, ax=ax), lambda ax: viscosity(found, ax=ax)]),
        ],
    )


def blend_sheet(series: Series) -> Figure:
    """Return the sheet of a plan of tiles: the ratio, and each fitted estimate that says how it fires."""
    names = dict.fromkeys(one.name for tile in series.tiles for one in tile.estimates)
    shown = [name for name in names if name.startswith(("expansion", "viscosity")) and name.endswith("fitted")]
    height = 6.0 if series.kind == "triaxial" else 4.5
    return _sheet(" / ".join(series.corners), [(height, [_of_tiles(series, of) for of in (RATIO, *shown)])])


def _of_tiles(series: Series, of: str) -> Draw:
    draw = triaxial if series.kind == "triaxial" else line_blend
    return lambda ax: draw(series, of=of, ax=ax)


def _sheet(title: str, rows: list[tuple[float, list[Draw]]]) -> Figure:
    """Draw rows of pictures, each with its height [in]; where one cannot be drawn its place says why."""
    heights = [height for height, _ in rows]
    made = figure(max(16.0, *(6.5 * len(drawn) for _, drawn in rows)), sum(heights) + 0.5)
    made.suptitle(textwrap.fill(title, _TITLE), x=0.01, ha="left", fontsize=15, fontweight="bold", color=INK)
    grid = made.add_gridspec(len(rows), 1, height_ratios=heights)
    for row, (_, drawn) in enumerate(rows):
        places = grid[row].subgridspec(1, len(drawn))
        for column, draw in enumerate(drawn):
            ax = made.add_subplot(places[column])
            try:
                draw(ax)
            except GlazeError as error:
                ax.clear()
                ax.set_axis_off()
                ax.text(0.5, 0.5, f"{error.message}\n{error.hint}", ha="center", va="center", wrap=True, color=FAINT)
    return made


def as_file(drawn: Figure, ending: str) -> bytes:
    """Return the file of a figure, ``png``, ``svg`` or ``pdf``: the same figure gives the same bytes."""
    from io import BytesIO

    import matplotlib as mpl

    undated: dict[str, str | None] = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(ending, {})  # type: ignore[assignment]
    held = BytesIO()
    with mpl.rc_context({"svg.hashsalt": "glazecalc"}):
        drawn.savefig(held, format=ending, dpi=120, metadata=undated)
    return held.getvalue()
