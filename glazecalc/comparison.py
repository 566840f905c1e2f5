"""Two recipes looked at side by side, and what differs, second minus first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from glazecalc.check_report import CheckReport, check
from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.convention import Convention
from glazecalc.display import Shown
from glazecalc.errors import GlazeError
from glazecalc.estimate.difference import ViscosityDifference, compare_viscosity
from glazecalc.library import MaterialLibrary
from glazecalc.oxides import AXIS
from glazecalc.recipe import Recipe, Use

__all__ = ("Comparison", "Difference", "LineDifference", "compare")

_DEFAULT = Convention()


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDifference:
    """One material in one role: its share of the base in either recipe [% of the base]; None where it is not in it."""

    JSON: ClassVar[tuple[str, ...]] = ("material", "name", "addition", "percent_of_base")

    material: str
    name: str
    addition: bool
    first: float | None
    second: float | None

    @property
    def percent_of_base(self) -> float:
        """Second minus first."""
        return (self.second or 0.0) - (self.first or 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Every number of the second recipe less that of the first; None or empty where one of the two has none.

    `viscosity` says how the second melts against the first at the cone of the first; None without a cone or for two cones.
    """

    convention: Convention
    lines: tuple[LineDifference, ...]
    unity: Mapping[str, float]
    fired_analysis_percent: Mapping[str, float]
    mole_percent: Mapping[str, float]
    silica_alumina_ratio: float | None
    loi_percent_base: float
    loi_percent_all_in: float
    raw_clay_percent: float
    soluble_percent: float
    viscosity: ViscosityDifference | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison(Shown):
    """Two reports by one convention and their `difference`, second minus first."""

    PAGE: ClassVar[str] = "compare"

    a: CheckReport
    b: CheckReport
    difference: Difference

    def __repr__(self) -> str:
        return f"<Comparison of {' and '.join(r.batch.recipe.name or 'no title' for r in (self.a, self.b))}>"


def compare(
    a: Recipe | Mapping[str, float],
    b: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    use: Use | Literal[""] = "",
    convention: Convention = _DEFAULT,
) -> Comparison:
    """Look at two recipes side by side.

    Parameters
    ----------
    a, b : Recipe or mapping
        Recipes, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    use : str, optional
        What the ware is for; by default each recipe's own.
    convention : Convention
        What counts as flux in the unity formulas.

    Returns
    -------
    Comparison
        Both reports, and their `difference`, second minus first.

    Raises
    ------
    FileFaultsError, CompositionError, UnknownNameError, ArgumentError
        As in `check`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> clear, black = (gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "harbour-black"))
    >>> round(gc.compare(clear, black, materials).difference.silica_alumina_ratio, 1)
    -0.5
    """
    first, second = (check(recipe, materials, use=use, convention=convention) for recipe in (a, b))
    return Comparison(a=first, b=second, difference=_difference(first, second))


def _difference(a: CheckReport, b: CheckReport) -> Difference:
    ratio_a, ratio_b = a.silica_alumina_ratio, b.silica_alumina_ratio
    return Difference(
        convention=a.convention,
        lines=_lines(a, b),
        unity=_oxides(a.unity, b.unity) if a.unity is not None and b.unity is not None else {},
        fired_analysis_percent=_oxides(a.fired, b.fired),
        mole_percent=_oxides(a.mole_percent, b.mole_percent),
        silica_alumina_ratio=ratio_b - ratio_a if ratio_a is not None and ratio_b is not None else None,
        loi_percent_base=b.loi_percent_base - a.loi_percent_base,
        loi_percent_all_in=b.loi_percent_all_in - a.loi_percent_all_in,
        raw_clay_percent=b.raw_clay_percent - a.raw_clay_percent,
        soluble_percent=b.soluble_percent - a.soluble_percent,
        viscosity=_viscosity(a, b),
    )


def _lines(a: CheckReport, b: CheckReport) -> tuple[LineDifference, ...]:
    left, right = (
        {(of.material.id, of.material.name, of.addition): 100 * of.parts / batch.base_total for of in batch.lines}
        for batch in (a.batch, b.batch)
    )
    return tuple(
        LineDifference(material=key[0], name=key[1], addition=key[2], first=left.get(key), second=right.get(key))
        for key in dict.fromkeys([*left, *right])
    )


def _oxides(a: Mapping[str, float], b: Mapping[str, float]) -> dict[str, float]:
    return {oxide: b.get(oxide, 0.0) - a.get(oxide, 0.0) for oxide in ("KNaO", *AXIS) if oxide in a or oxide in b}


def _viscosity(a: CheckReport, b: CheckReport) -> ViscosityDifference | None:
    if not a.cone or (b.cone and a.cone != b.cone):
        return None
    try:
        return compare_viscosity(b.mole_percent, a.mole_percent, cone_temperature_c(a.cone).celsius)
    except GlazeError:
        return None
