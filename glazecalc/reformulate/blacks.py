"""Less cobalt in an iron black, as far down as published blacks go."""

from __future__ import annotations

from glazecalc.convert.batch import Batch
from glazecalc.errors import CompositionError, Notice
from glazecalc.files.shipped import load_data
from glazecalc.oxides import molar_mass

__all__ = ("less_cobalt",)

_RICH_PERCENT = 10.0  # a line is one of cobalt or iron where it holds this much of the oxide


def less_cobalt(batch: Batch) -> tuple[list[float], list[Notice]]:
    """Return the parts with the cobalt lines at the low end of published iron blacks, and what is to be said.

    Parameters
    ----------
    batch : Batch

    Returns
    -------
    tuple of (list of float, list of Notice)
        Parts in the order of the batch. Iron is raised to the low end of its range where it lies below.

    Raises
    ------
    CompositionError
        Where the recipe is no black of iron and cobalt.
    """
    data = load_data("reformulate_blacks.yaml")
    iron_low, iron_high = (float(end) for end in data["iron_percent"])
    cobalt_low, cobalt_high = (float(end) for end in data["cobalt_percent"])
    per_carbonate = 100.0 * molar_mass("CoO") / (molar_mass("CoO") + molar_mass("CO2"))
    cobalt = [i for i, m in enumerate(batch.materials) if m.analysis.get("CoO", 0.0) > _RICH_PERCENT]
    iron = [
        i
        for i, m in enumerate(batch.materials)
        if m.kind == "colourant" and m.analysis.get("Fe2O3", 0.0) > _RICH_PERCENT
    ]
    if not cobalt or not iron:
        raise CompositionError(
            "'less cobalt' is for blacks of iron and cobalt; the recipe has no such pair.",
            "Name the line instead: 'cobalt carbonate -0.5'.",
        )
    base = batch.base_total
    carbonate_now = (
        sum(batch.parts[i] * batch.materials[i].analysis["CoO"] for i in cobalt) / per_carbonate / base * 100.0
    )
    iron_now = sum(batch.parts[i] * batch.materials[i].analysis["Fe2O3"] for i in iron) / base
    parts = list(batch.parts)
    where = f"published iron blacks hold {iron_low:g} to {iron_high:g} % Fe2O3 with {cobalt_low:g} to {cobalt_high:g} % CoCO3"
    if carbonate_now <= cobalt_low:
        return parts, [Notice("no-room", f"{where}; with {carbonate_now:.2f} % there is no room below.")]
    for i in cobalt:
        parts[i] *= cobalt_low / carbonate_now
    said = f"{where}; cobalt goes from {carbonate_now:.2f} to {cobalt_low:.2f} % (as CoCO3)"
    if 0 < iron_now < iron_low:
        for i in iron:
            parts[i] *= iron_low / iron_now
        said += f", iron from {iron_now:.1f} to {iron_low:.1f} %"
    elif iron_now > iron_high:
        said += f"; the iron, {iron_now:.1f} %, lies above them and is left"
    return parts, [
        Notice(
            "published-blacks",
            f"{said}. Whether it stays black on your base a tile shows. Sources: {'; '.join(data['sources'])}.",
        )
    ]
