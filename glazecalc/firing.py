"""Firings: one glaze on one body, and what came out of the kiln."""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.display import Shown
from glazecalc.errors import did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.heat import check_heat_field

__all__ = ("RESULTS", "Firing")

RESULTS = ("crazed", "sound", "shivered")


@dataclass(frozen=True, slots=True, kw_only=True)
class Firing(Shown):
    """One glaze that was fired.

    Attributes
    ----------
    recipe : str
        A recipe file, or its name.
    cone : str
        As a recipe has it; empty where it was not written down.
    result : str
        One of `RESULTS`.
    line : int
        In the file (1-based).
    """

    recipe: str
    body: str
    cone: str = ""
    result: str
    note: str = ""
    line: int = 0

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Firing of '{self.recipe}'")
        for name in ("recipe", "body", "cone", "note"):
            checks.text(name, getattr(self, name), required=name in ("recipe", "body"))
        if isinstance(self.cone, str):
            object.__setattr__(self, "cone", check_heat_field(self.cone, checks, one=True))
        if self.result not in RESULTS:
            hint = did_you_mean(str(self.result), RESULTS) or f"Known: {', '.join(RESULTS)}."
            checks.fault("result", f"'result' is '{self.result}', which is not known.", hint)
        checks.done()
