"""The foot of a page: what each of its numbers stands on, and where that was read."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.estimate.result import Estimate
from glazecalc.material import Material
from glazecalc.source import BASES

__all__ = ("MOLAR_MASSES", "of_estimates", "of_materials")

MOLAR_MASSES = ("molar masses", "atomic masses of the package periodictable")


def of_materials(materials: Iterable[Material]) -> list[tuple[str, str]]:
    """Return each source of analyses once, with the materials that it is of."""
    named: dict[str, dict[str, None]] = {}
    for one in materials:
        source = BASES[one.basis] if one.formula else f"{BASES[one.basis]}: {one.source.in_short}"
        named.setdefault(source, {})[one.name] = None
    return [(", ".join(names), source) for source, names in named.items()]


def of_estimates(estimates: Iterable[Estimate]) -> list[tuple[str, str]]:
    """Return each source of a model once, with the quantities that it was asked for."""
    named: dict[str, dict[str, None]] = {}
    for one in estimates:
        named.setdefault(one.source, {})[f"{one.quantity} ({one.model})"] = None
    return [(", ".join(names), source) for source, names in named.items()]
