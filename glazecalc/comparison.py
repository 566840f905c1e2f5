"""Two recipes looked at side by side, and what differs, second minus first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from glazecalc.body import ClayBody
from glazecalc.check_report import CheckReport, check
from glazecalc.convention import Convention
from glazecalc.display import Tabular
from glazecalc.errors import Notice
from glazecalc.estimate.all_models import without_colourants
from glazecalc.estimate.difference import (
    EstimateDifference,
    differences_between,
    estimate_differences,
    viscosities_at,
)
from glazecalc.estimate.result import ESTIMATE_COLUMNS
from glazecalc.library import MaterialLibrary
from glazecalc.oxides import AXIS
from glazecalc.readings.facts import heats_of
from glazecalc.recipe import Recipe, Use

__all__ = ("Comparison", "Difference", "LineDifference", "compare", "compare_reports")

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
    """Every number of the second recipe less that of the first; None or empty where one of the two has none."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison(Tabular):
    """Two reports by one convention and what differs, second minus first.

    Attributes
    ----------
    difference : Difference
        Of the recipes and their chemistry.
    differences : tuple of EstimateDifference
        Of the estimates, viscosity at the cone of either.
    without_colourants : tuple of EstimateDifference
        The same for both glazes without their colouring oxides, where one of them is dark; else empty.
    """

    ROWS: ClassVar[str] = "differences"
    COLUMNS: ClassVar[Mapping[str, str]] = {**ESTIMATE_COLUMNS, "direction": "", "odds": ""}
    PAGE: ClassVar[str] = "compare"
    JSON: ClassVar[tuple[str, ...]] = (
        "a", "b", "difference", "differences", "differences_without_colourants=without_colourants", "notices",
    )  # fmt: skip

    a: CheckReport
    b: CheckReport
    difference: Difference
    differences: tuple[EstimateDifference, ...]
    without_colourants: tuple[EstimateDifference, ...]

    @property
    def cone_temperatures_c(self) -> Mapping[str, float]:
        """The firing of either, such as ``cone 6``, and the temperature [deg C] that it is taken as."""
        return _cone_temperatures_c(self.a, self.b)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """The notices of both reports, each with A, B or both in front of its message."""
        of_both = set(self.a.notices).intersection(self.b.notices)
        told = [("A and B" if notice in of_both else "A", notice) for notice in self.a.notices]
        told += [("B", notice) for notice in self.b.notices if notice not in of_both]
        return tuple(Notice(notice.code, f"{whose}: {notice.message}") for whose, notice in told)

    def __repr__(self) -> str:
        return f"<Comparison of {' and '.join(r.batch.recipe.name or 'no title' for r in (self.a, self.b))}>"


def compare(
    a: Recipe | Mapping[str, float],
    b: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    body: ClayBody | None = None,
    cone: str = "",
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
    body : ClayBody, optional
        The clay that both go on.
    cone : str, optional
        The cone of both, ``"6"`` or ``"06"``; by default each recipe's own. Where these differ, the melts are set against each
        other at both.
    use : str, optional
        What the ware is for; by default each recipe's own.
    convention : Convention
        What counts as flux in the unity formulas.

    Returns
    -------
    Comparison
        Both reports, and what differs, second minus first.

    Raises
    ------
    FileFaultsError, CompositionError, UnknownNameError, ConeError, ArgumentError
        As in `check`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> clear, black = (gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "harbour-black"))
    >>> round(gc.compare(clear, black, materials).difference.silica_alumina_ratio, 1)
    -0.5
    """
    first, second = (
        check(recipe, materials, body=body, cone=cone, use=use, convention=convention) for recipe in (a, b)
    )
    return compare_reports(first, second)


def compare_reports(a: CheckReport, b: CheckReport) -> Comparison:
    """Return what differs between two reports that were made by one convention."""
    return Comparison(
        a=a,
        b=b,
        difference=_difference(a, b),
        differences=_differences(a, b),
        without_colourants=_without_colourants(a, b),
    )


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


def _differences(a: CheckReport, b: CheckReport) -> tuple[EstimateDifference, ...]:
    """Return the differences of all estimates, viscosity at the cone of either in place of the reports' own."""
    at_c = dict.fromkeys(_cone_temperatures_c(a, b).values())
    first, second = (
        [
            *(e for e in report.estimates if (e.quantity, e.model) != ("viscosity", "fitted")),
            *viscosities_at(report.mole_percent, at_c),
        ]
        for report in (a, b)
    )
    return differences_between(a.mole_percent, b.mole_percent, first, second)


def _without_colourants(a: CheckReport, b: CheckReport) -> tuple[EstimateDifference, ...]:
    if not (a.estimates_without_colourants or b.estimates_without_colourants):
        return ()
    first, second = (without_colourants(report.mole_percent) for report in (a, b))
    if first is None or second is None:
        return ()
    return estimate_differences(first, second, temperatures_c=dict.fromkeys(_cone_temperatures_c(a, b).values()))


def _cone_temperatures_c(a: CheckReport, b: CheckReport) -> dict[str, float]:
    return {heat.name: heat.celsius for report in (a, b) for heat in heats_of(report.cone)}
