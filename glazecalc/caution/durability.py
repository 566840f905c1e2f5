"""Whether the glass is supplied with what makes it last: silica, alumina, balance of fluxes, boron; and published ranges.

No study gives a recipe that is durable by calculation. Every result here is a reason to test, none is a verdict.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.oxide_amounts import moles_per_flux
from glazecalc.caution.thresholds import Threshold, by_cone, threshold
from glazecalc.cones import Cone, parse_cone
from glazecalc.convert.unity import UnityFormula
from glazecalc.display import RECALLED
from glazecalc.errors import ConeError
from glazecalc.files.shipped import load_data, read_entry, read_one
from glazecalc.oxides import ALKALIS, R2O, STRONG_MELTERS
from glazecalc.recipe import Use
from glazecalc.sentences import capital

__all__ = ("PublishedRange", "durability_cautions", "published_ranges")

_FILE = "durability_ranges.yaml"
_TEST = "Test fired pieces: vinegar and soda first, then the laboratory (ASTM C738 leach)."


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRange:
    """A published range for glazes of some cones and one kind."""

    id: str
    name: str
    cones: tuple[Cone, Cone]  # the lowest and the highest
    kind: Literal["any", "lead", "boron", "alkaline"]  # the glazes that it was made for
    moles: Mapping[str, tuple[float, float]]  # oxide, or KNaO -> lowest and highest moles per mole of flux
    source: str

    def outside(self, flux: Mapping[str, float]) -> dict[str, tuple[float, float, float]]:
        """Return what lies outside: oxide -> its moles per mole of flux, and the range."""
        found = {}
        for oxide, (low, high) in self.moles.items():
            value = sum(flux[part] for part in (ALKALIS if oxide == "KNaO" else (oxide,)))
            if not low <= value <= high:
                found[oxide] = (value, low, high)
        return found


@cache
def published_ranges() -> tuple[PublishedRange, ...]:
    """Return the published ranges, in the order of the data."""
    entries = load_data(_FILE)["ranges"]
    return tuple(
        read_entry(PublishedRange, entry, f"{_FILE}: {entry['id']}", cones=[Cone(label) for label in entry["cones"]])
        for entry in entries
    )


@cache
def _alkaline_above() -> Threshold:
    return read_one(Threshold, _FILE, "alkaline_above")


def durability_cautions(unity: UnityFormula | None, *, cone: str, use: Use | None = None) -> list[Caution]:
    """Return what deserves a word about how well the glass will last, in no order; nothing for a batch without flux.

    `unity` is all-in, by any convention. Floors and ranges by cone are left out where the cone is not known.
    """
    flux = defaultdict(float, moles_per_flux(unity))  # 0 for an oxide that is not there
    if not flux:
        return []
    found = [*_alkali(flux, use), *_matt(flux, use)]
    try:
        known = parse_cone(cone) if cone else None
    except ConeError:
        known = None
    if known is not None:
        found += [
            *_floors(flux, known, use),
            *_boron(flux, known, use),
            *_silica_high(flux, known),
            *_published_ranges(flux, known),
        ]
    return found


# oxide, its name, the code, its floor, why it matters, what raises it
_FLOORS = (
    ("SiO2", "Silica", "silica-low", "silica_floor", "Acid may draw out fluxes and colours",
     "Raise it with ground silica as far as the glaze still melts; kaolin brings alumina with it."),
    ("Al2O3", "Alumina", "alumina-low", "alumina_floor", "It may run, and soften in acid",
     "Raise it with kaolin (in place of silica, which it brings along) or with alumina hydrate, as far as the glaze still melts."),
)  # fmt: skip


def _floors(flux: Mapping[str, float], cone: Cone, use: Use | None) -> Iterator[Caution]:
    for oxide, name, code, key, why, do in _FLOORS:
        value, floor = flux[oxide], by_cone(key).at(cone)
        if floor is not None and value < floor:
            yield raised(
                code,
                f"{why}: {name.lower()} {value:.2f} per flux, below {floor:.2f} at cone {cone}.",
                use=use,
                do=f"{do} {_TEST}",
                evidence={f"{oxide}_mol_per_flux": value, "floor_mol_per_flux": floor, "cone": str(cone)},
                source=by_cone(key).source,
            )


def _alkali(flux: Mapping[str, float], use: Use | None) -> Iterator[Caution]:
    value = sum(flux[oxide] for oxide in R2O)
    note, look = threshold("alkali_note"), threshold("alkali_look")
    much = value > look.value
    limit = look if much else note
    if value > note.value:
        yield raised(
            "alkali-high",
            f"Acid and dishwashing wear it, and it crazes: {value:.2f} mol R2O in the flux, above {limit.value:g}.",
            Severity.LOOK if much else Severity.KNOW,
            use=use,
            do=f"Bring in lime, magnesia or strontia for part of it, or boron as a melter. {_TEST}",
            evidence={"R2O_mol_per_flux": value, "threshold_mol_per_flux": limit.value},
            source=f"{limit.source}; the order of attack: A. Paul, Chemistry of Glasses, 1990 ({RECALLED}; confidence high)",
        )


def _boron(flux: Mapping[str, float], cone: Cone, use: Use | None) -> Iterator[Caution]:
    value, ceiling, level = flux["B2O3"], by_cone("boron_ceiling"), by_cone("boron_level")
    top, usual, alumina = ceiling.at(cone), level.at(cone), by_cone("alumina_floor").at(cone)
    melters = sum(flux[oxide] for oxide in STRONG_MELTERS)
    if top is not None and value > top:
        thin = alumina is not None and flux["Al2O3"] < alumina
        beside = " Alumina is low beside it." if thin else ""
        yield raised(
            "boron-high",
            f"Much boron makes a glass soft to acid: {value:.2f} mol B2O3 per mol of flux; above {top:.2f} for cone {cone}.{beside}",
            Severity.LOOK if thin else Severity.KNOW,
            use=use,
            do=f"Less boron and more silica as far as it still melts, and alumina to hold it. {_TEST}",
            evidence={"B2O3_mol_per_flux": value, "ceiling_mol_per_flux": top, "cone": str(cone)},
            source=ceiling.source,
        )
    short = usual is not None and value < threshold("boron_low_share").value * usual
    if short and melters < threshold("strong_melters").value:
        yield raised(
            "boron-low",
            f"It may not melt through: {value:.2f} mol B2O3 per mol of flux; less than half of the {usual:.2f} that one published series gives "
            f"for cone {cone}.",
            why="There is little zinc, lithium or lead beside it, and a matt that is not melted wears sooner.",
            do="Fire a tile one cone hotter: if it turns glossy, the glaze was underfired.",
            evidence={
                "B2O3_mol_per_flux": value,
                "published_level_mol_per_flux": usual,
                "other_melters_mol_per_flux": melters,
                "cone": str(cone),
            },
            source=level.source,
        )


def _silica_high(flux: Mapping[str, float], cone: Cone) -> Iterator[Caution]:
    value, limit = flux["SiO2"], by_cone("silica_watch_melt")
    top = limit.at(cone)
    if top is not None and value > top:
        yield raised(
            "silica-high",
            f"It may not melt through: {value:.2f} mol SiO2 per mol of flux; above {top:g} at cone {cone}.",
            why="Grains of quartz stay, the surface stays rough, and what looks matt is underfired.",
            do="Fire a tile one cone hotter: if it turns glossy, the glaze was underfired. Then less silica, or more boron.",
            evidence={"SiO2_mol_per_flux": value, "threshold_mol_per_flux": top, "cone": str(cone)},
            source=limit.source,
        )


def _matt(flux: Mapping[str, float], use: Use | None) -> Iterator[Caution]:
    limit, lime, share = threshold("matt_ratio"), threshold("lime_matt_lime"), threshold("lime_matt_magnesia")
    ratio = flux["SiO2"] / flux["Al2O3"] if flux["Al2O3"] > 0 else None
    if ratio is None or ratio >= limit.value:
        return
    yield raised(
        "matt-surface",
        f"A matt may mark from cutlery, or be underfired and wear: SiO2:Al2O3 {ratio:.1f}, below {limit.value:g}.",
        use=use,
        why="Matt by most conventions. A crystal matt may show cutlery marks; an underfired matt is not fully melted. They can look the same.",
        do=f"Fire a tile one cone hotter: if it turns glossy, it was underfired. Draw a knife across and wash. {_TEST}",
        evidence={"silica_alumina_ratio": ratio, "threshold": limit.value},
        source=limit.source,
    )
    calcia, magnesia = flux["CaO"], flux["MgO"]
    if calcia > lime.value and magnesia < share.value * calcia:
        held = {"CaO_mol_per_flux": lime.value, "MgO_per_CaO": share.value, "silica_alumina_ratio": limit.value}
        yield raised(
            "lime-matt",
            f"Acid may dissolve its crystals: lime matt, CaO {calcia:.2f}, MgO {magnesia:.2f} per flux, ratio {ratio:.1f}.",
            use=use,
            why="If wollastonite grows, acid dissolves it; diopside, which needs magnesia, resists better.",
            do=f"Bring in magnesia (dolomite or talc) for part of the lime. {_TEST}",
            evidence={
                "CaO_mol_per_flux": calcia,
                "MgO_mol_per_flux": magnesia,
                "silica_alumina_ratio": ratio,
                "thresholds": held,
            },
            source=f"{lime.source}. Ratio: {limit.source}",
        )


def _kinds(flux: Mapping[str, float]) -> set[str]:
    kinds = {"any"}
    if flux["PbO"] > 0:
        kinds.add("lead")
    elif flux["B2O3"] > 0:
        kinds.add("boron")
    if sum(flux[oxide] for oxide in R2O) > _alkaline_above().value:
        kinds.add("alkaline")
    return kinds


def _published_ranges(flux: Mapping[str, float], cone: Cone) -> Iterator[Caution]:
    """Yield what published ranges for this cone and kind of glaze say: one caution for those it lies outside of, one for those inside."""
    kinds = _kinds(flux)
    fitting = [r for r in published_ranges() if r.kind in kinds and r.cones[0] <= cone <= r.cones[1]]
    outside = [(entry, found) for entry in fitting if (found := entry.outside(flux))]
    inside = [entry for entry in fitting if not entry.outside(flux)]
    if outside:
        said, evidence = [], {}
        for entry, found in outside:
            figures = [f"{oxide} {value:.2f} ({low:g} to {high:g})" for oxide, (value, low, high) in found.items()]
            said.append(f"outside the range given in {entry.name}: {', '.join(figures)}")
            evidence[entry.id] = {
                o: {"mol_per_flux": v, "low": low, "high": high} for o, (v, low, high) in found.items()
            }
        text = "; ".join(said)
        yield raised(
            "outside-published-range",
            f"{capital(text)}. {_A_RANGE}",
            do="No action needed; look here first if the glaze underfires, runs or wears.",
            evidence={"cone": str(cone), "ranges": evidence},
            source=_sources([entry for entry, _ in outside]),
        )
    if inside:
        yield raised(
            "inside-published-range",
            f"Inside the range of {'; '.join(entry.name for entry in inside)}. {_A_RANGE}",
            do="No action needed.",
            evidence={"cone": str(cone), "ranges": [entry.id for entry in inside]},
            source=_sources(inside),
        )


_A_RANGE = "Published ranges are one author's rule of thumb; they disagree, and lying inside one proves nothing."


def _sources(entries: Iterable[PublishedRange]) -> str:
    return "; ".join(dict.fromkeys(f"{entry.name}: {entry.source}" for entry in entries))
