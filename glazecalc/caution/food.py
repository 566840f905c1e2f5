"""Metals on a surface that meets food: what this recipe holds of them, and what is known about it.

A recipe shows what is in a glaze, never what leaves it. Only a release test on fired ware shows that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from glazecalc.caution.atmosphere import atmosphere_of
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.metals import Metal, facts, load_limit, metals
from glazecalc.caution.oxide_amounts import OxideAmounts, amount_text, amounts_of
from glazecalc.caution.thresholds import Threshold, threshold
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, UnityFormula
from glazecalc.oxides import CHROMATE_PARTNERS, METAL_COLOURANTS
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("food_cautions", "metal_cautions")


class _Ware(NamedTuple):
    """What the glaze is for, and the cone: kept with every caution as evidence."""

    use: Use | None
    cone: str

    @property
    def for_food(self) -> bool:
        return self.use != NOT_FOR_FOOD

    def raised(
        self, code: str, message: str, severity: Severity | None = None, *,
        why: str = "", do: str, source: str, evidence: Mapping[str, Any] | None = None,
    ) -> Caution:  # fmt: skip
        shared = {"use": self.use or "not given, read as food ware"} | ({"cone": self.cone} if self.cone else {})
        together = {**shared, **(evidence or {})}
        return raised(code, message, severity, use=self.use, why=why, do=do, evidence=together, source=source)


def food_cautions(
    batch: Batch, unity: UnityFormula | None, fired: FiredAnalysis, *, use: Use | None, cone: str
) -> list[Caution]:
    """Return what deserves a word about metals in this glaze, in no order.

    `unity` and `fired` [wt %] are all-in; `unity` is None where the batch has no flux. No use is read as food ware, and that
    is said; on ware that is not for food every caution is milder, but lead and cadmium never vanish.
    """
    ware = _Ware(use, cone)
    found = [*_lead_and_cadmium(batch, fired, ware)]
    found += metal_cautions(amounts_of(batch, unity, fired), atmosphere=batch.recipe.atmosphere, use=use, cone=cone)
    return [*found, _release_not_known(fired, ware)] if ware.for_food else found


def metal_cautions(amounts: OxideAmounts, *, atmosphere: str, use: Use | None, cone: str) -> list[Caution]:
    """Return what deserves a word about the metals other than lead and cadmium, from their amounts alone."""
    ware = _Ware(use, cone)
    return [
        *_loads(amounts, ware),
        *_barium(amounts, ware),
        *_copper_with_lead(amounts, ware),
        *_copper_with_metals(amounts, ware),
        *_chromate(amounts, atmosphere, ware),
        *_saturation(amounts, ware),
    ]


def _source(of: Metal, limit: Threshold) -> str:
    return f"{of.source}. Threshold: {limit.source}"


def _lead_and_cadmium(batch: Batch, fired: FiredAnalysis, ware: _Ware) -> Iterator[Caution]:
    for of, limit in ((metals()["PbO"], threshold("lead_stop")), (metals()["CdO"], threshold("cadmium_stop"))):
        if fired[of.oxide] > 0.0:
            yield _present(of, limit, batch, fired, ware)
        bounds = {m.name: m.below_detection[of.oxide] for m in batch.materials if of.oxide in m.below_detection}
        if bounds:
            said = ", ".join(f"{text} wt % in {material}" for material, text in bounds.items())
            yield ware.raised(
                f"{of.name}-below-detection",
                f"{of.name.capitalize()} is reported as {said}: not zero, not known.",
                do=f"Let the release test of the fired ware include {of.element}.",
                evidence={"below_detection": bounds},
                source="the analyses of these materials",
            )


def _present(of: Metal, limit: Threshold, batch: Batch, fired: FiredAnalysis, ware: _Ware) -> Caution:
    share = fired[of.oxide]
    carriers = [
        line.material.name
        for line in batch.lines
        if line.parts > 0.0 and line.material.analysis.get(of.oxide, 0.0) > 0.0
    ]
    do = (
        f"Take the {of.name} out, or have fired pieces of this very glaze and firing tested for {of.element} release "
        "(ASTM C738, ISO 6486-1 or EN 1388-1) against the limits of the market before anyone eats from them."
    )
    if not ware.for_food:
        marks = f"{facts()['not_for_food_us'].text}. {facts()['not_for_food_canada'].text}"
        do = f"Keep it off anything that could hold food, and mark it. {marks}."
    amount = amount_text("wt_percent_fired", of.oxide, share)
    return ware.raised(
        f"{of.name}-present",
        f"{of.says} Here {amount}, from {', '.join(dict.fromkeys(carriers))}.",
        Severity.STOP if share >= limit.value else Severity.LOOK,
        why=of.why,
        do=do,
        evidence={
            f"{of.oxide}_wt_percent_fired": share,
            "threshold_wt_percent_fired": limit.value,
            "materials": carriers,
        },
        source=_source(of, limit),
    )


def _loads(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    """Yield a caution for each metal of the data that stands above a step of its load."""
    for of in metals().values():
        load = of.load
        if load is None:
            continue
        value = amounts.of(load.measure, of.oxide)
        over = [(severity, limit) for severity, limit in load.steps.items() if value > limit.value]
        if not over:
            continue
        severity, limit = over[-1]
        yield ware.raised(
            load.code,
            f"{of.says} Here {amount_text(load.measure, of.oxide, value)}; above {limit.value:g}.",
            severity,
            why=of.why,
            do=load.do,
            evidence={
                f"{of.oxide}_{load.measure}": value,
                f"threshold_{load.measure}": limit.value,
                **{f"{of.oxide}_{measure}": amounts.of(measure, of.oxide) for measure in load.beside},
            },
            source=_source(of, limit),
        )


def _barium(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    value, share = amounts.of("mol_per_flux", "BaO"), amounts.of("wt_percent_fired", "BaO")
    low, high, of = threshold("barium_present"), threshold("barium_stop"), metals()["BaO"]
    limit = high if value >= high.value else low
    if value >= low.value:
        yield ware.raised(
            "barium-on-food",
            f"{of.says} Here {value:.2f} mol BaO in the flux ({share:.1f} wt % fired); from {limit.value:g} on.",
            Severity.STOP if limit is high else Severity.LOOK,
            why=of.why,
            do="Use it outside the food surface, or test fired pieces for Ba release in acid; more silica, or SrO for BaO, and test again.",
            evidence={
                "BaO_mol_per_flux": value,
                "threshold_mol_per_flux": limit.value,
                "BaO_wt_percent_fired": share,
                "SiO2_mol_per_flux": amounts.of("mol_per_flux", "SiO2"),
            },
            source=_source(of, limit),
        )


def _copper_with_lead(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    copper, lead = amounts.of("parts_per_100", "CuO"), amounts.of("wt_percent_fired", "PbO")
    trace, known = threshold("copper_trace"), facts()["copper_with_lead"]
    if copper >= trace.value and lead > 0.0:
        yield ware.raised(
            "copper-with-lead",
            f"Copper opens a glaze for lead: {amount_text('parts_per_100', 'CuO', copper)} beside {amount_text('wt_percent_fired', 'PbO', lead)}.",
            why=f"{known.text}.",
            do="Never put the two together on ware that could hold food. Take one of them out; the lead first.",
            evidence={
                "CuO_parts_per_100": copper,
                "PbO_wt_percent_fired": lead,
                "threshold_parts_per_100": trace.value,
            },
            source=f"{known.source}. Threshold: {trace.source}",
        )


def _copper_with_metals(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    copper, trace = amounts.of("parts_per_100", "CuO"), threshold("copper_trace")
    cobalt, manganese = threshold("companion_cobalt"), threshold("companion_manganese")
    companions = (
        ("CoO", "parts_per_100", cobalt),
        ("MnO", "parts_per_100", manganese),
        ("BaO", "mol_per_flux", threshold("barium_present")),
    )
    held = [(oxide, measure, amounts.of(measure, oxide), limit.value) for oxide, measure, limit in companions]
    met = [(oxide, measure, value) for oxide, measure, value, limit in held if value > limit]
    if copper >= trace.value and met:
        known, much = facts()["copper_with_metals"], load_limit("CuO", Severity.LOOK)
        said = ", ".join(f"{oxide} {value:.2f}" for oxide, _, value in met)
        yield ware.raised(
            "copper-with-metals",
            f"Copper is taken to raise the release of metals beside it: {amount_text('parts_per_100', 'CuO', copper)} together with {said}.",
            Severity.STOP if copper > much.value else Severity.LOOK,
            why=f"{known.text}.",
            do="Test fired pieces for all of these metals, not for one; or leave the copper out.",
            evidence={
                "CuO_parts_per_100": copper,
                **{f"{oxide}_{measure}": value for oxide, measure, value in met},
                "thresholds": {
                    "CuO_parts_per_100": trace.value,
                    "CuO_parts_per_100_stop": much.value,
                    **{f"{oxide}_{measure}": limit for oxide, measure, _, limit in held},
                },
            },
            source=f"{known.source}. Thresholds: {cobalt.source}; {manganese.source}",
        )


def _chromate(amounts: OxideAmounts, atmosphere: str, ware: _Ware) -> Iterator[Caution]:
    chromium, limit = amounts.of("parts_per_100", "Cr2O3"), threshold("chromate_chromium")
    base = sum(amounts.of("mol_per_flux", oxide) for oxide in CHROMATE_PARTNERS)
    partners, reduction = threshold("chromate_partners"), atmosphere_of(atmosphere) == "reduction"
    if chromium > limit.value and base >= partners.value and not reduction:
        yield ware.raised(
            "chromate-in-oxidation",
            f"Part of the chromium can become soluble chromate in oxidation: {amount_text('parts_per_100', 'Cr2O3', chromium)} with {base:.2f} mol of lime, "
            "baryta and alkali in the flux.",
            why="Most of it lies at rough or yellow spots.",
            do="Look for yellow at edges and thin places, and have the release test report hexavalent chromium.",
            evidence={
                "Cr2O3_parts_per_100": chromium,
                "threshold_parts_per_100": limit.value,
                "lime_baryta_alkali_mol_per_flux": base,
                "threshold_mol_per_flux": partners.value,
                "atmosphere": atmosphere or "not given, read as oxidation",
            },
            source=f"{metals()['Cr2O3'].source} (the reaction is from memory). Threshold: {limit.source}; {partners.source}",
        )


def _saturation(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    iron = amounts.of("parts_per_100", "Fe2O3")
    others = sum(amounts.of("parts_per_100", oxide) for oxide in METAL_COLOURANTS if oxide != "Fe2O3")
    what, value, limit = "Iron", iron, threshold("colour_iron_look")
    if others >= threshold("colour_other_than_iron").value:
        what, value, limit = "Colouring oxides", iron + others, threshold("colour_total_look")
    if value > limit.value:
        yield ware.raised(
            "saturated-colour",
            f"The melt may not dissolve all the colour: a metallic skin lies loose, marks and gives metal to acid. "
            f"{what} {value:.1f} parts per 100 of uncoloured batch; above {limit.value:g}.",
            why="What does not stay dissolved comes out on cooling, as crystals or a metallic skin.",
            do="Look at the fired surface with a lens, leave vinegar on it overnight, and test fired pieces for the metals in it; or use less.",
            evidence={
                "Fe2O3_parts_per_100": iron,
                "other_colouring_parts_per_100": others,
                "threshold_parts_per_100": limit.value,
            },
            source=limit.source,
        )


def _release_not_known(fired: FiredAnalysis, ware: _Ware) -> Caution:
    absent = [of.name for of in (metals()["PbO"], metals()["CdO"]) if not fired[of.oxide] > 0.0]
    words = f"the analyses used report no {' and no '.join(absent)}; " if absent else ""
    return ware.raised(
        "release-not-known",
        f"A recipe shows what is in a glaze, not what leaves it: {words}what a fired piece releases is known from a test only.",
        do="Before ware is sold, have fired pieces tested for Pb and Cd; 'glazecalc lab' lays the results against the limits.",
        source="the release limits of the US, Canada, the EU, ISO, Japan and China, each with its text, in 'glazecalc lab'",
    )
