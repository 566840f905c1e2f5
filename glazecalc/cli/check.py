"""``glazecalc check``: a recipe's chemistry, estimates and cautions."""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

import click

from glazecalc.caution.surface import SURFACES, given_surface
from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import (
    Renamed,
    cone_option,
    convention_option,
    gathered,
    materials_option,
    output_options,
    use_option,
)
from glazecalc.cli.pictures import drawn, plot_option
from glazecalc.cli.quantities import SHARE, STEP, TEMPERATURE
from glazecalc.cone_temperatures import heats_apart
from glazecalc.convention import Convention
from glazecalc.errors import Notice, UnknownNameError
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import read_recipe
from glazecalc.heat import read_heat
from glazecalc.recipe import Use

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from glazecalc.body import ClayBody
    from glazecalc.check_report import CheckReport
    from glazecalc.estimate.firings import FitRange
    from glazecalc.estimate.spread import Spread
    from glazecalc.estimate.stress import Mismatch
    from glazecalc.library import MaterialLibrary

__all__ = ("command",)

_SAMPLES = click.IntRange(1000, 1_000_000)
_SAMPLES_HELP = "How far the bags' tolerances move each number: low and high, from N random draws (2000)."
_SAMPLING = (
    click.option(
        "--spread", "samples", is_flag=False, flag_value=2000, type=_SAMPLES, metavar="[N]", help=_SAMPLES_HELP
    ),
    click.option("--step", "step_g", type=STEP, metavar="G", help="With --spread: step of your scale, e.g. 1g."),
    click.option(
        "--batch-mass",
        "batch_mass_g",
        cls=Renamed,
        was="--batch",
        type=STEP,
        metavar="G",
        help="With --step: the total batch, e.g. 300g.",
    ),
    click.option(
        "--moisture",
        "moisture_percent",
        type=SHARE,
        metavar="P",
        help="With --spread: most water in the clays, e.g. 3%.",
    ),
)
_MEASURED = (
    click.option(
        "--glaze-expansion", type=float, metavar="X", help="The glaze's measured expansion, 1e-6 per K; with --body."
    ),
    click.option("--glaze-range", metavar="A-B", help="Temperature range of that measurement, in C, e.g. 20-500."),
    click.option(
        "--set-point", type=TEMPERATURE, metavar="C", help="Temperature at which the glaze stiffens, e.g. 520C."
    ),
)
_SURFACES_HELP = (
    f"What the fired surface is like; may repeat: {', '.join(SURFACES)}, gloss, matt, crackle, gun metal, ..."
)


def _spread(report: CheckReport, asked: Mapping[str, Any]) -> Spread | None:
    given = {name: value for name, value in asked.items() if value is not None}
    if not given:
        return None
    if "samples" not in given:
        raise click.UsageError("--step, --batch-mass and --moisture go with --spread.")
    if "step_g" not in given:
        goes_with("--step", batch_mass=given.get("batch_mass_g"))
    from glazecalc.estimate.spread import Sampling, spread_of_estimates

    return spread_of_estimates(report.batch, Sampling(**given), report.estimates, convention=report.convention)


def _mismatch(
    body: ClayBody | None, glaze_expansion: float | None, glaze_range: str | None, set_point: float | None
) -> Mismatch | None:
    if glaze_expansion is None:
        goes_with("--glaze-expansion", glaze_range=glaze_range, set_point=set_point)
        return None
    if body is None or body.expansion_1e6_per_k is None or body.expansion_range_c is None:
        needed = "--body with a measured expansion_1e6_per_k and its expansion_range_c"
        raise click.UsageError(f"--glaze-expansion needs {needed}.")
    from glazecalc.estimate.stress import measured_mismatch

    given = glaze_range or ""
    try:
        low, high = (float(end) for end in given.lower().rstrip("c ").split("-"))
    except ValueError:
        raise click.UsageError(f"--glaze-range '{given}' is not two temperatures. Write it like 20-500.") from None
    return measured_mismatch(
        glaze_1e6_per_k=glaze_expansion,
        body_1e6_per_k=body.expansion_1e6_per_k,
        glaze_range_c=(low, high),
        body_range_c=body.expansion_range_c,
        set_point_c=set_point,
    )


def _own_firings(
    path: str | None, body: ClayBody | None, cone: str, library: MaterialLibrary
) -> tuple[FitRange | None, tuple[Notice, ...]]:
    if path is None or body is None:
        return None, ()
    from glazecalc.calibration import fit_on_body
    from glazecalc.files.firings import read_firings

    rows, said = read_firings(path)
    fit, left_aside = fit_on_body(rows, library, body, cone=cone, path=path)
    return fit, (*said, *left_aside)


def _surfaces(_ctx: click.Context, _param: click.Parameter, words: tuple[str, ...]) -> tuple[str, ...]:
    try:
        return tuple(given_surface(word).word for word in words)
    except UnknownNameError as error:
        raise click.UsageError(str(error)) from None


_OPTION = {"samples": "spread", "step_g": "step", "batch_mass_g": "batch_mass", "moisture_percent": "moisture"}


def _check_all(
    folder: str,
    materials: tuple[str, ...],
    convention: Convention,
    body: str | None,
    cone: str,
    use: Use | Literal[""],
    csv_file: str | None,
    *,
    output: Output,
) -> None:
    """Look at every recipe of a folder, and print a row for each."""
    from glazecalc.folder_report import check_folder

    output.goes_to(csv=csv_file)
    clay = _clay(body)
    library = load_materials(*materials)
    report = check_folder(folder, library, body=clay, cone=cone, use=use, convention=convention)
    writes, written = [], []
    if csv_file is not None:
        from glazecalc.show.folder import folder_csv

        writes.append((csv_file, folder_csv(report)))
        written.append(Notice("table-written", f"the table is in {csv_file}."))
    read = (folder, *materials, *([body] if body is not None else []))
    reply(report, output=output, written=written, writes=writes, read=read)


def _clay(path: str | None) -> ClayBody | None:
    if path is None:
        return None
    from glazecalc.files.bodies import read_body

    return read_body(path)


@click.command("check")
@click.argument("recipe", metavar="RECIPE|FOLDER")
@materials_option
@convention_option
@click.option("--body", metavar="FILE", help="The clay body, a YAML file.")
@click.option(
    "--firings", metavar="FILE", help="Your own firings (as calibrate reads them): the fit by them; with --body."
)
@cone_option
@use_option
@click.option("--surface", "surfaces", multiple=True, metavar="WORD", callback=_surfaces, help=_SURFACES_HELP)
@click.option("--tests", is_flag=True, help="Instead of the page: the tests to make or order, for this use and body.")
@click.option(
    "--full", is_flag=True, help="Every caution in full: what was seen, why it matters, what to do, on whose authority."
)
@click.option("--working", is_flag=True, help="Instead of the page: the calculation step by step.")
@gathered("sampling", dict, *_SAMPLING)
@gathered("measured", dict, *_MEASURED)
@click.option("--csv", "csv_file", metavar="FILE", help="Of a FOLDER: write the table to a CSV file too.")
@plot_option
@output_options
def command(
    recipe: str,
    materials: tuple[str, ...],
    convention: Convention,
    body: str | None,
    firings: str | None,
    cone: str,
    use: Use | None,
    surfaces: tuple[str, ...],
    sampling: Mapping[str, Any],
    measured: Mapping[str, Any],
    tests: bool,
    full: bool,
    working: bool,
    csv_file: str | None,
    plot_file: str | None,
    output: Output,
) -> None:
    """Show the chemistry of a recipe, estimates of how it fires, and what to look at before you mix it; or a row for each recipe of a FOLDER.

    \b
    Example:  glazecalc check harbour-black.txt --cone 6 --use plate
              glazecalc check recipes --csv recipes.csv

    For a FOLDER, --materials, --convention, --body, --cone and --use hold for every recipe. Exit 0 where at least one could be
    read, with the reasons for the others; 1 where none could.
    """
    from glazecalc.check_report import check

    if os.path.isdir(recipe):
        one_only = {
            "surface": surfaces,
            "tests": tests,
            "full": full,
            "working": working,
            "firings": firings,
            "plot": plot_file,
            **sampling,
            **measured,
        }
        goes_with("one recipe, not with a folder", **{_OPTION.get(key, key): value for key, value in one_only.items()})
        _check_all(recipe, materials, convention, body, cone, use or "", csv_file, output=output)
        return
    goes_with("a folder", csv=csv_file)
    output.goes_to(plot=plot_file)
    ranges = any(value is not None for value in (*sampling.values(), *measured.values(), firings))
    pages_asked = [name for name, asked in (("--tests", tests), ("--working", working)) if asked]
    if output.as_json:
        goes_with("the page, not with --json", working=working)
    elif len(pages_asked) > 1 or (pages_asked and (full or ranges)):
        others = "--full, --spread, --firings and --glaze-expansion belong to the usual page"
        raise click.UsageError(f"{pages_asked[0]} prints a page of its own: --tests, --working, or neither; {others}.")
    clay = _clay(body)
    if clay is None:
        goes_with("--body", firings=firings)
    library = load_materials(*materials)
    card, mismatch = read_recipe(recipe), _mismatch(clay, **measured)
    fit, said = _own_firings(firings, clay, read_heat(cone)[0].label if cone else card.cone, library)
    report = check(
        card,
        library,
        body=clay,
        cone=cone,
        use=use or "",
        surfaces=surfaces,
        convention=convention,
        firings=fit,
        measured=mismatch,
    )
    report = dataclasses.replace(report, notices=(*report.notices, *said))
    spread, plan = _spread(report, sampling), None
    if tests:
        from glazecalc.caution.test_plan import plan_tests

        plan = plan_tests(
            report.cautions,
            use=report.use or None,
            body=clay if clay and not heats_apart(clay.cone, report.cone) else None,
            fired=report.fired,
        )

    more = {"body": clay, "fit": mismatch, "tests": plan, "spread": spread}
    writes, told = drawn(plot_file, lambda: _sheet(report, fit))
    read = (recipe, *materials, *(path for path in (body, firings) if path is not None))
    asked: dict[str, Any] = {"full": full, "spread": spread, "mismatch": mismatch, "tests": plan, "working": working}
    reply(report, output=output, more=more, written=told, writes=writes, read=read, options=asked)


def _sheet(report: CheckReport, fit: FitRange | None) -> Figure:
    from glazecalc.plot.sheets import check_sheet

    return check_sheet(report, fit)
