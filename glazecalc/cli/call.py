"""The habit of every command: all is computed, then the files are written, then the page or the JSON is printed, its notices with it."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import click

from glazecalc.errors import Notice
from glazecalc.files.shipped import materials_folder
from glazecalc.files.text_file import write_all
from glazecalc.plain_text import visible

__all__ = ("Found", "Output", "goes_with", "reply")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a call has found, for a caller that shows it itself: the value, the options of its pages, what is to be said, what it would write."""

    value: Any
    options: Mapping[str, Any]
    notices: tuple[Notice, ...]
    writes: tuple[tuple[str, str | bytes], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """Where the result of a call goes: printed as its page or as JSON, and as an HTML page in a file where one is named."""

    as_json: bool
    html_file: str | None
    replace: bool

    def goes_to(self, **files: str | None) -> None:
        """Refuse ``--replace`` where none of `files`, each named as its argument, nor an HTML page is written."""
        if not any((self.html_file, *files.values())):
            *names, last = (f"--{name}" for name in (*files, "html"))
            goes_with(f"{', '.join(names)} or {last}" if names else last, replace=self.replace)


def reply(
    value: Any,
    *,
    output: Output,
    more: Mapping[str, Any] | None = None,
    notices: Iterable[Notice] | None = None,
    written: Iterable[Notice] = (),
    writes: Sequence[tuple[str, str | bytes]] = (),
    read: Iterable[str] = (),
    options: Mapping[str, Any] | None = None,
) -> None:
    """Print `value` as JSON, or its page with the notices at the foot; its HTML page goes to a file where one is asked for.

    `options` are those of its pages, `more` is what stands beside those of `value` in JSON, where it is not None; `notices` are by default those of `value`. As
    JSON they stand under ``notices``. Nothing goes to standard error: that is kept for errors.
    `writes` are files and their texts or pictures, written all or none before anything is printed, and `written` the notices that say
    where they are; `read` the files and folders that the call has read, none of which is written over. JSON is UTF-8 whatever the
    console's code page; NaN and infinities in it are refused rather than printed.
    """
    from glazecalc.show import pages
    from glazecalc.show.notices import with_notices

    asked = options or {}
    said = tuple(dict.fromkeys(getattr(value, "notices", ()) if notices is None else notices))
    context = click.get_current_context(silent=True)
    if context is not None and context.obj is not None:  # called by `collected`
        context.obj(Found(value=value, options=asked, notices=said, writes=tuple(writes)))
        return
    if output.html_file is not None:
        from glazecalc.show.html import html_page  # loads the templates: only where a page is asked for

        writes = [*writes, (output.html_file, html_page(value, notices=said, **asked))]
        written = [*written, Notice("page-written", f"the page is in {output.html_file}.")]
    said = (*said, *written)
    if output.as_json:
        import json

        beside = {key: found for key, found in (more or {}).items() if found is not None}
        found = pages.plain(value) | pages.plain(beside) | {"notices": pages.plain(said)}
        text = visible(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
    else:
        text = visible(with_notices(pages.body(value, **asked), said))
    if writes:
        write_all(writes, read=(*read, str(materials_folder())), replace=output.replace)
    if output.as_json and hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8")
    click.echo(text)


def goes_with(needed: str, **given: object) -> None:
    """Refuse options that were given but say nothing without `needed`; each is named as its argument."""
    alone = [f"--{name.replace('_', '-')}" for name, value in given.items() if value not in (None, False, "", (), {})]
    if alone:
        raise click.UsageError(f"{' and '.join(alone)} go{'' if len(alone) > 1 else 'es'} with {needed}.")
