"""Whether the glass is supplied with what makes it last: silica, alumina, balance of fluxes, boron; and published ranges.

No study gives a recipe that is durable by calculation. Every result here is a reason to test, none is a verdict.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.oxide_amounts import moles_per_flux
from glazecalc.caution.thresholds import ByCone, Threshold, by_cone, cite, read_threshold, threshold
from glazecalc.cones import Cone, parse_cone
from glazecalc.convert.unity import UnityFormula
from glazecalc.errors import ConeError
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.oxides import ALKALIS, R2O, STRONG_MELTERS
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("PublishedRange", "durability_cautions", "published_ranges")

_FILE = "glazecalc/data/durability_ranges.yaml"
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
            value = sum(flux.get(part, 0.0) for part in (ALKALIS if oxide == "KNaO" else (oxide,)))
            if not low <= value <= high:
                found[oxide] = (value, low, high)
        return found


@cache
def published_ranges() -> tuple[PublishedRange, ...]:
    """Return the published ranges, in the order of the data."""
    return tuple(
        read_entry(
            PublishedRange,
            entry,
            f"{_FILE}: {entry['id']}",
            cones=tuple(Cone(label) for label in entry["cones"]),
            moles={oxide: (float(low), float(high)) for oxide, (low, high) in entry["moles"].items()},
            source=cite(entry),
        )
        for entry in load_data("durability_ranges.yaml")["ranges"]
    )


def durability_cautions(unity: UnityFormula | None, *, cone: str, use: Use | None = None) -> list[Caution]:
    """Return what deserves a word about how well the glass will last.

    Parameters
    ----------
    unity : UnityFormula or None
        All-in, by any convention; None where the batch has no flux, and then nothing is said.
    cone : str
        The cone of the firing. Floors and ranges by cone are left out where it is empty.
    use : str or None
        What the ware is for; ``"not-for-food"`` softens every caution, None is read as food ware.

    Returns
    -------
    list of Caution
        In no order.
    """
    flux = moles_per_flux(unity)
    if not flux:
        return []
    look = Severity.KNOW if use == NOT_FOR_FOOD else Severity.LOOK
    found = [*_alkali(flux, look), *_matt(flux, look)]
    try:
        known = parse_cone(cone) if cone else None
    except ConeError:
        known = None
    if known is not None:
        found += _floors(flux, known, look)
        found += _boron(flux, known, look)
        found += _silica_high(flux, known)
        found += _ranges(flux, known)
    return found


def _low(
    oxide: str, name: str, code: str, value: float, floor: float, data: ByCone, cone: Cone, severity: Severity, why: str
) -> Caution:
    return raised(
        code,
        severity,
        message=f"{name}: {value:.2f} mol {oxide} per mol of flux; below {floor:.2f} for cone {cone}. {why}",
        do=f"Raise it (silica, or kaolin for both) as far as the glaze still melts. {_TEST}",
        evidence={f"{oxide}_mol_per_flux": value, "floor_mol_per_flux": floor, "cone": str(cone)},
        source=data.source,
    )


def _floors(flux: Mapping[str, float], cone: Cone, severity: Severity) -> list[Caution]:
    found = []
    silica, alumina = by_cone("silica_floor"), by_cone("alumina_floor")
    value, floor = flux.get("SiO2", 0.0), silica.at(str(cone))
    if value < floor:
        why = "Too little glass former for the flux: such a glaze gives up its fluxes and colours to acid."
        found.append(_low("SiO2", "Silica", "silica-low", value, floor, silica, cone, severity, why))
    value, floor = flux.get("Al2O3", 0.0), alumina.at(str(cone))
    if value < floor:
        why = "Too little stabilizer: the glass runs, crystallises, and softens in acid and alkali."
        found.append(_low("Al2O3", "Alumina", "alumina-low", value, floor, alumina, cone, severity, why))
    return found


def _alkali(flux: Mapping[str, float], severity: Severity) -> list[Caution]:
    value = sum(flux.get(oxide, 0.0) for oxide in R2O)
    note, look = threshold("alkali_note"), threshold("alkali_look")
    if value <= note.value:
        return []
    limit: Threshold = look if value > look.value else note
    return [
        raised(
            "alkali-high",
            severity if value > look.value else Severity.KNOW,
            message=(
                f"Alkalis: {value:.2f} mol R2O in the flux; above {limit.value:g}. Acid takes the alkalis out first, and dishwashing then wears "
                "the glass; high alkali also crazes."
            ),
            do=f"Bring in lime, magnesia or strontia for part of it, or boron as a melter. {_TEST}",
            evidence={"R2O_mol_per_flux": value, "threshold_mol_per_flux": limit.value},
            source=f"{limit.source}; the order of attack: A. Paul, Chemistry of Glasses, 1990 (from memory, confidence high)",
        )
    ]


def _boron(flux: Mapping[str, float], cone: Cone, severity: Severity) -> list[Caution]:
    value, ceiling, level = flux.get("B2O3", 0.0), by_cone("boron_ceiling"), by_cone("boron_level")
    top, usual = ceiling.at(str(cone)), level.at(str(cone))
    if value > top:
        thin = flux.get("Al2O3", 0.0) < by_cone("alumina_floor").at(str(cone))
        beside = " Alumina is low beside it." if thin else " One tested glaze at 0.77 held up all the same."
        return [
            raised(
                "boron-high",
                severity if thin else Severity.KNOW,
                message=f"Boron: {value:.2f} mol B2O3 per mol of flux; above {top:.2f} for cone {cone}. Much boron makes a glass soft to acid.{beside}",
                do=f"Less boron and more silica as far as it still melts, and alumina to hold it. {_TEST}",
                evidence={"B2O3_mol_per_flux": value, "ceiling_mol_per_flux": top, "cone": str(cone)},
                source=ceiling.source,
            )
        ]
    melters = sum(flux.get(oxide, 0.0) for oxide in STRONG_MELTERS)
    if value < threshold("boron_low_share").value * usual and melters < threshold("strong_melters").value:
        return [
            raised(
                "boron-low",
                message=(
                    f"Boron: {value:.2f} mol B2O3 per mol of flux; less than half of the {usual:.2f} that one published series gives for cone {cone}. "
                    "With little zinc, lithium or lead beside it, it may not melt through, and an unmelted matt does not last."
                ),
                do="Fire a tile one cone hotter: if it turns glossy, the glaze was underfired.",
                evidence={
                    "B2O3_mol_per_flux": value,
                    "published_level_mol_per_flux": usual,
                    "other_melters_mol_per_flux": melters,
                    "cone": str(cone),
                },
                source=level.source,
            )
        ]
    return []


def _silica_high(flux: Mapping[str, float], cone: Cone) -> list[Caution]:
    value, limit, at = flux.get("SiO2", 0.0), threshold("silica_watch_melt"), threshold("silica_watch_cone_low")
    if value <= limit.value or cone > Cone(f"{at.value:g}"):
        return []
    return [
        raised(
            "silica-high",
            message=(
                f"Silica: {value:.2f} mol SiO2 per mol of flux; above {limit.value:g} at cone {cone}. It may not melt through: grains of quartz "
                "stay, the surface stays rough, and what looks matt is underfired."
            ),
            do="Fire a tile one cone hotter: if it turns glossy, the glaze was underfired. Then less silica, or more boron.",
            evidence={"SiO2_mol_per_flux": value, "threshold_mol_per_flux": limit.value, "cone": str(cone)},
            source=limit.source,
        )
    ]


def _matt(flux: Mapping[str, float], severity: Severity) -> list[Caution]:
    alumina = flux.get("Al2O3", 0.0)
    ratio = flux.get("SiO2", 0.0) / alumina if alumina > 0 else None
    limit, lime, share = threshold("matt_ratio"), threshold("lime_matt_lime"), threshold("lime_matt_magnesia")
    if ratio is None or ratio >= limit.value:
        return []
    calcia, magnesia = flux.get("CaO", 0.0), flux.get("MgO", 0.0)
    found = [
        raised(
            "matt-surface",
            severity,
            message=(
                f"SiO2:Al2O3 {ratio:.1f}; below {limit.value:g}, matt by most conventions. A matt by crystals marks from cutlery; a matt by "
                "underfiring is an unfinished glass, and both are alike to the eye."
            ),
            do=f"Fire a tile one cone hotter: if it turns glossy, it was underfired. Draw a knife across and wash. {_TEST}",
            evidence={"silica_alumina_ratio": ratio, "threshold": limit.value},
            source=limit.source,
        )
    ]
    if calcia > lime.value and magnesia < share.value * calcia:
        found.append(
            raised(
                "lime-matt",
                severity,
                message=(
                    f"Lime matt: {calcia:.2f} mol CaO with {magnesia:.2f} mol MgO per mol of flux at SiO2:Al2O3 {ratio:.1f}. If wollastonite grows, "
                    "acid dissolves it; diopside, which needs magnesia, endures."
                ),
                do=f"Bring in magnesia (dolomite or talc) for part of the lime. {_TEST}",
                evidence={
                    "CaO_mol_per_flux": calcia,
                    "MgO_mol_per_flux": magnesia,
                    "silica_alumina_ratio": ratio,
                    "thresholds": {
                        "CaO_mol_per_flux": lime.value,
                        "MgO_per_CaO": share.value,
                        "silica_alumina_ratio": limit.value,
                    },
                },
                source=f"{lime.source}. Ratio: {limit.source}",
            )
        )
    return found


@cache
def _alkaline_above() -> Threshold:
    return read_threshold("alkaline_above", load_data("durability_ranges.yaml")["alkaline_above"], _FILE)


def _kinds(flux: Mapping[str, float]) -> set[str]:
    kinds = {"any"}
    if flux.get("PbO", 0.0) > 0:
        kinds.add("lead")
    elif flux.get("B2O3", 0.0) > 0:
        kinds.add("boron")
    if sum(flux.get(oxide, 0.0) for oxide in R2O) > _alkaline_above().value:
        kinds.add("alkaline")
    return kinds


def _ranges(flux: Mapping[str, float], cone: Cone) -> list[Caution]:
    """Return one caution that names every published range for this cone and kind of glaze that this one lies outside of."""
    kinds = _kinds(flux)
    fitting = [r for r in published_ranges() if r.kind in kinds and r.cones[0] <= cone <= r.cones[1]]
    met = [(entry, outside) for entry in fitting if (outside := entry.outside(flux))]
    if not met:
        return []
    said = "; ".join(
        f"outside the range of {entry.name}: "
        + ", ".join(f"{oxide} {value:.2f} ({low:g} to {high:g})" for oxide, (value, low, high) in outside.items())
        for entry, outside in met
    )
    return [
        raised(
            "outside-published-range",
            message=f"{said[0].upper()}{said[1:]}. Such a range is an author's habit, not law; they disagree, and good glazes lie outside them.",
            do="Nothing by itself: keep it in mind where the glaze does not melt, runs or wears.",
            evidence={
                "cone": str(cone),
                "ranges": {
                    entry.id: {
                        oxide: {"mol_per_flux": value, "low": low, "high": high}
                        for oxide, (value, low, high) in outside.items()
                    }
                    for entry, outside in met
                },
            },
            source="; ".join(dict.fromkeys(f"{entry.name}: {entry.source}" for entry, _ in met)),
        )
    ]
