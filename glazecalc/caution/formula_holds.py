"""Does the unity formula hold? The one home of the question: cautions, readings and the page ask here.

A formula divides by the moles of R2O and RO. Where colouring oxides are as much as these and melt with them, where there is no flux,
or where most of it comes from an ash or a clay of unknown make, its figures say little, and rules that stand on them keep silent.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal

from glazecalc.caution.atmosphere import atmosphere_of
from glazecalc.caution.thresholds import threshold
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch
from glazecalc.convert.moles import molar_mass_array
from glazecalc.convert.unity import UnityFormula, unity_of
from glazecalc.display import Shown
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.oxides import FLUXES, INDEX, METAL_COLOURANTS, elements_in_oxide

__all__ = ("FormulaStanding", "formula_standing")

StandingCode = Literal[
    "formula-holds",
    "formula-iron-is-flux",
    "formula-colourants-over-flux",
    "formula-unknown-make",
    "formula-no-flux",
]
_SILENT = "Rules that go by the total of the fluxes are left out."


@dataclass(frozen=True, slots=True, kw_only=True)
class FormulaStanding(Shown):
    """Whether the unity formula of a glaze holds.

    Attributes
    ----------
    code : str
        ``formula-holds``; ``formula-iron-is-flux`` (it holds, and iron is counted beside it); else why it does not hold.
    says : str
        The same in words; empty where there is nothing to say.
    evidence : Mapping
        The numbers behind it, with the thresholds.
    counted_as_flux : UnityFormula or None
        The formula with the colouring oxides counted as flux, where that is worth a look beside the other.
    source : str
        On whose authority.
    """

    JSON: ClassVar[tuple[str, ...]] = ("code", "holds", "says", "evidence", "counted_as_flux", "source")

    code: StandingCode
    says: str = ""
    evidence: Mapping[str, Any] = field(default_factory=FrozenDict)
    counted_as_flux: UnityFormula | None = None
    source: str = ""

    @property
    def holds(self) -> bool:
        """True where rules that stand on the flux sum may speak."""
        return self.code in ("formula-holds", "formula-iron-is-flux")

    @property
    def of_unknown_make(self) -> tuple[str, ...]:
        """The materials of unknown make that bring most of the flux; empty where the formula fails for no such reason."""
        return tuple(self.evidence["materials"]) if self.code == "formula-unknown-make" else ()


def formula_standing(batch: Batch, unity: UnityFormula | None) -> FormulaStanding:
    """Return whether the unity formula of a batch, by the default convention, holds."""
    if unity is None:
        says = f"The unity formula does not hold: there is no flux (R2O or RO) to divide by. {_SILENT}"
        return FormulaStanding(code="formula-no-flux", says=says, source="what a unity formula is")
    moles = unity.moles or unity.amounts
    flux = math.fsum(moles.get(oxide, 0.0) for oxide in FLUXES)
    reduced = atmosphere_of(batch.recipe.atmosphere) == "reduction"
    iron = moles.get("Fe2O3", 0.0) / flux
    iron_as_feo = iron * elements_in_oxide("Fe2O3")["Fe"]
    others = math.fsum(moles.get(oxide, 0.0) for oxide in METAL_COLOURANTS if oxide != "Fe2O3") / flux
    colour = others + (iron_as_feo if reduced else iron)
    much, from_unknown = threshold("colourants_over_flux"), threshold("flux_of_unknown_make")
    if colour > much.value:
        counted = unity_of(batch, Convention(colourants_as_flux=True, iron_as_feo=reduced or others <= much.value))
        return FormulaStanding(
            code="formula-colourants-over-flux",
            says=f"The unity formula does not hold: colouring oxides come to {colour:.1f} mol per mol of flux and melt with it. {_SILENT}",
            evidence={"colouring_mol_per_flux": colour, "threshold_mol_per_flux": much.value},
            counted_as_flux=counted,
            source=much.source,
        )
    share, names = _of_unknown_make(batch)
    if share > from_unknown.value:
        return FormulaStanding(
            code="formula-unknown-make",
            says=(
                f"The unity formula does not hold: {100 * share:.0f} % of the flux comes from material of unknown make "
                f"({'; '.join(names)}), by a typical analysis. {_SILENT} A sheet of your own lot mends it."
            ),
            evidence={"share_of_flux": share, "threshold_share": from_unknown.value, "materials": list(names)},
            source=from_unknown.source,
        )
    shown = threshold("iron_flux_shown")
    if reduced and iron_as_feo > shown.value:
        return FormulaStanding(
            code="formula-iron-is-flux",
            says=f"In reduction iron is FeO, a flux: {iron_as_feo:.2f} mol beside one mol of R2O and RO.",
            evidence={"FeO_mol_per_flux": iron_as_feo, "threshold_mol_per_flux": shown.value},
            counted_as_flux=unity_of(batch, Convention(colourants_as_flux=True, iron_as_feo=True)),
            source=shown.source,
        )
    return FormulaStanding(code="formula-holds")


def _of_unknown_make(batch: Batch) -> tuple[float, tuple[str, ...]]:
    """Return the share of the flux [0-1] that comes from ashes and clays without an analysis of their own, and their names."""
    flux_columns = [INDEX[oxide] for oxide in FLUXES]
    moles = (batch.contributions() / molar_mass_array())[:, flux_columns].sum(axis=1)
    unknown = [
        (float(mole), line.material.name)
        for mole, line in zip(moles, batch.lines, strict=True)
        if mole > 0 and _is_of_unknown_make(line.material)
    ]
    names = dict.fromkeys(name for _, name in sorted(unknown, reverse=True))
    total = float(moles.sum())
    return (math.fsum(mole for mole, _ in unknown) / total if total > 0 else 0.0), tuple(names)


def _is_of_unknown_make(material: Material) -> bool:
    """Return True for an ash without a sheet of its own, for no two are alike, and for a clay whose numbers are recalled."""
    return (
        material.basis != "own-sheet"
        if material.kind == "ash"
        else material.kind == "clay" and material.basis == "recalled"
    )
