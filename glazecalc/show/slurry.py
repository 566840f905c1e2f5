"""The page of `glazecalc slurry`."""

from __future__ import annotations

from glazecalc.plain_text import span_text
from glazecalc.show import sheet
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.bucket import SlurryReport
from glazecalc.workshop.slurry import ounces_per_pint

__all__ = (
    "MEASURED",
    "change_rows",
    "content_rows",
    "instead",
    "page",
    "slurry_rows",
    "stirred_in",
    "to_make",
)

MEASURED = {"bucket": "in the bucket", "sample": "in the sample", "litre": "in a litre"}

Row = tuple[str, str, str]  # what it is, its figure, what stands beside it


def page(found: SlurryReport) -> str:
    """Return what a bucket holds and what to add, as plain text in 100 columns."""
    out = []
    for name, figure, said in slurry_rows(found):
        beside = f", {said}" if name == "solids density" else f"    ({said})"
        out.append(f"{name:<18} {figure}{beside}")
    (where, volume, _), *inside = content_rows(found)
    out += ["", f"{where:<18} {volume:>10}"]
    out += [f"  {name:<16} {figure:>10}{f'    ({said})' if said else ''}" for name, figure, said in inside]
    if found.change is not None:
        out += ["", to_make(found), *table(change_rows(found), left=(0, 2)), *instead(found)]
    for first, *more in stirred_in(found):
        out += ["", *wrapped(first, indent=0, hang=2), *(f"  {text}" for text in more)]
    if found.to_weigh is not None:
        out += ["", sheet.page(found.to_weigh)]
    return "\n".join(out)


def slurry_rows(found: SlurryReport) -> list[Row]:
    """Return what the slurry is, whatever there is of it: its gravity, the dry glaze in a litre, the density of the powder."""
    content = found.content
    where = "as given" if found.density.given else "from the materials of the recipe"
    # The dry glaze in a pint is worked out as the slurry is: a pint of water at 1000 g/l weighs 20 oz, or 16.69 in the US.
    slurry_oz, dry_oz = (
        (ounces_per_pint(weight), ounces_per_pint(weight, "us"))
        for weight in (content.specific_gravity, content.dry_g_per_l / 1000)
    )
    pints = f"{slurry_oz[0]:.1f} oz per imperial pint, {slurry_oz[1]:.1f} oz per US pint"
    in_pints = f"{dry_oz[0]:.1f} oz in an imperial pint, {dry_oz[1]:.1f} oz in a US pint"
    return [
        ("specific gravity", f"{content.specific_gravity:.3f}", pints),
        ("dry glaze", f"{content.dry_g_per_l:.0f} g/l", in_pints),
        ("solids density", f"{found.density.g_cm3:.2f} g/cm3", where),
    ]


def content_rows(found: SlurryReport) -> list[Row]:
    """Return how much there is of it, and the dry glaze and water in that."""
    content, between = found.content, ""
    if content.high_dry_g > content.low_dry_g:
        between = f"{span_text(content.low_dry_g, content.high_dry_g, '.0f')} g, by the error of the sample"
    return [
        (MEASURED[found.measured], f"{content.volume_ml / 1000:.2f} l", ""),
        ("dry glaze", f"{content.dry_g:.0f} g", between),
        ("water", f"{content.water_g:.0f} g", ""),
    ]


def _open(off_g: float | None) -> str:
    """Return how far off an addition may be by the error of the sample."""
    return f"give or take {off_g:.0f} g, by the error of the sample" if off_g is not None and off_g >= 0.5 else ""


def to_make(found: SlurryReport) -> str:
    """Return what the additions make of it; empty where no gravity was asked for."""
    change = found.change
    if change is None:
        return ""
    return f"to make {change.volume_ml / 1000:.2f} l at specific gravity {change.specific_gravity:g}, add"


def change_rows(found: SlurryReport) -> list[Row]:
    """Return the dry glaze and water to add; nothing where no gravity was asked for."""
    change = found.change
    if change is None:
        return []
    return [
        ("dry glaze", f"{change.add_dry_g:.0f} g", _open(found.dry_give_or_take_g)),
        ("water", f"{change.add_water_g:.0f} g", _open(found.water_give_or_take_g)),
    ]


def instead(found: SlurryReport) -> list[str]:
    """Return what does the same for a slurry that is too thin, with what it does beside."""
    change = found.change
    if change is None or not change.or_take_off_water_g:
        return []
    return [
        f"or let it settle and decant {change.or_take_off_water_g:.0f} g of clear water, or let that much evaporate.",
        "Decanting takes dissolved soda, borax and lithium away with the water; evaporating keeps them.",
    ]


def stirred_in(found: SlurryReport) -> list[list[str]]:
    """Return of each colourant what goes into the full bucket, and of its base alone where that is less."""
    whole = " in the full bucket" if found.change is not None and found.change.add_dry_g else ""
    return [
        [
            f"{x.name}, {x.percent:g} % of the dry glaze{whole}: {x.mass_g:.1f} g",
            *([f"of its base alone: {x.mass_on_base_g:.1f} g"] if abs(x.mass_on_base_g - x.mass_g) > 0.05 else []),
        ]
        for x in found.additions
    ]
