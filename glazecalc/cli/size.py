"""`glazecalc size`: shrinkage from bars, how large to throw, clay for another size, water absorption."""

from __future__ import annotations

import math
from typing import Any

import click

from glazecalc.amounts import inches_text, pounds_text
from glazecalc.cli.options import echo_json, echo_notices, json_option
from glazecalc.cli.quantities import BAR_LENGTH, LENGTH, MASS, NUMBER, PERCENT
from glazecalc.errors import Notice, UnitError, WorkshopError
from glazecalc.files.shipped import load_data
from glazecalc.show.size import size_page, usual_figures
from glazecalc.units import parse_compound, parse_number
from glazecalc.workshop.size import (
    USUAL_SHRINKAGE_PERCENT,
    Bar,
    Sizes,
    Spread,
    absorption_percent,
    clay_mass_g,
    shrinkages,
    sizes_from_fired,
    sizes_from_wet,
    spread,
)  # fmt: skip

__all__ = ("command",)


@click.command(short_help="Shrinkage, how large to throw, clay weight, absorption.")
@click.option("--wet", type=BAR_LENGTH, help="Plastic length of a marked bar, in any one unit.")
@click.option("--dry", type=BAR_LENGTH, help="Its dry length.")
@click.option("--fired", type=BAR_LENGTH, help="Its fired length.")
@click.option(
    "--bar", "bars", multiple=True, metavar='"WET DRY FIRED"', help='Several bars: --bar "100 93.5 87.6", repeated.'
)
@click.option("--shrinkage", type=PERCENT, help="Total shrinkage in place of bars: 12.4%.")
@click.option("--want", type=LENGTH, help="Fired size wanted: 9in, 230mm, 9 1/2in.")
@click.option("--thrown", type=LENGTH, help="Size as thrown; what it becomes.")
@click.option(
    "--bar-error",
    type=NUMBER,
    default=None,
    help="How far off the fired length may be, in the unit of the bar [0.5 where bars are given].",
)
@click.option("--tolerance", type=LENGTH, help="Tolerance of a collection on the fired size, either way: 3mm.")
@click.option("--clay", type=MASS, help='Clay of a piece that worked: "2 lb 12 oz", 1.25kg.')
@click.option("--clay-size", type=LENGTH, help="Fired size of that piece: 9in.")
@click.option(
    "--piece",
    type=click.Choice(["plate", "bowl"]),
    help="No piece of your own: clay by one potter's chart for a plate or a bowl.",
)
@click.option("--clay-law", type=click.Choice(["thickness", "shape"]), default="thickness", show_default=True,
              help="Same wall thickness (size squared) or same shape throughout (size cubed).")  # fmt: skip
@click.option(
    "--absorption",
    "pieces",
    multiple=True,
    metavar='"DRY BOILED"',
    help='Weights dry and boiled: --absorption "210.4g 214.6g", repeated.',
)
@json_option
def command(as_json: bool, **given: Any) -> None:
    """Work out sizes: from marked bars to shrinkage, from the fired size to the thrown one, and the clay for it.

    Drying and total shrinkage are on the plastic length (ASTM C326), firing shrinkage on the dry length; they do not add.

    \b
    Examples:  glazecalc size --wet 100 --dry 93.5 --fired 87.6 --want 9in
               glazecalc size --shrinkage 12% --want 11in --clay "2 lb 12 oz" --clay-size 9in
    """
    bars = _bars(given)
    absorbed = [_absorbed(text) for text in given["pieces"]]
    if not bars and given["shrinkage"] is None and not absorbed and given["want"] is None and given["thrown"] is None:
        raise click.UsageError(
            "give a bar (--wet, --dry, --fired), a shrinkage (--shrinkage 12%) or weights (--absorption)."
        )
    if bars and given["shrinkage"] is not None:
        raise click.UsageError("give bars or --shrinkage, not both.")
    drying, firing, total = shrinkages(bars) if bars else (None, None, None)
    total_percent = total.mean if total else given["shrinkage"]
    drying_percent = drying.mean if drying else None
    sizes, answer = _sizes(given, bars, total_percent, drying_percent)
    clay = _clay(given, sizes)
    result: dict[str, Any] = {
        "drying_percent": drying_percent,
        "firing_percent": firing.mean if firing else None,
        "total_percent": total_percent,
        "bars": len(bars),
        "drying_spread": _spread_json(drying),
        "firing_spread": _spread_json(firing),
        "total_spread": _spread_json(total),
        "wet_mm": sizes.wet_mm if sizes else None,
        "dry_mm": sizes.dry_mm if sizes else None,
        "fired_mm": sizes.fired_mm if sizes else None,
        "wet_inches": inches_text(sizes.wet_mm) if sizes else None,
        "dry_inches": inches_text(sizes.dry_mm) if sizes and sizes.dry_mm is not None else None,
        "fired_inches": inches_text(sizes.fired_mm) if sizes else None,
        **answer,
        **clay,
        "absorption_percent": spread(absorbed).mean if absorbed else None,
        "absorption_spread": _spread_json(spread(absorbed)) if absorbed else None,
    }
    if as_json:
        echo_json(result)
    else:
        click.echo(size_page(result, given))
    if total_percent is not None and total_percent > USUAL_SHRINKAGE_PERCENT:
        echo_notices(
            [
                Notice(
                    "much-shrinkage",
                    f"{total_percent:.1f} % is more than clays lose (5 to 17 %): are all lengths in one unit?",
                )
            ]
        )


def _bars(given: dict[str, Any]) -> list[Bar]:
    bars = []
    if given["wet"] is not None or given["fired"] is not None or given["dry"] is not None:
        if given["wet"] is None or given["fired"] is None:
            raise click.UsageError("a bar needs its wet and its fired length: --wet 100 --fired 87.6 (and --dry 93.5).")
        bars.append(Bar(wet=given["wet"], dry=given["dry"], fired=given["fired"]))
    for text in given["bars"]:
        try:
            numbers = [float(parse_number(word)[0]) for word in text.replace(";", " ").split()]
        except UnitError as error:
            raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--bar'") from None
        if len(numbers) not in (2, 3):
            raise click.BadParameter(
                f"'{text}': wet, dry and fired length, or wet and fired, were expected.", param_hint="'--bar'"
            )
        bars.append(Bar(wet=numbers[0], dry=numbers[1] if len(numbers) == 3 else None, fired=numbers[-1]))
    return bars


def _absorbed(text: str) -> float:
    words = text.split()
    if len(words) == 4:
        words = [f"{words[0]} {words[1]}", f"{words[2]} {words[3]}"]
    try:
        if len(words) != 2:
            raise UnitError(f"'{text}': the dry and the boiled weight were expected.", 'Write it like "210.4g 214.6g".')
        dry, boiled = (parse_compound(w, "mass") if not w.replace(".", "").isdecimal() else float(w) for w in words)
    except UnitError as error:
        raise click.BadParameter(f"{error.message} {error.hint}".strip(), param_hint="'--absorption'") from None
    return absorption_percent(dry, boiled)


def _sizes(
    given: dict[str, Any], bars: list[Bar], total: float | None, drying: float | None
) -> tuple[Sizes | None, dict[str, Any]]:
    answer: dict[str, Any] = {
        "wet_low_mm": None,
        "wet_high_mm": None,
        "wet_tolerance_mm": None,
        "fired_spread_mm": None,
    }
    if given["want"] is None and given["thrown"] is None:
        return None, answer
    if given["want"] is not None and given["thrown"] is not None:
        raise click.UsageError("give the fired size (--want) or the thrown one (--thrown), not both.")
    if total is None:
        raise click.UsageError(
            f"how much does the clay shrink? Give a bar (--wet 100 --fired 87.6) or --shrinkage 12%. {usual_figures('shrinkage_percent')}"
        )
    sizes = (
        sizes_from_fired(given["want"], total, drying)
        if given["want"] is not None
        else sizes_from_wet(given["thrown"], total, drying)
    )
    if bars:
        answer["fired_spread_mm"] = [
            sizes.wet_mm * (1 - b / 100)
            for b in (max(x.total_percent for x in bars), min(x.total_percent for x in bars))
        ]
        error = 0.5 if given["bar_error"] is None else given["bar_error"]
        mean_wet = sum(b.wet for b in bars) / len(bars)
        if not 0 <= error < mean_wet * (1 - total / 100):
            raise WorkshopError(f"an error of {error:g} on a bar of {mean_wet:g} cannot be meant.")
        low, high = ((1 - total / 100) + sign * error / mean_wet for sign in (1, -1))
        if given["want"] is not None:
            answer["wet_low_mm"], answer["wet_high_mm"] = given["want"] / low, given["want"] / high
    if given["tolerance"] is not None:
        if not 0 < given["tolerance"] < sizes.fired_mm:
            raise WorkshopError("the tolerance is above zero and smaller than the piece.", "Write it like 3mm.")
        answer["wet_tolerance_mm"] = given["tolerance"] / (1 - total / 100)
    return sizes, answer


def _clay(given: dict[str, Any], sizes: Sizes | None) -> dict[str, Any]:
    empty: dict[str, Any] = {"clay_g": None, "clay_text": None, "clay_law": None, "clay_source": None}
    if given["piece"] is not None:
        if sizes is None or given["clay"] is not None or given["clay_size"] is not None:
            raise click.UsageError(
                "--piece takes the chart's weights: give the size wanted (--want 11in), and no --clay of your own."
            )
        chart = load_data("workshop_practice.yaml")["clay_weights"]
        rows = [row for row in chart["rows"] if row["piece"] == given["piece"]]
        near = min(rows, key=lambda row: abs(math.log(row["inches"] * 25.4 / sizes.wet_mm)))
        mass = clay_mass_g(near["kg"] * 1000, near["inches"] * 25.4, sizes.wet_mm, power=2)
        source = f"from {near['kg']:g} kg for {near['inches']:g} in as thrown; {chart['source']}; {chart['note']}"
        return {"clay_g": mass, "clay_text": pounds_text(mass), "clay_law": "thickness", "clay_source": source}
    if given["clay"] is None and given["clay_size"] is None:
        return empty
    if given["clay"] is None or given["clay_size"] is None or sizes is None:
        raise click.UsageError(
            'clay for another size needs the piece that worked (--clay "2 lb 12 oz" --clay-size 9in) and the size wanted (--want 11in).'
        )
    power = 2 if given["clay_law"] == "thickness" else 3
    mass = clay_mass_g(given["clay"], given["clay_size"], sizes.fired_mm, power=power)
    return {"clay_g": mass, "clay_text": pounds_text(mass), "clay_law": given["clay_law"], "clay_source": None}


def _spread_json(found: Spread | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "mean": found.mean,
        "deviation": found.deviation,
        "low": found.low,
        "high": found.high,
        "count": found.count,
    }
