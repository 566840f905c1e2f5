"""What this batch gives off in the kiln: gases by mass from the losses of its materials, and metals that go up as fume."""

from __future__ import annotations

import math

from glazecalc.caution.caution import Caution
from glazecalc.caution.codes import raised
from glazecalc.caution.emissions import Emission, fumes, gases
from glazecalc.caution.oxide_amounts import OxideAmounts, amount_text, amounts_of
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis

__all__ = ("UNATTRIBUTED", "fume_cautions", "kiln_cautions", "kiln_gases")

UNATTRIBUTED = "not attributed"
_VENT = (
    "Vent the kiln outdoors and stay out of the room until it is cool; the kiln's manual and local rules come first."
)


def kiln_gases(batch: Batch) -> dict[str, float]:
    """Return what leaves in the fire, by kind [g per 100 g of the dry all-in batch]; the sum is the loss on ignition.

    H2O, CO2, SO3, F, Cl, N2O5, organic, O2 as the material files name them (O2 is negative where oxygen is taken up, as with
    fluorides), and `UNATTRIBUTED` for a loss whose parts no file names.
    """
    leaving: dict[str, float] = {}
    total = batch.all_in_total
    for line in batch.lines:
        material, share = line.material, line.parts / total
        named = dict(material.loss)
        rest = (material.loi_percent or 0.0) - math.fsum(named.values())
        if abs(rest) > 1e-6:
            named[UNATTRIBUTED] = rest
        for gas, percent in named.items():
            leaving[gas] = leaving.get(gas, 0.0) + share * percent
    return {gas: mass for gas, mass in leaving.items() if mass}


def kiln_cautions(batch: Batch, fired: FiredAnalysis) -> list[Caution]:
    """Return what deserves a word about the fumes of this batch, in no order; `fired` is its analysis [wt %], all-in."""
    leaving = kiln_gases(batch)
    found = []
    for name, gas in gases().items():
        value, limit = leaving.get(name, 0.0), gas.threshold
        if value > limit.value:
            what = f"{gas.name}, {value:.2g} g given off per 100 g of dry batch (noted from {limit.value:g} g)"
            found.append(_caution(gas, what, {f"{name}_g_per_100_g": value, "threshold_g_per_100_g": limit.value}))
    return [*found, *fume_cautions(amounts_of(batch, None, fired))]


def fume_cautions(amounts: OxideAmounts) -> list[Caution]:
    """Return what deserves a word about metals that go up as fume, from their amounts alone.

    A metal that is counted by its fired weight (lead, cadmium) is said from its threshold on, the others above theirs.
    """
    found = []
    for oxide, fume in fumes().items():
        value, limit, measure = amounts.of(fume.measure, oxide), fume.threshold, fume.measure
        if value > limit.value or (value == limit.value and measure == "wt_percent_fired"):
            what = f"{fume.name}, {amount_text(measure, oxide, value)} (noted from {limit.value:g})"
            found.append(_caution(fume, what, {f"{oxide}_{measure}": value, f"threshold_{measure}": limit.value}))
    return found


def _caution(of: Emission, what: str, evidence: dict[str, float]) -> Caution:
    limits = [entry.text for entry in of.limits]
    return raised(
        of.code,
        f"{of.harm} Here {what}.",
        why=" ".join(filter(None, (of.when, f"Workplace limits: {'; '.join(limits)}." if limits else ""))),
        do=_VENT,
        evidence={**evidence, "limits": limits},
        source=f"{of.source}. Threshold: {of.threshold.source}",
    )
