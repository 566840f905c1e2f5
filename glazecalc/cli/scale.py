"""`glazecalc scale`: a weighing list to a dry mass, a bucket, an order of pieces, or what is left."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.cli.quantities import APPLICATION, AREA, MASS, NUMBER, PERCENT, VOLUME
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import unity_formula
from glazecalc.errors import GlazeError, Notice, UnitError
from glazecalc.files.recipes import read_recipe
from glazecalc.files.text_input import write_text_atomically
from glazecalc.material import MaterialLibrary
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.show.label import BucketLabel, bucket_label_html, bucket_label_text
from glazecalc.show.sheet import sheet_rows, weighing_sheet_html, weighing_sheet_text
from glazecalc.units import parse_quantity
from glazecalc.workshop.amounts import parse_compound, parse_material_amount, parse_percent
from glazecalc.workshop.bench import short_cautions
from glazecalc.workshop.errors import WorkshopError
from glazecalc.workshop.forms import dry_basis_percent, swap_form
from glazecalc.workshop.pieces import GlazeNeed, need_from_area, need_from_gains
from glazecalc.workshop.scale import (
    ScaledBatch,
    batch_density,
    fill_batch,
    limit_factor,
    realised_recipe,
    recipe_lines,
    scale,
    scale_lines,
    with_water,
)  # fmt: skip

__all__ = ("command",)

_UNITY_SEEN = 0.005  # the printed unity formula has two decimals


@click.command(short_help="A weighing list: to a mass, a bucket, pieces or what is left.")
@click.argument("recipe")
@click.argument("mass", required=False)
@click.option("--all-in", "all_in", type=MASS, help="Dry mass of base and additions together: 5kg.")
@click.option("--base", type=MASS, help="Dry mass of the base; the additions come on top: 300g.")
@click.option("--fill", type=VOLUME, help="Volume of slurry to make: 10l, 3 us gal. Needs --sg.")
@click.option("--sg", type=NUMBER, metavar="G", help="Specific gravity of the slurry: 1.45.")
@click.option("--solids-density", type=NUMBER, metavar="D", help="Density of the dry solids [g/cm3]; else from the materials.")
@click.option("--bucket", type=VOLUME, help="What the bucket holds; a fill above it is refused.")
@click.option("--pieces", type=int, help="Number of pieces, with --gain or --area.")
@click.option("--gain", "gains", type=MASS, multiple=True, help="Dry weight that a test piece gained: 63g; repeat for each piece.")
@click.option("--area", type=AREA, help="Glazed area of one piece: 8dm2.")
@click.option("--coat", type=APPLICATION, help="Your own dry coat: 6.5g/dm2 [default: a typical range, said].")
@click.option("--spare", type=PERCENT, default=None, help="On top for brush and bucket: 10%.")
@click.option("--limit", "limits", multiple=True, metavar="TEXT", help='The largest batch from what is left: "kaolin 800 g"; may repeat.')
@click.option("--step", type=MASS, help="Step of the scale, to which the lines are rounded: 0.1g.")
@click.option("--capacity", type=MASS, help="What the scale holds beside its pan: 600g. Heavier lines are split into rounds.")
@click.option("--unit", type=click.Choice(["g", "kg", "oz", "lb"]), default="g", show_default=True, help="Unit of the printed list.")
@click.option("--moist", multiple=True, metavar="TEXT", help='Moisture of a bag, on the dry weight: "kaolin 8.7%"; "kaolin 8% of wet".')
@click.option("--form", "forms", multiple=True, metavar="A=B", help='Another form on the shelf: "borax=borax pentahydrate"; may repeat.')
@click.option("--gum", type=PERCENT, help="CMC gum in % of the dry glaze, added on top: 1%.")
@click.option("--gum-solution", type=NUMBER, metavar="G_PER_L", help="The gum is stirred up beforehand, so many g in a litre of water: 30.")
@click.option("--sheet", metavar="FILE", help="Write the weighing sheet to FILE (.html or .txt).")
@click.option("--label", metavar="FILE", help="Write a bucket label to FILE (.html or .txt).")
@click.option("--date", default="", help="Date for the label.")
@click.option("--batch", "batch_name", default="", help="Batch number or maker for the label.")
@click.option("--mesh", default="", help="Sieve for the label: 80.")
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
    _one_size(given, mass)
    library = library_from(materials)
    batch, said = _prepared(recipe, library, given)
    if mass is not None:
        _ask_which(mass, batch)
    moist = _moisture(given["moist"], library, batch)
    scaled, need = _scaled(batch, given, moist, library)
    if given["bucket"] is not None and (scaled.volume_ml or 0.0) > given["bucket"]:
        raise WorkshopError(
            f"{(scaled.volume_ml or 0.0) / 1000:.2f} l do not fit into a bucket of {given['bucket'] / 1000:g} l.", "Ask for less, and leave some headroom."
        )
    scaled = replace(scaled, notices=(*scaled.notices, *said, *(need.notices if need else ())))
    change = _rounding(batch, scaled, library)
    notes = _notes(scaled, need, change, given, batch)
    page = weighing_sheet_text(scaled, unit=given["unit"], capacity_g=given["capacity"], notes=notes)
    if as_json:
        result = _json(scaled, need, change, given)
    _write_files(scaled, batch, given, notes)
    if as_json:
        echo_json(result)
    else:
        click.echo(page)
    echo_notices(scaled.notices)


def _one_size(given: dict[str, Any], mass: str | None) -> None:
    asked = {
        "--all-in": given["all_in"], "--base": given["base"], "--fill": given["fill"], "--pieces": given["pieces"], "--limit": given["limits"] or None,
    }  # fmt: skip
    named = [name for name, value in asked.items() if value is not None]
    if mass is not None and named:
        raise click.UsageError(f"'{mass}' and {named[0]} both say how much; give one.")
    if len(named) > 1:
        raise click.UsageError(f"{' and '.join(named)} each say how much; give one.")
    if not named and mass is None:
        raise click.UsageError(
            "how much? Give the dry mass of the base (--base 300g) or all-in with the additions (--all-in 300g), a bucket (--fill 10l --sg 1.45), "
            'an order (--pieces 60 --gain 63g) or what is left (--limit "kaolin 800 g").'
        )
    if given["fill"] is not None and given["sg"] is None:
        raise click.UsageError("at which gravity? Add --sg 1.45; dipping glazes lie near 1.4 to 1.6.")
    if given["pieces"] is not None and bool(given["gains"]) == (given["area"] is not None):
        raise click.UsageError("what does a piece take? Weigh test pieces (--gain 63g, repeated) or give its area (--area 8dm2), one of the two.")
    if given["pieces"] is None and (given["gains"] or given["area"] is not None or given["coat"] is not None or given["spare"] is not None):
        raise click.UsageError("--gain, --area, --coat and --spare belong to --pieces.")
    if given["coat"] is not None and given["area"] is None:
        raise click.UsageError("--coat is a weight per area; add --area 8dm2.")
    if given["gum_solution"] is not None and given["gum"] is None:
        raise click.UsageError("--gum-solution says how the gum is stirred up; how much gum? Add --gum 1%.")


def _ask_which(mass: str, batch: Batch) -> None:
    try:
        parse_compound(mass, "mass")
    except UnitError as error:
        raise click.UsageError(f"{error.message} {error.hint}".strip()) from None
    if any(batch.addition):
        question = f"is {mass} the base alone, or all-in with the additions?"
        raise click.UsageError(f"{question} Say --base {mass} or --all-in {mass}.")
    raise click.UsageError(f"say --base {mass} or --all-in {mass}; this recipe has no additions, so both are the same.")


def _prepared(path: str, library: MaterialLibrary, given: dict[str, Any]) -> tuple[Batch, list[Notice]]:
    """Return the batch with forms swapped and gum added, and what was said about it."""
    recipe: Recipe = read_recipe(path)
    said: list[Notice] = []
    for text in given["forms"]:
        old, equals, new = text.partition("=")
        if not (equals and old.strip() and new.strip()):
            raise click.BadParameter(f"'{text}': two names with = between were expected, as in 'borax=borax pentahydrate'.", param_hint="'--form'")
        recipe, notice = swap_form(recipe, library, old, new)
        said.append(notice)
    batch = resolve(recipe, library)
    if given["gum"] is None:
        return batch, said
    if not 0 < given["gum"] <= 10:
        raise WorkshopError(f"{given['gum']:g} % of gum was asked for; above 0 and up to about 2 % is usual.", "Write it like --gum 1%.")
    grams = batch.all_in_total * given["gum"] / 100
    gum = Ingredient(material="cmc_gum", amount=grams, unit="g" if recipe.has_mass_units else "", addition=True)
    said.append(Notice("gum", f"CMC gum, {given['gum']:g} % of the dry glaze, counts among the additions and in every all-in figure."))
    return resolve(replace(recipe, ingredients=(*recipe.ingredients, gum), text=""), library), said


def _moisture(texts: tuple[str, ...], library: MaterialLibrary, batch: Batch) -> dict[str, float]:
    found = {}
    ids = {m.id for m in batch.materials}
    for text in texts:
        try:
            name, amount = parse_material_amount(text)
            wet_basis = amount.lower().rstrip().endswith("wet")
            percent = parse_percent(amount.lower().replace("of", "").replace("the", "").replace("wet", "").replace("dry", ""))
        except UnitError:
            raise click.BadParameter(f"'{text}': a material and a moisture were expected, as in 'kaolin 8.7%'.", param_hint="'--moist'") from None
        material = _in_batch(name, library, batch)
        if material not in ids:
            raise WorkshopError(f"{name} is not in the recipe.", f"It has {', '.join(m.name for m in batch.materials)}.")
        found[material] = dry_basis_percent(percent) if wet_basis else percent
    return found


def _in_batch(name: str, library: MaterialLibrary, batch: Batch) -> str:
    own = MaterialLibrary(batch.materials)
    try:
        return own.find(name)[0].id
    except GlazeError:
        return library.find(name)[0].id


def _scaled(batch: Batch, given: dict[str, Any], moist: dict[str, float], library: MaterialLibrary) -> tuple[ScaledBatch, GlazeNeed | None]:
    step, need = given["step"], None
    if given["fill"] is not None:
        density = batch_density(batch, given["solids_density"])
        filled = fill_batch(
            batch, volume_ml=given["fill"], specific_gravity=given["sg"], density=density, step_g=step, moisture_percent=moist
        )
        return filled, None
    if given["limits"]:
        lines, notices = recipe_lines(batch)
        left = {}
        for text in given["limits"]:
            try:
                name, amount = parse_material_amount(text)
                grams = parse_quantity(amount, "mass").base
            except UnitError as error:
                raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--limit'") from None
            material = _in_batch(name, library, batch)
            if step is not None and step > 0:
                grams = math.floor(grams / step * (1 + 1e-12)) * step  # the rounded line must not ask for more than is left
            left[material] = grams / (1 + moist.get(material, 0.0) / 100)
        factor, name = limit_factor(lines, left)
        limited = Notice("limited-by", f"{name} sets the size of the batch.")
        scaled = scale_lines(batch, factor, lines, (*notices, limited), step_g=step, moisture_percent=moist)
    elif given["pieces"] is not None:
        spare = given["spare"] or 0.0
        if given["gains"]:
            need = need_from_gains(given["pieces"], given["gains"], spare_percent=spare)
        else:
            need = need_from_area(given["pieces"], given["area"], coat_g_per_dm2=given["coat"], spare_percent=spare)
        scaled = scale(batch, all_in_g=need.dry_g, step_g=step, moisture_percent=moist)
    else:
        scaled = scale(batch, all_in_g=given["all_in"], base_g=given["base"], step_g=step, moisture_percent=moist)
    if given["sg"] is not None:
        scaled = with_water(scaled, given["sg"], batch_density(batch, given["solids_density"]))
    return scaled, need


def _rounding(batch: Batch, scaled: ScaledBatch, library: MaterialLibrary) -> dict[str, dict[str, float]] | None:
    """Return what rounding made of the unity formula, oxide -> exact and rounded; None where nothing was rounded."""
    if scaled.step_g is None:
        return None
    try:
        exact, rounded = unity_formula(batch.recipe, library), unity_formula(realised_recipe(scaled), library)
    except GlazeError:
        return None
    return {oxide: {"exact": float(exact[oxide]), "rounded": float(rounded.get(oxide, 0.0))} for oxide in exact if exact[oxide] > 0}


def _notes(scaled: ScaledBatch, need: GlazeNeed | None, change: dict[str, dict[str, float]] | None, given: dict[str, Any], batch: Batch) -> list[str]:
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
            notes.append(f"rounding moves the unity formula most at {oxide}: {worst['exact']:.2f} to {worst['rounded']:.2f} ({moved:+.3f})")
    if given["gum_solution"] is not None:
        gum = next(line for line in scaled.lines if line.material == "cmc_gum")
        if not given["gum_solution"] > 0:
            raise WorkshopError("a gum solution holds more than 0 g in a litre.", "Write it like --gum-solution 30.")
        water = gum.mass_g / given["gum_solution"] * 1000
        if scaled.pour_water_g is not None and water > scaled.pour_water_g:
            raise WorkshopError(
                f"the gum solution alone brings {water:.0f} g of water, more than the {scaled.pour_water_g:.0f} g of the slurry.", "Stir the gum up thicker."
            )
        rest = f"; pour {scaled.pour_water_g - water:.0f} g of plain water beside it" if scaled.pour_water_g is not None else ""
        notes.append(f"the gum comes as {water:.0f} ml of solution at {given['gum_solution']:g} g in a litre of water{rest}")
    if not batch.recipe.has_mass_units and abs(batch.base_total - 100) > 0.05:
        notes.append(f"the base of the recipe totals {batch.base_total:g}, not 100: scaled by parts, nothing changed")
    return notes


def _json(scaled: ScaledBatch, need: GlazeNeed | None, change: dict[str, dict[str, float]] | None, given: dict[str, Any]) -> dict[str, Any]:
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
        write_text_atomically(given["sheet"], show(scaled, unit=given["unit"], capacity_g=given["capacity"], notes=notes).rstrip("\n") + "\n")
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
