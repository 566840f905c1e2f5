"""``glazecalc open``: serve a studio's folder as pages in the browser."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from importlib.util import find_spec
from typing import TYPE_CHECKING

import click

from glazecalc.errors import GlazeError

if TYPE_CHECKING:
    from glazecalc.workbench.bench import Bench

__all__ = ("command",)

_NEEDED = ("starlette", "uvicorn")


@click.command("open")
@click.argument("folder", metavar="FOLDER")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="The port to listen on; else a free one.")
@click.option("--no-browser", is_flag=True, help="Print the address, and open no browser.")
@click.option(
    "--lan", is_flag=True, help="Let a phone on the same network in too, by a code, to read and to tick weighing lists."
)
def command(folder: str, port: int | None, no_browser: bool, lan: bool) -> None:
    """Work on the glazes of a FOLDER in the browser: type a card and see at once what it comes to; save, undo, search.

    \b
    Example:  glazecalc open studio

    A folder is what a studio has: recipes/, materials/, body*.yaml, prices.csv, shelf.csv, firings.csv. An empty one is offered a start. Only this machine
    can reach it, and with --lan a phone that has typed the code, which can change nothing. The first line is the address to open; it serves until Ctrl-C.
    """
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise GlazeError(
            f"the pages in the browser need {' and '.join(missing)}.", 'Install them: pip install "glazecalc[web]".'
        )
    from glazecalc.workbench.folder import Studio
    from glazecalc.workbench.guard import Passes
    from glazecalc.workbench.lan import CODE_MINUTES, WARNING, Phones, own_address
    from glazecalc.workbench.server import LOOPBACK, end_well, listening, serve

    studio = Studio.at(folder)
    around = own_address() if lan else ""
    waiting = [listening(port or 0)]
    passes = Passes(waiting[0].getsockname()[1])
    phones = Phones(around, passes.port) if lan else None
    if phones is not None:
        waiting.append(listening(passes.port, phones.address))
    address = f"http://{LOOPBACK}:{passes.port}/?token="
    from glazecalc.workbench.app import workbench
    from glazecalc.workbench.bench import Bench

    bench = Bench(studio, phones)
    app = workbench(bench, passes)
    end_well()
    gc.enable()  # the command line is short-lived and goes without; this is not
    click.echo(f"{address}{passes.word}")  # which flushes
    if phones is not None:
        click.echo(f"{phones.url} for a phone; its code, for {CODE_MINUTES} minutes: {phones.new_code()}")
        click.echo(f"glazecalc: {WARNING}", err=True)
    once = None if no_browser else address + passes.word_for_once()
    serve(app, *waiting, on_start=lambda: _begin(bench, once))


def _begin(bench: Bench, address: str | None) -> None:
    """Open the browser where one is wanted, and work out the shelf before it is asked for."""
    if address is not None and _has_windows():
        import webbrowser

        webbrowser.open(address)
    from glazecalc.files.text_file import only_within
    from glazecalc.workbench.routes_shelf import shelf_rows

    with suppress(Exception), only_within(bench.studio.root):  # whatever it is, it is told where the shelf is asked for
        shelf_rows(bench)


def _has_windows() -> bool:
    """Whether a browser would open a window; one in the terminal would take it from us."""
    return sys.platform in ("win32", "darwin") or any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY"))
