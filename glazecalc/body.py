"""Clay bodies: what is known of the clay that a piece is made of."""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.display import Shown
from glazecalc.field_checks import FieldChecks
from glazecalc.heat import check_heat_field

__all__ = ("ClayBody",)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClayBody(Shown):
    """A clay body as its maker's sheet or the studio's own bars describe it; None where not known.

    Attributes
    ----------
    absorption_percent : float or None
        Water absorption after boiling [wt % of dry], by ASTM C373.
    shrinkage_percent : float or None
        Total linear shrinkage, wet to fired [% of wet length], by ASTM C326.
    expansion_1e6_per_k : float or None
        Measured linear expansion [1e-6 per K] over `expansion_range_c`.
    expansion_range_c : tuple of float or None
        Temperatures [deg C] of that measurement.
    """

    name: str
    cone: str = ""
    absorption_percent: float | None = None
    shrinkage_percent: float | None = None
    expansion_1e6_per_k: float | None = None
    expansion_range_c: tuple[float, float] | None = None
    source: str = ""
    notes: str = ""

    def __post_init__(self) -> None:
        checks = FieldChecks(f"ClayBody '{self.name}'")
        for name in ("name", "source", "notes"):
            checks.text(name, getattr(self, name), required=name == "name", lines=name != "name")
        object.__setattr__(self, "cone", check_heat_field(self.cone, checks))
        checks.number("absorption_percent", self.absorption_percent, 0, 60)
        checks.number("shrinkage_percent", self.shrinkage_percent, 0, 40)
        checks.number("expansion_1e6_per_k", self.expansion_1e6_per_k, 0, 30)
        object.__setattr__(self, "expansion_range_c", _range_c(self.expansion_range_c, checks))
        if self.expansion_1e6_per_k is not None and self.expansion_range_c is None and not checks.faults:
            message = "'expansion_1e6_per_k' means nothing without its temperature range."
            checks.fault("expansion_1e6_per_k", message, "Give expansion_range_c too, like [20, 500].")
        checks.done()


def _range_c(given: object, checks: FieldChecks) -> tuple[float, float] | None:
    if given is None:
        return None
    listed = given if isinstance(given, list | tuple) else ()
    ends = [checks.number("expansion_range_c", end, -273, 1500) for end in listed]
    if len(ends) == 2 and ends[0] is not None and ends[1] is not None and ends[0] < ends[1]:
        return ends[0], ends[1]
    message = "'expansion_range_c' is two temperatures in C, the lower first."
    checks.fault("expansion_range_c", message, "Write it like [20, 500].")
    return None
