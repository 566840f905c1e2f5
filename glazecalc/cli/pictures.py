"""The option ``--plot``: a sheet of pictures beside the page, written with the other files of the call."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from glazecalc.errors import Notice

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ("drawn", "plot_option")

_ENDINGS = ("png", "svg", "pdf")


def _ending_of(path: str) -> str:
    return path.rpartition(".")[2].lower()


def _known(_ctx: click.Context, _param: click.Parameter, path: str | None) -> str | None:
    if path is not None and _ending_of(path) not in _ENDINGS:
        raise click.UsageError(f"--plot '{path}' does not end in .png, .svg or .pdf: the ending says what is written.")
    return path


plot_option = click.option(
    "--plot",
    "plot_file",
    metavar="FILE",
    callback=_known,
    help="Write pictures of it too: FILE.png, .svg or .pdf; needs the extra 'plot'.",
)


def drawn(path: str | None, sheet: Callable[[], Figure]) -> tuple[list[tuple[str, str | bytes]], list[Notice]]:
    """Return the file of a sheet and the notice that says where it is; nothing where none was asked."""
    if path is None:
        return [], []
    from glazecalc.plot.sheets import as_file

    return [(path, as_file(sheet(), _ending_of(path)))], [Notice("picture-written", f"the pictures are in {path}.")]
