"""``glazecalc compare``: two recipes side by side."""

from __future__ import annotations

import click

from glazecalc.cli.call import reply
from glazecalc.cli.options import cone_option, convention_option, json_option, materials_option, use_option
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.recipe import Use

__all__ = ("command",)


@click.command("compare")
@click.argument("first")
@click.argument("second")
@materials_option
@convention_option
@click.option("--body", metavar="FILE", help="The clay body of both, a YAML file.")
@cone_option
@use_option
@json_option
def command(
    first: str,
    second: str,
    materials: tuple[str, ...],
    convention: Convention,
    body: str | None,
    cone: str,
    use: Use | None,
    as_json: bool,
) -> None:
    """Show two recipes side by side with their differences, second minus first.

    \b
    Example:  glazecalc compare harbour-black.txt harbour-black-2.txt --cone 6
    """
    from glazecalc.comparison import compare

    clay = None
    if body is not None:
        from glazecalc.files.bodies import read_body

        clay = read_body(body)
    library = load_materials(*materials)
    found = compare(
        read_recipe(first), read_recipe(second), library, body=clay, cone=cone, use=use or "", convention=convention
    )
    reply(found, as_json=as_json)
