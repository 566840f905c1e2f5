"""Materials made from the weights that a book prints, for checks in the book's own arithmetic."""

from __future__ import annotations

from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import molar_mass
from glazecalc.source import Source

__all__ = ("analysed", "brings", "library_of")


def brings(name: str, weight: float, moles: dict[str, float]) -> Material:
    """Return a material of which `weight` parts bring `moles`."""
    analysis = {oxide: 100.0 * n * molar_mass(oxide) / weight for oxide, n in moles.items()}
    return Material(
        id=name,
        name=name,
        source=Source(title="weights as the book prints them"),
        analysis=analysis,
        loi_percent=100 - sum(analysis.values()),
    )


def analysed(name: str, analysis: dict[str, float], loi_percent: float | None = None) -> Material:
    """Return a material with a printed analysis [wt %]."""
    return Material(
        id=name, name=name, source=Source(title="analysis as printed"), analysis=analysis, loi_percent=loi_percent
    )


def library_of(*materials: Material) -> MaterialLibrary:
    """Return a library of just these."""
    return MaterialLibrary(materials)
