"""The habit of every command: all is computed, then the files are written, then the page or the JSON is printed, its notices with it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import click

from glazecalc.errors import Notice
from glazecalc.files.shipped import materials_folder
from glazecalc.files.text_file import write_all
from glazecalc.plain_text import visible

__all__ = ("goes_with", "reply")


def reply(
    value: Any,
    body: Callable[[], str] | None = None,
    *,
    as_json: bool,
    notices: Iterable[Notice] | None = None,
    writes: Sequence[tuple[str, str | bytes]] = (),
    read: Iterable[str] = (),
    replace: bool = False,
) -> None:
    """Print `value` as JSON, or its page with the notices at the foot.

    `body` gives the page without its foot, by default that of `value`; `notices` are by default those of `value`. As JSON they stand
    under ``notices``. Nothing goes to standard error: that is kept for errors.
    `writes` are files and their texts or pictures, written all or none before anything is printed; `read` the files and folders that the
    call has read, none of which is written over. JSON is UTF-8 whatever the console's code page; NaN and infinities in it are
    refused rather than printed.
    """
    from glazecalc.show import pages
    from glazecalc.show.notices import with_notices

    said = tuple(dict.fromkeys(getattr(value, "notices", ()) if notices is None else notices))
    if as_json:
        import json

        found = pages.plain(value) | {"notices": pages.plain(said)}
        text = visible(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
    else:
        text = visible(with_notices(body() if body is not None else pages.body(value), said))
    if writes:
        write_all(writes, read=(*read, str(materials_folder())), replace=replace)
    if as_json and hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8")
    click.echo(text)


def goes_with(needed: str, **given: object) -> None:
    """Refuse options that were given but say nothing without `needed`; each is named as its argument."""
    alone = [f"--{name.replace('_', '-')}" for name, value in given.items() if value not in (None, False, "", (), {})]
    if alone:
        raise click.UsageError(f"{' and '.join(alone)} go{'' if len(alone) > 1 else 'es'} with {needed}.")
