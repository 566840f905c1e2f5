"""Handling the raw materials of a batch: dust, poisons, caustics, what dissolves in the bucket.

The maker's safety data sheet and local rules come first; this only says what to look up before the bag is opened.
"""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.hazards import SILICA, Hazard, authorities, concerns, hazards, known_hazards, own_words
from glazecalc.caution.thresholds import threshold
from glazecalc.convert.batch import Batch
from glazecalc.material import Material

__all__ = ("handling_cautions",)

_SHEET = "Read the maker's safety data sheet; it and the local rules come first."
_PHYSICIAN = "Anyone pregnant, nursing or with weak lungs: ask a physician first."


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


def _shares(batch: Batch) -> list[tuple[Material, float]]:
    """Return each material once with its share [wt % of the all-in batch]."""
    total = batch.all_in_total
    return [(material, 100.0 * parts / total) for material, parts in batch.by_material() if parts > 0.0]


def _named(shares: Iterable[tuple[Material, float]]) -> str:
    return ", ".join(f"{material.name} {share:.1f} %" for material, share in shares)


def _silica(batch: Batch) -> list[Caution]:
    carriers = [(m, share) for m, share in _shares(batch) if any(SILICA in h.concerns for h in known_hazards(m))]
    if not carriers:
        return []
    quartz = hazards()["silica_quartz"]
    return [
        raised(
            concerns()[SILICA].code,
            message=(
                f"Silica dust: the dry batch holds or may hold quartz ({_named(carriers)}). Fine quartz dust scars the lungs for good and can "
                f"cause cancer. Workplace limits: {'; '.join(quartz.limit_texts)}."
            ),
            do=(
                "Weigh and sieve with extraction or outdoors, wear a fitted particle respirator (P100 or FFP3) while it is dry, clean up wet, "
                f"never sweep. {_SHEET} {_PHYSICIAN}"
            ),
            evidence={
                "materials": [m.name for m, _ in carriers],
                "share_wt_percent": sum(s for _, s in carriers),
                "limits": quartz.limit_texts,
            },
            source=authorities([quartz]),
        )
    ]


def _classes(batch: Batch) -> list[Caution]:
    """Return one caution a class of concern, and one a material that calls for a stop."""
    found = []
    by_class: dict[str, list[tuple[Material, float, Hazard]]] = {}
    for material, share in _shares(batch):
        for hazard in known_hazards(material):
            if hazard.stop_code:
                found.append(_stop(material, share, hazard))
            elif not hazard.caustic:
                by_class.setdefault(hazard.concern.key, []).append((material, share, hazard))
    for key, concern in concerns().items():
        met = by_class.get(key, [])
        if not met or not concern.says:
            continue
        kinds = list(dict.fromkeys(hazard.key for _, _, hazard in met))
        of = [hazards()[kind] for kind in kinds]
        advice = " ".join(f"{hazard.label}: {hazard.handling}" for hazard in of)
        habits = "Gloves, fitted respirator while dry, no food or drink in the room, wash hands."
        found.append(
            raised(
                concern.code,
                message=f"{concern.says}: {_named((m, s) for m, s, _ in met)}. {advice}",
                do=f"{habits} {_SHEET} {_PHYSICIAN}" if concern.poison else f"Keep the dust down. {_SHEET}",
                evidence={
                    "materials": list(dict.fromkeys(m.name for m, _, _ in met)),
                    "share_wt_percent": {m.name: s for m, s, _ in met},
                    **_on_file(of),
                },
                source=f"{authorities(of)}. The sorting is this program's own",
            )
        )
    return found


def _on_file(of: Iterable[Hazard]) -> dict[str, dict[str, list[str]]]:
    of = list(of)
    return {
        "statements": {hazard.label: list(hazard.statements) for hazard in of},
        "limits": {hazard.label: hazard.limit_texts for hazard in of},
    }


def _stop(material: Material, share: float, hazard: Hazard) -> Caution:
    return raised(
        hazard.stop_code,
        message=f"{material.name}, {share:.1f} % of the batch. {hazard.handling}",
        do=f"Do not open the bag before extraction, hygiene and medical checks are settled under the law of the place. {_SHEET} {_PHYSICIAN}",
        evidence={
            "materials": [material.name],
            "share_wt_percent": {material.name: share},
            **_on_file([hazard]),
        },
        source=f"{authorities([hazard])}. The sorting is this program's own",
    )


def _caustic(batch: Batch) -> list[Caution]:
    caustics = sorted((hazard for hazard in hazards().values() if hazard.caustic), key=lambda hazard: hazard.key)
    met = [(m, s) for m, s in _shares(batch) if m.kind == "ash" or any(hazard.caustic for hazard in known_hazards(m))]
    if not met:
        return []
    return [
        raised(
            "caustic-raw-material",
            message=f"Caustic: {_named(met)}. Dust and slop burn the eyes and dry the skin; ash lye is as strong as soda.",
            do=f"Goggles and gloves, also for the wet bucket. {_SHEET}",
            evidence={"materials": [m.name for m, _ in met], "share_wt_percent": {m.name: s for m, s in met}},
            source=f"{authorities(caustics)}; ash lye: studio practice (from memory, confidence high)",
        )
    ]


def _own_words(batch: Batch) -> list[Caution]:
    met = {m.name: words for m, _ in _shares(batch) if (words := own_words(m))}
    if not met:
        return []
    said = "; ".join(f"{name}: {', '.join(words)}" for name, words in met.items())
    return [
        raised(
            "own-hazard-words",
            message=f"The material files say: {said}.",
            do=_SHEET,
            evidence={"materials": list(met), "words": met},
            source="the material files of this library",
        )
    ]


def _soluble(batch: Batch) -> list[Caution]:
    met = [(m, s) for m, s in _shares(batch) if m.is_soluble or m.is_slightly_soluble]
    if not met:
        return []
    fully, limit = sum(s for m, s in met if m.solubility == "yes"), threshold("soluble_look")
    words = {"yes": "dissolves", "slightly": "dissolves slowly"}
    return [
        raised(
            "soluble-in-bucket",
            Severity.LOOK if fully > limit.value else Severity.KNOW,
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
                message=f"Raw clay: {share:.1f} % of the batch; below {low.value:g}. The bucket settles hard and the dry coat dusts off.",
                do="Add a little bentonite (and count it), or stir often and handle dry pots little.",
                evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": low.value},
                source=low.source,
            )
        ]
    return []
