"""``glazecalc check``: a recipe's chemistry, estimates and cautions."""

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
from glazecalc.files.recipes import read_recipe

__all__ = ("command",)


@click.command("check")
@click.argument("recipe")
@materials_option
@convention_option
@click.option("--body", "body", metavar="FILE", help="The clay body, a YAML file.")
@click.option("--cone", "cone", metavar="C", default="", help="The cone, e.g. 6 or 06; else the recipe's own.")
@use_option
@click.option("--full", is_flag=True, help="Every caution whole: what, why, what to do, on whose authority.")
@click.option("--working", is_flag=True, help="The calculation laid out by hand.")
@json_option
def command(
    recipe: str,
    materials: tuple[str, ...],
    convention: tuple[str, ...],
    body: str | None,
    cone: str,
    use: str | None,
    *,
    full: bool,
    working: bool,
    as_json: bool,
) -> None:
    """Show what a recipe is in chemistry and what to look at before it is mixed.

    \b
    Example:  glazecalc check harbour-black.txt --cone 6 --use plate
    """
    from glazecalc.caution.check import check

    chosen = convention_from(convention)
    if cone:
        from glazecalc.cone_names import ConeError, parse_cone

        try:
            cone = str(parse_cone(cone))
        except ConeError as error:
            raise click.UsageError(str(error)) from None
    clay = None
    if body is not None:
        from glazecalc.files.bodies import read_body

        clay = read_body(body)
    read = read_recipe(recipe)
    report = check(read, library_from(materials), body=clay, cone=cone, use=use or "", convention=chosen)
    if as_json:
        echo_json(report.to_dict())
    elif working:
        from glazecalc.show.working import working_page

        click.echo(working_page(report))
    else:
        from glazecalc.show.check import check_page

        click.echo(check_page(report, full=full))
    echo_notices(report.notices)
