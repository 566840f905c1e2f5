"""Thermal expansion of a glaze from its composition: the fitted model, and Appen's method as a second opinion.

The fitted model (``glazecalc/data/expansion_fitted.yaml``) is a sum over the oxides with three products, regressed on
measured lead-free glasses; its interval was measured on papers left out of the fit. What it says is for clear glass of
the stated composition: not for an unfinished melt, crystals, or what the glaze takes up from the body.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert import arrays
from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import folded
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import UnknownNameError
from glazecalc.estimate.appen import appen, appen_expansions
from glazecalc.estimate.fitted import Interval, Place, Region, TestedRange, as_row
from glazecalc.estimate.result import Estimate, check_level, check_model
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

__all__ = ("MODELS", "RANGES_C", "ExpansionModel", "expansion", "expansions")

Floats = NDArray[np.float64]

ExpansionModel: TypeAlias = Literal["fitted", "appen"]
MODELS: tuple[ExpansionModel, ...] = ("fitted", "appen")
RANGES_C = ((20, 300), (20, 400))
_UNIT = "1e-6 per K"


def expansion(
    x: AnyComposition,
    *,
    basis: Basis | None = None,
    temperature_range_c: tuple[float, float] = (20, 300),
    model: ExpansionModel = "fitted",
    level: float = 0.90,
) -> Estimate:
    """Estimate the linear thermal expansion of a fired glaze.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent, mapping or Series
        The composition.
    basis : str, optional
        What the numbers of a mapping or Series are: ``"mole percent"`` or ``"weight percent"``, see `to_mole_percent`.
    temperature_range_c : tuple of float
        Range [deg C] that the mean coefficient is for: ``(20, 300)`` or ``(20, 400)``.
    model : str
        ``"fitted"``, or ``"appen"`` for Appen's method as published, which is for 20 to 400 deg C whatever is asked.
    level : float
        Share of new glasses the interval is meant to hold: 0.80, 0.90 or 0.95 [-].

    Returns
    -------
    Estimate
        In 1e-6 per K. `outside` names each oxide beyond the tested window [mol %]. Without an interval (`low`, `high`
        and `level` None) where too little is known: the note says why.

    Raises
    ------
    ArgumentError
        For a mapping without `basis`, or an `x` that is no composition.
    UnknownNameError
        For another model, level or temperature range, or an oxide that is not known.
    CompositionError
        For per cents of another total.

    Notes
    -----
    Fitted: ``alpha = sum(c_i x_i) + sum(p_k a_k b_k / 100)``, x in mol %, a_k and b_k sums of oxides.

    References
    ----------
    SciGlass data base (ODbL), as carried by PyPI glasspy 0.4.0; `tests/calibration/README.md` tells the fit.
    A. A. Appen, Khimiya stekla, Leningrad (numbers from memory).
    """
    asked = _range(temperature_range_c)
    check_model(model, MODELS, "expansion")
    check_level(level)
    glaze = to_mole_percent(x, basis)
    value = float(expansions(as_row(glaze), temperature_range_c=asked, model=model)[0])
    return _appen_estimate(glaze, value, asked) if model == "appen" else _fitted_estimate(glaze, value, asked, level)


def expansions(
    mole_percent: Floats,
    *,
    temperature_range_c: tuple[float, float] = (20, 300),
    model: str = "fitted",
) -> Floats:
    """Calculate the expansion of many compositions at once, values only.

    Parameters
    ----------
    mole_percent : ndarray, shape (n, oxides)
        On the axis of `glazecalc.oxides.AXIS` [mol %]; rows are brought to 100 and FeO to Fe2O3. Oxides that the model
        has no number for are left out and the rest brought to 100.
    temperature_range_c : tuple of float
        As in `expansion` [deg C].
    model : str
        As in `expansion`.

    Returns
    -------
    ndarray, shape (n,)
        Linear expansion [1e-6 per K].
    """
    asked = _range(temperature_range_c)
    kept = folded(np.asarray(mole_percent, dtype=np.float64))
    if check_model(model, MODELS, "expansion") == "appen":
        return appen_expansions(kept)
    fit = _fit()
    amounts = arrays.shares_percent(np.where(fit.known, kept, 0.0))
    alpha: Floats = amounts @ fit.numbers
    for first, second, coefficient in fit.products:
        alpha += coefficient * amounts[:, first].sum(axis=1) * amounts[:, second].sum(axis=1) / 100
    if asked == (20, 400):
        alpha += fit.add_for_20_400_c
    return alpha / 10


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """The fitted model as read from its data file; expansions in 1e-7 per K."""

    numbers: Floats  # (k,) what each oxide counts per mol %; 0 where it has no number
    known: NDArray[np.bool_]  # (k,)
    products: tuple[tuple[list[int], list[int], float], ...]  # columns of the two sums, coefficient
    add_for_20_400_c: float
    appen_wants: Mapping[str, float]  # "20-300" -> median of measured minus Appen, inside the window
    tested: TestedRange
    interval: Interval
    calibrated_on: Mapping[str, Mapping[str, float]]  # region -> rows, sources
    source: str


@cache
def _fit() -> _Fit:
    data = load_data("expansion_fitted.yaml")
    numbers = data["coefficients"]
    return _Fit(
        numbers=np.array([numbers.get(oxide, 0.0) for oxide in AXIS], dtype=np.float64),
        known=np.array([oxide in numbers for oxide in AXIS]),
        products=tuple(
            ([INDEX[o] for o in entry["first"]], [INDEX[o] for o in entry["second"]], entry["coefficient"])
            for entry in data["products"]
        ),
        add_for_20_400_c=data["add_for_20_400_c"],
        appen_wants=data["appen_constant_correction"],
        tested=TestedRange.from_data(
            data["tested_range"], seen=tuple(numbers), unseen_is="no number: left out, the rest brought to 100"
        ),
        interval=Interval.from_data(data["interval"]),
        calibrated_on=data["calibrated_on"],
        source=f"{data['title']}: {data['source']['data']}; {data['source']['carried_by']}",
    )


def _fitted_estimate(glaze: MolePercent, value: float, asked: tuple[float, float], level: float) -> Estimate:
    fit = _fit()
    place = fit.tested.place(glaze)
    return Estimate.around(
        value,
        fit.interval.at(level, region=place.region),
        level=level,
        quantity="expansion",
        model="fitted",
        unit=_UNIT,
        temperature_range_c=asked,
        outside=place.outside,
        note=_fitted_note(place, fit),
        source=fit.source,
    )


def _fitted_note(place: Place, fit: _Fit) -> str:
    if place.region == "beyond":
        why = "; ".join((*place.beyond, *fit.tested.say_unseen(place.unseen)))
        return f"No interval: no measured glasses of this kind stand behind the number. {why}."
    note = _region_note(place.region, fit.calibrated_on[place.region])
    return f"{note} Left out: {', '.join(place.unseen)}." if place.unseen else note


def _region_note(region: Region, on: Mapping[str, float]) -> str:
    if region == "dark":
        return (
            "Dark with colouring oxides: the interval is that of measured glasses with 2 to 8 mol % Fe2O3 "
            f"({on['rows']} from {on['sources']} sources); how far the iron is reduced is not known."
        )
    if region == "outside":
        return f"Outside the tested window: the interval is that of {on['rows']} such glasses from {on['sources']} sources."
    return "For clear glass of this composition: crystals, unmelted grains and what is taken up from the body are not in it."


def _appen_estimate(glaze: MolePercent, value: float, asked: tuple[float, float]) -> Estimate:
    method = appen()
    span = f"{asked[0]:g}-{asked[1]:g}"
    shift = _fit().appen_wants[span] / 10
    note = (
        f"As published, for 20-400 C; the numbers are from memory. Against measured glasses inside the fitted model's window it "
        f"wants {shift:+.2f} at {span} C, which gives {value + shift:.1f}. No interval was measured for it."
    )
    return Estimate(
        quantity="expansion",
        model="appen",
        value=value,
        unit=_UNIT,
        temperature_range_c=method.temperature_range_c,
        outside=method.tested.place(glaze).outside,
        note=note,
        source=method.source,
    )


def _range(asked: tuple[float, float]) -> tuple[float, float]:
    for known in RANGES_C:
        if tuple(asked) == known:
            return known
    raise UnknownNameError(
        f"the expansion over {asked} deg C is not known.",
        "The models are measured over (20, 300) and (20, 400) deg C only.",
    )
