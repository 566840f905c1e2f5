"""Variants: bags of one kind whose analyses lie so near that one serves like the other."""

from __future__ import annotations

from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.oxides import INDEX

__all__ = ("serve_alike",)


def serve_alike(one: Material, other: Material) -> bool:
    """Return True where two bags are variants of one material: of one kind, and no oxide of the fired bag far apart."""
    if one.kind != other.kind:
        return False
    mine, its = _fired_percent(one), _fired_percent(other)
    return all(abs(mine.get(o, 0.0) - its.get(o, 0.0)) <= choice("variant_percent") for o in {*mine, *its})


def _fired_percent(material: Material) -> dict[str, float]:
    stays = {oxide: percent for oxide, percent in material.analysis.items() if oxide in INDEX}
    total = sum(stays.values())
    return {oxide: 100.0 * percent / total for oxide, percent in stays.items()} if total > 0 else {}
