"""A recipe as unity formula, fired analysis and mole per cent: names over the array core."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.batch import Batch, folded_moles, resolve
from glazecalc.convert.moles import basis_of, counted, folded, molar_mass_array, unity_moles
from glazecalc.display import Shown
from glazecalc.errors import CompositionError
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.oxides import ALKALIS, AXIS, COLOURANTS, FLUXES, INDEX, OPACIFIERS, R2O, RO, check_oxide
from glazecalc.recipe import Recipe

if TYPE_CHECKING:
    import pandas as pd

__all__ = (
    "Composition",
    "FiredAnalysis",
    "MolePercent",
    "UnityFormula",
    "fired_analysis",
    "fired_analysis_of",
    "mole_percent",
    "mole_percent_of",
    "unity_array_of",
    "unity_formula",
    "unity_of",
)

_DEFAULT = Convention()


def _checked(field_name: str, given: Mapping[str, float]) -> FrozenDict[str, float]:
    checks = FieldChecks("the composition")
    amounts = checks.numbers(field_name, given, 0.0, math.inf)
    checks.done()
    for oxide in amounts:
        if oxide != "KNaO":
            check_oxide(oxide)
    return amounts


@dataclass(frozen=True, slots=True, repr=False)
class Composition(Shown, Mapping[str, float]):
    """Oxide -> amount, read-only. An oxide of the axis that is absent reads 0; an unknown name is an error.

    Raises
    ------
    UnknownNameError
        For an oxide that is not on the axis.
    CompositionError, ArgumentError
        For an amount that is negative or no finite number.
    """

    amounts: Mapping[str, float]

    def __post_init__(self) -> None:
        object.__setattr__(self, "amounts", _checked("amounts", self.amounts))

    def __getitem__(self, oxide: str) -> float:
        if oxide in self.amounts:
            return self.amounts[oxide]
        if oxide != "KNaO":
            check_oxide(oxide)
        return 0.0

    def __iter__(self) -> Iterator[str]:
        return iter(self.amounts)

    def __len__(self) -> int:
        return len(self.amounts)

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {' '.join(f'{oxide} {amount:.3g}' for oxide, amount in self.amounts.items())}>"

    def __contains__(self, oxide: object) -> bool:
        return oxide in self.amounts

    def isclose(self, other: Mapping[str, float], *, rtol: float = 1e-9, atol: float = 1e-12) -> bool:
        """Return True where every oxide agrees within the tolerances."""
        return all(
            math.isclose(self.amounts.get(o, 0.0), other.get(o, 0.0), rel_tol=rtol, abs_tol=atol)
            for o in {*self.amounts, *other}
        )


@dataclass(frozen=True, slots=True, repr=False)
class UnityFormula(Composition):
    """Moles of oxides per mole of flux (or by another `convention`), all-in.

    Attributes
    ----------
    convention : Convention
        What counts as flux, the form of iron, the place of boron.
    moles : Mapping
        The same oxides as moles in the batch before division, all iron as Fe2O3.
    """

    PAGE: ClassVar[str] = "formula"

    convention: Convention = field(default=_DEFAULT)
    moles: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        Composition.__post_init__(self)
        object.__setattr__(self, "moles", _checked("moles", self.moles))

    @property
    def silica_alumina_ratio(self) -> float | None:
        """SiO2 : Al2O3 by moles, boron placed by the convention; None without alumina."""
        silica, alumina = self["SiO2"], self["Al2O3"]
        if self.convention.boron_with_silica:
            silica += self["B2O3"]
        if self.convention.boron_with_alumina:
            alumina += self["B2O3"]
        return silica / alumina if alumina > 0 else None

    @property
    def r2o(self) -> float:
        """Moles of alkalis (Li2O, Na2O, K2O, Rb2O, Cs2O)."""
        return math.fsum(self.amounts.get(oxide, 0.0) for oxide in (*R2O, "KNaO"))

    @property
    def ro(self) -> float:
        """Moles of alkaline earths, zinc and lead (MgO, CaO, SrO, BaO, ZnO, PbO)."""
        return math.fsum(self.amounts.get(oxide, 0.0) for oxide in RO)

    @property
    def flux_sum(self) -> float:
        """Moles of all fluxes of the convention: 1, unless unity stands on alumina."""
        names = (*self.convention.fluxes, "KNaO") if self.convention.alkalis_together else self.convention.fluxes
        return math.fsum(self.amounts.get(oxide, 0.0) for oxide in names)

    def groups(self) -> dict[str, dict[str, float]]:
        """Return the oxides grouped as flux, stabilizer, glass former, colourants and opacifiers."""
        flux_names = {*self.convention.fluxes, *FLUXES, "KNaO"}
        grouped: dict[str, dict[str, float]] = {
            "flux": {},
            "stabilizer": {},
            "glass former": {},
            "colourants and opacifiers": {},
        }
        for oxide, value in self.amounts.items():
            if oxide in flux_names:
                grouped["flux"][oxide] = value
            elif oxide == "Al2O3":
                grouped["stabilizer"][oxide] = value
            elif oxide in OPACIFIERS or oxide in COLOURANTS:
                grouped["colourants and opacifiers"][oxide] = value
            else:
                grouped["glass former"][oxide] = value
        return grouped

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, group, moles``; the convention stands in its ``attrs``."""
        import pandas as pd

        rows = [(oxide, group, value) for group, oxides in self.groups().items() for oxide, value in oxides.items()]
        frame = pd.DataFrame(rows, columns=["oxide", "group", "moles"])
        frame.attrs["convention"] = self.convention.description
        return frame


@dataclass(frozen=True, slots=True, repr=False)
class FiredAnalysis(Composition):
    """Oxides of the fired glaze, wt % of their sum, all-in, all iron as Fe2O3."""

    PAGE: ClassVar[str] = "formula"


@dataclass(frozen=True, slots=True, repr=False)
class MolePercent(Composition):
    """Oxides of the fired glaze, mol % of their sum, all-in, all iron as Fe2O3."""

    PAGE: ClassVar[str] = "formula"


def named(values: NDArray[np.float64]) -> dict[str, float]:
    """Return an array (k,) as oxide -> value, zeros left out."""
    return {oxide: float(values[column]) for oxide, column in INDEX.items() if values[column] != 0.0}


def unity_from_moles(moles: NDArray[np.float64], convention: Convention = _DEFAULT, *, where: str = "") -> UnityFormula:
    """Return the unity formula of moles (k,) with iron in any form.

    Raises
    ------
    CompositionError
        If there is nothing to divide by (no flux, or no alumina with unity on alumina), or nothing left after firing.
    """
    kept = folded(moles)
    if not kept.sum() > 0:
        raise CompositionError(
            "nothing of this batch stays in the fire: every material burns or boils away.",
            "Give a material with oxides.",
            where,
        )
    result = unity_moles(moles, convention)
    if not np.isfinite(result).all():
        what = "alumina" if convention.unity_on_alumina else "flux (R2O or RO)"
        raise CompositionError(
            f"the batch holds no {what}: there is no unity formula.",
            "Look at its fired analysis and mole per cent instead.",
            where,
        )
    amounts = named(result)
    if convention.alkalis_together:
        together = math.fsum(amounts.pop(oxide, 0.0) for oxide in ALKALIS)
        amounts = {"KNaO": together, **amounts} if together else amounts
    return UnityFormula(amounts, convention, named(kept))


def unity_array_of(unity: UnityFormula) -> NDArray[np.float64]:
    """Return a unity formula as an array (k,) on its own scale, alkalis apart and iron in the convention's form."""
    moles = np.zeros(len(AXIS))
    for oxide, value in unity.moles.items():
        moles[INDEX[oxide]] = value
    moles = counted(moles, unity.convention)
    result: NDArray[np.float64] = moles / moles[basis_of(unity.convention)].sum()
    return result


def unity_of(batch: Batch, convention: Convention = _DEFAULT, *, base_only: bool = False) -> UnityFormula:
    """Return the unity formula of a batch, all-in unless `base_only`."""
    return unity_from_moles(folded_moles(batch, base_only=base_only), convention, where=batch.recipe.path)


def fired_analysis_of(batch: Batch, *, base_only: bool = False) -> FiredAnalysis:
    """Return the fired analysis [wt %] of a batch, all-in unless `base_only`."""
    masses = folded_moles(batch, base_only=base_only) * molar_mass_array()
    return FiredAnalysis(named(_closed(masses, batch)))


def mole_percent_of(batch: Batch, *, base_only: bool = False) -> MolePercent:
    """Return the fired glaze in mol %, all-in unless `base_only`."""
    return MolePercent(named(_closed(folded_moles(batch, base_only=base_only), batch)))


def _closed(amounts: NDArray[np.float64], batch: Batch) -> NDArray[np.float64]:
    if not amounts.sum() > 0:
        raise CompositionError(
            "nothing of this batch stays in the fire: every material burns or boils away.",
            "Give a material with oxides.",
            batch.recipe.path,
        )
    return arrays.shares_percent(amounts)


def unity_formula(
    recipe: Recipe | Mapping[str, float], materials: MaterialLibrary, *, convention: Convention = _DEFAULT
) -> UnityFormula:
    """Convert a batch recipe to its unity formula, additions included.

    Parameters
    ----------
    recipe : Recipe or mapping
        A recipe, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    convention : Convention
        By default R2O + RO sum to 1, all iron is Fe2O3 outside unity, boron stands on its own.

    Returns
    -------
    UnityFormula
        Oxide -> moles [mol per mol of flux].

    Raises
    ------
    ArgumentError
        For a recipe, materials or convention of another kind, with the call to write.
    FileFaultsError
        For names that are unknown or fit several materials.
    CompositionError
        Where there is no flux or nothing is left after firing.

    Notes
    -----
    Moles of oxide = parts x wt % / molar mass, summed over the batch and divided by the sum over the fluxes, as in any
    handbook (e.g. C. F. Binns, The Potter's Craft, 1910, p. 46).
    """
    return unity_of(resolve(recipe, materials), convention)


def fired_analysis(recipe: Recipe | Mapping[str, float], materials: MaterialLibrary) -> FiredAnalysis:
    """Return the analysis of the fired glaze [wt %], additions included, all iron as Fe2O3; sums to 100.

    Raises
    ------
    ArgumentError, FileFaultsError, CompositionError
        As in `unity_formula`; a batch without flux is allowed here.
    """
    return fired_analysis_of(resolve(recipe, materials))


def mole_percent(recipe: Recipe | Mapping[str, float], materials: MaterialLibrary) -> MolePercent:
    """Return the fired glaze in mol %, additions included, all iron as Fe2O3; sums to 100.

    Raises
    ------
    ArgumentError, FileFaultsError, CompositionError
        As in `unity_formula`; a batch without flux is allowed here.
    """
    return mole_percent_of(resolve(recipe, materials))
