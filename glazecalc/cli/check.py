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
@click.option(
    "--spread", "samples", is_flag=False, flag_value=2000, type=click.IntRange(1000, 1_000_000), metavar="[N]",
    help="Low and high beside each number, from the tolerance of the analyses, by N samples (2000).",
)
@click.option("--step", "step", metavar="G", help="With --spread: the step of your scale, e.g. 1g.")
@click.option("--batch", "batch", metavar="G", help="With --spread and --step: the size of the all-in batch, e.g. 300g.")
@click.option("--moisture", "moisture", metavar="P", help="With --spread: unknown water in clays, up to, e.g. 3%.")
@json_option
def command(
    recipe: str,
    materials: tuple[str, ...],
    convention: tuple[str, ...],
    body: str | None,
    cone: str,
    use: str | None,
    samples: int | None,
    step: str | None,
    batch: str | None,
    moisture: str | None,
    *,
    full: bool,
    working: bool,
    as_json: bool,
) -> None:
    """Show what a recipe is in chemistry and what to look at before it is mixed.

    \b
    Example:  glazecalc check harbour-black.txt --cone 6 --use plate
    """
    from glazecalc.caution.check import check, spread_of

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
    sampled = None
    if samples is not None:
        sampled = spread_of(
            report,
            samples=samples,
            step_g=_base(step, "mass", "--step"),
            batch_g=_base(batch, "mass", "--batch"),
            moisture_percent=_base(moisture, "share", "--moisture"),
        )
    elif step or batch or moisture:
        raise click.UsageError("--step, --batch and --moisture go with --spread.")
    if as_json:
        echo_json(report.to_dict() | ({"spread": sampled.to_dict()} if sampled else {}))
    elif working:
        from glazecalc.show.working import working_page

        click.echo(working_page(report))
    else:
        from glazecalc.show.check import check_page

        click.echo(check_page(report, full=full, spread=sampled))
    echo_notices(report.notices)


def _base(text: str | None, dimension: str, option: str) -> float:
    if text is None:
        return 0.0
    from glazecalc.errors import UnitError
    from glazecalc.units import parse_quantity

    try:
        return parse_quantity(text, dimension, bare_unit="%" if dimension == "share" else None).base
    except UnitError as error:
        raise click.UsageError(f"{option}: {error}") from None
