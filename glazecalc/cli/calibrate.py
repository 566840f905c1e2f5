"""``glazecalc calibrate``: one's own firings on one clay, and where a new glaze lies among them."""

from __future__ import annotations

import click

from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option
from glazecalc.errors import Notice

__all__ = ("command",)


@click.command("calibrate")
@click.argument("results")
@click.option(
    "--body", "body", metavar="NAME", help="The clay body, as the results name it; needed where they name several."
)
@click.option(
    "--place", "new", multiple=True, metavar="RECIPE", help="A recipe to place among the results; may repeat."
)
@click.option(
    "--model",
    "model",
    type=click.Choice(["fitted", "appen"]),
    default="fitted",
    show_default=True,
    help="The expansion model; one for all.",
)
@materials_option
@json_option
def command(
    results: str, body: str | None, new: tuple[str, ...], model: str, materials: tuple[str, ...], *, as_json: bool
) -> None:
    """Read your own results (recipe,body,cone,result: crazed, sound or shivered) into ranges for one clay.

    \b
    Example:  glazecalc calibrate firings.csv --body "Slate Quay" --place new-white.txt
    """
    from glazecalc.convert.unity import mole_percent
    from glazecalc.errors import Fault, FileFaultsError, did_you_mean
    from glazecalc.estimate.expansion import expansion
    from glazecalc.estimate.firings import FiredResult, fit_range, place
    from glazecalc.files.firings import find_recipe_file, read_firings
    from glazecalc.files.recipes import read_recipe
    from glazecalc.show.calibrate import fit_page

    library = library_from(materials)
    rows = read_firings(results)
    bodies = sorted({row.body for row in rows})
    if body is None and len(bodies) > 1:
        raise click.UsageError(f"the results are of several bodies: {', '.join(bodies)}. Say which with --body.")
    chosen = body if body is not None else bodies[0]
    used = [row for row in rows if row.body.lower() == chosen.lower()]
    if not used:
        raise FileFaultsError(
            results, [Fault(None, f"no result is on the body '{chosen}'.", did_you_mean(chosen, bodies))]
        )
    notices = []
    if len(used) < len(rows):
        notices.append(
            Notice(
                "other-bodies",
                f"{len(rows) - len(used)} results on other bodies are left aside: expansions compare on one body only.",
            )
        )
    faults = []
    fired = []
    values: dict[str, float] = {}
    for row in used:
        try:
            if row.recipe not in values:
                values[row.recipe] = expansion(
                    mole_percent(read_recipe(find_recipe_file(row.recipe, results)), library), model=model
                ).value
        except FileFaultsError as error:
            faults.append(Fault(row.line, str(error)))
            continue
        fired.append(
            FiredResult(
                recipe=row.recipe,
                body=row.body,
                cone=row.cone,
                result=row.result,
                note=row.note,
                model=model,
                expansion=values[row.recipe],
            )
        )
    if faults:
        raise FileFaultsError(results, faults)
    fit = fit_range(fired)
    placed = []
    for path in new:
        recipe = read_recipe(path)
        estimate = expansion(mole_percent(recipe, library), model=model)
        placed.append((recipe.name or path, estimate.value, place(estimate.value, fit)))
        notices.extend(
            Notice("outside-window", f"{recipe.name or path}: outside the tested range, {item}.")
            for item in estimate.outside
        )
    if as_json:
        echo_json({**fit.to_dict(), "placed": [{"recipe": n, "expansion": v, "place": w} for n, v, w in placed]})
    else:
        click.echo(fit_page(fit, placed))
    echo_notices(notices)
