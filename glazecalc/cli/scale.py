"""`glazecalc scale`: a weighing list to a dry mass, a bucket, an order of pieces, or what is left."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from glazecalc.caution.bench_label import short_cautions
from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.cli.quantities import MASS, NUMBER, PERCENT
from glazecalc.cli.size_options import ask_which, check_one_size, moisture_of, scaled_batch, size_options
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import unity_formula
from glazecalc.errors import GlazeError, Notice, WorkshopError
from glazecalc.files.recipes import read_recipe
from glazecalc.files.shipped import load_data
from glazecalc.files.text_file import write_text_atomically
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.show.label import BucketLabel, bucket_label_html, bucket_label_text, sieve_text
from glazecalc.show.sheet import sheet_rows, weighing_sheet_html, weighing_sheet_text
from glazecalc.workshop.forms import swap_form
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.scale import ScaledBatch, realised_recipe

__all__ = ("command",)

_UNITY_SEEN = 0.005  # the printed unity formula has two decimals


@click.command(short_help="A weighing list: to a mass, a bucket, pieces or what is left.")
@click.argument("recipe")
@click.argument("mass", required=False)
@size_options
@click.option(
    "--capacity", type=MASS, help="What the scale holds beside its pan: 600g. Heavier lines are split into rounds."
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
    help="The gum is stirred up beforehand, so many g in a litre of water: 30.",
)
@click.option("--sheet", metavar="FILE", help="Write the weighing sheet to FILE (.html or .txt).")
@click.option("--label", metavar="FILE", help="Write a bucket label to FILE (.html or .txt).")
@click.option("--date", default="", help="Date for sheet and label.")
@click.option("--batch", "batch_name", default="", help="Batch number or maker for sheet and label.")
@click.option("--mesh", default="", help="Sieve, in meshes per inch: 80.")
@materials_option
@json_option
def command(recipe: str, mass: str | None, materials: tuple[str, ...], as_json: bool, **given: Any) -> None:
    """Scale RECIPE to a weighing list, with the water where a gravity is given.

    Additions stand on top of the base. Say whether a mass is of the base or all-in.

    \b
    Examples:  glazecalc scale harbour-black.txt --fill 10l --sg 1.45 --step 0.1g --capacity 600g
               glazecalc scale harbour-black.txt --base 300g
               glazecalc scale harbour-black.txt --pieces 60 --gain 61g --gain 66g --gain 62g --spare 10% --sg 1.55
    """
    check_one_size(given, mass)
    library = library_from(materials)
    batch, said = _prepared(recipe, library, given)
    if mass is not None:
        ask_which(mass, batch)
    moist = moisture_of(given["moist"], library, batch)
    scaled, need = scaled_batch(batch, given, moist, library)
    scaled = replace(scaled, notices=(*scaled.notices, *said, *(need.notices if need else ())))
    change = _rounding(batch, scaled, library)
    notes = _notes(scaled, need, change, given, batch)
    page = weighing_sheet_text(scaled, unit=given["unit"], capacity_g=given["capacity"], notes=notes)
    if as_json:
        result = _json(scaled, need, change, given)
    for option in ("sheet", "label"):
        if given[option]:
            _is_html(given[option], f"--{option}")
    _write_files(scaled, batch, given, notes)
    if as_json:
        echo_json(result)
    else:
        click.echo(page)
    echo_notices(scaled.notices)


def _prepared(path: str, library: MaterialLibrary, given: dict[str, Any]) -> tuple[Batch, list[Notice]]:
    """Return the batch with forms swapped and gum added, and what was said about it."""
    recipe: Recipe = read_recipe(path)
    said: list[Notice] = []
    for text in given["forms"]:
        old, equals, new = text.partition("=")
        if not (equals and old.strip() and new.strip()):
            raise click.BadParameter(
                f"'{text}': two names with = between were expected, as in 'borax=borax pentahydrate'.",
                param_hint="'--form'",
            )
        recipe, notice = swap_form(recipe, library, old, new)
        said.append(notice)
    batch = resolve(recipe, library)
    if given["gum"] is None:
        return batch, said
    if not 0 < given["gum"] <= 10:
        raise WorkshopError(
            f"{given['gum']:g} % of gum was asked for; above 0 and up to about 2 % is usual.", "Write it like --gum 1%."
        )
    grams = batch.all_in_total * given["gum"] / 100
    gum = Ingredient(material="cmc_gum", amount=grams, unit="g" if recipe.has_mass_units else "", addition=True)
    gum_data = load_data("workshop_practice.yaml")["gum"]
    low, high = gum_data["range"]
    if not low <= given["gum"] <= high:
        said.append(
            Notice(
                "gum-unusual",
                f"{given['gum']:g} % of gum lies outside what suppliers name, {low:g} to {high:g} % of the dry glaze.",
            )
        )
    said.append(
        Notice(
            "gum",
            f"CMC gum, {given['gum']:g} % of the dry glaze, counts among the additions and in every all-in figure.",
        )
    )
    return resolve(replace(recipe, ingredients=(*recipe.ingredients, gum), text=""), library), said


def _rounding(batch: Batch, scaled: ScaledBatch, library: MaterialLibrary) -> dict[str, dict[str, float]] | None:
    """Return what rounding made of the unity formula, oxide -> exact and rounded; None where nothing was rounded."""
    if scaled.step_g is None:
        return None
    try:
        exact, rounded = unity_formula(batch.recipe, library), unity_formula(realised_recipe(scaled), library)
    except GlazeError:
        return None
    return {
        oxide: {"exact": float(exact[oxide]), "rounded": float(rounded.get(oxide, 0.0))}
        for oxide in exact
        if exact[oxide] > 0
    }


def _notes(
    scaled: ScaledBatch,
    need: GlazeNeed | None,
    change: dict[str, dict[str, float]] | None,
    given: dict[str, Any],
    batch: Batch,
) -> list[str]:
    notes = []
    if need is not None:
        notes.append(
            f"{need.pieces} pieces at {need.per_piece_g:.1f} g dry each, {need.spare_percent:g} % spare: {need.dry_g:.0f} g "
            f"({need.low_g / 1000:.1f} to {need.high_g / 1000:.1f} kg by the lightest and heaviest coat)"
        )
    if change:
        oxide = max(change, key=lambda o: abs(change[o]["rounded"] - change[o]["exact"]))
        worst = change[oxide]
        moved = worst["rounded"] - worst["exact"]
        if abs(moved) < _UNITY_SEEN:
            notes.append(f"rounding moves the unity formula by less than {_UNITY_SEEN:g} mole in every oxide")
        else:
            notes.append(
                f"rounding moves the unity formula most at {oxide}: {worst['exact']:.2f} to {worst['rounded']:.2f} ({moved:+.3f})"
            )
    if given["gum_solution"] is not None:
        gum = next(line for line in scaled.lines if line.material == "cmc_gum")
        if not given["gum_solution"] > 0:
            raise WorkshopError("a gum solution holds more than 0 g in a litre.", "Write it like --gum-solution 30.")
        water = gum.mass_g / given["gum_solution"] * 1000
        if scaled.pour_water_g is not None and water > scaled.pour_water_g:
            raise WorkshopError(
                f"the gum solution alone brings {water:.0f} g of water, more than the {scaled.pour_water_g:.0f} g of the slurry.",
                "Stir the gum up thicker.",
            )
        rest = (
            f"; pour {scaled.pour_water_g - water:.0f} g of plain water beside it"
            if scaled.pour_water_g is not None
            else ""
        )
        notes.append(
            f"the gum comes as {water:.0f} ml of solution at {given['gum_solution']:g} g in a litre of water{rest}"
        )
    if given["mesh"]:
        notes.append(f"sieve: {sieve_text(given['mesh'])}")
    if not batch.recipe.has_mass_units and abs(batch.base_total - 100) > 0.05:
        notes.append(f"the base of the recipe totals {batch.base_total:g}, not 100: scaled by parts, nothing changed")
    return notes


def _json(
    scaled: ScaledBatch, need: GlazeNeed | None, change: dict[str, dict[str, float]] | None, given: dict[str, Any]
) -> dict[str, Any]:
    rounds = {}
    if given["capacity"] is not None:
        for row in sheet_rows(scaled, capacity_g=given["capacity"]):
            rounds[row.name, row.addition] = [float(mass) for mass in row.rounds]
    return {
        "lines": [
            {
                "material": line.material,
                "name": line.name,
                "mass_g": line.mass_g,
                "addition": line.addition,
                "exact_g": line.exact_g,
                "weigh_g": line.weigh_g,
                "moisture_percent": line.moisture_percent,
                "rounds_g": rounds.get((line.name, line.addition)),
            }
            for line in scaled.lines
        ],
        "dry_mass_g": scaled.dry_mass_g,
        "base_g": scaled.base_g,
        "additions_g": scaled.additions_g,
        "water_g": scaled.water_g,
        "pour_water_g": scaled.pour_water_g,
        "volume_ml": scaled.volume_ml,
        "specific_gravity": scaled.specific_gravity,
        "solids_density": scaled.density.g_cm3 if scaled.density else None,
        "solids_density_given": scaled.density.given if scaled.density else None,
        "density_unknown": list(scaled.density.unknown) if scaled.density else [],
        "step_g": scaled.step_g,
        "exact_dry_mass_g": scaled.exact_dry_g,
        "factor": scaled.factor,
        "rounding": change,
        "pieces": None
        if need is None
        else {
            "count": need.pieces, "per_piece_g": need.per_piece_g, "dry_g": need.dry_g, "low_g": need.low_g, "high_g": need.high_g,
            "spare_percent": need.spare_percent,
        },
        "notices": [{"code": n.code, "message": n.message} for n in scaled.notices],
    }  # fmt: skip


def _write_files(scaled: ScaledBatch, batch: Batch, given: dict[str, Any], notes: list[str]) -> None:
    if given["sheet"]:
        show = weighing_sheet_html if _is_html(given["sheet"], "--sheet") else weighing_sheet_text
        marks = [
            text for text in (given["date"], f"batch {given['batch_name']}" if given["batch_name"] else "") if text
        ]
        cautions = short_cautions(batch.materials).lines()
        sheet = show(
            scaled, unit=given["unit"], capacity_g=given["capacity"], notes=notes, marks=marks, cautions=cautions
        )
        write_text_atomically(given["sheet"], sheet.rstrip("\n") + "\n")
    if given["label"]:
        recipe = batch.recipe
        label = BucketLabel(
            name=recipe.name, version=recipe.version, date=given["date"], batch=given["batch_name"], cone=recipe.cone, atmosphere=recipe.atmosphere,
            dry_g=scaled.dry_mass_g, volume_ml=scaled.volume_ml, specific_gravity=scaled.specific_gravity, mesh=given["mesh"],
            cautions=short_cautions(batch.materials),
        )  # fmt: skip
        text = bucket_label_html(label) if _is_html(given["label"], "--label") else bucket_label_text(label) + "\n"
        write_text_atomically(given["label"], text)


def _is_html(path: str, option: str) -> bool:
    ending = Path(path).suffix.lower()
    if ending not in (".html", ".htm", ".txt"):
        raise click.BadParameter(f"'{path}': a file ending in .html or .txt was expected.", param_hint=f"'{option}'")
    return ending != ".txt"
