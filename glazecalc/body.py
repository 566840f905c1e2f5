"""Clay bodies: what is known of the clay that a piece is made of."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ("ClayBody",)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClayBody:
    """A clay body as its maker's sheet or the studio's own bars describe it; None where not known.

    Attributes
    ----------
    name : str
    cone : str
        The cone it is fired to.
    absorption_percent : float or None
        Water absorption after boiling [wt % of dry], by ASTM C373.
    shrinkage_percent : float or None
        Total linear shrinkage, wet to fired [% of wet length], by ASTM C326.
    expansion_1e6_per_k : float or None
        Measured linear expansion [1e-6 per K] over `expansion_range_c`.
    expansion_range_c : tuple of float or None
        Temperatures [deg C] of that measurement.
    source, notes : str
    """

    name: str
    cone: str = ""
    absorption_percent: float | None = None
    shrinkage_percent: float | None = None
    expansion_1e6_per_k: float | None = None
    expansion_range_c: tuple[float, float] | None = None
    source: str = ""
    notes: str = ""
