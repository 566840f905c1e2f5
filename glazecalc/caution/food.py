"""Metals on a surface that meets food: what this recipe holds of them, and what is known about it.

A recipe shows what is in a glaze, never what leaves it. Only a release test on fired ware shows that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from glazecalc.caution.atmosphere import atmosphere_of
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.metals import Load, Metal, facts, load_limit, load_of, metals
from glazecalc.caution.oxide_amounts import OxideAmounts, amount_text, amounts_of
from glazecalc.caution.thresholds import Threshold, threshold
from glazecalc.caution.weak_glass import calls_itself_matt, first_of, weak_glass
from glazecalc.cones import Cone, parse_cone
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, UnityFormula
from glazecalc.errors import ConeError
from glazecalc.oxides import CHROMATE_PARTNERS, METAL_COLOURANTS
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("food_cautions", "metal_cautions")

_MEASURED_AT = "6"  # the cone of nearly all published releases


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
    recipe = batch.recipe
    found = [*_lead_and_cadmium(batch, fired, ware)]
    found += metal_cautions(
        amounts_of(batch, unity, fired),
        atmosphere=recipe.atmosphere,
        use=use,
        cone=cone,
        called_matt=calls_itself_matt(f"{recipe.name} {recipe.notes}"),
    )
    return [*found, _release_not_known(batch, ware)] if ware.for_food else found


def metal_cautions(
    amounts: OxideAmounts, *, atmosphere: str, use: Use | None, cone: str, called_matt: bool = False
) -> list[Caution]:
    """Return what deserves a word about the metals other than lead and cadmium, from their amounts and the glass around them.

    `called_matt` says that the recipe calls itself matt. Without a cone the glass is read as one of cone 6, where most releases were
    measured.
    """
    ware, signs = _Ware(use, cone), weak_glass(amounts, _cone(cone), called_matt=called_matt)
    return [
        *_loads(amounts, atmosphere, signs, ware),
        *_copper_with_lead(amounts, ware),
        *_copper_with_metals(amounts, signs, ware),
        *_saturation(amounts, ware),
    ]


def _cone(text: str) -> Cone:
    try:
        return parse_cone(text or _MEASURED_AT)
    except ConeError:
        return parse_cone(_MEASURED_AT)


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
        f"Take the {of.name} out, or have fired pieces of this glaze from the same firing tested for {of.element} release "
        "(ASTM C738, EN 1388-1; ISO 6486-1 reads a third fill) against the limits of the market before anyone eats from them."
    )
    if not ware.for_food:
        marks = f"{facts()['not_for_food_us'].text}. {facts()['not_for_food_canada'].text}"
        do = f"Keep it off anything that could hold food, and mark it. {marks}."
    amount = amount_text("wt_percent_fired", of.oxide, share)
    trace = "" if share >= limit.value else " A trace, as raw materials bring it: ask for the assay."
    return ware.raised(
        f"{of.name}-present",
        f"{of.says} Here {amount}, from {', '.join(dict.fromkeys(carriers))}.{trace}",
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


def _loads(amounts: OxideAmounts, atmosphere: str, signs: Mapping[str, str], ware: _Ware) -> Iterator[Caution]:
    """Yield a caution for each metal of the data that stands above a step of its load."""
    for of in metals().values():
        load = of.load
        if load is None:
            continue
        value, weak = amounts.of(load.measure, of.oxide), first_of(signs, load.weak_by)
        met = load.met(value, weak=bool(weak))
        if met is None:
            continue
        severity, limit, by_glass = met
        where = f" where {weak}" if by_glass else ""
        words, evidence = _chromate(amounts, atmosphere) if of.oxide == "Cr2O3" else ("", {})
        yield ware.raised(
            load.code,
            f"{of.says} Here {amount_text(load.measure, of.oxide, value)}; above {limit.value:g}{where}.",
            severity,
            why=f"{words}{of.why} {_stands_on(load)}",
            do=load.do,
            evidence={
                f"{of.oxide}_{load.measure}": value,
                f"threshold_{load.measure}": limit.value,
                **{f"{of.oxide}_{measure}": amounts.of(measure, of.oxide) for measure in load.beside},
                "weak_glass": weak,
                "measured_glazes": load.measured_glazes,
                **evidence,
            },
            source=_source(of, limit),
        )


def _stands_on(load: Load) -> str:
    if not load.measured_glazes:
        return "No measured glaze stands behind this number."
    return f"The number stands on {load.measured_glazes} measured glaze{'s' if load.measured_glazes > 1 else ''}."


def _chromate(amounts: OxideAmounts, atmosphere: str) -> tuple[str, dict[str, Any]]:
    """Return the words and the evidence of chromium that part of it can become chromate; nothing in reduction or with little lime and alkali."""
    base, partners = (
        sum(amounts.of("mol_per_flux", oxide) for oxide in CHROMATE_PARTNERS),
        threshold("chromate_partners"),
    )
    if base < partners.value or atmosphere_of(atmosphere) == "reduction":
        return "", {}
    evidence = {
        "lime_baryta_alkali_mol_per_flux": base,
        "threshold_mol_per_flux": partners.value,
        "atmosphere": atmosphere or "not given, read as oxidation",
    }
    said = f"Fired in oxidation beside {base:.2f} mol of lime, baryta and alkali, part of it can become soluble chromate (recalled). "
    return said, evidence


def _copper_with_lead(amounts: OxideAmounts, ware: _Ware) -> Iterator[Caution]:
    copper, lead = amounts.of("parts_per_100", "CuO"), amounts.of("wt_percent_fired", "PbO")
    trace, put_there, known = threshold("copper_trace"), threshold("lead_stop"), facts()["copper_with_lead"]
    if copper >= trace.value and lead >= put_there.value:
        yield ware.raised(
            "copper-with-lead",
            f"Copper opens a glaze for lead: {amount_text('parts_per_100', 'CuO', copper)} beside {amount_text('wt_percent_fired', 'PbO', lead)}.",
            why=f"{known.text}.",
            do="Never put the two together on ware that could hold food. Take one of them out; the lead first.",
            evidence={
                "CuO_parts_per_100": copper,
                "PbO_wt_percent_fired": lead,
                "threshold_parts_per_100": trace.value,
                "threshold_wt_percent_fired": put_there.value,
            },
            source=f"{known.source}. Threshold: {trace.source}; {put_there.source}",
        )


def _copper_with_metals(amounts: OxideAmounts, signs: Mapping[str, str], ware: _Ware) -> Iterator[Caution]:
    copper, trace = amounts.of("parts_per_100", "CuO"), threshold("copper_trace")
    cobalt, manganese = threshold("companion_cobalt"), threshold("companion_manganese")
    companions = (
        ("CoO", "parts_per_100", cobalt),
        ("MnO", "parts_per_100", manganese),
        ("BaO", "mol_per_flux", load_limit("BaO", Severity.KNOW)),
    )
    held = [(oxide, measure, amounts.of(measure, oxide), limit.value) for oxide, measure, limit in companions]
    met = [(oxide, measure, value) for oxide, measure, value, limit in held if value > limit]
    if copper >= trace.value and met:
        known, much = facts()["copper_with_metals"], load_limit("CuO", Severity.LOOK)
        weak = first_of(signs, load_of("CuO").weak_by)
        parts = [
            f"{o} {value:.2f}"
            for o, measure, value in (("CuO", "parts_per_100", copper), *met)
            if measure == "parts_per_100"
        ]
        said = f"{', '.join(parts)} parts per 100 of uncoloured batch"
        said += "".join(f", {o} {value:.2f} per flux" for o, m, value in met if m == "mol_per_flux")
        beside = f"; {weak}" if weak else ""
        steps = (Severity.KNOW, Severity.LOOK, Severity.STOP)
        yield ware.raised(
            "copper-with-metals",
            f"Copper is taken to let out metals beside it: {said}{beside}.",
            steps[(copper > much.value) + bool(weak)],
            why=f"{known.text}.",
            do="Test fired pieces for all of these metals, not for one; or leave the copper out.",
            evidence={
                "CuO_parts_per_100": copper,
                **{f"{oxide}_{measure}": value for oxide, measure, value in met},
                "weak_glass": weak,
                "thresholds": {
                    "CuO_parts_per_100": trace.value,
                    "CuO_parts_per_100_graver": much.value,
                    **{f"{oxide}_{measure}": limit for oxide, measure, _, limit in held},
                },
            },
            source=f"{known.source}. Thresholds: {cobalt.source}; {manganese.source}",
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
            f"The melt may not dissolve it all: a metallic skin lies loose, marks and gives metal to acid. "
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


def _release_not_known(batch: Batch, ware: _Ware) -> Caution:
    silent = [of.name for of in (metals()["PbO"], metals()["CdO"]) if _reported(of.oxide, batch) == "nothing"]
    words = f"None of the analyses says anything about {' or '.join(silent)}. " if silent else ""
    words += "".join(
        f"{of.name.capitalize()} is reported as {said} in every analysis. "
        for of in (metals()["PbO"], metals()["CdO"])
        if (said := _reported(of.oxide, batch)) not in ("", "nothing")
    )
    return ware.raised(
        "release-not-known",
        f"{words}A recipe shows what went into a glaze; what leaves it, only a test of fired ware tells.",
        do="Before ware is sold, have fired pieces tested for Pb and Cd; 'glazecalc lab' compares the results with the limits.",
        evidence={of.oxide: _states(of.oxide, batch) for of in (metals()["PbO"], metals()["CdO"])},
        source="the release limits of the US, Canada, the EU, the UK, ISO, Japan and China, each with its text, in 'glazecalc lab'",
    )


def _states(oxide: str, batch: Batch) -> dict[str, list[str]]:
    """Return state -> the materials whose analysis is in it: the three states of an oxide, and a number."""
    states: dict[str, list[str]] = {"not_reported": [], "below_detection": [], "zero": [], "reported": []}
    for material in batch.materials:
        if oxide in material.below_detection:
            state = "below_detection"
        elif oxide not in material.analysis:
            state = "not_reported"
        else:
            state = "reported" if material.analysis[oxide] > 0.0 else "zero"
        states[state].append(material.name)
    return {state: list(dict.fromkeys(names)) for state, names in states.items()}


def _reported(oxide: str, batch: Batch) -> str:
    """Return ``"nothing"`` where no analysis names the oxide, the bounds where all are below detection or zero, else an empty text."""
    states = _states(oxide, batch)
    if not states["below_detection"] and not states["zero"] and not states["reported"]:
        return "nothing"
    if states["not_reported"] or states["reported"]:
        return ""
    bounds = [m.below_detection[oxide] for m in batch.materials if oxide in m.below_detection]
    return ", ".join(dict.fromkeys([*bounds, *(["zero"] if states["zero"] else [])]))
