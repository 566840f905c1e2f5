"""Two temperatures of a glass: where it turns stiff on cooling (Tg) and where it softens under its own weight.

Both are sums over oxides and a few products of oxides, fitted to measured glasses; coefficients, window and intervals are
in ``data/glass_points.yaml``, written by ``tests/calibration/viscosity.py``. Softening means a viscosity of 10^6.6 Pa s, as
in Littleton's fibre test (ASTM C338). On a pot the glaze goes on dulling, healing and holding bubbles above it; below Tg it
is a solid that stresses with its body.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.unity import Composition, to_mole_percent
from glazecalc.estimate.fitted import Interval, Window, as_row, design_matrix
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data

__all__ = ("glass_transition", "glass_transitions", "softening_temperature", "softening_temperatures")

_DATA = "glass_points.yaml"


def glass_transitions(mole_percent: NDArray[np.float64]) -> NDArray[np.float64]:
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
    return _values("transition", mole_percent)


def softening_temperatures(mole_percent: NDArray[np.float64]) -> NDArray[np.float64]:
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
    return _values("softening", mole_percent)


def glass_transition(x: Composition | Mapping[str, float], *, level: float = 0.90) -> Estimate:
    """Estimate the glass transition temperature.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The glaze; a mapping is in mol % and totals 98-102.
    level : float
        Share of new glasses the interval is meant to hold: 0.80, 0.90 or 0.95.

    Returns
    -------
    Estimate
        In deg C.

    Raises
    ------
    CompositionError, UnknownNameError
        If `x` is no composition or holds lead, or the level is none of the three.
    """
    return _one("transition", x, level)


def softening_temperature(x: Composition | Mapping[str, float], *, level: float = 0.90) -> Estimate:
    """Estimate the softening temperature, where the viscosity is 10^6.6 Pa s.

    Parameters
    ----------
    x, level
        As for `glass_transition`.

    Returns
    -------
    Estimate
        In deg C.

    Raises
    ------
    CompositionError, UnknownNameError
        As for `glass_transition`.
    """
    return _one("softening", x, level)


@cache
def _parts(which: str) -> tuple[tuple[str, ...], NDArray[np.float64], Window, Interval]:
    entry = load_data(_DATA)[which]
    coefficients = entry["coefficients_c"]
    return (
        tuple(coefficients),
        np.array(list(coefficients.values())),
        Window.from_data(entry),
        Interval.from_data(entry["interval"]),
    )


def _values(which: str, mole_percent: NDArray[np.float64]) -> NDArray[np.float64]:
    terms, coefficients, _, _ = _parts(which)
    return np.asarray(design_matrix(mole_percent, terms) @ coefficients)


_NAMES = {"transition": "glass transition", "softening": "softening temperature"}
_NOTES = {
    "transition": "As papers measure it, by dilatometer or calorimeter.",
    "softening": "Where the clear glass has 10^6.6 Pa s; crystals and undissolved grains raise it.",
}


def _one(which: str, x: Composition | Mapping[str, float], level: float) -> Estimate:
    glaze = to_mole_percent(x)
    _, _, window, interval = _parts(which)
    window.refuse_strangers(glaze, f"the fitted {_NAMES[which]}")
    region, outside = window.place(glaze)
    value = float(_values(which, as_row(glaze))[0])
    half = interval.half_width(level, region=region)
    notes = [_NOTES[which]]
    if region == "iron":
        few = "too few for an interval" if half is None else "so the interval is wide"
        notes.append(f"Few measured glasses hold so much iron, {few}.")
    elif half is None:
        notes.append("Beyond the data: no interval.")
    return Estimate(
        quantity=_NAMES[which],
        model="fitted",
        value=value,
        low=None if half is None else value - half,
        high=None if half is None else value + half,
        level=None if half is None else level,
        unit="deg C",
        temperature_range_c=None,
        in_window=not outside,
        outside=outside,
        note=" ".join([*notes, window.traces(glaze)]).strip(),
        source=load_data(_DATA)["source"],
    )
