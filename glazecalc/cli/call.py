"""The habit of every command: all is computed, then the page or the JSON is printed, then the notices."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import click

from glazecalc.errors import Notice

__all__ = ("reply",)


def reply(value: object, page: Callable[[], str], *, as_json: bool, notices: Iterable[Notice] = ()) -> None:
    """Print `value` as JSON, or its page, and the notices to standard error.

    Parameters
    ----------
    value : object
        Any value of the program, or a mapping of them; NaN and infinities are refused rather than printed.
    page : function
        Makes the page; called only where the page is wanted.
    as_json : bool
    notices : iterable of Notice
    """
    click.echo(_as_json(value) if as_json else page())
    for notice in notices:
        click.echo(f"note: {notice.message}", err=True)


def _as_json(value: object) -> str:
    import json

    from glazecalc.show.plain import plain

    return json.dumps(plain(value), indent=2, ensure_ascii=False, allow_nan=False)
