"""The list of materials."""

from __future__ import annotations

from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.show.table import table
from glazecalc.show.text import number

__all__ = ("page",)


def page(library: MaterialLibrary) -> str:
    """Return the materials of a library, grouped by kind."""
    groups: dict[str, list[Material]] = {}
    for material in library.values():
        groups.setdefault(material.kind, []).append(material)
    signs = "f: ideal formula, m: analysis from memory"
    lines = [f"{len(library)} materials; 'glazecalc materials NAME' shows one. {signs}."]
    for kind in sorted(groups):
        lines += ["", kind.replace("_", " ").upper()]
        rows = []
        for material in sorted(groups[kind], key=lambda m: m.name.lower()):
            basis = "f" if material.formula else "m" if material.source.from_memory else ""
            loss = "?" if material.loi_percent is None else number(material.loi_percent, 1)
            largest = sorted(material.analysis.items(), key=lambda pair: -pair[1])[:3]
            rows.append([material.name, basis, loss, " ".join(f"{oxide} {number(v, 1)}" for oxide, v in largest)])
        lines += table([["name", "", "loss %", "main oxides, wt %"], *rows], left=(0, 1, 3))
    return "\n".join(lines)
