"""Two temperatures of a glass: where it turns stiff on cooling (Tg) and where it softens under its own weight.

Both are sums over oxides and a few products of oxides, fitted to measured glasses; coefficients, window and intervals are
in ``data/glass_points.yaml``, written by ``tests/calibration/viscosity.py``. Softening means a viscosity of 10^6.6 Pa s, as
in Littleton's fibre test (ASTM C338). On a pot the glaze goes on dulling, healing and holding bubbles above it; below Tg it
is a solid that stresses with its body.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.estimate.fitted import Interval, TestedRange, as_row, design_matrix
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data

__all__ = ("glass_transition", "glass_transitions", "softening_temperature", "softening_temperatures")

Floats = NDArray[np.float64]


def glass_transitions(mole_percent: Floats) -> Floats:
    """Return the glass transition temperature [deg C] of many glasses.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions [mol %], total 100, iron as Fe2O3.

    Returns
    -------
    array, shape (n,)
        Glass transition temperature [deg C].
    """
    return _fit("transition").temperatures(mole_percent)


def softening_temperatures(mole_percent: Floats) -> Floats:
    """Return the softening temperature [deg C], where the viscosity is 10^6.6 Pa s, of many glasses.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions [mol %], total 100, iron as Fe2O3.

    Returns
    -------
    array, shape (n,)
        Softening temperature [deg C].
    """
    return _fit("softening").temperatures(mole_percent)


def glass_transition(x: AnyComposition, *, basis: Basis | None = None, level: float = 0.90) -> Estimate:
    """Estimate the glass transition temperature.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent, mapping or Series
        The glaze.
    basis : str, optional
        What the numbers of a mapping or Series are: ``"mole percent"`` or ``"weight percent"``, see `to_mole_percent`.
    level : float
        Share of new glasses the interval is meant to hold: 0.80, 0.90 or 0.95.

    Returns
    -------
    Estimate
        In deg C.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError
        If `x` is no composition or holds lead, or the level is none of the three.
    """
    return _estimate(_fit("transition"), x, basis, level)


def softening_temperature(x: AnyComposition, *, basis: Basis | None = None, level: float = 0.90) -> Estimate:
    """Estimate the softening temperature, where the viscosity is 10^6.6 Pa s.

    Parameters
    ----------
    x, basis, level
        As for `glass_transition`.

    Returns
    -------
    Estimate
        In deg C.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError
        As for `glass_transition`.
    """
    return _estimate(_fit("softening"), x, basis, level)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """One of the two fits as read from the data file."""

    quantity: str
    note: str
    terms: tuple[str, ...]
    coefficients: Floats  # [deg C]
    tested: TestedRange
    interval: Interval
    source: str

    def temperatures(self, mole_percent: Floats) -> Floats:
        return np.asarray(design_matrix(mole_percent, self.terms) @ self.coefficients)


_QUANTITIES = {
    "transition": ("glass transition", "As papers measure it, by dilatometer or calorimeter."),
    "softening": (
        "softening temperature",
        "Where the clear glass has 10^6.6 Pa s; crystals and undissolved grains raise it.",
    ),
}


@cache
def _fit(which: Literal["transition", "softening"]) -> _Fit:
    data = load_data("glass_points.yaml")
    entry = data[which]
    quantity, note = _QUANTITIES[which]
    return _Fit(
        quantity=quantity,
        note=note,
        terms=tuple(entry["coefficients_c"]),
        coefficients=np.array(list(entry["coefficients_c"].values())),
        tested=TestedRange.from_data(entry["tested_range"]),
        interval=Interval.from_data(entry["interval"]),
        source=data["source"],
    )


def _estimate(fit: _Fit, x: AnyComposition, basis: Basis | None, level: float) -> Estimate:
    glaze = to_mole_percent(x, basis)
    fit.tested.refuse_strangers(glaze, f"the fitted {fit.quantity}")
    place = fit.tested.place(glaze)
    half = fit.interval.at(level, region=place.region)
    notes = [fit.note]
    if place.region == "dark":
        few = "too few for an interval" if half is None else "so the interval is wide"
        notes.append(f"Few measured glasses hold so much iron, {few}.")
    elif half is None:
        notes.append("Beyond the data: no interval.")
    return Estimate.around(
        float(fit.temperatures(as_row(glaze))[0]),
        half,
        level=level,
        quantity=fit.quantity,
        model="fitted",
        unit="deg C",
        outside=place.outside,
        note=" ".join([*notes, *place.notes]),
        source=fit.source,
    )
