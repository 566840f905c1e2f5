"""The page of `glazecalc slurry`."""

from __future__ import annotations

from typing import Any

from glazecalc.workshop.density import SolidsDensity
from glazecalc.workshop.slurry import Adjustment, SlurryContent, ounces_per_pint

__all__ = ("slurry_page",)


def _dry_pint(grams_per_litre: float, pint: str) -> float:
    # As `ounces_per_pint` reckons: water at 1000 g/l weighs 20 oz a pint, or 16.69 in the US.
    return ounces_per_pint(grams_per_litre / 1000, pint)


def slurry_page(
    content: SlurryContent,
    density: SolidsDensity,
    change: Adjustment | None,
    lines: list[dict[str, Any]],
    added: list[dict[str, Any]],
    where_it_is: str,
) -> str:
    """Return what a bucket holds and what to add, as plain text in 100 columns."""
    where = "as given" if density.given else "from the materials of the recipe"
    gravity = content.specific_gravity
    between = ""
    if content.high_dry_g > content.low_dry_g:
        between = f"    between {content.low_dry_g:.0f} and {content.high_dry_g:.0f} g by the error of the sample"
    per_litre = content.dry_g / content.volume_ml * 1000
    dry_pints = (
        f"{_dry_pint(per_litre, 'imp'):.1f} oz in an imperial pint, {_dry_pint(per_litre, 'us'):.1f} oz in a US pint"
    )
    pints = f"{ounces_per_pint(gravity):.1f} oz per imperial pint, {ounces_per_pint(gravity, 'us'):.1f} oz per US pint"
    out = [
        f"specific gravity   {gravity:.3f}    ({pints})",
        f"dry content        {per_litre:.0f} g/l    ({dry_pints})",
        f"solids density     {density.g_cm3:.2f} g/cm3, {where}",
        "",
        f"{where_it_is:<18} {content.volume_ml / 1000:8.2f} l",
        f"  dry material     {content.dry_g:8.0f} g{between}",
        f"  water            {content.water_g:8.0f} g",
    ]
    if change is not None:
        out += ["", f"to reach {change.specific_gravity:g} at {change.volume_ml / 1000:.2f} l, add"]
        out += [f"  dry material     {change.add_dry_g:8.0f} g"]
        out += [f"    {x['name']:<28} {x['mass_g']:9.1f} g{'   addition' if x['addition'] else ''}" for x in lines]
        out += [f"  water            {change.add_water_g:8.0f} g"]
        if change.or_take_off_water_g:
            out += [
                f"or let it settle and take off {change.or_take_off_water_g:.0f} g of clear water, or let that much dry away.",
                "What has dissolved (soda, borax, lithium) leaves with water taken off; drying keeps it.",
            ]
    for x in added:
        out += ["", f"{x['percent']:g} % {x['name']} on the dry material: {x['mass_g']:.1f} g"]
        if abs(x["mass_on_base_g"] - x["mass_g"]) > 0.05:
            out += [f"  counted on the base of the recipe alone: {x['mass_on_base_g']:.1f} g"]
    return "\n".join(out)
