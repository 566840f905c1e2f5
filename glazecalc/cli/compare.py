"""``glazecalc compare``: two recipes side by side."""

from __future__ import annotations

import click

from glazecalc.cli.options import (
    convention_from,
    convention_option,
    echo_json,
    echo_notices,
    json_option,
    library_from,
    materials_option,
    use_option,
)
from glazecalc.errors import Notice
from glazecalc.files.recipes import read_recipe

__all__ = ("command",)


@click.command("compare")
@click.argument("first")
@click.argument("second")
@materials_option
@convention_option
@use_option
@json_option
def command(
    first: str, second: str, materials: tuple[str, ...], convention: tuple[str, ...], use: str | None, *, as_json: bool
) -> None:
    """Show two recipes side by side with their differences, second minus first.

    \b
    Example:  glazecalc compare harbour-black.txt harbour-black-2.txt
    """
    from glazecalc.check_report import check
    from glazecalc.show.compare import compare_dict, compare_page

    chosen = convention_from(convention)
    library = library_from(materials)
    reports = [check(read_recipe(path), library, use=use or "", convention=chosen) for path in (first, second)]
    if as_json:
        echo_json(compare_dict(*reports))
    else:
        click.echo(compare_page(*reports))
    for letter, report in zip("AB", reports, strict=True):
        echo_notices(Notice(notice.code, f"{letter}: {notice.message}") for notice in report.notices)
