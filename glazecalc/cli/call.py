"""The habit of every command: all is computed, then the page or the JSON is printed, then the notices."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import click

from glazecalc.errors import Notice

__all__ = ("reply",)


def reply(
    value: Any, page: Callable[[], str] | None = None, *, as_json: bool, notices: Iterable[Notice] | None = None
) -> None:
    """Print `value` as JSON or its page (by default its own), and the notices (by default its own) to standard error.

    NaN and infinities in JSON are refused rather than printed.
    """
    if as_json:
        import json

        from glazecalc.show.plain import plain

        click.echo(json.dumps(plain(value), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(page() if page is not None else str(value))
    for notice in getattr(value, "notices", ()) if notices is None else notices:
        click.echo(f"note: {notice.message}", err=True)
