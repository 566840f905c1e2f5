"""`glazecalc scale`: a weighing list for a dry weight, a bucket, an order of pieces, or what is left."""

from __future__ import annotations

from dataclasses import replace as with_fields

import click

from glazecalc.caution.bench import short_cautions
from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import Renamed, gathered, materials_option, output_options
from glazecalc.cli.quantities import MASS, NUMBER, PERCENT, VOLUME
from glazecalc.cli.sheet_files import written_sheets
from glazecalc.cli.size_options import SIZE_OPTIONS, AskedSize
from glazecalc.errors import Notice, UnitError
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.files.shelf import read_shelf
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.units import parse_quantity
from glazecalc.workshop.bags import bags_to_open
from glazecalc.workshop.bucket_label import LabelUnit
from glazecalc.workshop.forms import swap_form
from glazecalc.workshop.gum import as_solution, with_gum
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("command",)


@click.command(short_help="A weighing list for a weight, a bucket, an order or what is left.")
@click.argument("recipe")
@click.argument("mass", required=False)
@gathered("size", AskedSize, *SIZE_OPTIONS)
@click.option(
    "--capacity",
    type=MASS,
    help="Most the scale can weigh, container not counted: 600g. Heavier lines are split into rounds.",
)
@click.option(
    "--unit",
    type=click.Choice(["g", "kg", "oz", "lb"]),
    default="g",
    show_default=True,
    help="Unit of the printed list.",
)
@click.option(
    "--form",
    "forms",
    multiple=True,
    metavar="A=B",
    help='Another form on the shelf: "borax=borax pentahydrate"; may repeat.',
)
@click.option("--gum", type=PERCENT, help="CMC gum in % of the dry glaze, added on top: 1%.")
@click.option(
    "--gum-solution",
    type=NUMBER,
    metavar="G_PER_L",
    help="Strength of a gum solution made beforehand, in g per litre of water: 30.",
)
@click.option("--jug", type=VOLUME, help="Size of the jug that measures the water [default: 2l]. Needs --sg.")
@click.option("--prices", metavar="FILE", help="Your price list: its packs say which bags to open.")
@click.option("--sheet", metavar="FILE", help="Write the weighing sheet to FILE (.html or .txt).")
@click.option("--label", metavar="FILE", help="Write a bucket label to FILE (.html or .txt).")
@click.option("--date", default="", help="Date for sheet, label and page.")
@click.option(
    "--batch-no", cls=Renamed, was="--batch", default="", help="Batch number or maker for sheet, label and page."
)
@click.option("--mesh", default="", help="Sieve, in meshes per inch: 80.")
@materials_option
@output_options
def command(
    recipe: str,
    mass: str | None,
    size: AskedSize,
    capacity: float | None,
    unit: LabelUnit,
    forms: tuple[str, ...],
    gum: float | None,
    gum_solution: float | None,
    jug: float | None,
    prices: str | None,
    sheet: str | None,
    label: str | None,
    date: str,
    batch_no: str,
    mesh: str,
    materials: tuple[str, ...],
    output: Output,
) -> None:
    """Scale RECIPE to a weighing list, with the water where a specific gravity is given.

    Additions come on top of the base. Say whether a weight is that of the base (--base) or of the total batch (--all-in).

    \b
    Examples:  glazecalc scale harbour-black.txt --fill 10l --sg 1.45 --step 0.1g --capacity 600g
               glazecalc scale harbour-black.txt --base 300g
               glazecalc scale harbour-black.txt --pieces 60 --gain 61g --gain 66g --gain 62g --spare 10% --sg 1.55
    """
    if gum_solution is not None and gum is None:
        raise click.UsageError("--gum-solution gives the strength; how much gum? Add --gum 1%.")
    if size.sg is None:
        goes_with("--sg", jug=jug)
    if jug is not None and not jug > 0:
        raise click.UsageError("--jug: a volume above zero was expected, like 2l.")
    if sheet is None and label is None and output.html_file is None:
        goes_with("--sheet, --label or --html", date=date, batch_no=batch_no)
    output.goes_to(sheet=sheet, label=label)
    if output.as_json and sheet is None and output.html_file is None:
        goes_with("--sheet, --html or with the page instead of --json", unit=None if unit == "g" else unit)
        if label is None:
            goes_with("--sheet, --label, --html or with the page instead of --json", mesh=mesh)
    library, wanted = load_materials(*materials), read_recipe(recipe)
    if mass is not None:
        _ask_which(mass, size, wanted)
    for old, new in map(_form, forms):
        wanted = swap_form(wanted, library, old, new)
    if gum is not None:
        wanted = with_gum(wanted, library, gum)
    scaled = size.scaled(wanted, library, capacity_g=capacity)
    if jug is not None:
        scaled = with_fields(scaled, jug_ml=jug)
    if gum_solution is not None:
        scaled = as_solution(scaled, gum_solution)
    if prices is not None:
        scaled = _with_bags(scaled, prices, library)
    bench = short_cautions(scaled.materials)
    writes = written_sheets(
        scaled, scaled, sheet=sheet, label=label, unit=unit, mesh=mesh, bench=bench, date=date, batch_no=batch_no
    )
    read = (recipe, *materials, *([prices] if prices is not None else []))
    head = {} if output.html_file is None else {"date": date, "batch_no": batch_no}
    reply(scaled, output=output, writes=writes, read=read, options={"unit": unit, "mesh": mesh, **head})


def _with_bags(scaled: ScaledBatch, prices: str, library: MaterialLibrary) -> ScaledBatch:
    """Return the batch with the bags that it opens by a price list."""
    shelf = read_shelf(prices, library, own=scaled.materials)
    bags = bags_to_open(((line.material, line.name, line.weigh_g) for line in scaled.lines), shelf)
    unknown = sorted({line.name for line in scaled.lines} - {one.name for one in bags})
    said = [Notice("no-pack", f"{prices} names no pack of {', '.join(unknown)}.")] if unknown else []
    return with_fields(scaled, bags=bags, notices=(*scaled.notices, *shelf.notices, *said))


def _ask_which(mass: str, size: AskedSize, recipe: Recipe) -> None:
    """Answer a bare mass with the question which one is meant."""
    if size.named:
        raise click.UsageError(f"'{mass}' and {size.named[0]} both say how much; give one.")
    try:
        parse_quantity(mass, "mass")
    except UnitError as error:
        raise click.UsageError(f"{error.message} {error.hint}".strip()) from None
    if recipe.additions:
        question = f"is {mass} the base alone, or the total batch with its additions?"
        raise click.UsageError(f"{question} Say --base {mass} or --all-in {mass}.")
    raise click.UsageError(f"say --base {mass} or --all-in {mass}; this recipe has no additions, so both are the same.")


def _form(text: str) -> tuple[str, str]:
    old, equals, new = text.partition("=")
    if not (equals and old.strip() and new.strip()):
        said = f"'{text}': two names with = between were expected, as in 'borax=borax pentahydrate'."
        raise click.BadParameter(said, param_hint="'--form'")
    return old.strip(), new.strip()
