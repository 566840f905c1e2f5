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
from glazecalc.convert.moles import as_row, folded, molar_mass_array, unity_moles
from glazecalc.display import Shown
from glazecalc.errors import CompositionError, ConventionError
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.oxides import ALKALIS, AXIS, R2O, RO, check_oxide, role
from glazecalc.recipe import Recipe

if TYPE_CHECKING:
    import pandas as pd

    from glazecalc.convert.change import UnityChange

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
    "unity_from_moles",
    "unity_of",
)

_DEFAULT = Convention()
_PLAIN_NAMES = frozenset((*AXIS, "KNaO"))


def _checked(field_name: str, given: Mapping[str, float]) -> FrozenDict[str, float]:
    checks = FieldChecks("the composition")
    amounts = checks.numbers(field_name, given, 0.0, math.inf)
    checks.done()
    for oxide in amounts:
        if oxide not in _PLAIN_NAMES:
            check_oxide(oxide)
    return amounts


@dataclass(frozen=True, slots=True, repr=False)
class Composition(Shown, Mapping[str, float]):
    """Oxide -> amount, read-only. An oxide of the axis that is absent reads 0; an unknown name is an UnknownNameError."""

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

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, amount``; a bare composition does not say in which unit."""
        return _frame(self, "amount", "")

    def isclose(self, other: Mapping[str, float], *, rtol: float = 1e-9, atol: float = 1e-12) -> bool:
        """Return True where every oxide agrees within the tolerances."""
        pairs = ((self.amounts.get(oxide, 0.0), other.get(oxide, 0.0)) for oxide in {*self.amounts, *other})
        return all(math.isclose(mine, its, rel_tol=rtol, abs_tol=atol) for mine, its in pairs)


@dataclass(frozen=True, slots=True, repr=False)
class UnityFormula(Composition):
    """Moles of oxides per mole of flux (or by another `convention`), all-in.

    Attributes
    ----------
    moles : Mapping
        The same oxides as moles in the batch before division, all iron as Fe2O3.
    """

    PAGE: ClassVar[str] = "unity"

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
        ratio = silica / alumina if alumina > 0 else math.inf
        return ratio if math.isfinite(ratio) else None

    @property
    def r2o(self) -> float:
        """Moles of alkalis (Li2O, Na2O, K2O, Rb2O, Cs2O)."""
        return math.fsum(self.amounts.get(oxide, 0.0) for oxide in (*R2O, "KNaO"))

    @property
    def ro(self) -> float:
        """Moles of alkaline earths, zinc and lead (MgO, CaO, SrO, BaO, ZnO, PbO)."""
        return math.fsum(self.amounts.get(oxide, 0.0) for oxide in RO)

    def __sub__(self, other: object) -> UnityChange:
        """Return what this formula has more of than another of the same convention, below zero where it has less."""
        if not isinstance(other, UnityFormula):
            return NotImplemented
        if other.convention != self.convention:
            text = (
                f"the formulas stand on two conventions: {self.convention.description}; {other.convention.description}."
            )
            raise ConventionError(text, "Make both with one convention.")
        from glazecalc.convert.change import UnityChange

        oxides = dict.fromkeys((*self.amounts, *other.amounts))
        more = {oxide: self.amounts.get(oxide, 0.0) - other.amounts.get(oxide, 0.0) for oxide in oxides}
        return UnityChange(more, self.convention)

    def groups(self) -> dict[str, dict[str, float]]:
        """Return the oxides grouped as flux, stabilizer, glass former, colourants and opacifiers."""
        coloured = "colourants and opacifiers"
        grouped: dict[str, dict[str, float]] = {"flux": {}, "stabilizer": {}, "glass former": {}, coloured: {}}
        for oxide, value in self.amounts.items():
            group = "flux" if oxide in (*self.convention.fluxes, "KNaO") else role(oxide)
            grouped.get(group, grouped[coloured])[oxide] = value
        return grouped

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, group, moles``; the convention stands in its ``attrs``."""
        import pandas as pd

        rows = [(oxide, group, value) for group, oxides in self.groups().items() for oxide, value in oxides.items()]
        frame = pd.DataFrame(rows, columns=["oxide", "group", "moles"])
        frame.attrs |= {"convention": self.convention.description, "units": {"moles": self.convention.unit}}
        return frame


@dataclass(frozen=True, slots=True, repr=False)
class FiredAnalysis(Composition):
    """Oxides of the fired glaze, wt % of their sum, all-in, all iron as Fe2O3."""

    PAGE: ClassVar[str] = "unity"

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, percent`` [wt %]."""
        return _frame(self, "percent", "wt %")


@dataclass(frozen=True, slots=True, repr=False)
class MolePercent(Composition):
    """Oxides of the fired glaze, mol % of their sum, all-in, all iron as Fe2O3."""

    PAGE: ClassVar[str] = "unity"

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, percent`` [mol %]."""
        return _frame(self, "percent", "mol %")


def _frame(of: Composition, column: str, unit: str) -> pd.DataFrame:
    import pandas as pd

    frame = pd.DataFrame(list(of.items()), columns=["oxide", column])
    frame.attrs["units"] = {column: unit} if unit else {}
    return frame


def named(values: NDArray[np.float64]) -> dict[str, float]:
    """Return an array (k,) as oxide -> value, zeros left out."""
    return {oxide: value for oxide, value in zip(AXIS, values.tolist(), strict=True) if value != 0.0}


def unity_from_moles(moles: NDArray[np.float64], convention: Convention = _DEFAULT, *, where: str = "") -> UnityFormula:
    """Return the unity formula of moles (k,) with iron in any form; CompositionError where nothing is left or no basis."""
    kept = folded(moles)
    _refuse_nothing(kept, where)
    result = unity_moles(moles, convention)
    if not np.isfinite(result).all():
        what = "alumina" if convention.unity_on_alumina else "flux (R2O or RO)"
        hint = "Look at its fired analysis and mole per cent instead."
        raise CompositionError(f"the batch holds no {what}: there is no unity formula.", hint, where)
    amounts = named(result)
    if convention.alkalis_together:
        together = math.fsum(amounts.pop(oxide, 0.0) for oxide in ALKALIS)
        amounts = {"KNaO": together, **amounts} if together else amounts
    return UnityFormula(amounts, convention, named(kept))


def unity_array_of(unity: UnityFormula) -> NDArray[np.float64]:
    """Return a unity formula as an array (k,) on its own scale, alkalis apart and iron in the convention's form."""
    return unity_moles(as_row(unity.moles)[0], unity.convention)


def unity_of(batch: Batch, convention: Convention = _DEFAULT, *, base_only: bool = False) -> UnityFormula:
    """Return the unity formula of a batch, all-in unless `base_only`."""
    return unity_from_moles(folded_moles(batch, base_only=base_only), convention, where=batch.recipe.path)


def fired_analysis_of(batch: Batch) -> FiredAnalysis:
    """Return the fired analysis [wt %] of a batch, all-in."""
    return FiredAnalysis(_closed(folded_moles(batch) * molar_mass_array(), batch))


def mole_percent_of(batch: Batch) -> MolePercent:
    """Return the fired glaze in mol %, all-in."""
    return MolePercent(_closed(folded_moles(batch), batch))


def _closed(amounts: NDArray[np.float64], batch: Batch) -> dict[str, float]:
    _refuse_nothing(amounts, batch.recipe.path)
    return named(arrays.shares_percent(amounts))


def _refuse_nothing(amounts: NDArray[np.float64], where: str) -> None:
    if not amounts.sum() > 0:
        text = "nothing of this batch stays in the fire: every material burns or boils away."
        raise CompositionError(text, "Give a material with oxides.", where)


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

    Examples
    --------
    >>> import glazecalc as gc
    >>> unity = gc.unity_formula(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> round(unity["SiO2"], 2), round(unity.silica_alumina_ratio, 1)
    (3.58, 9.1)
    """
    return unity_of(resolve(recipe, materials), convention)


def fired_analysis(recipe: Recipe | Mapping[str, float], materials: MaterialLibrary) -> FiredAnalysis:
    """Return the analysis of the fired glaze, additions included, all iron as Fe2O3.

    Parameters
    ----------
    recipe, materials
        As for `unity_formula`.

    Returns
    -------
    FiredAnalysis
        Oxide -> wt %; sums to 100.

    Raises
    ------
    ArgumentError, FileFaultsError, CompositionError
        As for `unity_formula`; a batch without flux is allowed here.

    Examples
    --------
    >>> import glazecalc as gc
    >>> fired = gc.fired_analysis(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> round(fired["Fe2O3"], 1)
    7.8
    """
    return fired_analysis_of(resolve(recipe, materials))


def mole_percent(recipe: Recipe | Mapping[str, float], materials: MaterialLibrary) -> MolePercent:
    """Return the fired glaze in mole per cent, additions included, all iron as Fe2O3.

    Parameters
    ----------
    recipe, materials
        As for `unity_formula`.

    Returns
    -------
    MolePercent
        Oxide -> mol %; sums to 100.

    Raises
    ------
    ArgumentError, FileFaultsError, CompositionError
        As for `unity_formula`; a batch without flux is allowed here.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> round(glaze["SiO2"], 1)
    64.2
    """
    return mole_percent_of(resolve(recipe, materials))
