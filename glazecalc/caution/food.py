"""Metals on a surface that meets food: what this recipe holds of them, and what is known about it.

A recipe shows what is in a glaze, never what leaves it. Only a release test on fired ware shows that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.metals import Metal, fact, load_limit, metal, metals
from glazecalc.caution.oxide_amounts import OxideAmounts, amount_text, amounts_of
from glazecalc.caution.thresholds import Threshold, threshold
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, UnityFormula
from glazecalc.oxides import CHROMATE_PARTNERS, METAL_COLOURANTS
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("food_cautions", "metal_cautions")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ware:
    """What the glaze is for, and what every caution keeps as evidence."""

    for_food: bool
    shared: Mapping[str, Any]

    def severity(self, on_food: Severity) -> Severity:
        return on_food if self.for_food else Severity.KNOW


def food_cautions(
    batch: Batch, unity: UnityFormula | None, fired: FiredAnalysis, *, use: Use | None, cone: str
) -> list[Caution]:
    """Return what deserves a word about metals in this glaze.

    Parameters
    ----------
    batch : Batch
        The recipe with its materials.
    unity : UnityFormula or None
        Its unity formula, all-in, by any convention; None where the batch has no flux.
    fired : FiredAnalysis
        Its fired analysis [wt %], all-in.
    use : str or None
        What the ware is for; None is read as food ware, and that is said. ``"not-for-food"`` softens every caution, but
        lead and cadmium never vanish.
    cone : str
        The cone of the firing; kept as evidence.

    Returns
    -------
    list of Caution
        In no order; see `sort_cautions`.
    """
    ware = _ware(use, cone)
    amounts = amounts_of(batch, unity, fired)
    found = [
        *_lead_and_cadmium(batch, fired, ware),
        *metal_cautions(amounts, atmosphere=batch.recipe.atmosphere, use=use, cone=cone),
    ]
    if ware.for_food:
        found.append(_release_not_known(fired, ware))
    return found


def metal_cautions(amounts: OxideAmounts, *, atmosphere: str, use: Use | None, cone: str) -> list[Caution]:
    """Return what deserves a word about the metals other than lead and cadmium, from their amounts alone.

    Parameters
    ----------
    amounts : OxideAmounts
        What the glaze holds.
    atmosphere : str
        Of the firing; empty is read as oxidation.
    use, cone
        As in `food_cautions`.
    """
    ware = _ware(use, cone)
    return [
        *_loads(amounts, ware),
        *_barium(amounts, ware),
        *_copper_in_company(amounts, ware),
        *_chromate(amounts, atmosphere, ware),
        *_saturation(amounts, ware),
    ]


def _ware(use: Use | None, cone: str) -> _Ware:
    shared = {"use": use or "not given, read as food ware"} | ({"cone": cone} if cone else {})
    return _Ware(for_food=use != NOT_FOR_FOOD, shared=shared)


def _source(of: Metal, limit: Threshold) -> str:
    return f"{of.source}. Threshold: {limit.source}"


def _lead_and_cadmium(batch: Batch, fired: FiredAnalysis, ware: _Ware) -> list[Caution]:
    found = []
    for of, limit in ((metal("PbO"), threshold("lead_stop")), (metal("CdO"), threshold("cadmium_stop"))):
        share = fired[of.oxide]
        if share > 0.0:
            found.append(_present(of, share, limit, batch, ware))
        bounds = {m.name: m.below_detection[of.oxide] for m in batch.materials if of.oxide in m.below_detection}
        if bounds:
            said = ", ".join(f"{text} wt % in {material}" for material, text in bounds.items())
            found.append(
                raised(
                    f"{of.name}-below-detection",
                    message=f"{of.name.capitalize()} is reported as {said}: not zero, not known.",
                    do=f"Let the release test of the fired ware include {of.element}.",
                    evidence={**ware.shared, "below_detection": bounds},
                    source="the analyses of these materials",
                )
            )
    return found


def _present(of: Metal, share: float, limit: Threshold, batch: Batch, ware: _Ware) -> Caution:
    carriers = [
        line.material.name
        for line in batch.lines
        if line.parts > 0.0 and line.material.analysis.get(of.oxide, 0.0) > 0.0
    ]
    amount = amount_text("wt_percent_fired", of.oxide, share)
    if ware.for_food:
        do = (
            f"Take the {of.name} out, or have fired pieces of this very glaze and firing tested for {of.element} release "
            "(ASTM C738, ISO 6486-1 or EN 1388-1) against the limits of the market before anyone eats from them."
        )
    else:
        marks = f"{fact('not_for_food_us').text}. {fact('not_for_food_canada').text}"
        do = f"Keep it off anything that could hold food, and mark it. {marks}."
    return raised(
        f"{of.name}-present",
        Severity.STOP if ware.for_food and share >= limit.value else Severity.LOOK,
        message=f"{of.name.capitalize()}: {amount}, from {', '.join(dict.fromkeys(carriers))}. {of.why}",
        do=do,
        evidence={
            **ware.shared,
            f"{of.oxide}_wt_percent_fired": share,
            "threshold_wt_percent_fired": limit.value,
            "materials": carriers,
        },
        source=_source(of, limit),
    )


def _loads(amounts: OxideAmounts, ware: _Ware) -> list[Caution]:
    """Return a caution for each metal of the data that stands above a step of its load."""
    found = []
    for of in metals().values():
        load = of.load
        if load is None:
            continue
        value = amounts.of(load.measure, of.oxide)
        over = [(severity, limit) for severity, limit in load.steps.items() if value > limit.value]
        if not over:
            continue
        severity, limit = over[-1]
        amount = amount_text(load.measure, of.oxide, value)
        found.append(
            raised(
                load.code,
                ware.severity(severity),
                message=f"{of.name.capitalize()}: {amount}; above {limit.value:g}. {of.why}",
                do=load.do,
                evidence={
                    **ware.shared,
                    f"{of.oxide}_{load.measure}": value,
                    f"threshold_{load.measure}": limit.value,
                    **{f"{of.oxide}_{measure}": amounts.of(measure, of.oxide) for measure in load.beside},
                },
                source=_source(of, limit),
            )
        )
    return found


def _barium(amounts: OxideAmounts, ware: _Ware) -> list[Caution]:
    value, low, high = amounts.of("mol_per_flux", "BaO"), threshold("barium_present"), threshold("barium_stop")
    if value < low.value:
        return []
    of, limit, share = metal("BaO"), high if value >= high.value else low, amounts.of("wt_percent_fired", "BaO")
    return [
        raised(
            "barium-on-food",
            ware.severity(Severity.STOP if value >= high.value else Severity.LOOK),
            message=f"Barium: {value:.2f} mol BaO in the flux ({share:.1f} wt % fired); from {limit.value:g} on. {of.why}",
            do="Use it outside the food surface, or test fired pieces for Ba release in acid; more silica, or SrO for BaO, and test again.",
            evidence={
                **ware.shared,
                "BaO_mol_per_flux": value,
                "threshold_mol_per_flux": limit.value,
                "BaO_wt_percent_fired": share,
                "SiO2_mol_per_flux": amounts.of("mol_per_flux", "SiO2"),
            },
            source=_source(of, limit),
        )
    ]


def _copper_in_company(amounts: OxideAmounts, ware: _Ware) -> list[Caution]:
    """Return what copper does beside lead, and beside cobalt, manganese or barium."""
    copper, trace = amounts.of("parts_per_100", "CuO"), threshold("copper_trace")
    if copper < trace.value:
        return []
    found = []
    lead = amounts.of("wt_percent_fired", "PbO")
    if lead > 0.0:
        known = fact("copper_with_lead")
        found.append(
            raised(
                "copper-with-lead",
                Severity.STOP if ware.for_food else Severity.LOOK,
                message=f"Copper ({copper:.2f} parts CuO per 100) and lead ({lead:.3g} wt % PbO) in one glaze. {known.text}.",
                do="Never put the two together on ware that could hold food. Take one of them out; the lead first.",
                evidence={
                    **ware.shared,
                    "CuO_parts_per_100": copper,
                    "PbO_wt_percent_fired": lead,
                    "threshold_parts_per_100": trace.value,
                },
                source=f"{known.source}. Threshold: {trace.source}",
            )
        )
    cobalt, manganese = threshold("companion_cobalt"), threshold("companion_manganese")
    companions = (
        ("CoO", "parts_per_100", cobalt),
        ("MnO", "parts_per_100", manganese),
        ("BaO", "mol_per_flux", threshold("barium_present")),
    )
    met = {
        (oxide, measure): value
        for oxide, measure, limit in companions
        if (value := amounts.of(measure, oxide)) > limit.value
    }
    if met:
        known, much = fact("copper_with_metals"), load_limit("CuO", Severity.LOOK)
        said = ", ".join(f"{oxide} {value:.2f}" for (oxide, _), value in met.items())
        found.append(
            raised(
                "copper-with-metals",
                ware.severity(Severity.STOP if copper > much.value else Severity.LOOK),
                message=f"Copper ({copper:.2f} parts CuO per 100) together with {said}. {known.text}.",
                do="Test fired pieces for all of these metals, not for one; or leave the copper out.",
                evidence={
                    **ware.shared,
                    "CuO_parts_per_100": copper,
                    **{f"{oxide}_{measure}": value for (oxide, measure), value in met.items()},
                    "thresholds": {
                        "CuO_parts_per_100": trace.value,
                        "CuO_parts_per_100_stop": much.value,
                        **{f"{oxide}_{measure}": limit.value for oxide, measure, limit in companions},
                    },
                },
                source=f"{known.source}. Thresholds: {cobalt.source}; {manganese.source}",
            )
        )
    return found


def _chromate(amounts: OxideAmounts, atmosphere: str, ware: _Ware) -> list[Caution]:
    chromium, limit = amounts.of("parts_per_100", "Cr2O3"), threshold("chromate_chromium")
    base, partners = (
        sum(amounts.of("mol_per_flux", oxide) for oxide in CHROMATE_PARTNERS),
        threshold("chromate_partners"),
    )
    if chromium <= limit.value or base < partners.value or atmosphere.lower().startswith("red"):
        return []
    return [
        raised(
            "chromate-in-oxidation",
            ware.severity(Severity.LOOK),
            message=(
                f"Chromium ({chromium:.2f} parts Cr2O3 per 100) with {base:.2f} mol of lime, baryta and alkali in the flux: fired in oxidation, "
                "part of it can become soluble chromate, most at rough or yellow spots."
            ),
            do="Look for yellow at edges and thin places, and have the release test report hexavalent chromium.",
            evidence={
                **ware.shared,
                "Cr2O3_parts_per_100": chromium,
                "threshold_parts_per_100": limit.value,
                "lime_baryta_alkali_mol_per_flux": base,
                "threshold_mol_per_flux": partners.value,
                "atmosphere": atmosphere or "not given, read as oxidation",
            },
            source=f"{metal('Cr2O3').source} (the reaction is from memory). Threshold: {limit.source}; {partners.source}",
        )
    ]


def _saturation(amounts: OxideAmounts, ware: _Ware) -> list[Caution]:
    iron = amounts.of("parts_per_100", "Fe2O3")
    others = sum(amounts.of("parts_per_100", oxide) for oxide in METAL_COLOURANTS if oxide != "Fe2O3")
    mixed = others >= threshold("colour_other_than_iron").value
    limit = threshold("colour_total_look") if mixed else threshold("colour_iron_look")
    value = iron + others if mixed else iron
    if value <= limit.value:
        return []
    what = "Colouring oxides" if mixed else "Iron"
    return [
        raised(
            "saturated-colour",
            ware.severity(Severity.LOOK),
            message=(
                f"{what}: {value:.1f} parts per 100; above {limit.value:g}. The melt may not dissolve it all: crystals or a metallic skin "
                "come out on cooling, and such skins lie loose, mark and give metal to acid."
            ),
            do="Look at the fired surface with a lens, leave vinegar on it overnight, and test fired pieces for the metals in it; or use less.",
            evidence={
                **ware.shared,
                "Fe2O3_parts_per_100": iron,
                "other_colouring_parts_per_100": others,
                "threshold_parts_per_100": limit.value,
            },
            source=limit.source,
        )
    ]


def _release_not_known(fired: FiredAnalysis, ware: _Ware) -> Caution:
    absent = [of.name for of in (metal("PbO"), metal("CdO")) if not fired[of.oxide] > 0.0]
    words = f"the analyses used report no {' and no '.join(absent)}; " if absent else ""
    return raised(
        "release-not-known",
        message=f"A recipe shows what is in a glaze, not what leaves it: {words}what a fired piece releases is known from a test only.",
        do="Before ware is sold, have fired pieces tested for Pb and Cd; 'glazecalc lab' lays the results against the limits.",
        evidence=ware.shared,
        source="the release limits of the US, Canada, the EU, ISO, Japan and China, each with its text, in 'glazecalc lab'",
    )
