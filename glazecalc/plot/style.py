"""The look of every picture: colours that differ in lightness too, a marker, a line and a hatching for each glaze."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from glazecalc.errors import GlazeError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = (
    "FAINT",
    "INK",
    "PAPER",
    "Look",
    "dress",
    "figure",
    "legend",
    "look",
    "name_lines",
    "name_rows",
    "new_axes",
    "oxide_words",
    "plain_log",
)

INK, FAINT, RULE, PAPER = "#20262b", "#6d757b", "#d9d6cf", "#fdfcf9"
_LETTERS, _SMALL = 9.0, 7.5  # points
_BELOW_AXES = 32.0  # points that the label and numbers of the axis across take
_WIDTH, _TITLE, _NAME = 92, 58, 32  # letters of the line below a title, of a line of the title, and of a name's
_MISSING = 'Install it with: pip install "glazecalc[plot]"'


@dataclass(frozen=True, slots=True)
class Look:
    """How one glaze is told from the others: by more than its colour."""

    colour: str
    marker: str
    line: str
    hatch: str


_LOOKS = (  # dark, middle, dark, light, middle, light: neighbours differ in grey too
    Look("#1d4e6b", "o", "-", ""),
    Look("#d08a2e", "s", "--", "////"),
    Look("#a8486e", "D", "-.", "...."),
    Look("#8fb7a8", "^", ":", "xxxx"),
    Look("#5f6b35", "v", (0, (6, 1, 1, 1)), "\\\\\\\\"),  # type: ignore[arg-type]
    Look("#b9a7cf", "P", (0, (1, 3)), "++++"),  # type: ignore[arg-type]
)


def look(place: int) -> Look:
    """Return the look of the glaze at a place, from 0; beyond six a colour comes back with another marker, line and hatching."""
    again, at = divmod(place, len(_LOOKS))
    other = _LOOKS[(at + again) % len(_LOOKS)]
    return Look(_LOOKS[at].colour, other.marker, other.line, other.hatch)


def name_lines(name: str) -> str:
    """Return the name of a glaze or a material in as many short lines as it needs, that the picture keeps its room."""
    return textwrap.fill(name, _NAME) or name


def name_rows(ax: Axes, names: Sequence[str]) -> None:
    """Write a name at each row of the axes, from 0 on."""
    ax.set_yticks(range(len(names)), [name_lines(name) for name in names])


def _needed() -> None:
    try:
        import matplotlib  # noqa: F401
    except ImportError:
        raise GlazeError("a picture needs matplotlib, which is not installed.", _MISSING) from None


def figure(width_in: float, height_in: float) -> Figure:
    """Return a figure that no window and no notebook holds; GlazeError where matplotlib is missing."""
    _needed()
    from matplotlib.figure import Figure
    from matplotlib.layout_engine import ConstrainedLayoutEngine

    apart = ConstrainedLayoutEngine(w_pad=0.15, h_pad=0.12)
    return Figure(figsize=(width_in, height_in), layout=apart, facecolor=PAPER)


def new_axes(width_in: float = 7.0, height_in: float = 4.6) -> Axes:
    """Return axes of a new figure that a notebook shows; GlazeError where matplotlib is missing."""
    _needed()
    import matplotlib.pyplot as plt
    from matplotlib.layout_engine import ConstrainedLayoutEngine

    apart = ConstrainedLayoutEngine(w_pad=0.08, h_pad=0.08)
    ax: Axes = plt.subplots(figsize=(width_in, height_in), layout=apart, facecolor=PAPER)[1]
    return ax


def dress(ax: Axes, title: str, *, below: str = "", x: str = "", y: str = "", grid: str = "both") -> Axes:
    """Set title, a line below it (how things are counted), labels and the quiet frame; return the axes."""
    lines = textwrap.wrap(below, _WIDTH)
    title = textwrap.fill(title, _TITLE)
    ax.set_title(title, loc="left", fontsize=_LETTERS + 2, fontweight="bold", color=INK, pad=7 + 10 * len(lines))
    if lines:
        ax.annotate(
            "\n".join(lines), (0, 1), (0, 4), xycoords="axes fraction", textcoords="offset points",
            fontsize=_SMALL, color=FAINT, ha="left", va="bottom",
        )  # fmt: skip
    ax.set_xlabel(x, fontsize=_LETTERS, color=INK)
    ax.set_ylabel(y, fontsize=_LETTERS, color=INK)
    ax.tick_params(labelsize=_LETTERS - 1, colors=INK, length=0)
    ax.set_facecolor(PAPER)
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(FAINT)
    ax.set_axisbelow(True)
    if grid:
        ax.grid(visible=True, axis=grid, color=RULE, linewidth=0.7)  # type: ignore[arg-type]
    return ax


def legend(ax: Axes, *, first: Sequence[str] = (), beside: bool = False, below: bool = False) -> None:
    """Draw the legend where anything has a name: those in `first` lead; it stands in the axes, `beside` or `below` them."""
    handles, names = ax.get_legend_handles_labels()
    if not handles:
        return
    order = sorted(range(len(names)), key=lambda at: first.index(names[at]) if names[at] in first else len(first))
    where: dict[str, Any] = {"loc": "best"}
    if beside:
        where = {"loc": "upper left", "bbox_to_anchor": (1.01, 1.0)}
    if below:
        from matplotlib.transforms import ScaledTranslation

        down = ScaledTranslation(0, -_BELOW_AXES / 72, ax.figure.dpi_scale_trans)
        where = {"loc": "upper left", "bbox_to_anchor": (0, 0), "bbox_transform": ax.transAxes + down, "ncols": 3}
    ax.legend(
        [handles[at] for at in order], [name_lines(names[at]) for at in order], fontsize=_SMALL, frameon=not (beside or below),
        framealpha=0.85, edgecolor="none", **where,
    )  # fmt: skip


def plain_log(ax: Axes) -> None:
    """Set the axis across to a log scale whose numbers are written out: 0.01, 0.1, 1."""
    from matplotlib.ticker import FuncFormatter, NullFormatter

    ax.set_xscale("log")
    ax.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    ax.xaxis.set_minor_formatter(NullFormatter())


def oxide_words(oxide: str) -> str:
    """Return an oxide with its figures set low: SiO₂."""
    return re.sub(r"\d+", lambda found: found.group().translate(_LOW), oxide)


_LOW = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
