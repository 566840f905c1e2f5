"""What a material holds, by the names that the rules of the data use: an oxide, a part of the loss, the loss, or a sum of these."""

from __future__ import annotations

import math
from collections.abc import Mapping

from glazecalc.material import Material

__all__ = ("holds_at_least", "percent_of")

_LOSS = "loss"  # the whole loss on ignition


def percent_of(material: Material, names: str) -> float:
    """Return how much of `names` a material holds [wt %]; ``Na2O + K2O`` is a sum, ``loss`` the loss on ignition.

    What was not reported or not detected counts as nothing: a rule finds what an analysis says, and clears nothing.
    """
    return math.fsum(_one(material, name.strip()) for name in names.split("+"))


def holds_at_least(material: Material, least: Mapping[str, float]) -> bool:
    """Return True where a material holds at least this much [wt %] of each."""
    return all(percent_of(material, names) >= percent for names, percent in least.items())


def _one(material: Material, name: str) -> float:
    if name == _LOSS:
        return material.loi_percent or 0.0
    return material.loss.get(name, material.analysis.get(name, 0.0))
