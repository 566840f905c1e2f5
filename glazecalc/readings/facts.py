"""What the readings are made from: one recipe with all that was worked out for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from glazecalc.caution.caution import Caution
from glazecalc.caution.formula_holds import FormulaStanding
from glazecalc.cone_temperatures import heat_points
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula
from glazecalc.errors import GlazeError
from glazecalc.estimate.result import Estimate
from glazecalc.recipe import Use

if TYPE_CHECKING:
    from glazecalc.body import ClayBody
    from glazecalc.estimate.firings import FitRange
    from glazecalc.estimate.stress import Mismatch

__all__ = ("Facts", "Heat", "heats_of")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """A firing: its name, such as ``cone 6`` or ``1240 C``, and the temperature it stands for [deg C]."""

    name: str
    celsius: float


def heats_of(cone: str) -> tuple[Heat, ...]:
    """Return the firing at each end of what a card says; nothing where it says none, or no chart has its temperature."""
    try:
        return tuple(Heat(name=point.words, celsius=point.celsius) for point in heat_points(cone)) if cone else ()
    except GlazeError:
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """One recipe with all that was worked out for it.

    Attributes
    ----------
    unity : UnityFormula or None
        All-in, by the default convention; None where there is no flux.
    formula : FormulaStanding
        Whether that formula holds.
    heats : tuple of Heat
        The firing; two where the card gives a range of cones, cooler first; none where it is not known.
    use : str or None
        What the ware is for; None is read as food ware.
    surfaces : tuple of str
        How the fired surface is said to be.
    fit : FitRange or None
        The studio's own firings on this clay at this cone.
    mismatch : Mismatch or None
        From both expansions measured.
    """

    batch: Batch
    unity: UnityFormula | None
    formula: FormulaStanding
    fired: FiredAnalysis
    mole_percent: MolePercent
    cone: str
    heats: tuple[Heat, ...]
    atmosphere: str
    use: Use | None
    body: ClayBody | None
    surfaces: tuple[str, ...]
    estimates: tuple[Estimate, ...]
    cautions: tuple[Caution, ...]
    fit: FitRange | None = None
    mismatch: Mismatch | None = None

    def about(self, *codes_start: str) -> tuple[Caution, ...]:
        """Return the cautions whose code starts with one of these, gravest first."""
        return tuple(caution for caution in self.cautions if caution.code.startswith(codes_start))
