"""The list of materials."""

from __future__ import annotations

from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.show.table import table
from glazecalc.show.text import number
from glazecalc.source import Basis

__all__ = ("page",)

_BASIS: dict[Basis, str] = {
    "measured": "analysis", "makers-sheet": "sheet", "ideal-formula": "formula", "as-batched": "as batched", "worked-out": "worked out",
    "recalled": "recalled", "invented": "invented", "own-sheet": "own sheet",
}  # fmt: skip


def page(library: MaterialLibrary) -> str:
    """Return the materials of a library, grouped by kind."""
    groups: dict[str, list[Material]] = {}
    for material in library.values():
        groups.setdefault(material.kind, []).append(material)
    lines = [
        f"{len(library)} materials; 'glazecalc materials NAME' shows one. In brackets: no bag of that name is sold."
    ]
    for kind in sorted(groups):
        lines += ["", kind.replace("_", " ").upper()]
        rows = []
        for material in sorted(groups[kind], key=lambda m: m.name.lower()):
            loss = "?" if material.loi_percent is None else number(material.loi_percent, 1)
            largest = sorted(material.analysis.items(), key=lambda pair: -pair[1])[:3]
            name = material.name if material.for_sale else f"({material.name})"
            oxides = " ".join(f"{oxide} {number(v, 1)}" for oxide, v in largest)
            rows.append([name, _BASIS[material.basis], loss, oxides])
        lines += table([["name", "numbers from", "loss %", "main oxides, wt %"], *rows], left=(0, 1, 3))
    return "\n".join(lines)
