"""`glazecalc mend`: what to add after a slip at the scale."""

from __future__ import annotations

import math
from typing import Any

import click

from glazecalc.amounts import parse_percent
from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.cli.quantities import MASS
from glazecalc.convert.batch import Batch, resolve
from glazecalc.errors import AmbiguousNameError, Fault, FileFaultsError, Notice, UnitError, UnknownNameError
from glazecalc.files.recipes import read_recipe
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.show.mend import mend_page
from glazecalc.units import parse_compound
from glazecalc.workshop.mend import Mend, mend
from glazecalc.workshop.steps import round_to_step

__all__ = ("command",)


@click.command(short_help="What to add after a slip at the scale.")
@click.argument("recipe")
@click.option(
    "--weighed",
    required=True,
    metavar="FILE",
    help="What went in, a plain-text recipe: one line a material, grams where no unit stands.",
)
@click.option("--all-in", "all_in", type=MASS, help="The batch as planned, additions included: 2kg.")
@click.option("--base", type=MASS, help="The batch as planned, its base alone: 300g.")
@click.option(
    "--used", metavar="MASS|SHARE", help="How much of the finished mix was already used: 500g of dry weight, or 25%."
)
@click.option("--step", type=MASS, help="Round the additions to the scale's step: 0.1g.")
@materials_option
@json_option
def command(
    recipe: str,
    weighed: str,
    all_in: float | None,
    base: float | None,
    used: str | None,
    step: float | None,
    materials: tuple[str, ...],
    as_json: bool,
) -> None:
    """Mend a batch that was weighed wrong: the smallest additions that restore RECIPE, or advice to start again.

    FILE lists everything that went in, the slip included (400 for 40, a material twice, one forgotten). A material weighed twice
    stands twice. Without --all-in or --base the smallest batch that restores the recipe is given.

    \b
    Example:  glazecalc mend harbour-black.txt --weighed bucket.txt --all-in 2kg
    """
    if all_in is not None and base is not None:
        raise click.UsageError("the planned batch is given once: --all-in with the additions, or --base without.")
    library = library_from(materials)
    batch = resolve(read_recipe(recipe), library)
    went_in, foreign, notices = _weighed(read_recipe(weighed), library, batch)
    shares: dict[str, tuple[str, float]] = {}
    for material, parts in zip(batch.materials, batch.parts, strict=True):
        shares[material.id] = (material.name, shares.get(material.id, ("", 0.0))[1] + parts)
    planned = (
        all_in if all_in is not None else base * batch.all_in_total / batch.base_total if base is not None else None
    )
    used_g = _used(used, math.fsum(went_in.values()))
    found = mend(
        [(m, n, p) for m, (n, p) in shares.items()], went_in, planned_g=planned, used_g=used_g, foreign=foreign
    )
    add = [
        {"material": x.material, "name": x.name, "mass_g": x.add_g if step is None else round_to_step(x.add_g, step)}
        for x in found.additions
    ]
    if as_json:
        echo_json(_json(found, add, step, [*batch.notices, *notices]))
    else:
        click.echo(mend_page(batch.recipe.name or recipe, found, add, planned, step))
    echo_notices([*batch.notices, *notices])


def _used(text: str | None, in_all_g: float) -> float:
    if text is None:
        return 0.0
    try:
        return in_all_g * parse_percent(text) / 100 if text.rstrip().endswith("%") else parse_compound(text, "mass")
    except UnitError as error:
        raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--used'") from None


def _weighed(
    recipe: Recipe, library: MaterialLibrary, batch: Batch
) -> tuple[dict[str, float], list[str], list[Notice]]:
    """Return material -> grams, names of what the recipe has not, and notices."""
    own = MaterialLibrary(batch.materials)
    went_in: dict[str, float] = {}
    foreign: list[str] = []
    faults: list[Fault] = []
    notices = list(recipe.notices)
    units = recipe.has_mass_units
    for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
        if item.unit == "%":
            faults.append(
                Fault(
                    item.line, f"{item.material} is given in per cent; a weight was expected.", "Write it like 400 g."
                )
            )
            continue
        try:
            material, said = _find(item.material, own, library)
        except (UnknownNameError, AmbiguousNameError) as error:
            faults.append(Fault(item.line, error.message, error.hint))
            continue
        notices.extend(said)
        if material in went_in:
            notices.append(Notice("weighed-twice", f"{item.material} was weighed twice; both count."))
        went_in[material] = went_in.get(material, 0.0) + amount
        if material not in own and amount > 0:
            foreign.append(library[material].name)
    if faults:
        raise FileFaultsError(recipe.path or "what was weighed", faults)
    if not recipe.ingredients:
        raise FileFaultsError(
            recipe.path or "what was weighed", [Fault(None, "nothing is listed.", "One line a material: kaolin 400 g.")]
        )
    if not units:
        notices.append(Notice("read-as-grams", "weights without a unit are read as grams."))
    return went_in, list(dict.fromkeys(foreign)), notices


def _find(name: str, own: MaterialLibrary, library: MaterialLibrary) -> tuple[str, tuple[Notice, ...]]:
    # What the recipe has comes first: a short name at the scale means the recipe's own material.
    try:
        material, said = library.find(name)
        if material.id in own:
            return material.id, said
        meant, _ = own.find(name)
    except (AmbiguousNameError, UnknownNameError):
        try:
            meant, _ = own.find(name)
        except UnknownNameError:
            material, said = library.find(name)
            return material.id, said
    return meant.id, (Notice("read-as-recipe", f"'{name}' is read as the recipe's {meant.name}."),)


def _json(found: Mend, add: list[dict[str, Any]], step: float | None, notices: list[Notice]) -> dict[str, Any]:
    dry = found.dry_mass_g
    if step is not None and dry is not None:  # the batch as it will be, with rounded additions
        dry = math.fsum([*(line.weighed_g for line in found.lines), *(x["mass_g"] for x in add)])
    return {
        "add": add,
        "dry_mass_g": dry,
        "advice": found.advice,
        "verdict": found.verdict,
        "planned_g": found.planned_g,
        "weighed_g": math.fsum(line.weighed_g for line in found.lines),
        "lines": [
            {
                "material": x.material,
                "name": x.name,
                "in_bucket_g": x.weighed_g,
                "planned_g": x.planned_g,
                "final_g": x.final_g,
                "add_g": x.add_g,
            }
            for x in found.lines
        ],
        "not_in_recipe": list(found.foreign),
        "notices": [{"code": n.code, "message": n.message} for n in notices],
    }
