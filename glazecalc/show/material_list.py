"""The list of materials."""

from __future__ import annotations

from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.show.table import table
from glazecalc.show.text import number
from glazecalc.source import Basis

__all__ = ("HEADS", "groups", "intro", "page", "row")

_BASIS: dict[Basis, str] = {
    "measured": "analysis", "makers-sheet": "sheet", "ideal-formula": "formula", "as-batched": "as batched", "worked-out": "worked out",
    "recalled": "recalled", "invented": "invented", "own-sheet": "own sheet",
}  # fmt: skip


HEADS = ("name", "numbers from", "loss %", "main oxides, wt %")


def page(library: MaterialLibrary) -> str:
    """Return the materials of a library, grouped by kind."""
    lines = [intro(library)]
    for kind, rows in groups(library).items():
        lines += ["", kind.upper(), *table([list(HEADS), *rows], left=(0, 1, 3))]
    return "\n".join(lines)


def intro(library: MaterialLibrary) -> str:
    """Return how many there are, and what the brackets mean."""
    return f"{len(library)} materials; 'glazecalc materials NAME' shows one. In brackets: no bag of that name is sold."


def groups(library: MaterialLibrary) -> dict[str, list[list[str]]]:
    """Return the rows of each kind of material, by name."""
    kinds: dict[str, list[Material]] = {}
    for material in library.values():
        kinds.setdefault(material.kind, []).append(material)
    by_name = {kind: sorted(kinds[kind], key=lambda m: m.name.lower()) for kind in sorted(kinds)}
    return {kind.replace("_", " "): [row(one) for one in members] for kind, members in by_name.items()}


def row(material: Material) -> list[str]:
    """Return what the list says of one material, under `HEADS`."""
    loss = "?" if material.loi_percent is None else number(material.loi_percent, 1)
    largest = sorted(material.analysis.items(), key=lambda pair: -pair[1])[:3]
    name = material.name if material.for_sale else f"({material.name})"
    return [name, _BASIS[material.basis], loss, " ".join(f"{oxide} {number(v, 1)}" for oxide, v in largest)]
