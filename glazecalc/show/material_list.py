"""The list of materials."""

from __future__ import annotations

from collections.abc import Mapping

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
    lines = [
        f"{len(library)} materials; 'glazecalc materials NAME' shows one. f: ideal formula, m: analysis from memory."
    ]
    for kind in sorted(groups):
        lines += ["", kind.replace("_", " ").upper()]
        rows = []
        for material in sorted(groups[kind], key=lambda m: m.name.lower()):
            basis = "f" if material.formula else "m" if material.source.from_memory else ""
            loss = "?" if material.loi_percent is None else number(material.loi_percent, 1)
            rows.append(
                [
                    material.name,
                    basis,
                    loss,
                    " ".join(f"{o} {number(v, 1)}" for o, v in _largest(material.analysis)),
                ]
            )
        lines += table([["name", "", "loss %", "main oxides, wt %"], *rows], left=(0, 1, 3))
    return "\n".join(lines)


def _largest(analysis: Mapping[str, float]) -> list[tuple[str, float]]:
    return sorted(analysis.items(), key=lambda pair: -pair[1])[:3]
