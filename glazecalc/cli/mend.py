"""`glazecalc mend`: what to add after a weighing mistake."""

from __future__ import annotations

import click

from glazecalc.amounts import parse_percent
from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import materials_option, output_options
from glazecalc.cli.quantities import MASS, STEP, QuantityType
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.units import parse_quantity
from glazecalc.workshop.mend import mend

__all__ = ("command",)


def _used(text: str) -> dict[str, float]:
    if text.rstrip().endswith("%"):
        return {"used_percent": parse_percent(text)}
    return {"used_g": parse_quantity(text, "mass").base}


@click.command(short_help="What to add after a weighing mistake.")
@click.argument("recipe")
@click.option(
    "--weighed",
    required=True,
    metavar="FILE",
    help="What went in, as a plain-text recipe: one line a material, in grams unless a unit is given.",
)
@click.option("--all-in", "all_in", type=MASS, help="The total batch as planned, additions included: 2kg.")
@click.option("--base", type=MASS, help="The base of the batch as planned, without additions: 300g.")
@click.option(
    "--used",
    type=QuantityType("mass or share", _used),
    metavar="MASS|SHARE",
    help="How much of the mixed glaze was already used: 500g of dry weight, or 25%.",
)
@click.option(
    "--step",
    type=STEP,
    help="Step of the scale: a weight is right within half of it, the additions are rounded to it [default: read from the weights].",
)
@materials_option
@output_options
def command(
    recipe: str,
    weighed: str,
    all_in: float | None,
    base: float | None,
    used: dict[str, float] | None,
    step: float | None,
    materials: tuple[str, ...],
    output: Output,
) -> None:
    """Say whether a batch is on RECIPE, what to add to bring it back, or that it is to be started again.

    FILE lists everything that went in, the mistake included (400 for 40, a material twice, one forgotten). List a material
    weighed twice on two lines. Without --all-in or --base you get the smallest batch that restores the recipe. What scale --step
    printed is on recipe; without --step the step is read from the weights, where they are whole multiples of a usual one.

    \b
    Example:  glazecalc mend harbour-black.txt --weighed bucket.txt --all-in 2kg
    """
    output.goes_to()
    if all_in is not None and base is not None:
        raise click.UsageError("give the planned batch once: --all-in with the additions, or --base without.")
    found = mend(
        read_recipe(recipe),
        load_materials(*materials),
        read_recipe(weighed),
        all_in_g=all_in,
        base_g=base,
        step_g=step,
        **(used or {}),
    )
    reply(found, output=output, read=(recipe, weighed, *materials))
