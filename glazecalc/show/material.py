"""The page of one material."""

from __future__ import annotations

from glazecalc.caution.material_hazards import hazards_of
from glazecalc.material import Material
from glazecalc.show.text import heading, number, rule, wrapped
from glazecalc.source import BASES

__all__ = ("fact_words", "hazard_words", "loss_words", "made_from", "oxides_not_listed", "page")

_SOLUBLE = {"no": "not soluble in water", "slightly": "slightly soluble in water", "yes": "soluble in water"}


def page(material: Material, *, full: bool = False) -> str:
    """Return one material with its analysis, source and hazards; with `full` the whole citation."""
    lines = [*heading(material.name, f"{material.kind.replace('_', ' ')}   id {material.id}"), rule()]
    if material.aliases:
        lines += wrapped("also called: " + ", ".join(material.aliases), indent=0)
    lines += wrapped(f"numbers from: {made_from(material)}", indent=0)
    if not material.for_sale:
        because = f": {material.not_sold_because}" if material.not_sold_because else ""
        lines += wrapped(f"not for sale{because}", indent=0)
    lines.append("")
    lines.append("wt % of the dry material")
    cells = [f"{oxide} {number(value, 2)}" for oxide, value in material.analysis.items()]
    cells += [f"{oxide} {text} (below detection)" for oxide, text in material.below_detection.items()]
    lines += wrapped("   ".join(cells) or "nothing remains after firing")
    lines.append(f"  loss on ignition {loss_words(material)}   total {number(material.total_percent, 2)} %")
    lines.append(f"  {oxides_not_listed(material)}")
    if material.tolerance:
        stated = ", ".join(f"{oxide} +-{value:g}" for oxide, value in material.tolerance.items())
        lines += wrapped(f"tolerance as stated, wt %: {stated}")
    lines += ["", "  " + "   ".join(fact_words(material))]
    for label, value in (("supplier", material.supplier), ("lot", material.lot), ("received", material.received)):
        if value:
            lines.append(f"  {label}: {value}")
    lines += ["", "HAZARDS at the bench (the maker's safety data sheet and local rules come first)"]
    lines += [line for text in hazard_words(material) for line in wrapped(text, hang=4)]
    source = material.source
    lines += [
        "",
        "SOURCE" if full else "SOURCE  whole citation: --full",
        *wrapped(source.cite() if full else source.in_short),
    ]
    if full and source.seen_at:
        lines += wrapped(f"seen at {source.seen_at}")
    if material.notes:
        lines += ["", "NOTES", *wrapped(material.notes)]
    return "\n".join(lines)


def made_from(material: Material) -> str:
    """Return the formula that its numbers follow from, else what kind of numbers they are."""
    return f"ideal formula {material.formula}" if material.formula else BASES[material.basis]


def loss_words(material: Material) -> str:
    """Return the loss on ignition and what leaves."""
    loss = "not reported" if material.loi_percent is None else f"{number(material.loi_percent, 2)} %"
    parts = ", ".join(f"{part} {number(value, 2)}" for part, value in material.loss.items())
    return f"{loss} ({parts})" if parts else loss


def oxides_not_listed(material: Material) -> str:
    """Return what it means that an oxide is not there."""
    ideal = "other oxides: none by the ideal formula, some in any real bag"
    return ideal if material.formula else "oxides not listed were not reported"


def fact_words(material: Material) -> list[str]:
    """Return density, solubility and moisture, as far as they are known."""
    facts = [f"density {material.density_g_cm3:g} g/cm3" if material.density_g_cm3 else "density not known"]
    facts.append(_SOLUBLE.get(material.solubility or "", "solubility not known"))
    if material.moisture_percent is not None:
        facts.append(f"moisture {material.moisture_percent:g} % of the dry weight")
    return facts


def hazard_words(material: Material) -> list[str]:
    """Return its hazards at the bench, each with how it is known; that nothing is known where nothing is."""
    found = hazards_of(material)
    said = []
    for item in found.known:
        because = f": {item.because}" if item.basis == "composition" else ""
        known = f" ({item.mark}{because})" if item.mark else ""
        said.append(f"{item.hazard.label}: {item.hazard.handling}{known}")
    said += found.own_words
    if material.hazards_note:
        said.append(f"{'its file says' if material.hazards else 'none, its file says'}: {material.hazards_note}")
    return (
        [*said, "no hazard data here: get the safety data sheet, and keep any dust down"] if found.is_unknown else said
    )
