"""The list of materials, and the page of one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from glazecalc.files.shipped import load_data
from glazecalc.material import Material
from glazecalc.show.table import table
from glazecalc.show.text import heading, number, rule, wrapped

__all__ = ("material_dict", "material_page", "materials_page")


def material_dict(material: Material) -> dict[str, Any]:
    """Return one material for JSON; an oxide that was not reported is absent, one below detection stands apart."""
    source = material.source
    return {
        "id": material.id,
        "name": material.name,
        "aliases": list(material.aliases),
        "kind": material.kind,
        "formula": material.formula,
        "analysis_percent": dict(material.analysis),
        "below_detection": dict(material.below_detection),
        "loi_percent": material.loi_percent,
        "loss": dict(material.loss),
        "total_percent": material.total_percent,
        "moisture_percent": material.moisture_percent,
        "density_g_cm3": material.density_g_cm3,
        "solubility": material.solubility,
        "hazards": list(material.hazards),
        "tolerance": dict(material.tolerance),
        "supplier": material.supplier,
        "lot": material.lot,
        "received": material.received,
        "source": {
            "title": source.title, "publisher": source.publisher, "year": source.year, "table": source.table, "seen_at": source.seen_at,
            "from_memory": source.from_memory, "confidence": source.confidence,
        },
        "notes": material.notes,
        "notices": [{"code": n.code, "message": n.message} for n in material.notices],
    }  # fmt: skip


def materials_page(materials: Iterable[Material]) -> str:
    """Return the library as a list, grouped by kind."""
    groups: dict[str, list[Material]] = {}
    for material in materials:
        groups.setdefault(material.kind, []).append(material)
    lines = [
        f"{sum(map(len, groups.values()))} materials; 'glazecalc materials NAME' shows one. f: ideal formula, m: analysis from memory."
    ]
    for kind in sorted(groups):
        lines += ["", kind.replace("_", " ").upper()]
        rows = []
        for material in sorted(groups[kind], key=lambda m: m.name.lower()):
            basis = "f" if material.formula else "m" if material.source.from_memory else ""
            loss = "?" if material.loi_percent is None else number(material.loi_percent, 1)
            rows.append(
                [
                    material.name[:44],
                    basis,
                    loss,
                    " ".join(f"{o} {number(v, 1)}" for o, v in _largest(material.analysis)),
                ]
            )
        lines += table([["name", "", "loss %", "main oxides, wt %"], *rows], left=(0, 1, 3))
    return "\n".join(lines)


def _largest(analysis: Mapping[str, float]) -> list[tuple[str, float]]:
    return sorted(analysis.items(), key=lambda pair: -pair[1])[:3]


def material_page(material: Material) -> str:
    """Return one material with its analysis, source and hazards."""
    lines = [heading(material.name, f"{material.kind.replace('_', ' ')}   id {material.id}"), rule()]
    if material.aliases:
        lines += wrapped("also called: " + ", ".join(material.aliases), indent=0)
    basis = f"ideal formula {material.formula}" if material.formula else "analysis of a real material"
    lines += [f"Numbers from: {basis}", ""]
    lines.append("wt % of the dry material")
    cells = [f"{oxide} {number(value, 2)}" for oxide, value in material.analysis.items()]
    cells += [f"{oxide} {text} (below detection)" for oxide, text in material.below_detection.items()]
    lines += wrapped("   ".join(cells) or "no oxide stays")
    loss = "not reported" if material.loi_percent is None else f"{number(material.loi_percent, 2)} %"
    parts = ", ".join(f"{part} {number(value, 2)}" for part, value in material.loss.items())
    lines.append(
        f"  loss on ignition {loss}"
        + (f" ({parts})" if parts else "")
        + f"   total {number(material.total_percent, 2)} %"
    )
    lines.append(
        "  an oxide that is not named was not reported"
        if not material.formula
        else "  other oxides: none by the ideal formula, some in any real bag"
    )
    if material.tolerance:
        lines += wrapped(
            "tolerance as stated, wt %: " + ", ".join(f"{o} +-{v:g}" for o, v in material.tolerance.items())
        )
    facts = [
        f"density {material.density_g_cm3:g} g/cm3" if material.density_g_cm3 else "density not known",
        {"no": "not soluble in water", "slightly": "slightly soluble in water", "yes": "soluble in water"}.get(
            material.solubility or "", "solubility not known"
        ),
    ]
    if material.moisture_percent is not None:
        facts.append(f"moisture {material.moisture_percent:g} % of the dry weight")
    lines += ["", "  " + "   ".join(facts)]
    for label, value in (("supplier", material.supplier), ("lot", material.lot), ("received", material.received)):
        if value:
            lines.append(f"  {label}: {value}")
    lines += ["", "HAZARDS at the bench (the maker's safety data sheet and local rules come first)"]
    for key in material.hazards:
        entry = load_data("bench_hazards.yaml")["hazards"].get(key)
        lines += wrapped(f"{entry['label']}: {entry['handling']}" if entry else key, hang=4)
    if not material.hazards:
        lines.append("  none on file here; that is no clearance: read the maker's sheet, and keep any dust down")
    lines += ["", "SOURCE", *wrapped(material.source.cite())]
    if material.source.seen_at:
        lines += wrapped(f"seen at {material.source.seen_at}")
    if material.notes:
        lines += ["", "NOTES", *wrapped(material.notes)]
    for notice in material.notices:
        lines += wrapped(f"note: {notice.message}")
    return "\n".join(lines)
