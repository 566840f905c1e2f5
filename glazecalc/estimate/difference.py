"""The difference of two glazes in each estimate, with an error of its own: what both share of a model's error drops out.

The error was measured on pairs of glasses of one paper and grows with the distance of the two compositions; numbers and law
are in ``data/differences_fitted.yaml``, written by ``tests/calibration/differences.py``, which shows the evidence on a page beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar, Literal, TypeAlias

import numpy as np

from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.display import Shown
from glazecalc.errors import CompositionError
from glazecalc.estimate.all_models import estimates_of
from glazecalc.estimate.result import Estimate, Region, check_level, decimals
from glazecalc.estimate.viscosity import viscosity
from glazecalc.files.shipped import load_data

__all__ = ("Direction", "EstimateDifference", "differences_between", "estimate_differences", "viscosities_at")

Direction: TypeAlias = Literal["up", "down", "unsure"]
_NAMES = {"viscosity": "log viscosity"}  # its difference is one of logarithms


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class EstimateDifference(Shown):
    """One estimate of two glazes, the second less the first.

    Attributes
    ----------
    quantity, model, unit : str
        As of an `Estimate`; the difference of two viscosities is a ``"log viscosity"``.
    first, second : Estimate
        Of either glaze.
    value : float
        Second minus first, in `unit`.
    low, high : float or None
        Ends of the interval of the difference at `level`; None where its error is not known.
    level : float or None
        Share of pairs of glazes whose difference the interval is meant to hold, 0-1.
    odds : float or None
        Chance that the direction of `value` is right, 0.5 to 1; None where its error is not known.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        *("quantity", "model", "first=first.value", "second=second.value", "value", "low", "high", "level", "unit", "direction"),
        *("odds", "temperature_range_c", "in_window", "outside"),
    )  # fmt: skip

    quantity: str
    model: str
    first: Estimate
    second: Estimate
    value: float
    low: float | None
    high: float | None
    level: float | None
    odds: float | None
    unit: str

    def __str__(self) -> str:
        """Return value, half width, level, unit and direction: ``-0.06 ± 0.50 (90 %) 1e-6 per K, 6 in 10 that it is down``."""
        digits = 2 if decimals(self.unit) else 0
        moved = f"{self.value:+.{digits}f}" if round(self.value, digits) else "0"
        if self.half_width is None or self.level is None or self.odds is None:
            return f"{moved} {self.unit}, error not known"
        said = f"{moved} ± {self.half_width:.{digits}f} ({100 * self.level:.0f} %) {self.unit}"
        if self.direction != "unsure":
            return said
        if round(10 * self.odds) == 5:
            return f"{said}, as likely up as down"
        return f"{said}, {10 * self.odds:.0f} in 10 that it is {'up' if self.value > 0 else 'down'}"

    def __repr__(self) -> str:
        return f"<EstimateDifference {self.quantity}, {self.model}: {self}>"

    @property
    def direction(self) -> Direction:
        """``up`` or ``down`` where the whole interval lies on one side of nought; else ``unsure``."""
        if self.low is not None and self.low > 0:
            return "up"
        return "down" if self.high is not None and self.high < 0 else "unsure"

    @property
    def half_width(self) -> float | None:
        """Half the width of the interval, in `unit`."""
        return None if self.high is None else self.high - self.value

    @property
    def temperature_range_c(self) -> tuple[float, float] | None:
        """Temperatures [deg C] that both values stand for."""
        return self.first.temperature_range_c

    @property
    def outside(self) -> tuple[str, ...]:
        """What of both glazes lies outside the range the model was tested in; the error is wider there, or not known."""
        return tuple(dict.fromkeys([*self.first.outside, *self.second.outside]))

    @property
    def in_window(self) -> bool:
        """True where both glazes lie in the tested range."""
        return not self.outside


def estimate_differences(
    a: AnyComposition,
    b: AnyComposition,
    *,
    basis: Basis | None = None,
    temperatures_c: Iterable[float] = (),
    level: float = 0.90,
) -> tuple[EstimateDifference, ...]:
    """Return how the second of two glazes differs from the first in every estimate, with the error of a difference.

    Parameters
    ----------
    a, b, basis
        The two glazes, as for `expansion`.
    temperatures_c : iterable of float
        Temperatures [deg C] of the melt at which the viscosities are set against each other.
    level : float
        Share of pairs whose difference is meant to lie within the interval: 0.80, 0.90 or 0.95.

    Returns
    -------
    tuple of EstimateDifference
        `b` minus `a`; an estimate that either has not is left out.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError
        As for `expansion`.

    Notes
    -----
    The half width is ``factor(level) * scale * d**power``, `d` half the sum of the differences of the oxides [mol %], measured
    on pairs of glasses of one paper; what two measurements of one glass differ by is taken off. It is nought for a glaze and itself.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> recipes = [gc.read_recipe(f"recipes/{name}.txt") for name in ("rill-clear", "chalk-satin")]
    >>> found = gc.estimate_differences(*(gc.mole_percent(recipe, materials) for recipe in recipes))
    >>> [(d.quantity, round(d.value, 2), round(d.odds, 1), d.direction) for d in found if d.quantity == "expansion"]
    [('expansion', -0.22, 0.7, 'unsure'), ('expansion', -0.4, 0.8, 'unsure')]
    """
    check_level(level)
    glazes = first, second = to_mole_percent(a, basis), to_mole_percent(b, basis)
    at = tuple(temperatures_c)
    estimates = ([*estimates_of(glaze)[0], *viscosities_at(glaze, at)] for glaze in glazes)
    return differences_between(first, second, *estimates, level=level)


def viscosities_at(glaze: MolePercent, temperatures_c: Iterable[float]) -> tuple[Estimate, ...]:
    """Return the fitted viscosity at each temperature [deg C] at which the model has one."""
    found = []
    for temperature_c in temperatures_c:
        try:
            found.append(viscosity(glaze, temperature_c=temperature_c))
        except CompositionError:
            continue
    return tuple(found)


def differences_between(
    a: MolePercent, b: MolePercent, first: Sequence[Estimate], second: Sequence[Estimate], *, level: float = 0.90
) -> tuple[EstimateDifference, ...]:
    """Return `second` minus `first`, the estimates of the glazes `b` and `a`, where both have one at the same temperature."""
    apart = distance(a, b)
    there = {_key(estimate): estimate for estimate in second}
    return tuple(_difference(one, there[_key(one)], apart, level) for one in first if _key(one) in there)


def distance(a: MolePercent, b: MolePercent) -> float:
    """Return half the sum of the differences of the oxides: the share of the glaze [mol %] that is exchanged."""
    return 0.5 * float(np.abs(as_row(a) - as_row(b)).sum())


def _key(estimate: Estimate) -> tuple[object, ...]:
    return estimate.quantity, estimate.model, estimate.temperature_range_c


def _difference(first: Estimate, second: Estimate, apart: float, level: float) -> EstimateDifference:
    quantity = _NAMES.get(first.quantity, first.quantity)
    value, half, odds = second.value - first.value, None, None
    law = _laws().get((quantity, first.model))
    if law is not None:
        at_c = first.temperature_range_c[0] if law.knots_c and first.temperature_range_c else None
        regions: tuple[Region, Region] = (first.region, second.region)
        half = law.half_width(check_level(level), apart, regions, at_c)
        odds = law.odds(value, apart, regions, at_c)
    return EstimateDifference(
        quantity=quantity,
        model=first.model,
        first=first,
        second=second,
        value=value,
        low=None if half is None else value - half,
        high=None if half is None else value + half,
        level=None if half is None else level,
        odds=odds,
        unit=first.unit,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Law:
    """The error of the differences of one quantity by one model, as read from the data file."""

    power: float
    knots_c: Sequence[float]  # temperatures [deg C] of the scales; empty where there is one
    scale: Sequence[float]
    factor: Mapping[int, float]  # level in per cent -> on the scale
    in_region: Mapping[str, Mapping[int, float | None]]  # region -> level -> further factor; None where not known

    def half_width(self, level: int, apart: float, regions: Iterable[Region], at_c: float | None) -> float | None:
        """Return the half width at a level for glazes `apart` [mol %] that lie in `regions`; None where it is not known."""
        factors = [1.0 if name == "inside" else self.in_region.get(name, {}).get(level) for name in regions]
        known = [factor for factor in factors if factor is not None]
        if len(known) < len(factors):
            return None
        scale = self.scale[0] if at_c is None else float(np.interp(at_c, self.knots_c, self.scale))
        return float(self.factor[level] * scale * apart**self.power * max(known))

    def odds(self, value: float, apart: float, regions: Iterable[Region], at_c: float | None) -> float | None:
        """Return the chance that the sign of a difference is right, read off between the levels that were measured."""
        half = self.half_width(90, apart, regions, at_c)
        if half is None:
            return None
        if value == 0 or half == 0:
            return 0.5 if value == 0 else 1.0
        levels = sorted(self.factor)
        sizes = [0.0, *(self.factor[level] for level in levels)]
        shares = [0.0, *(level / 100 for level in levels)]
        return (1 + float(np.interp(abs(value) / half * self.factor[90], sizes, shares))) / 2


@cache
def _laws() -> Mapping[tuple[str, str], _Law]:
    return {
        (entry["quantity"], entry["model"]): _Law(
            power=entry["power"],
            knots_c=tuple(entry["knots_c"]),
            scale=tuple(entry["scale"]),
            factor=_by_level(entry["factor"]),
            in_region={name: _by_level(region["factor"]) for name, region in entry["regions"].items()},
        )
        for entry in load_data("differences_fitted.yaml")["differences"]
    }


def _by_level(values: Mapping[str, Any]) -> dict[int, Any]:
    return {int(level): value for level, value in values.items()}
