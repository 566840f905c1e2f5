"""What this batch gives off in the kiln: gases by mass from the losses of its materials, and metals that go up as fume."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.colour_load import parts_per_100
from glazecalc.caution.thresholds import cite, threshold
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis
from glazecalc.files.shipped import load_data

__all__ = ("kiln_cautions", "kiln_gases")

UNATTRIBUTED = "not attributed"
_VENT = (
    "Vent the kiln outdoors and stay out of the room until it is cool; the kiln's manual and local rules come first."
)


def kiln_gases(batch: Batch) -> dict[str, float]:
    """Return what leaves in the fire, by kind [g per 100 g of the dry all-in batch].

    Parameters
    ----------
    batch : Batch
        The recipe with its materials.

    Returns
    -------
    dict
        H2O, CO2, SO3, F, Cl, N2O5, organic, O2 as the material files name them (O2 is negative where oxygen is taken up, as with
        fluorides), and ``"not attributed"`` for a loss whose parts no file names. The sum is the loss on ignition of the batch.
    """
    gases: dict[str, float] = {}
    for material, parts in zip(batch.materials, batch.parts, strict=True):
        share = parts / batch.all_in_total
        named = dict(material.loss)
        rest = (material.loi_percent or 0.0) - math.fsum(named.values())
        if abs(rest) > 1e-6:
            named[UNATTRIBUTED] = rest
        for gas, percent in named.items():
            gases[gas] = gases.get(gas, 0.0) + share * percent
    return {gas: mass for gas, mass in gases.items() if mass}


def kiln_cautions(batch: Batch, fired: FiredAnalysis) -> list[Caution]:
    """Return what deserves a word about the fumes of this batch.

    Parameters
    ----------
    batch : Batch
        The recipe with its materials.
    fired : FiredAnalysis
        Its fired analysis [wt %], all-in.

    Returns
    -------
    list of Caution
        In no order; each gas with its mass per 100 g of batch and its workplace limits.
    """
    data = load_data("kiln_emissions.yaml")
    gases = kiln_gases(batch)
    found = []
    for gas, entry in data["gases"].items():
        value, limit = gases.get(gas, 0.0), threshold(entry["threshold"])
        if value > limit.value:
            what = f"{entry['name'].capitalize()}: {value:.2g} g leave each 100 g of dry batch; above {limit.value:g}."
            found.append(
                _caution(entry, what, {f"{gas}_g_per_100_g": value, "threshold_g_per_100_g": limit.value}, limit.source)
            )
    parts = parts_per_100(batch)
    for oxide, entry in data["metals"].items():
        limit = threshold(entry["threshold"])
        by_weight = limit.unit.startswith("wt %")
        value = fired[oxide] if by_weight else parts.get(oxide, 0.0)
        unit = "wt_percent_fired" if by_weight else "parts_per_100"
        if value > limit.value or (by_weight and value == limit.value):
            words = (
                f"{value:.3g} wt % {oxide} in the fired glaze" if by_weight else f"{value:.2f} parts {oxide} per 100"
            )
            what = f"{entry['name'].capitalize()} fume: {words}; above {limit.value:g}."
            found.append(
                _caution(entry, what, {f"{oxide}_{unit}": value, f"threshold_{unit}": limit.value}, limit.source)
            )
    return found


def _caution(entry: Mapping[str, Any], what: str, evidence: Mapping[str, Any], threshold_source: str) -> Caution:
    limits = [
        f"{limit['body']} {limit['value']:g} {limit['unit']} {limit['averaging']}"
        + (" (from memory)" if limit.get("from_memory") else "")
        for limit in entry["limits"]
    ]
    told = f" Workplace limits: {'; '.join(limits)}." if limits else ""
    return raised(
        entry["code"],
        severity=Severity(entry["severity"]),
        message=f"{what} {entry['harm']}{told}",
        do=_VENT,
        evidence={**evidence, "limits": limits},
        source=f"{cite(entry)}. Threshold: {threshold_source}",
    )
