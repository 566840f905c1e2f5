"""Handling the raw materials of a batch: dust, poisons, caustics, what dissolves in the bucket; whole, and in short for a label.

The maker's safety data sheet and local rules come first; this only says what to look up before the bag is opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.hazards import SILICA, Hazard, authorities, concerns, hazards, known_hazards, own_words
from glazecalc.caution.thresholds import threshold
from glazecalc.convert.batch import Batch
from glazecalc.material import Material

__all__ = ("handling_cautions", "short_cautions")

_SHEET = "Read the maker's safety data sheet; it and the local rules come first."
_DOCTOR = "If you are pregnant, breastfeeding or have a lung condition, ask a doctor first."
_SORTED_HERE = "The sorting is this program's own"
_Shares = list[tuple[Material, float]]  # each material once, with its share [wt % of the all-in batch]


def handling_cautions(batch: Batch) -> list[Caution]:
    """Return what deserves a word at the bench and in the bucket, in no order.

    One caution a kind of hazard, naming all materials of that kind; a material that calls for a stop has its own.
    """
    total = batch.all_in_total
    shares = [(material, 100.0 * parts / total) for material, parts in batch.by_material() if parts > 0.0]
    return [
        *_silica(shares),
        *_stops(shares),
        *_classes(shares),
        *_caustic(shares),
        *_own_words(shares),
        *_soluble(shares),
        *_raw_clay(batch),
    ]


def short_cautions(materials: Sequence[Material]) -> list[str]:
    """Return the bench cautions that belong on a bucket, one a line: each class of concern with its materials, gravest first.

    Clays and feldspars that carry quartz stand under silica too. A material without any entry is named: its sheet was not
    seen, and that clears nothing.
    """
    once = {material.id: material for material in materials}.values()
    lines = []
    for key, concern in concerns().items():
        if met := [m.name for m in once if any(key in hazard.concerns for hazard in known_hazards(m))]:
            lines.append(f"{concern.label}: {'; '.join(met)}")
    lines += [f"{material.name}: {text}" for material in once for text in own_words(material)]
    if unknown := [material.name for material in once if not material.hazards]:
        lines.append(f"No hazard data here, get the safety data sheet: {'; '.join(unknown)}")
    if soluble := [m.name for m in once if m.is_soluble and m.kind != "additive"]:
        lines.append(f"Dissolves in the bucket, pour no water off: {'; '.join(soluble)}")
    return lines


def _named(shares: _Shares) -> str:
    return ", ".join(f"{material.name} {share:.1f} %" for material, share in shares)


def _evidence(shares: _Shares, kinds: Iterable[Hazard] = ()) -> dict[str, Any]:
    """Return the materials with their shares, and what is on file on their hazards."""
    found: dict[str, Any] = {
        "materials": [m.name for m, _ in shares],
        "share_wt_percent": {m.name: s for m, s in shares},
    }
    if kinds := list(kinds):
        found["statements"] = {hazard.label: list(hazard.statements) for hazard in kinds}
        found["limits"] = {hazard.label: hazard.limit_texts for hazard in kinds}
    return found


def _silica(shares: _Shares) -> Iterator[Caution]:
    carriers = [(m, share) for m, share in shares if any(SILICA in h.concerns for h in known_hazards(m))]
    quartz = hazards()["silica_quartz"]
    if carriers:
        yield raised(
            concerns()[SILICA].code,
            f"Silica dust: the dry batch contains or may contain quartz ({_named(carriers)}). Fine quartz dust scars the lungs for good and can "
            f"cause cancer. Workplace limits: {'; '.join(quartz.limit_texts)}.",
            do="Weigh and sieve with extraction or outdoors, wear a fitted particle respirator (P100 or FFP3) while it is dry, clean up wet, "
            f"never sweep. {_SHEET} {_DOCTOR}",
            evidence={
                "materials": [m.name for m, _ in carriers],
                "share_wt_percent": sum(share for _, share in carriers),
                "limits": quartz.limit_texts,
            },
            source=authorities([quartz]),
        )


def _stops(shares: _Shares) -> Iterator[Caution]:
    for material, share in shares:
        for hazard in known_hazards(material):
            if hazard.stop_code:
                yield raised(
                    hazard.stop_code,
                    f"{material.name}, {share:.1f} % of the batch. {hazard.handling}",
                    do=f"Do not open the bag before extraction, hygiene and medical checks are settled under the law of the place. {_SHEET} {_DOCTOR}",
                    evidence=_evidence([(material, share)], [hazard]),
                    source=f"{authorities([hazard])}. {_SORTED_HERE}",
                )


def _classes(shares: _Shares) -> Iterator[Caution]:
    """Yield one caution a class of concern that says something; stops and caustics are said by themselves."""
    for concern in concerns().values():
        met = [
            (material, share, hazard)
            for material, share in shares
            for hazard in known_hazards(material)
            if hazard.concern == concern and not hazard.stop_code and not hazard.caustic
        ]
        if not met or not concern.says:
            continue
        kinds = list({hazard.key: hazard for _, _, hazard in met}.values())
        advice = " ".join(f"{hazard.label}: {hazard.handling}" for hazard in kinds)
        habits = "Gloves, fitted respirator while dry, no food or drink in the room, wash hands."
        yield raised(
            concern.code,
            f"{concern.says}: {_named([(m, s) for m, s, _ in met])}. {advice}",
            do=f"{habits} {_SHEET} {_DOCTOR}" if concern.poison else f"Keep the dust down. {_SHEET}",
            evidence=_evidence(list({m.name: (m, s) for m, s, _ in met}.values()), kinds),
            source=f"{authorities(kinds)}. {_SORTED_HERE}",
        )


def _caustic(shares: _Shares) -> Iterator[Caution]:
    met = [(m, s) for m, s in shares if any(hazard.caustic for hazard in known_hazards(m))]
    kinds = list({hazard.key: hazard for m, _ in met for hazard in known_hazards(m) if hazard.caustic}.values())
    if met:
        yield raised(
            "caustic-raw-material",
            f"Caustic: {_named(met)}. Dust and wet glaze burn the eyes and attack the skin.",
            do=f"Goggles and gloves, also for the wet bucket. {_SHEET}",
            evidence=_evidence(met, kinds),
            source=authorities(kinds),
        )


def _own_words(shares: _Shares) -> Iterator[Caution]:
    met = {m.name: words for m, _ in shares if (words := own_words(m))}
    if met:
        said = "; ".join(f"{name}: {', '.join(words)}" for name, words in met.items())
        yield raised(
            "own-hazard-words",
            f"The material files say: {said}.",
            do=_SHEET,
            evidence={"materials": list(met), "words": met},
            source="the material files of this library",
        )


def _soluble(shares: _Shares) -> Iterator[Caution]:
    met = [(m, s) for m, s in shares if m.is_soluble or m.is_slightly_soluble]
    fully, limit = sum(s for m, s in met if m.is_soluble), threshold("soluble_look")
    named = ", ".join(f"{m.name} {s:.1f} % ({'soluble' if m.is_soluble else 'slightly soluble'})" for m, s in met)
    if met:
        yield raised(
            "soluble-in-bucket",
            f"Soluble: {named}. The dissolved part travels with the water: water poured off takes flux away, it collects at rims, soaks "
            "into the bisque and grows crystals in a bucket that stands.",
            Severity.LOOK if fully > limit.value else Severity.KNOW,
            do="Never pour the water off; mix only what is used soon, or bring the oxide in with a frit. Wear gloves when handling the wet glaze.",
            evidence=_evidence(met)
            | {
                "total_wt_percent": sum(s for _, s in met),
                "freely_soluble_wt_percent": fully,
                "threshold_wt_percent": limit.value,
            },
            source=f"solubility class of each material file; common studio practice. Threshold: {limit.source}",
        )


def _raw_clay(batch: Batch) -> Iterator[Caution]:
    share = batch.share_percent(lambda m: m.is_raw_clay)
    high, low = threshold("raw_clay_look"), threshold("raw_clay_low")
    if share > high.value:
        yield raised(
            "raw-clay-high",
            f"Raw clay: {share:.1f} % of the batch; above {high.value:g}. The coat cracks as it dries and may crawl.",
            do="Calcine part of the clay (allow for its loss), or thin the coat; try it on a scrap before a glaze load.",
            evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": high.value},
            source=high.source,
        )
    if share < low.value:
        yield raised(
            "settles-hard",
            f"Raw clay: {share:.1f} % of the batch; below {low.value:g}. The bucket settles hard and the dry coat dusts off.",
            do="Add a little bentonite (and count it), or stir often and handle dry pots little.",
            evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": low.value},
            source=low.source,
        )
