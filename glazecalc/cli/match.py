"""``glazecalc match``: a batch for a target formula, analysis or recipe."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.cli.call import Output, reply
from glazecalc.cli.options import convention_option, materials_option, output_options
from glazecalc.cli.reformulate_options import PAIR, Keeping, NameLists, choice_options, keeping_options, with_shelves
from glazecalc.convention import Convention
from glazecalc.files.materials import load_materials

__all__ = ("command",)

_POSITIVE = click.FloatRange(min=0, min_open=True)


@click.command("match", cls=NameLists)
@click.argument("target")
@choice_options
@keeping_options
@click.option(
    "--colourant",
    "colourants",
    multiple=True,
    type=PAIR,
    metavar="NAME=PERCENT",
    help="A colourant on top of the base, wt %; may repeat.",
)
@click.option("--total", type=_POSITIVE, metavar="PARTS", help="Base total of the answers; 100 by default.")
@click.option("--full", is_flag=True, help="Show every answer in full.")
@materials_option
@convention_option
@output_options
def command(
    target: str,
    choices: dict[str, Any],
    keeping: Keeping,
    colourants: tuple[tuple[str, float], ...],
    total: float | None,
    full: bool,
    materials: tuple[str, ...],
    convention: Convention,
    output: Output,
) -> None:
    """Find batches for TARGET: a YAML file with `unity` or `fired_analysis_percent`, or a recipe.

    \b
    unity:
      K2O+Na2O: 0.3          a number, for an oxide or a sum
      CaO: 0.6..0.7          a range
      SiO2:Al2O3: 8          a ratio
      SiO2: 3.2..3.6
    colourants:
      red iron oxide: 9      wt % on top

    An oxide that the target does not name is wanted at zero. If TARGET is a recipe, its base is matched and its additions are kept.
    """
    from glazecalc.files.targets import read_target
    from glazecalc.reformulate.match import match

    output.goes_to(save=keeping.save)
    library = load_materials(*materials)
    wanted = read_target(target)
    given = with_shelves(choices, library)
    outcome = match(wanted, library, colourants=dict(colourants), total=total, convention=convention, **given)
    read = (target, *materials, *(choices[name] for name in ("stock", "prices") if choices[name]))
    reply(outcome, output=output, writes=keeping.writes(outcome), read=read, options={"full": full})
