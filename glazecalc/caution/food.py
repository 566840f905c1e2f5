"""Metals on a surface that meets food: what this recipe holds of them, and what is known about it.

A recipe shows what is in a glaze, never what leaves it. Only a release test on fired ware shows that.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.colour_load import parts_per_100
from glazecalc.caution.thresholds import Threshold, cite, threshold
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, UnityFormula
from glazecalc.files.shipped import load_data
from glazecalc.oxides import COLOURING, FLUXES

__all__ = ("NOT_FOR_FOOD", "food_cautions", "moles_per_flux")

NOT_FOR_FOOD = "not-for-food"
_USE_NOT_GIVEN = "not given, read as food ware"


def food_cautions(
    batch: Batch, unity: UnityFormula | None, fired: FiredAnalysis, *, use: str | None, cone: str
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
    for_food = use != NOT_FOR_FOOD
    shared: dict[str, Any] = {"use": use or _USE_NOT_GIVEN}
    if cone:
        shared["cone"] = cone
    parts = parts_per_100(batch)
    flux = moles_per_flux(unity)
    found = [
        *_lead_and_cadmium(batch, fired, for_food, shared),
        *_barium(flux, fired, for_food, shared),
        *_copper(parts, flux, fired, for_food, shared),
        *_loads(parts, for_food, shared),
        *_flux_metals(flux, for_food, shared),
        *_chromate(parts, flux, batch.recipe.atmosphere, for_food, shared),
        *_saturation(parts, for_food, shared),
    ]
    if for_food:
        found.append(_release_not_known(found, shared))
    return found


def moles_per_flux(unity: UnityFormula | None) -> dict[str, float]:
    """Return moles of each oxide to one mole of R2O + RO, whatever convention the formula was asked for; empty without flux."""
    if unity is None:
        return {}
    moles = dict(unity.moles or unity.amounts)
    total = sum(moles.get(oxide, 0.0) for oxide in FLUXES)
    return {oxide: value / total for oxide, value in moles.items()} if total > 0 else {}


def _metal(oxide: str) -> Mapping[str, Any]:
    metal: Mapping[str, Any] = load_data("food_metals.yaml")["metals"][oxide]
    return metal


def _law(metal: Mapping[str, Any]) -> str:
    if metal["law"] == "none":
        return f"In law: {load_data('food_metals.yaml')['no_limit']}."
    return f"In law: {metal['law']}."


def _why(metal: Mapping[str, Any]) -> str:
    studies = f" {metal['studies']}." if "studies" in metal else ""
    return f"{metal['harm']} More is released with {', '.join(metal['raised_by'])}.{studies} {_law(metal)}"


def _source(metal: Mapping[str, Any], limit: Threshold) -> str:
    return f"{cite(metal)}. Threshold: {limit.source}"


def _severity(for_food: bool, on_food: Severity) -> Severity:
    return on_food if for_food else Severity.KNOW


def _lead_and_cadmium(batch: Batch, fired: FiredAnalysis, for_food: bool, shared: Mapping[str, Any]) -> list[Caution]:
    found = []
    marking = load_data("food_metals.yaml")["non_food_marking"]
    for oxide, key, code in (("PbO", "lead_stop", "lead-present"), ("CdO", "cadmium_stop", "cadmium-present")):
        metal, limit, share = _metal(oxide), threshold(key), fired[oxide]
        name, element = str(metal["name"]), metal["element"]
        if share > 0.0:
            high = share >= limit.value
            carriers = [
                m.name
                for m, p in zip(batch.materials, batch.parts, strict=True)
                if p > 0.0 and m.analysis.get(oxide, 0.0) > 0.0
            ]
            what = f"{name.capitalize()}: {share:.3g} wt % {oxide} in the fired glaze, from {', '.join(dict.fromkeys(carriers))}."
            if for_food:
                severity = Severity.STOP if high else Severity.LOOK
                do = (
                    f"Take the {name} out, or have fired pieces of this very glaze and firing tested for {element} release "
                    "(ASTM C738, ISO 6486-1 or EN 1388-1) against the limits of the market before anyone eats from them."
                )
            else:
                severity = Severity.LOOK
                do = f"Keep it off anything that could hold food, and mark it. {marking['us']['text']}. {marking['canada']['text']}."
            found.append(
                raised(
                    code,
                    severity=severity,
                    message=f"{what} {_why(metal)}",
                    do=do,
                    evidence={
                        **shared,
                        f"{oxide}_wt_percent_fired": share,
                        "threshold_wt_percent_fired": limit.value,
                        "materials": carriers,
                    },
                    source=_source(metal, limit),
                )
            )
        bounds = {m.name: m.below_detection[oxide] for m in batch.materials if oxide in m.below_detection}
        if bounds:
            said = ", ".join(f"{text} wt % in {material}" for material, text in bounds.items())
            found.append(
                raised(
                    f"{name}-below-detection",
                    severity=Severity.KNOW,
                    message=f"{name.capitalize()} is reported as {said}: not zero, not known.",
                    do=f"Let the release test of the fired ware include {element}.",
                    evidence={**shared, "below_detection": bounds},
                    source="the analyses of these materials",
                )
            )
    return found


def _barium(
    flux: Mapping[str, float], fired: FiredAnalysis, for_food: bool, shared: Mapping[str, Any]
) -> list[Caution]:
    value, low, high = flux.get("BaO", 0.0), threshold("barium_present"), threshold("barium_stop")
    if value < low.value:
        return []
    metal = _metal("BaO")
    limit = high if value >= high.value else low
    return [
        raised(
            "barium-on-food",
            severity=_severity(for_food, Severity.STOP if value >= high.value else Severity.LOOK),
            message=f"Barium: {value:.2f} mol BaO in the flux ({fired['BaO']:.1f} wt % fired); from {limit.value:g} on. {_why(metal)}",
            do="Use it outside the food surface, or test fired pieces for Ba release in acid; more silica, or SrO for BaO, and test again.",
            evidence={
                **shared,
                "BaO_mol_per_flux": value,
                "threshold_mol_per_flux": limit.value,
                "BaO_wt_percent_fired": fired["BaO"],
                "SiO2_mol_per_flux": flux.get("SiO2", 0.0),
            },
            source=_source(metal, limit),
        )
    ]


def _copper(
    parts: Mapping[str, float],
    flux: Mapping[str, float],
    fired: FiredAnalysis,
    for_food: bool,
    shared: Mapping[str, Any],
) -> list[Caution]:
    copper = parts.get("CuO", 0.0)
    data = load_data("food_metals.yaml")
    found = []
    look, stop, trace = threshold("copper_look"), threshold("copper_stop"), threshold("copper_trace")
    if copper > look.value:
        limit = stop if copper > stop.value else look
        metal = _metal("CuO")
        found.append(
            raised(
                "copper-load",
                severity=_severity(for_food, Severity.STOP if copper > stop.value else Severity.LOOK),
                message=f"Copper: {copper:.2f} parts CuO per 100; above {limit.value:g}. {_why(metal)}",
                do="Bring the copper down, or test fired pieces for Cu release in acid (ASTM C738 leach) and look for a metallic or black skin.",
                evidence={
                    **shared,
                    "CuO_parts_per_100": copper,
                    "threshold_parts_per_100": limit.value,
                    "CuO_wt_percent_fired": fired["CuO"],
                },
                source=_source(metal, limit),
            )
        )
    if copper < trace.value:
        return found
    if fired["PbO"] > 0.0:
        found.append(
            raised(
                "copper-with-lead",
                severity=Severity.STOP if for_food else Severity.LOOK,
                message=(
                    f"Copper ({copper:.2f} parts CuO per 100) and lead ({fired['PbO']:.3g} wt % PbO) in one glaze. "
                    f"{data['copper_with_lead']['text']}."
                ),
                do="Never put the two together on ware that could hold food. Take one of them out; the lead first.",
                evidence={
                    **shared,
                    "CuO_parts_per_100": copper,
                    "PbO_wt_percent_fired": fired["PbO"],
                    "threshold_parts_per_100": trace.value,
                },
                source=f"{cite(data['copper_with_lead'])}. Threshold: {trace.source}",
            )
        )
    cobalt, manganese, barium = (
        threshold("companion_cobalt"),
        threshold("companion_manganese"),
        threshold("barium_present"),
    )
    others = {
        "CoO_parts_per_100": (parts.get("CoO", 0.0), cobalt),
        "MnO_parts_per_100": (parts.get("MnO", 0.0), manganese),
        "BaO_mol_per_flux": (flux.get("BaO", 0.0), barium),
    }
    met = {name: value for name, (value, limit) in others.items() if value > limit.value}
    if met:
        said = ", ".join(f"{name.split('_')[0]} {value:.2f}" for name, value in met.items())
        found.append(
            raised(
                "copper-with-metals",
                severity=_severity(for_food, Severity.STOP if copper > look.value else Severity.LOOK),
                message=f"Copper ({copper:.2f} parts CuO per 100) together with {said}. {data['copper_with_metals']['text']}.",
                do="Test fired pieces for all of these metals, not for one; or leave the copper out.",
                evidence={
                    **shared,
                    "CuO_parts_per_100": copper,
                    **met,
                    "thresholds": {
                        "CuO_parts_per_100": trace.value,
                        "CuO_parts_per_100_stop": look.value,
                        **{name: limit.value for name, (_, limit) in others.items()},
                    },
                },
                source=f"{cite(data['copper_with_metals'])}. Thresholds: {cobalt.source}; {manganese.source}",
            )
        )
    return found


# oxide, threshold, code, severity on food ware, what to do
_LOADS = (
    (
        "CoO",
        "cobalt_look",
        "cobalt-load",
        Severity.LOOK,
        "Test fired pieces for Co release. Most blacks need 1 to 2 % of cobalt, beside iron.",
    ),
    (
        "MnO",
        "manganese_look",
        "manganese-load",
        Severity.LOOK,
        "Test fired pieces for Mn release; look for a metallic skin; vent the kiln.",
    ),
    (
        "Cr2O3",
        "chromium_look",
        "chromium-load",
        Severity.LOOK,
        "Test fired pieces for Cr release, hexavalent too; look for undissolved grains.",
    ),
    (
        "NiO",
        "nickel_look",
        "nickel-present",
        Severity.LOOK,
        "Test fired pieces for Ni release, or leave nickel out of a food surface.",
    ),
    (
        "V2O5",
        "vanadium_look",
        "vanadium-present",
        Severity.LOOK,
        "Use a fired zirconium or tin stain, and test fired pieces for V release.",
    ),
    (
        "Sb2O3",
        "antimony_look",
        "antimony-present",
        Severity.LOOK,
        "Leave it out of a food surface, or test for Sb and Pb release.",
    ),
    (
        "SeO2",
        "selenium_look",
        "selenium-present",
        Severity.LOOK,
        "Test fired pieces for Cd and Se release; keep to the maker's cone.",
    ),
    ("U3O8", "uranium_stop", "uranium-present", Severity.STOP, "Leave it out. Uranium is also under radiation law."),
)


def _loads(parts: Mapping[str, float], for_food: bool, shared: Mapping[str, Any]) -> list[Caution]:
    found = []
    for oxide, key, code, severity, do in _LOADS:
        value, limit = parts.get(oxide, 0.0), threshold(key)
        if value <= limit.value:
            continue
        metal = _metal(oxide)
        found.append(
            raised(
                code,
                severity=_severity(for_food, severity),
                message=f"{str(metal['name']).capitalize()}: {value:.2f} parts {oxide} per 100; above {limit.value:g}. {_why(metal)}",
                do=do,
                evidence={**shared, f"{oxide}_parts_per_100": value, "threshold_parts_per_100": limit.value},
                source=_source(metal, limit),
            )
        )
    return found


def _flux_metals(flux: Mapping[str, float], for_food: bool, shared: Mapping[str, Any]) -> list[Caution]:
    found = []
    for oxide, key, code, do in (
        ("Li2O", "lithium_look", "lithium-load", "Test fired pieces for Li release in acid, or share the alkali out."),
        (
            "ZnO",
            "zinc_look",
            "zinc-load",
            "Look for crystals at the surface and lay lemon on it for a day; test fired pieces for Zn release.",
        ),
    ):
        value, limit = flux.get(oxide, 0.0), threshold(key)
        if value <= limit.value:
            continue
        metal = _metal(oxide)
        found.append(
            raised(
                code,
                severity=_severity(for_food, Severity.LOOK),
                message=f"{str(metal['name']).capitalize()}: {value:.2f} mol {oxide} in the flux; above {limit.value:g}. {_why(metal)}",
                do=do,
                evidence={**shared, f"{oxide}_mol_per_flux": value, "threshold_mol_per_flux": limit.value},
                source=_source(metal, limit),
            )
        )
    return found


def _chromate(
    parts: Mapping[str, float], flux: Mapping[str, float], atmosphere: str, for_food: bool, shared: Mapping[str, Any]
) -> list[Caution]:
    chromium, limit, partners = parts.get("Cr2O3", 0.0), threshold("chromate_chromium"), threshold("chromate_partners")
    base = sum(flux.get(oxide, 0.0) for oxide in ("CaO", "BaO", "SrO", "Li2O", "Na2O", "K2O"))
    if chromium <= limit.value or base < partners.value or atmosphere.lower().startswith("red"):
        return []
    metal = _metal("Cr2O3")
    return [
        raised(
            "chromate-in-oxidation",
            severity=_severity(for_food, Severity.LOOK),
            message=(
                f"Chromium ({chromium:.2f} parts Cr2O3 per 100) with {base:.2f} mol of lime, baryta and alkali in the flux: fired in oxidation, "
                "part of it can become soluble chromate, most at rough or yellow spots."
            ),
            do="Look for yellow at edges and thin places, and have the release test report hexavalent chromium.",
            evidence={
                **shared,
                "Cr2O3_parts_per_100": chromium,
                "threshold_parts_per_100": limit.value,
                "lime_baryta_alkali_mol_per_flux": base,
                "threshold_mol_per_flux": partners.value,
                "atmosphere": atmosphere or "not given, read as oxidation",
            },
            source=f"{cite(metal)} (the reaction is from memory). Threshold: {limit.source}; {partners.source}",
        )
    ]


def _saturation(parts: Mapping[str, float], for_food: bool, shared: Mapping[str, Any]) -> list[Caution]:
    iron = parts.get("Fe2O3", 0.0)
    others = sum(parts.get(oxide, 0.0) for oxide in COLOURING if oxide != "Fe2O3")
    mixed = others >= threshold("colour_other_than_iron").value
    limit = threshold("colour_total_look") if mixed else threshold("colour_iron_look")
    value = iron + others if mixed else iron
    if value <= limit.value:
        return []
    what = "Colouring oxides" if mixed else "Iron"
    return [
        raised(
            "saturated-colour",
            severity=_severity(for_food, Severity.LOOK),
            message=(
                f"{what}: {value:.1f} parts per 100; above {limit.value:g}. The melt may not dissolve it all: crystals or a metallic skin "
                "come out on cooling, and such skins lie loose, mark and give metal to acid."
            ),
            do="Look at the fired surface with a lens, leave vinegar on it overnight, and test fired pieces for the metals in it; or use less.",
            evidence={
                **shared,
                "Fe2O3_parts_per_100": iron,
                "other_colouring_parts_per_100": others,
                "threshold_parts_per_100": limit.value,
            },
            source=limit.source,
        )
    ]


def _release_not_known(found: list[Caution], shared: Mapping[str, Any]) -> Caution:
    codes = {caution.code for caution in found}
    holds = [name for name in ("lead", "cadmium") if f"{name}-present" in codes]
    absent = [name for name in ("lead", "cadmium") if name not in holds]
    words = f"the analyses used report no {' and no '.join(absent)}; " if absent else ""
    return raised(
        "release-not-known",
        severity=Severity.KNOW,
        message=f"A recipe shows what is in a glaze, not what leaves it: {words}what a fired piece releases is known from a test only.",
        do="Before ware is sold, have fired pieces tested for Pb and Cd; 'glazecalc lab' lays the results against the limits.",
        evidence=dict(shared),
        source="the release limits of the US, Canada, the EU, ISO, Japan and China, each with its text, in 'glazecalc lab'",
    )
