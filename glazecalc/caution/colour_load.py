"""How much of each colouring oxide a batch holds, in the potter's measure."""

from __future__ import annotations

import math

from glazecalc.convert.batch import Batch, folded_moles
from glazecalc.convert.moles import molar_mass_array
from glazecalc.material import Material
from glazecalc.oxides import AXIS, COLOURING

__all__ = ("colouring_share", "parts_per_100")


def is_colouring(material: Material) -> bool:
    """Return True for a colourant: by its kind, or because colouring oxides make more than half of its analysis."""
    if material.kind == "colourant":
        return True
    colour = math.fsum(value for oxide, value in material.analysis.items() if oxide in COLOURING or oxide == "FeO")
    return colour > 50.0


def colouring_share(batch: Batch) -> float:
    """Return the parts of colouring materials in the batch, in the unit of `Batch.parts`."""
    return math.fsum(p for p, material in zip(batch.parts, batch.materials, strict=True) if is_colouring(material))


def parts_per_100(batch: Batch) -> dict[str, float]:
    """Return oxide -> parts that come to 100 parts of the batch without its colouring materials.

    This is per cent on top of the base, but it stays the same where the author wrote a colourant inside the hundred.
    All iron counts as Fe2O3. A batch of nothing but colourants is referred to the whole batch.
    """
    rest = batch.all_in_total - colouring_share(batch)
    basis = rest if rest > 1e-9 * batch.all_in_total else batch.all_in_total
    masses = folded_moles(batch) * molar_mass_array()
    return {oxide: float(100.0 * mass / basis) for oxide, mass in zip(AXIS, masses, strict=True) if mass > 0.0}
