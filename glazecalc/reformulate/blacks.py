"""Less cobalt in an iron black, as far down as published blacks go."""

from __future__ import annotations

import math
from dataclasses import replace

from glazecalc.convert.batch import Batch
from glazecalc.errors import CompositionError, Notice
from glazecalc.files.shipped import load_data
from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.oxides import molar_mass

__all__ = ("is_of", "less_cobalt")


def is_of(material: Material, oxide: str) -> bool:
    """Return True where a line of the material counts as one of cobalt (``CoO``) or of iron (``Fe2O3``)."""
    return material.analysis.get(oxide, 0.0) > choice("cobalt_or_iron_percent")


def less_cobalt(batch: Batch) -> tuple[Batch, list[Notice]]:
    """Return the batch with its cobalt at the low end of published iron blacks, and what is to be said.

    Iron is raised to the low end of its range where it lies below. Raise where the recipe is no black of iron and cobalt.
    """
    data = load_data("reformulate_blacks.yaml")
    iron_low, iron_high = (float(end) for end in data["iron_percent"])
    cobalt_low, cobalt_high = (float(end) for end in data["cobalt_percent"])
    per_carbonate = 100.0 * molar_mass("CoO") / (molar_mass("CoO") + molar_mass("CO2"))
    cobalt = [line for line in batch.lines if is_of(line.material, "CoO")]
    iron = [line for line in batch.lines if line.material.kind == "colourant" and is_of(line.material, "Fe2O3")]
    if not cobalt or not iron:
        text = "'less cobalt' is for blacks of iron and cobalt; the recipe has no such pair."
        raise CompositionError(text, "Name the line instead: 'cobalt carbonate -0.5'.")
    carbonate = math.fsum(line.parts * line.material.analysis["CoO"] for line in cobalt) / per_carbonate
    carbonate_now = carbonate / batch.base_total * 100.0
    iron_now = math.fsum(line.parts * line.material.analysis["Fe2O3"] for line in iron) / batch.base_total
    where = f"published iron blacks hold {iron_low:g} to {iron_high:g} % Fe2O3 with {cobalt_low:g} to {cobalt_high:g} % CoCO3"
    if carbonate_now <= cobalt_low:
        return batch, [Notice("no-room", f"{where}; this one is at the low end already, with {carbonate_now:.2f} %.")]
    factors = {id(line): cobalt_low / carbonate_now for line in cobalt}
    said = f"{where}; cobalt goes from {carbonate_now:.2f} to {cobalt_low:.2f} % (as CoCO3)"
    if 0 < iron_now < iron_low:
        for line in iron:
            factors[id(line)] = factors.get(id(line), 1.0) * iron_low / iron_now
        said += f", iron from {iron_now:.1f} to {iron_low:.1f} %"
    elif iron_now > iron_high:
        said += f"; the iron, {iron_now:.1f} %, is above them and stays"
    published = "; ".join(one["who"] for one in data["published"])
    text = f"{said}. Published by {published}. A tile shows whether it stays black on your base."
    lines = tuple(replace(line, parts=line.parts * factors.get(id(line), 1.0)) for line in batch.lines)
    return replace(batch, lines=lines), [Notice("published-blacks", text)]
