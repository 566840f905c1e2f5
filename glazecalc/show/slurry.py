"""The page of `glazecalc slurry`."""

from __future__ import annotations

from glazecalc.plain_text import span_text
from glazecalc.show import sheet
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.bucket import SlurryReport
from glazecalc.workshop.slurry import ounces_per_pint

__all__ = ("page",)

_MEASURED = {"bucket": "in the bucket", "sample": "in the sample", "litre": "in a litre"}


def page(found: SlurryReport) -> str:
    """Return what a bucket holds and what to add, as plain text in 100 columns."""
    out = [*_content(found), *_change(found)]
    for x in found.additions:
        whole = " in the full bucket" if found.change is not None and found.change.add_dry_g else ""
        out += ["", *wrapped(f"{x.name}, {x.percent:g} % of the dry glaze{whole}: {x.mass_g:.1f} g", indent=0, hang=2)]
        if abs(x.mass_on_base_g - x.mass_g) > 0.05:
            out += [f"  of its base alone: {x.mass_on_base_g:.1f} g"]
    if found.to_weigh is not None:
        out += ["", sheet.page(found.to_weigh)]
    return "\n".join(out)


def _content(found: SlurryReport) -> list[str]:
    content = found.content
    where = "as given" if found.density.given else "from the materials of the recipe"
    between = ""
    if content.high_dry_g > content.low_dry_g:
        between = f"    ({span_text(content.low_dry_g, content.high_dry_g, '.0f')} g, by the error of the sample)"
    # The dry glaze in a pint is worked out as the slurry is: a pint of water at 1000 g/l weighs 20 oz, or 16.69 in the US.
    slurry_oz, dry_oz = (
        (ounces_per_pint(weight), ounces_per_pint(weight, "us"))
        for weight in (content.specific_gravity, content.dry_g_per_l / 1000)
    )
    return [
        f"specific gravity   {content.specific_gravity:.3f}    ({slurry_oz[0]:.1f} oz per imperial pint, {slurry_oz[1]:.1f} oz per US pint)",
        f"dry glaze          {content.dry_g_per_l:.0f} g/l    ({dry_oz[0]:.1f} oz in an imperial pint, {dry_oz[1]:.1f} oz in a US pint)",
        f"solids density     {found.density.g_cm3:.2f} g/cm3, {where}",
        "",
        f"{_MEASURED[found.measured]:<18} {content.volume_ml / 1000:8.2f} l",
        f"  dry glaze        {content.dry_g:8.0f} g{between}",
        f"  water            {content.water_g:8.0f} g",
    ]


def _open(off_g: float | None) -> str:
    """Return how far off an addition may be by the error of the sample."""
    return f"give or take {off_g:.0f} g, by the error of the sample" if off_g is not None and off_g >= 0.5 else ""


def _change(found: SlurryReport) -> list[str]:
    change = found.change
    if change is None:
        return []
    rows = [["dry glaze", f"{change.add_dry_g:.0f} g", _open(found.dry_give_or_take_g)]]
    rows += [["water", f"{change.add_water_g:.0f} g", _open(found.water_give_or_take_g)]]
    out = ["", f"to make {change.volume_ml / 1000:.2f} l at specific gravity {change.specific_gravity:g}, add"]
    out += table(rows, left=(0, 2))
    if change.or_take_off_water_g:
        out += [
            f"or let it settle and decant {change.or_take_off_water_g:.0f} g of clear water, or let that much evaporate.",
            "Decanting takes dissolved soda, borax and lithium away with the water; evaporating keeps them.",
        ]
    return out
