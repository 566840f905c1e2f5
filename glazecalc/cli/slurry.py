"""`glazecalc slurry`: what a bucket holds, and what brings it to a gravity."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.amounts import parse_material_amount, parse_percent
from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.cli.quantities import MASS, NUMBER, SAMPLE, VOLUME
from glazecalc.convert.batch import Batch, resolve
from glazecalc.errors import GlazeError, Notice, UnitError, VolumeNotReachedError, WorkshopError
from glazecalc.files.recipes import read_recipe
from glazecalc.show.slurry import slurry_page
from glazecalc.workshop.density import SolidsDensity, given_density
from glazecalc.workshop.scale import batch_density, scale
from glazecalc.workshop.slurry import (  # fmt: skip
    Adjustment,
    SlurryContent,
    SlurrySample,
    adjust,
    bring_to_volume,
    content_of_mass,
)

__all__ = ("command",)


@click.command(short_help="Dry content of a slurry, and what to add.")
@click.argument("recipe", required=False)
@click.option(
    "--sample",
    type=SAMPLE,
    metavar="TEXT",
    help='Volume and net weight of a stirred sample: "500 ml 735 g", "1 imp pt 32 oz".',
)
@click.option(
    "--sample-error",
    type=SAMPLE,
    metavar="TEXT",
    help='How far off the sample may be, either way [default: "1 ml 1 g"].',
)
@click.option("--gravity-now", type=NUMBER, metavar="G", help="The gravity now, in place of a sample.")
@click.option("--gross", type=MASS, help="Weight of the bucket with the slurry: 11.20kg.")
@click.option("--tare", type=MASS, help="Weight of the empty bucket: 0.90kg.")
@click.option("--volume", type=VOLUME, help="Volume of the slurry, in place of --gross and --tare.")
@click.option(
    "--solids-density", type=NUMBER, metavar="D", help="Density of the dry solids [g/cm3]; else computed from RECIPE."
)
@click.option("--to", "to_volume", type=VOLUME, help="Volume to bring it to, at --sg.")
@click.option(
    "--sg", type=NUMBER, metavar="G", help="The gravity wanted. Without --to the one smallest addition is given."
)
@click.option("--bucket", type=VOLUME, help="What the bucket holds; a fill above it is refused.")
@click.option(
    "--add",
    "adding",
    multiple=True,
    metavar="TEXT",
    help='A colourant in % of the dry material: "cobalt carbonate 1%"; may repeat.',
)
@materials_option
@json_option
def command(recipe: str | None, materials: tuple[str, ...], as_json: bool, **given: Any) -> None:
    """Measure a bucket: its gravity, the dry material and water in it, and what to add.

    RECIPE gives the density of the dry solids and splits what is to be added into its materials; --solids-density does
    without it.

    \b
    Example:  glazecalc slurry --sample "500 ml 735 g" --gross 11.20kg --tare 0.90kg --solids-density 2.6 --to 10l --sg 1.45
    """
    batch, density = _density(recipe, materials, given["solids_density"])
    content = _content(given, density)
    if given["to_volume"] is not None and given["sg"] is None:
        raise click.UsageError("--to says how much; at which gravity? Add --sg 1.45.")
    if given["bucket"] is not None and (given["to_volume"] or 0.0) > given["bucket"]:
        raise WorkshopError(
            f"{given['to_volume'] / 1000:g} l do not fit into a bucket of {given['bucket'] / 1000:g} l.",
            "Ask for less, and leave some headroom.",
        )
    change, short = _change(given, content, density)
    if change is not None and given["bucket"] is not None and change.volume_ml > given["bucket"]:
        raise WorkshopError(
            f"the slurry would come to {change.volume_ml / 1000:.2f} l, more than the bucket's {given['bucket'] / 1000:g} l.",
            "Take some out first.",
        )
    lines = _lines(batch, change)
    added = _additions(given["adding"], content, batch, materials)
    notices = [*(batch.notices if batch else ()), *density.notices, *short]
    if as_json:
        echo_json(_json(content, density, change, lines, added, notices))
    else:
        click.echo(slurry_page(content, density, change, lines, added, _what_is_measured(given)))
    echo_notices(notices)


def _density(recipe: str | None, folders: tuple[str, ...], asked: float | None) -> tuple[Batch | None, SolidsDensity]:
    batch = resolve(read_recipe(recipe), library_from(folders)) if recipe else None
    if asked is not None:
        return batch, given_density(asked)
    if batch is None:
        raise click.UsageError("how dense are the dry solids? Name the RECIPE, or add --solids-density 2.6.")
    return batch, batch_density(batch)


def _content(given: dict[str, Any], density: SolidsDensity) -> SlurryContent:
    if (given["sample"] is None) == (given["gravity_now"] is None):
        raise click.UsageError(
            'give a weighed sample (--sample "500 ml 735 g") or the gravity (--gravity-now 1.47), one of the two.'
        )
    weighed = given["gross"] is not None and given["tare"] is not None
    if not weighed and (given["gross"] is not None or given["tare"] is not None):
        raise click.UsageError("--gross and --tare belong together: the bucket full and the bucket empty.")
    if weighed and given["volume"] is not None:
        raise click.UsageError("give the bucket's weights or the slurry's volume, not both.")
    if given["sample"] is None:
        sample = SlurrySample(volume_ml=1.0, mass_g=given["gravity_now"], volume_error_ml=0.0, mass_error_g=0.0)
    else:
        ml, g = given["sample_error"] or (1.0, 1.0)
        sample = SlurrySample(
            volume_ml=given["sample"][0], mass_g=given["sample"][1], volume_error_ml=ml, mass_error_g=g
        )
    if weighed:
        net = given["gross"] - given["tare"]
        if net <= 0:
            raise WorkshopError(
                "the full bucket weighs no more than the empty one.", "--gross is with the slurry, --tare without."
            )
    elif given["volume"] is not None:
        net = given["volume"] * sample.gravity
    else:
        net = sample.mass_g if given["sample"] is not None else 1000.0 * sample.gravity
    return content_of_mass(net, sample, density.g_cm3)


def _change(
    given: dict[str, Any], content: SlurryContent, density: SolidsDensity
) -> tuple[Adjustment | None, list[Notice]]:
    """Return what to add; where the volume asked for cannot be had, the nearest that reaches the gravity, and why."""
    if given["sg"] is None:
        return None, []
    if given["to_volume"] is None:
        return adjust(content.dry_g, content.water_g, given["sg"], density.g_cm3), []
    try:
        return bring_to_volume(content.dry_g, content.water_g, given["to_volume"], given["sg"], density.g_cm3), []
    except VolumeNotReachedError as error:
        nearest = adjust(content.dry_g, content.water_g, given["sg"], density.g_cm3)
        return nearest, [Notice("volume-not-reached", str(error))]


def _lines(batch: Batch | None, change: Adjustment | None) -> list[dict[str, Any]]:
    if batch is None or change is None or change.add_dry_g <= 0:
        return []
    scaled = scale(batch, all_in_g=change.add_dry_g)
    return [{"material": x.material, "name": x.name, "mass_g": x.mass_g, "addition": x.addition} for x in scaled.lines]


def _additions(
    adding: tuple[str, ...], content: SlurryContent, batch: Batch | None, folders: tuple[str, ...]
) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    if not adding:
        return rows
    library = library_from(folders)
    for text in adding:
        try:
            name, amount = parse_material_amount(text)
            percent = parse_percent(amount)
        except UnitError as error:
            raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--add'") from None
        if not percent > 0:
            raise GlazeError(f"'{text}': a share above zero was expected.", 'Write it like "cobalt carbonate 1%".')
        material, _ = library.find(name)
        base_share = batch.base_total / batch.all_in_total if batch else 1.0
        rows.append(
            {
                "material": material.id,
                "name": material.name,
                "percent": percent,
                "mass_g": content.dry_g * percent / 100,
                "mass_on_base_g": content.dry_g * base_share * percent / 100,
            }
        )
    return rows


def _json(
    content: SlurryContent,
    density: SolidsDensity,
    change: Adjustment | None,
    lines: list[dict[str, Any]],
    added: list[dict[str, Any]],
    notices: list[Notice],
) -> dict[str, Any]:
    return {
        "specific_gravity": content.specific_gravity,
        "volume_ml": content.volume_ml,
        "dry_g": content.dry_g,
        "water_g": content.water_g,
        "dry_g_per_l": content.dry_g / content.volume_ml * 1000,
        "low_dry_g": content.low_dry_g,
        "high_dry_g": content.high_dry_g,
        "solids_density": density.g_cm3,
        "solids_density_given": density.given,
        "add_dry_g": change.add_dry_g if change else None,
        "add_water_g": change.add_water_g if change else None,
        "volume_after_ml": change.volume_ml if change else None,
        "or_take_off_water_g": change.or_take_off_water_g if change else None,
        "lines": lines,
        "additions": added,
        "notices": [{"code": n.code, "message": n.message} for n in notices],
    }


def _what_is_measured(given: dict[str, Any]) -> str:
    if given["gross"] is not None or given["volume"] is not None:
        return "in the bucket"
    return "in the sample" if given["sample"] is not None else "in a litre"
