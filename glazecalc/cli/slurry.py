"""`glazecalc slurry`: what a bucket holds, and what brings it to a specific gravity."""

from __future__ import annotations

import click

from glazecalc.caution.bench import short_cautions
from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import Renamed, materials_option, output_options
from glazecalc.cli.quantities import LITRES, MASS, MATERIAL_PERCENT, NUMBER, SAMPLE
from glazecalc.cli.sheet_files import written_sheets
from glazecalc.cli.size_options import moist_option, step_option
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.workshop.bucket import slurry
from glazecalc.workshop.slurry import SlurrySample

__all__ = ("command",)


@click.command(short_help="The dry glaze in a slurry, and what to add.")
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
    help='How far off volume and weight of the sample may be, either way [default: "1 ml 1 g"].',
)
@click.option(
    "--sg-now",
    cls=Renamed,
    was="--gravity-now",
    type=NUMBER,
    metavar="G",
    help="The specific gravity now, in place of a sample.",
)
@click.option("--gross", type=MASS, help="Weight of the bucket with the slurry: 11.20kg.")
@click.option("--tare", type=MASS, help="Weight of the empty bucket: 0.90kg.")
@click.option("--volume", type=LITRES, help="Volume of the slurry, in place of --gross and --tare.")
@click.option(
    "--solids-density", type=NUMBER, metavar="D", help="Density of the dry powder [g/cm3]; else worked out from RECIPE."
)
@click.option("--to", "to_volume", type=LITRES, help="Volume to bring it to, at --sg.")
@click.option(
    "--sg",
    type=NUMBER,
    metavar="G",
    help="The specific gravity wanted. Without --to: the smallest single addition that reaches it.",
)
@click.option("--bucket", type=LITRES, help="Size of the bucket; more than fits is refused.")
@click.option(
    "--add",
    "adding",
    multiple=True,
    type=MATERIAL_PERCENT,
    metavar="TEXT",
    help='A colourant in % of the dry glaze in the full bucket: "cobalt carbonate 1%"; may repeat.',
)
@step_option
@moist_option
@click.option("--sheet", metavar="FILE", help="Write the weighing sheet to FILE (.html or .txt).")
@click.option("--label", metavar="FILE", help="Write a label for the full bucket to FILE (.html or .txt).")
@click.option("--date", default="", help="Date for sheet and label.")
@click.option("--batch-no", default="", help="Batch number or maker for sheet and label.")
@materials_option
@output_options
def command(
    recipe: str | None,
    sample: tuple[float, float] | None,
    sample_error: tuple[float, float] | None,
    sg_now: float | None,
    gross: float | None,
    tare: float | None,
    volume: float | None,
    solids_density: float | None,
    to_volume: float | None,
    sg: float | None,
    bucket: float | None,
    adding: tuple[tuple[str, float], ...],
    step: float | None,
    moist: tuple[tuple[str, float], ...],
    sheet: str | None,
    label: str | None,
    date: str,
    batch_no: str,
    materials: tuple[str, ...],
    output: Output,
) -> None:
    """Measure a bucket: its specific gravity, the dry glaze and water in it, and what to add.

    RECIPE gives the solids density and splits what is to be added into its materials; with --solids-density you can leave
    it out.

    With RECIPE the addition is a weighing list, as `scale` makes it: water first, a running total, a sheet, a label.

    \b
    Examples:  glazecalc slurry --sample "500 ml 735 g" --gross 11.20kg --tare 0.90kg --solids-density 2.6 --to 10l --sg 1.45
               glazecalc slurry harbour-black.txt --sample "1l 1440 g" --volume 6l --to 10l --sg 1.45 --step 1g --sheet top-up.html
    """
    if sample is None:
        goes_with("--sample", sample_error=sample_error)
    if sg is None:
        goes_with("--sg", bucket=bucket)
    if recipe is None:
        goes_with("RECIPE", step=step, moist=moist, sheet=sheet, label=label)
        if not adding:
            goes_with("RECIPE or --add", materials=materials)
    if sheet is None and label is None:
        goes_with("--sheet or --label", date=date, batch_no=batch_no)
    output.goes_to(sheet=sheet, label=label)
    found = slurry(
        read_recipe(recipe) if recipe else None,
        load_materials(*materials) if recipe or adding else None,
        sample=_sample(sample, sample_error),
        specific_gravity_now=sg_now,
        gross_g=gross,
        tare_g=tare,
        volume_l=volume,
        solids_density_g_cm3=solids_density,
        specific_gravity=sg,
        to_volume_l=to_volume,
        bucket_l=bucket,
        adding=dict(adding),
        step_g=step,
        moisture_percent=dict(moist),
    )
    if (sheet is not None or step is not None or moist) and found.to_weigh is None:
        raise click.UsageError("nothing is added by weight: there is no list. Add --sg, with --to where you like.")
    bench = short_cautions(found.materials)
    writes = written_sheets(
        found.to_weigh, found.bucket, sheet=sheet, label=label, bench=bench, date=date, batch_no=batch_no
    )
    read = (*([recipe] if recipe else []), *materials)
    reply(found, output=output, writes=writes, read=read)


def _sample(sample: tuple[float, float] | None, error: tuple[float, float] | None) -> SlurrySample | None:
    if sample is None:
        return None
    errors = {} if error is None else {"volume_error_ml": error[0], "mass_error_g": error[1]}
    return SlurrySample(volume_ml=sample[0], mass_g=sample[1], **errors)
