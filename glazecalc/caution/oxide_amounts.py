"""How much of each oxide a glaze holds, in the measures by which cautions are raised."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from glazecalc.caution.thresholds import threshold
from glazecalc.convert.batch import Batch, folded_moles
from glazecalc.convert.moles import molar_mass_array
from glazecalc.convert.unity import FiredAnalysis, UnityFormula
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.oxides import AXIS, FLUXES, METAL_COLOURANTS

__all__ = (
    "OxideAmounts",
    "amount_text",
    "amount_unit",
    "amounts_of",
    "colouring_share",
    "moles_per_flux",
    "parts_per_100",
)

# measure -> its unit, and the words of an amount in a caution
_UNITS = {
    "parts_per_100": "parts {oxide} per 100",
    "mol_per_flux": "mol {oxide} per mol of flux",
    "wt_percent_fired": "wt % {oxide} in the fired glaze",
}
_TEXTS = {
    "parts_per_100": "{value:.2f} parts {oxide} per 100 of uncoloured batch",
    "mol_per_flux": "{value:.2f} mol {oxide} per mol of flux",
    "wt_percent_fired": "{value:.3g} wt % {oxide} in the fired glaze",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OxideAmounts:
    """How much of each oxide a glaze holds; an oxide that is not named is not there."""

    parts_per_100: Mapping[str, float] = field(default_factory=FrozenDict)  # see the function `parts_per_100`
    mol_per_flux: Mapping[str, float] = field(default_factory=FrozenDict)  # empty without flux
    wt_percent_fired: Mapping[str, float] = field(default_factory=FrozenDict)

    def of(self, measure: str, oxide: str) -> float:
        """Return the amount of an oxide by one of the three measures."""
        by_measure: Mapping[str, float] = getattr(self, measure)
        return by_measure.get(oxide, 0.0)


def amounts_of(batch: Batch, unity: UnityFormula | None, fired: FiredAnalysis) -> OxideAmounts:
    """Return the amounts in all measures."""
    return OxideAmounts(parts_per_100=parts_per_100(batch), mol_per_flux=moles_per_flux(unity), wt_percent_fired=fired)


def amount_unit(measure: str, oxide: str) -> str:
    """Return the unit of a measure, e.g. ``"parts CoO per 100"``."""
    return _UNITS[measure].format(oxide=oxide)


def amount_text(measure: str, oxide: str, value: float) -> str:
    """Return an amount in words, and of what it is a part, e.g. ``"2.10 parts CoO per 100 of uncoloured batch"``."""
    text = _TEXTS[measure].format(oxide=oxide, value=value)
    if measure == "wt_percent_fired" and "e-" in text:  # a trace that would print with an exponent
        return f"{10_000 * value:.2g} ppm {oxide} in the fired glaze"
    return text


@cache
def is_colouring(material: Material) -> bool:
    """Return True for a colourant: by its kind, or because colouring oxides make more than half of its analysis."""
    colour = math.fsum(value for oxide, value in material.analysis.items() if oxide in METAL_COLOURANTS)
    return material.kind == "colourant" or colour > threshold("colouring_material").value


def colouring_share(batch: Batch) -> float:
    """Return the parts of colouring materials in the batch, in the unit of its lines."""
    return math.fsum(line.parts for line in batch.lines if is_colouring(line.material))


def parts_per_100(batch: Batch) -> dict[str, float]:
    """Return oxide -> parts that come to 100 parts of the batch without its colouring materials.

    This is per cent on top of the base, but it stays the same where the author wrote a colourant inside the hundred.
    All iron counts as Fe2O3. A batch of nothing but colourants is referred to the whole batch.
    """
    rest = batch.all_in_total - colouring_share(batch)
    basis = rest if rest > 1e-9 * batch.all_in_total else batch.all_in_total
    masses = folded_moles(batch) * molar_mass_array()
    return {oxide: float(100.0 * mass / basis) for oxide, mass in zip(AXIS, masses, strict=True) if mass > 0.0}


def moles_per_flux(unity: UnityFormula | None) -> dict[str, float]:
    """Return moles of each oxide to one mole of R2O + RO, whatever convention the formula was asked for; empty without flux."""
    if unity is None:
        return {}
    moles = dict(unity.moles or unity.amounts)
    total = sum(moles.get(oxide, 0.0) for oxide in FLUXES)
    return {oxide: value / total for oxide, value in moles.items()} if total > 0 else {}
