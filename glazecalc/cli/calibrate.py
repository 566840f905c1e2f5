"""``glazecalc calibrate``: your own firings on one body, and where a new glaze lies among them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import Renamed, materials_option, output_options
from glazecalc.files.materials import load_materials

if TYPE_CHECKING:
    from glazecalc.estimate.expansion import ExpansionModel

__all__ = ("command",)


@click.command("calibrate")
@click.argument("results", metavar="FIRINGS")
@click.option(
    "--body-name",
    cls=Renamed,
    was="--body",
    metavar="NAME",
    help="The body, as the firings name it; needed where they name several.",
)
@click.option("--cone", metavar="CONE", help="The cone of the firings; needed where they are at several.")
@click.option(
    "--place", "places", multiple=True, metavar="RECIPE", help="A new recipe to place among them; may repeat."
)
@click.option(
    "--model",
    type=click.Choice(["fitted", "appen"]),
    default="fitted",
    show_default=True,
    help="The expansion model, the same for all recipes.",
)
@materials_option
@output_options
def command(
    results: str,
    body_name: str | None,
    cone: str | None,
    places: tuple[str, ...],
    model: ExpansionModel,
    materials: tuple[str, ...],
    output: Output,
) -> None:
    """Read your own firings (recipe,body,cone,result: crazed, sound or shivered) into expansion ranges for one body.

    \b
    Example:  glazecalc calibrate firings.csv --body-name "Osier Fold" --place new-white.txt
    """
    from glazecalc.calibration import calibrate
    from glazecalc.files.firings import read_firings
    from glazecalc.files.recipes import read_recipe
    from glazecalc.spelling import name_key

    output.goes_to()
    library = load_materials(*materials)
    firings, said = read_firings(results)
    bodies = sorted({name_key(firing.body): firing.body for firing in firings}.values())
    if body_name is None and len(bodies) > 1:
        raise click.UsageError(f"the firings are on several bodies: {', '.join(bodies)}. Say which with --body-name.")
    new = [read_recipe(path) for path in places]
    fit = calibrate(firings, library, path=results, body_name=body_name, cone=cone, model=model, new=new)
    reply(replace(fit, notices=(*said, *fit.notices)), output=output, read=(results, *places, *materials))
