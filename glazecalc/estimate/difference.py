"""Whether one glaze melts stiffer or runnier than another: said only where the difference exceeds its error."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal, TypeAlias

import numpy as np

from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.display import Shown
from glazecalc.estimate.result import check_level
from glazecalc.estimate.viscosity import note_of, vogel_fit
from glazecalc.files.shipped import load_data

__all__ = ("ViscosityDifference", "compare_viscosity")

Verdict: TypeAlias = Literal["stiffer", "runnier", "no clear difference"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityDifference(Shown):
    """How much stiffer one glaze melts than another at one temperature.

    Attributes
    ----------
    difference : float
        log10 viscosity of the first minus that of the second; `verdict` says a direction where it exceeds its error.
    half_width : float or None
        Its error for the share `level` of pairs; None where none is known.
    outside : tuple of str
        What lies outside the tested range, of both glazes and the temperature, each with its number.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        *("temperature_c", "difference", "half_width", "level", "unit"),
        *("verdict", "in_window", "outside", "note"),
    )

    temperature_c: float
    difference: float
    half_width: float | None
    level: float
    verdict: Verdict
    outside: tuple[str, ...] = ()
    note: str = ""
    unit: str = "log10 Pa s"

    @property
    def in_window(self) -> bool:
        """True where both glazes and the temperature lie in the tested range."""
        return not self.outside


def compare_viscosity(
    a: AnyComposition, b: AnyComposition, temperature_c: float, *, basis: Basis | None = None, level: float = 0.90
) -> ViscosityDifference:
    """Say whether one glaze melts stiffer or runnier than another, where the difference exceeds its error.

    Parameters
    ----------
    a, b, basis
        The two glazes, as for `expansion`.
    temperature_c : float
        Temperature of both [deg C].
    level : float
        Share of pairs whose difference is meant to lie within the error: 0.80, 0.90 or 0.95.

    Returns
    -------
    ViscosityDifference
        `a` against `b`.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError
        As for `viscosity`.

    Notes
    -----
    The error of a difference is measured on pairs of glasses of one paper: what is common to both drops out. It is smaller
    for two glazes that differ in few mol % than for two unlike ones, and taken accordingly.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> recipes = [gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "harbour-black")]
    >>> found = gc.compare_viscosity(*(gc.mole_percent(recipe, materials) for recipe in recipes), temperature_c=1222)
    >>> found.verdict, round(found.difference, 1)
    ('no clear difference', 0.5)
    """
    glazes = first, second = to_mole_percent(a, basis), to_mole_percent(b, basis)
    percent = str(check_level(level))
    fit = vogel_fit()
    difference = fit.value(first, temperature_c) - fit.value(second, temperature_c)
    places = [fit.place(glaze, temperature_c) for glaze in glazes]
    measured = load_data("viscosity_fitted.yaml")["difference"]
    apart = 0.5 * float(np.abs(as_row(first) - as_row(second)).sum())
    near = apart <= measured["near_mole_percent"]
    width = float(np.interp(temperature_c, measured["knots_c"], measured["near" if near else "far"][percent]))
    factors = [fit.interval.factor_of(level, region=place.region) for place in places]
    known = [factor for factor in factors if factor is not None]
    half = width * max(1.0, *known) if len(known) == len(factors) else None
    verdict: Verdict = "no clear difference"
    if half is not None and abs(difference) > half:
        verdict = "stiffer" if difference > 0 else "runnier"
    return ViscosityDifference(
        temperature_c=temperature_c,
        difference=difference,
        half_width=half,
        level=level,
        verdict=verdict,
        outside=tuple(dict.fromkeys(text for place in places for text in place.outside)),
        note=" ".join(dict.fromkeys(note_of(place) for place in places)),
    )
