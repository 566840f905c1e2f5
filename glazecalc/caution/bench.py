"""Handling the raw materials of a batch: dust, poisons, caustics, what dissolves in the bucket.

The maker's safety data sheet and local rules come first; this only says what to look up before the bag is opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.thresholds import threshold
from glazecalc.convert.batch import Batch
from glazecalc.files.shipped import load_data
from glazecalc.material import Material

__all__ = ("exposure_limits", "handling_cautions")

_SHEET = "Read the maker's safety data sheet; it and the local rules come first."
_PHYSICIAN = "Anyone pregnant, nursing or with weak lungs: ask a physician first."
# concern class -> code, what the line is called
_CLASSES = {
    "cmr": ("cmr-raw-material", "Can cause cancer, or harm fertility or the unborn child"),
    "cmr_suspected": ("cmr-suspected-raw-material", "Suspected of causing cancer or harming fertility"),
    "toxic": ("toxic-raw-material", "Poisonous"),
    "silicate_dust": ("silicate-dust", "Dust that scars the lungs"),
    "irritant_or_environment": ("irritant-raw-material", "Irritant, or harmful to water life"),
}


def handling_cautions(batch: Batch) -> list[Caution]:
    """Return what deserves a word about the raw materials: at the bench and in the bucket.

    Parameters
    ----------
    batch : Batch
        The recipe with its materials; `Material.hazards` holds keys of the bench hazards data or the user's own words.

    Returns
    -------
    list of Caution
        In no order. One caution a kind of hazard, naming all materials of that kind; a material that calls for a stop
        has its own.
    """
    return [
        *_silica(batch),
        *_classes(batch),
        *_caustic(batch),
        *_own_words(batch),
        *_soluble(batch),
        *_raw_clay(batch),
    ]


def exposure_limits(key: str) -> list[str]:
    """Return the workplace limits in force of one bench hazard, each in one line with its body and memory mark.

    Parameters
    ----------
    key : str
        A key of the bench hazards data, e.g. ``"silica_quartz"``.
    """
    lines = []
    for limit in _hazard(key).get("limits", ()):
        if limit.get("earlier"):
            continue
        text = f"{limit['body']} {limit['value']:g} {limit['unit']} {limit['averaging']}"
        text += f", {limit['fraction']} dust" if "fraction" in limit else ""
        text += f", as {limit['as']}" if "as" in limit else ""
        text += " (from memory)" if limit.get("from_memory") else ""
        lines.append(text)
    return lines


def _hazards() -> Mapping[str, Any]:
    hazards: Mapping[str, Any] = load_data("bench_hazards.yaml")["hazards"]
    return hazards


def _hazard(key: str) -> Mapping[str, Any]:
    hazard: Mapping[str, Any] = _hazards()[key]
    return hazard


def _policy() -> Mapping[str, Any]:
    policy: Mapping[str, Any] = load_data("caution_thresholds.yaml")["bench"]
    return policy


def _materials(batch: Batch) -> list[tuple[Material, float]]:
    """Return each material once with its share [wt % of the all-in batch]."""
    shares: dict[str, tuple[Material, float]] = {}
    for material, parts in zip(batch.materials, batch.parts, strict=True):
        already = shares[material.id][1] if material.id in shares else 0.0
        shares[material.id] = (material, already + 100.0 * parts / batch.all_in_total)
    return [(material, share) for material, share in shares.values() if share > 0.0]


def _named(shares: Iterable[tuple[Material, float]]) -> str:
    return ", ".join(f"{material.name} {share:.1f} %" for material, share in shares)


def _titles(keys: Iterable[str]) -> str:
    sources = load_data("bench_hazards.yaml")["sources"]
    found: list[str] = []
    for key in keys:
        hazard = _hazard(key)
        for entry in (*hazard.get("classifications", ()), *hazard.get("limits", ())):
            if entry.get("earlier") or entry.get("superseded"):
                continue
            if "source" in entry:
                found.append(" ".join(str(sources[entry["source"]]["title"]).split()))
            elif entry.get("from_memory"):
                found.append(f"{entry['citation']} (from memory)")
    return "; ".join(dict.fromkeys(found)) or "the bench hazards data"


def _statements(key: str) -> list[str]:
    wording = load_data("bench_hazards.yaml")["h_statements"]
    codes: dict[str, None] = {}
    for entry in _hazard(key).get("classifications", ()):
        if not entry.get("superseded") and entry.get("applies", True):
            codes.update(dict.fromkeys(entry["codes"]))
    return [f"{code} {wording[code]}" for code in codes]


def _silica(batch: Batch) -> list[Caution]:
    carriers = []
    for material, share in _materials(batch):
        keys = [key for key in material.hazards if key in _hazards()]
        if any(_hazard(key)["concern_class"] == "silica" or _hazard(key).get("carries_quartz") for key in keys):
            carriers.append((material, share))
    if not carriers:
        return []
    limits = exposure_limits("silica_quartz")
    return [
        raised(
            "silica-dust",
            severity=Severity(_policy()["severity"]["silica"]),
            message=(
                f"Silica dust: the dry batch holds or may hold quartz ({_named(carriers)}). Fine quartz dust scars the lungs for good and can "
                f"cause cancer. Workplace limits: {'; '.join(limits)}."
            ),
            do=(
                "Weigh and sieve with extraction or outdoors, wear a fitted particle respirator (P100 or FFP3) while it is dry, clean up wet, "
                f"never sweep. {_SHEET} {_PHYSICIAN}"
            ),
            evidence={
                "materials": [m.name for m, _ in carriers],
                "share_wt_percent": sum(s for _, s in carriers),
                "limits": limits,
            },
            source=_titles(["silica_quartz"]),
        )
    ]


def _classes(batch: Batch) -> list[Caution]:
    policy = _policy()
    by_class: dict[str, list[tuple[Material, float, str]]] = {}
    found = []
    for material, share in _materials(batch):
        for key in material.hazards:
            if key not in _hazards():
                continue
            if key in policy["stop"]:
                found.append(_stop(material, share, key))
            else:
                by_class.setdefault(_hazard(key)["concern_class"], []).append((material, share, key))
    for concern, (code, what) in _CLASSES.items():
        met = [line for line in by_class.get(concern, []) if line[2] not in policy["caustic"]]
        if not met:
            continue
        keys = list(dict.fromkeys(key for _, _, key in met))
        advice = " ".join(f"{_hazard(key)['label']}: {' '.join(str(_hazard(key)['handling']).split())}" for key in keys)
        found.append(
            raised(
                code,
                severity=Severity(policy["severity"][concern]),
                message=f"{what}: {_named((m, s) for m, s, _ in met)}. {advice}",
                do=f"Gloves, fitted respirator while dry, no food or drink in the room, wash hands. {_SHEET} {_PHYSICIAN}"
                if concern in ("cmr", "cmr_suspected", "toxic")
                else f"Keep the dust down. {_SHEET}",
                evidence={
                    "materials": list(dict.fromkeys(m.name for m, _, _ in met)),
                    "share_wt_percent": {m.name: s for m, s, _ in met},
                    "statements": {_hazard(key)["label"]: _statements(key) for key in keys},
                    "limits": {_hazard(key)["label"]: exposure_limits(key) for key in keys},
                },
                source=f"{_titles(keys)}. The sorting is this program's own",
            )
        )
    return found


def _stop(material: Material, share: float, key: str) -> Caution:
    hazard = _hazard(key)
    return raised(
        "lead-raw-material" if key == "lead_compounds" else "stop-raw-material",
        severity=Severity.STOP,
        message=f"{material.name}, {share:.1f} % of the batch. {' '.join(str(hazard['handling']).split())}",
        do=f"Do not open the bag before extraction, hygiene and medical checks are settled under the law of the place. {_SHEET} {_PHYSICIAN}",
        evidence={
            "materials": [material.name],
            "share_wt_percent": {material.name: share},
            "statements": {hazard["label"]: _statements(key)},
            "limits": {hazard["label"]: exposure_limits(key)},
        },
        source=f"{_titles([key])}. The sorting is this program's own",
    )


def _caustic(batch: Batch) -> list[Caution]:
    caustic = set(_policy()["caustic"])
    met = [(m, s) for m, s in _materials(batch) if caustic.intersection(m.hazards) or m.kind == "ash"]
    if not met:
        return []
    return [
        raised(
            "caustic-raw-material",
            severity=Severity.KNOW,
            message=f"Caustic: {_named(met)}. Dust and slop burn the eyes and dry the skin; ash lye is as strong as soda.",
            do=f"Goggles and gloves, also for the wet bucket. {_SHEET}",
            evidence={"materials": [m.name for m, _ in met], "share_wt_percent": {m.name: s for m, s in met}},
            source=f"{_titles(sorted(caustic))}; ash lye: studio practice (from memory, confidence high)",
        )
    ]


def _own_words(batch: Batch) -> list[Caution]:
    met = {m.name: [w for w in m.hazards if w not in _hazards()] for m, _ in _materials(batch)}
    met = {name: words for name, words in met.items() if words}
    if not met:
        return []
    said = "; ".join(f"{name}: {', '.join(words)}" for name, words in met.items())
    return [
        raised(
            "own-hazard-words",
            severity=Severity.LOOK,
            message=f"The material files say: {said}.",
            do=_SHEET,
            evidence={"materials": list(met), "words": met},
            source="the material files of this library",
        )
    ]


def _soluble(batch: Batch) -> list[Caution]:
    met = [(m, s) for m, s in _materials(batch) if m.is_soluble or m.is_slightly_soluble]
    if not met:
        return []
    fully, limit = sum(s for m, s in met if m.solubility == "yes"), threshold("soluble_look")
    words = {"yes": "dissolves", "slightly": "dissolves slowly"}
    return [
        raised(
            "soluble-in-bucket",
            severity=Severity.LOOK if fully > limit.value else Severity.KNOW,
            message=(
                f"Soluble: {', '.join(f'{m.name} {s:.1f} % ({words[str(m.solubility)]})' for m, s in met)}. It moves with the water: water poured "
                "off takes flux away, it dries at rims and sinks into the bisque, and crystals grow in a bucket that stands."
            ),
            do="Never pour the water off; mix only what is used soon, or bring the oxide in with a frit. Gloves: it comes through wet glaze.",
            evidence={
                "materials": [m.name for m, _ in met],
                "share_wt_percent": {m.name: s for m, s in met},
                "total_wt_percent": sum(s for _, s in met),
                "freely_soluble_wt_percent": fully,
                "threshold_wt_percent": limit.value,
            },
            source=f"solubility class of each material file; common studio practice. Threshold: {limit.source}",
        )
    ]


def _raw_clay(batch: Batch) -> list[Caution]:
    share = batch.share_percent(lambda m: m.is_raw_clay)
    high, low = threshold("raw_clay_look"), threshold("raw_clay_low")
    if share > high.value:
        return [
            raised(
                "raw-clay-high",
                severity=Severity.LOOK,
                message=f"Raw clay: {share:.1f} % of the batch; above {high.value:g}. The coat cracks as it dries and may crawl.",
                do="Calcine part of the clay (allow for its loss), or thin the coat; try it on a scrap before a glaze load.",
                evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": high.value},
                source=high.source,
            )
        ]
    if share < low.value:
        return [
            raised(
                "settles-hard",
                severity=Severity.KNOW,
                message=f"Raw clay: {share:.1f} % of the batch; below {low.value:g}. The bucket settles hard and the dry coat dusts off.",
                do="Add a little bentonite (and count it), or stir often and handle dry pots little.",
                evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": low.value},
                source=low.source,
            )
        ]
    return []
