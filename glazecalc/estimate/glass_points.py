"""Two temperatures of a glass: where it turns stiff on cooling (Tg) and where it softens under its own weight.

Both are sums over oxides and a few products of oxides, fitted to measured glasses; coefficients, window and intervals are
in ``data/glass_points.yaml``, written by ``tests/calibration/viscosity.py``. Softening means a viscosity of 10^6.6 Pa s, as
in Littleton's fibre test (ASTM C338). On a pot the glaze goes on dulling, healing and holding bubbles above it; below Tg it
is a solid that stresses with its body.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.estimate.fitted import Interval, ManyGlazes, TestedRange, in_blocks, refuse_unknown, sum_of_terms
from glazecalc.estimate.result import Estimate, with_interval
from glazecalc.files.shipped import load_data

__all__ = (
    "glass_points_of_many",
    "glass_transition",
    "glass_transitions",
    "softening_temperature",
    "softening_temperatures",
)

Floats = NDArray[np.float64]


def glass_transition(x: AnyComposition, *, basis: Basis | None = None, level: float = 0.90) -> Estimate:
    """Estimate the glass transition temperature.

    Parameters
    ----------
    x, basis, level
        As for `expansion`.

    Returns
    -------
    Estimate
        In deg C.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError
        As for `expansion`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/rill-clear.txt"), gc.load_materials("materials"))
    >>> round(gc.glass_transition(glaze).value)
    666
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

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/rill-clear.txt"), gc.load_materials("materials"))
    >>> round(gc.softening_temperature(glaze).value)
    886
    """
    return _estimate(_fit("softening"), x, basis, level)


def glass_transitions(mole_percent: Floats) -> Floats:
    """Return the glass transition temperature (n,) [deg C] of compositions (n, k) [mol %], iron as Fe2O3."""
    return in_blocks(partial(sum_of_terms, coefficients=_fit("transition").coefficients_c), mole_percent)


def softening_temperatures(mole_percent: Floats) -> Floats:
    """Return the softening temperature (n,) [deg C] of compositions (n, k) [mol %], iron as Fe2O3."""
    return in_blocks(partial(sum_of_terms, coefficients=_fit("softening").coefficients_c), mole_percent)


def glass_points_of_many() -> tuple[ManyGlazes, ManyGlazes]:
    """Return glass transition and softening temperature for many glazes at once."""
    both = []
    for which, values in (("transition", glass_transitions), ("softening", softening_temperatures)):
        fit = _fit(which)
        known, model = fit.tested.seen - {"PbO"}, f"the fitted {fit.quantity}"
        both.append(
            ManyGlazes(quantity=fit.quantity, unit="deg C", values=values, known=known, model=model,
                       tested=fit.tested, interval=fit.interval)
        )  # fmt: skip
    return both[0], both[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """One of the two fits as read from the data file."""

    quantity: str
    note: str
    coefficients_c: Mapping[str, float]  # term -> [deg C]
    tested: TestedRange
    interval: Interval
    source: str


@cache
def _fit(which: Literal["transition", "softening"]) -> _Fit:
    data = load_data("glass_points.yaml")
    entry = data[which]
    quantity, note = "glass transition", "As papers measure it, by dilatometer or calorimeter."
    if which == "softening":
        quantity = "softening temperature"
        note = "Where the clear glass has 10^6.6 Pa s; crystals and undissolved grains raise it."
    return _Fit(
        quantity=quantity,
        note=note,
        coefficients_c=entry["coefficients_c"],
        tested=TestedRange.from_data(entry["tested_range"]),
        interval=Interval.from_data(entry["interval"]),
        source=data["source"],
    )


def _estimate(fit: _Fit, x: AnyComposition, basis: Basis | None, level: float) -> Estimate:
    glaze = to_mole_percent(x, basis)
    refuse_unknown(glaze, fit.tested.seen - {"PbO"}, f"the fitted {fit.quantity}")  # of lead it saw traces only
    place = fit.tested.place(glaze)
    half = fit.interval.at(level, region=place.region)
    notes = [fit.note]
    if place.region == "dark":
        few = "too few to know the error" if half is None else "so the error range is wide"
        notes.append(f"Few measured glasses hold so much iron, {few}.")
    elif half is None:
        notes.append("Beyond the data: error not known.")
    estimate = Estimate(
        quantity=fit.quantity,
        model="fitted",
        value=float(sum_of_terms(as_row(glaze), fit.coefficients_c)[0]),
        unit="deg C",
        outside=place.outside,
        note=" ".join([*notes, *place.notes]),
        source=fit.source,
        region=place.region,
    )
    return with_interval(estimate, half, level)
