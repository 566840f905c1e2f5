"""What in the formula, or in the recipe's own words, lets a glass give up its metals sooner.

Potters' measured releases differ a hundredfold at the same dose of a metal; what parts them is the glass. No one sign is proof.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from glazecalc.caution.oxide_amounts import OxideAmounts
from glazecalc.caution.thresholds import by_cone, threshold
from glazecalc.cones import Cone
from glazecalc.oxides import R2O

__all__ = ("SIGNS", "calls_itself_matt", "first_of", "weak_glass")

SIGNS = ("silica_short", "silica_lean", "matt_ratio", "much_alkali", "called_matt")
"""Below the floor of silica for the cone; below the level that its author prefers; matt by ratio; alkali above half; matt by name."""
_MATT = re.compile(r"\bmatte?s?\b|\bmat\b", re.IGNORECASE)


def calls_itself_matt(words: str) -> bool:
    """Return True where the name or the notes of a recipe say that it is matt."""
    return _MATT.search(words) is not None


def weak_glass(amounts: OxideAmounts, cone: Cone, *, called_matt: bool = False) -> dict[str, str]:
    """Return the signs of a glass that gives up metals sooner, each with its words; none without a flux."""
    if not amounts.mol_per_flux:
        return {}
    silica, alumina = amounts.of("mol_per_flux", "SiO2"), amounts.of("mol_per_flux", "Al2O3")
    alkali = sum(amounts.of("mol_per_flux", oxide) for oxide in R2O)
    short, lean = by_cone("silica_floor").at(cone), by_cone("silica_lean").at(cone)
    found = {}
    if short is not None and silica < short:
        found["silica_short"] = f"silica is short ({silica:.2f})"
    if lean is not None and silica < lean:
        found["silica_lean"] = f"silica is lean ({silica:.2f})"
    if alumina > 0.0 and silica / alumina < threshold("matt_ratio").value:
        found["matt_ratio"] = f"SiO2:Al2O3 is {silica / alumina:.1f} (matt)"
    if alkali > threshold("alkali_look").value:
        found["much_alkali"] = f"alkali is {alkali:.2f} of the flux"
    if called_matt:
        found["called_matt"] = "it calls itself matt"
    return found


def first_of(signs: Mapping[str, str], wanted: Collection[str]) -> str:
    """Return the words of the first sign that is wanted; empty where none is there."""
    return next((words for sign, words in signs.items() if sign in wanted), "")
