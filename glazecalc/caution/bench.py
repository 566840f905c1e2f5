"""Handling the raw materials of a batch: dust, poisons, caustics, what dissolves in the bucket; whole, and in short for a label.

The maker's safety data sheet and local rules come first; this only says what to look up before the bag is opened.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.hazards import SILICA, Hazard, authorities, concerns, hazards
from glazecalc.caution.material_hazards import MaterialHazards, hazards_of
from glazecalc.caution.thresholds import threshold
from glazecalc.convert.batch import Batch
from glazecalc.material import Material

__all__ = ("handling_cautions", "short_cautions")

_SHEET = "Read the maker's safety data sheet; it and the local rules come first."
_DOCTOR = "If you are pregnant, breastfeeding or have a lung condition, ask a doctor first."
_MOST_NAMED = 3  # in a message of two lines
_SORTED_HERE = "The sorting is this program's own"


class _Share(NamedTuple):
    """A material of the batch, once."""

    material: Material
    percent: float  # wt % of the all-in batch
    hazards: MaterialHazards

    def named(self, of: Callable[[Hazard], bool] | None) -> str:
        """Return its name and share, and where these of its hazards do not stand in its own file how they are known."""
        mark = self.hazards.mark_of(of) if of else ""
        return f"{self.material.name} {self.percent:.1f} %{f' ({mark})' if mark else ''}"


_Shares = list[_Share]


def _named(shares: _Shares, of: Callable[[Hazard], bool] | None = None) -> str:
    """Return the materials with their shares, the largest first; more than three are counted (the evidence names all).

    `of` are the hazards that are spoken of; without it nothing is said of how they are known.
    """
    ordered = sorted(shares, key=lambda share: -share.percent)
    named = ", ".join(share.named(of) for share in ordered[:_MOST_NAMED])
    rest = ordered[_MOST_NAMED:]
    return f"{named} and {len(rest)} more of {sum(share.percent for share in rest):.1f} %" if rest else named


def handling_cautions(batch: Batch) -> list[Caution]:
    """Return what deserves a word at the bench and in the bucket, in no order.

    One caution a kind of hazard, naming all materials of that kind; a material that calls for a stop has its own.
    """
    total = batch.all_in_total
    shares = [
        _Share(material, 100.0 * parts / total, hazards_of(material))
        for material, parts in batch.by_material()
        if parts > 0.0
    ]
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
    once = [(m, hazards_of(m)) for m in {material.id: material for material in materials}.values()]
    lines = []
    if met := [_marked(m, found.mark_of(_stops_all)) for m, found in once if found.stops]:
        lines.append(f"STOP, not for a studio without measured air and medical checks: {'; '.join(met)}")
    for key, concern in concerns().items():
        if met := [_marked(m, found.mark_of(_of_class(key))) for m, found in once if key in found.concerns_said]:
            lines.append(f"{concern.label}: {'; '.join(met)}")
    if met := [_marked(m, found.mark_of(_makes_a_lye)) for m, found in once if found.caustic]:
        lines.append(f"Caustic, goggles and gloves: {'; '.join(met)}")
    lines += [f"{m.name}: {text}" for m, found in once for text in found.own_words]
    lines += [f"{m.name}: no hazards, its file says: {found.none_because}" for m, found in once if found.none_because]
    if unknown := [m.name for m, found in once if found.is_unknown]:
        lines.append(f"No hazard data here, get the safety data sheet: {'; '.join(unknown)}")
    if soluble := [m.name for m, _ in once if m.is_soluble and m.kind != "additive"]:
        lines.append(f"Dissolves in the bucket, pour no water off: {'; '.join(soluble)}")
    return lines


def _of_class(key: str) -> Callable[[Hazard], bool]:
    return lambda hazard: key in hazard.concerns


def _stops_all(hazard: Hazard) -> bool:
    return bool(hazard.stop_code)


def _makes_a_lye(hazard: Hazard) -> bool:
    return hazard.caustic


def _marked(material: Material, mark: str) -> str:
    return f"{material.name} ({mark})" if mark else material.name


def _evidence(shares: _Shares, kinds: Iterable[Hazard] = ()) -> dict[str, Any]:
    """Return the materials with their shares, what is on file on their hazards, and on what it rests."""
    kinds = list(kinds)
    found: dict[str, Any] = {
        "materials": [share.material.name for share in shares],
        "share_wt_percent": {share.material.name: share.percent for share in shares},
    }
    if kinds:
        found["statements"] = {hazard.label: list(hazard.statements) for hazard in kinds}
        found["limits"] = {hazard.label: hazard.limit_texts for hazard in kinds}
        found |= _basis(shares, kinds)
    return found


def _basis(shares: _Shares, kinds: Iterable[Hazard]) -> dict[str, Any]:
    """Return on what each material's hazards rest (file, inherited, composition), and where not on its file, because of what."""
    keys = {hazard.key for hazard in kinds}
    met = [(s.material.name, item) for s in shares for item in s.hazards.known if item.hazard.key in keys]
    because: dict[str, list[str]] = {}
    for name, item in met:
        if item.because:
            because.setdefault(name, []).append(item.because)
    return {"basis": {name: item.basis for name, item in met}, "because": because}


def _silica(shares: _Shares) -> Iterator[Caution]:
    carriers = [share for share in shares if SILICA in share.hazards.concerns]
    quartz = hazards()["silica_quartz"]
    if carriers:
        kinds = {
            item.hazard.key: item.hazard for s in carriers for item in s.hazards.known if SILICA in item.hazard.concerns
        }
        yield raised(
            concerns()[SILICA].code,
            f"Fine quartz dust scars the lungs for good and can cause cancer: {_named(carriers, _of_class(SILICA))} may contain it.",
            why=f"Workplace limits: {'; '.join(quartz.limit_texts)}.",
            do="Weigh and sieve with extraction or outdoors, wear a fitted particle respirator (P100 or FFP3) while it is dry, clean up wet, "
            f"never sweep. {_SHEET} {_DOCTOR}",
            evidence={
                "materials": [share.material.name for share in carriers],
                "share_wt_percent": sum(share.percent for share in carriers),
                "limits": quartz.limit_texts,
            }
            | _basis(carriers, kinds.values()),
            source=authorities([quartz]),
        )


def _stops(shares: _Shares) -> Iterator[Caution]:
    for share in shares:
        for item in share.hazards.known:
            hazard = item.hazard
            if hazard.stop_code:
                mark = f" ({item.mark}: {item.because})" if item.basis == "composition" else ""
                yield raised(
                    hazard.stop_code,
                    f"{hazard.label}: not for a studio. Here {share.material.name}, {share.percent:.1f} % of the batch{mark}.",
                    why=hazard.handling,
                    do=f"Do not open the bag before extraction, hygiene and medical checks are settled under the law of the place. {_SHEET} {_DOCTOR}",
                    evidence=_evidence([share], [hazard]),
                    source=f"{authorities([hazard])}. {_SORTED_HERE}",
                )


def _classes(shares: _Shares) -> Iterator[Caution]:
    """Yield one caution a class of concern that says something; stops and caustics are said by themselves."""
    for concern in concerns().values():
        met = [
            (share, item.hazard)
            for share in shares
            for item in share.hazards.known
            if item.hazard.concern == concern and not item.hazard.stop_code and not item.hazard.caustic
        ]
        if not met or not concern.says:
            continue
        kinds = list({hazard.key: hazard for _, hazard in met}.values())
        once = list({share.material.id: share for share, _ in met}.values())
        advice = " ".join(f"{hazard.label}: {hazard.handling}" for hazard in kinds)
        habits = "Gloves, fitted respirator while dry, no food or drink in the room, wash hands."
        yield raised(
            concern.code,
            f"{concern.says}: {_named(once, _of_class(concern.key))}.",
            why=advice,
            do=f"{habits} {_SHEET} {_DOCTOR}" if concern.poison else f"Keep the dust down. {_SHEET}",
            evidence=_evidence(once, kinds),
            source=f"{authorities(kinds)}. {_SORTED_HERE}",
        )


def _caustic(shares: _Shares) -> Iterator[Caution]:
    met = [share for share in shares if share.hazards.caustic]
    kinds = list({i.hazard.key: i.hazard for share in met for i in share.hazards.known if i.hazard.caustic}.values())
    if met:
        yield raised(
            "caustic-raw-material",
            f"Dust and wet glaze burn the eyes and attack the skin: {_named(met, _makes_a_lye)}.",
            do=f"Goggles and gloves, also for the wet bucket. {_SHEET}",
            evidence=_evidence(met, kinds),
            source=authorities(kinds),
        )


def _own_words(shares: _Shares) -> Iterator[Caution]:
    met = {share.material.name: list(share.hazards.own_words) for share in shares if share.hazards.own_words}
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
    met = [share for share in shares if share.material.is_soluble or share.material.is_slightly_soluble]
    fully, limit = sum(share.percent for share in met if share.material.is_soluble), threshold("soluble_look")
    if met:
        named = "; ".join(
            f"{_named(group)} {'soluble' if soluble else 'slightly soluble'}"
            for soluble in (True, False)
            if (group := [share for share in met if share.material.is_soluble is soluble])
        )
        frit = "" if all(share.material.kind == "frit" for share in met) else ", or bring the oxide in with a frit"
        yield raised(
            "soluble-in-bucket",
            f"Water poured off takes flux away, and crystals grow in a bucket that stands: {named}.",
            Severity.LOOK if fully > limit.value else Severity.KNOW,
            why="The dissolved part travels with the water: it collects at rims and soaks into the bisque.",
            do=f"Never pour the water off; mix only what is used soon{frit}. Wear gloves when handling the wet glaze.",
            evidence=_evidence(met)
            | {
                "total_wt_percent": sum(share.percent for share in met),
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
            f"The coat cracks as it dries and may crawl: raw clay {share:.1f} % of the batch, above {high.value:g}.",
            do="Calcine part of the clay (allow for its loss), or thin the coat; try it on a scrap before a glaze load.",
            evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": high.value},
            source=high.source,
        )
    if share < low.value:
        yield raised(
            "settles-hard",
            f"The bucket settles hard and the dry coat dusts off: raw clay {share:.1f} % of the batch, below {low.value:g}.",
            do="Add a little bentonite (and count it), or stir often and handle dry pots little.",
            evidence={"raw_clay_wt_percent": share, "threshold_wt_percent": low.value},
            source=low.source,
        )
