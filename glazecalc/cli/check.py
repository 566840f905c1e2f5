"""``glazecalc check``: a recipe's chemistry, estimates and cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from glazecalc.cli.options import (
    convention_from,
    convention_option,
    echo_json,
    echo_notices,
    json_option,
    library_from,
    materials_option,
    use_option,
)
from glazecalc.files.recipes import read_recipe

if TYPE_CHECKING:
    from glazecalc.body import ClayBody
    from glazecalc.estimate.stress import Mismatch

__all__ = ("command",)


@click.command("check")
@click.argument("recipe")
@materials_option
@convention_option
@click.option("--body", "body", metavar="FILE", help="The clay body, a YAML file.")
@click.option("--cone", "cone", metavar="C", default="", help="The cone, e.g. 6 or 06; else the recipe's own.")
@use_option
@click.option(
    "--surface",
    "surfaces",
    multiple=True,
    metavar="WORD",
    help="How the fired surface is: crawled, crazed, pinholed, rough, ...; may repeat.",
)
@click.option(
    "--tests", "tests", is_flag=True, help="The tests that settle what the recipe leaves open, for this use and body."
)
@click.option("--full", is_flag=True, help="Every caution whole: what, why, what to do, on whose authority.")
@click.option("--working", is_flag=True, help="The calculation laid out by hand.")
@click.option(
    "--spread",
    "samples",
    is_flag=False,
    flag_value=2000,
    type=click.IntRange(1000, 1_000_000),
    metavar="[N]",
    help="Low and high beside each number, from the tolerance of the analyses, by N samples (2000).",
)
@click.option("--step", "step", metavar="G", help="With --spread: the step of your scale, e.g. 1g.")
@click.option(
    "--batch", "batch", metavar="G", help="With --spread and --step: the size of the all-in batch, e.g. 300g."
)
@click.option("--moisture", "moisture", metavar="P", help="With --spread: unknown water in clays, up to, e.g. 3%.")
@click.option(
    "--glaze-expansion",
    "glaze_expansion",
    type=float,
    metavar="X",
    help="The glaze's own measured expansion, 1e-6 per K; with --body.",
)
@click.option("--glaze-range", "glaze_range", metavar="A-B", help="The temperatures of that measurement, e.g. 20-500.")
@click.option("--set-point", "set_point", metavar="C", help="Where the glaze stiffens, e.g. 520C.")
@json_option
def command(
    recipe: str,
    materials: tuple[str, ...],
    convention: tuple[str, ...],
    body: str | None,
    cone: str,
    use: str | None,
    surfaces: tuple[str, ...],
    samples: int | None,
    step: str | None,
    batch: str | None,
    moisture: str | None,
    glaze_expansion: float | None,
    glaze_range: str | None,
    set_point: str | None,
    *,
    tests: bool,
    full: bool,
    working: bool,
    as_json: bool,
) -> None:
    """Show what a recipe is in chemistry and what to look at before it is mixed.

    \b
    Example:  glazecalc check harbour-black.txt --cone 6 --use plate
    """
    from glazecalc.caution.surface import surface_words
    from glazecalc.check_report import check, spread_of
    from glazecalc.errors import did_you_mean

    chosen = convention_from(convention)
    if cone:
        from glazecalc.cones import parse_cone
        from glazecalc.errors import ConeError

        try:
            cone = str(parse_cone(cone))
        except ConeError as error:
            raise click.UsageError(str(error)) from None
    strange = next((word for word in surfaces if word not in surface_words()), None)
    if strange is not None:
        raise click.UsageError(
            f"'{strange}' is not a surface known here. {did_you_mean(strange, surface_words()) or 'Known: ' + ', '.join(surface_words())}"
        )
    clay = None
    if body is not None:
        from glazecalc.files.bodies import read_body

        clay = read_body(body)
    read = read_recipe(recipe)
    report = check(
        read, library_from(materials), body=clay, cone=cone, use=use or "", surfaces=surfaces, convention=chosen
    )
    sampled = None
    if samples is not None:
        sampled = spread_of(
            report,
            samples=samples,
            step_g=_base(step, "mass", "--step"),
            batch_g=_base(batch, "mass", "--batch"),
            moisture_percent=_base(moisture, "share", "--moisture"),
        )
    elif step or batch or moisture:
        raise click.UsageError("--step, --batch and --moisture go with --spread.")
    mismatch = _mismatch(clay, glaze_expansion, glaze_range, set_point)
    if as_json:
        extra: dict[str, object] = {"fit": mismatch.to_dict()} if mismatch else {}
        if tests:
            from glazecalc.caution.test_plan import plan_tests

            extra["tests"] = [
                test.to_dict()
                for test in plan_tests(report.cautions, use=report.use or None, body=clay, fired=report.fired)
            ]
        echo_json(report.to_dict() | extra | ({"spread": sampled.to_dict()} if sampled else {}))
    elif tests:
        from glazecalc.caution.test_plan import plan_tests
        from glazecalc.show.test_plan import plan_page

        click.echo(
            plan_page(report, plan_tests(report.cautions, use=report.use or None, body=clay, fired=report.fired))
        )
    elif working:
        from glazecalc.show.working import working_page

        click.echo(working_page(report))
    else:
        from glazecalc.show.check import check_page

        click.echo(check_page(report, full=full, spread=sampled, mismatch=mismatch))
    echo_notices(report.notices)


def _mismatch(
    clay: ClayBody | None, expansion: float | None, span: str | None, set_point: str | None
) -> Mismatch | None:
    if expansion is None:
        if span or set_point:
            raise click.UsageError("--glaze-range and --set-point go with --glaze-expansion.")
        return None
    from glazecalc.estimate.stress import measured_mismatch

    if clay is None or clay.expansion_1e6_per_k is None or clay.expansion_range_c is None:
        raise click.UsageError(
            "--glaze-expansion needs --body with a measured expansion_1e6_per_k and its expansion_range_c."
        )
    ends = (span or "").lower().rstrip("c ").split("-")
    try:
        low, high = (float(end) for end in ends)
    except ValueError:
        raise click.UsageError(f"--glaze-range '{span or ''}' is not two temperatures. Write it like 20-500.") from None
    return measured_mismatch(
        glaze_1e6_per_k=expansion,
        body_1e6_per_k=clay.expansion_1e6_per_k,
        glaze_range_c=(low, high),
        body_range_c=clay.expansion_range_c,
        set_point_c=_base(set_point, "temperature", "--set-point") if set_point else None,
    )


def _base(text: str | None, dimension: str, option: str) -> float:
    if text is None:
        return 0.0
    from glazecalc.errors import UnitError
    from glazecalc.units import parse_quantity

    try:
        return parse_quantity(text, dimension, bare_unit="%" if dimension == "share" else None).base
    except UnitError as error:
        raise click.UsageError(f"{option}: {error}") from None
