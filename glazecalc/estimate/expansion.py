"""Thermal expansion of a glaze from its composition: the fitted model, and Appen's method as a second opinion.

The fitted model (``glazecalc/data/expansion_fitted.yaml``) is a sum over the oxides with three products, regressed on
measured lead-free glasses; its interval was measured on papers left out of the fit. What it says is for clear glass of
the stated composition: not for an unfinished melt, crystals, or what the glaze takes up from the body.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from glazecalc.convert import arrays
from glazecalc.errors import UnknownNameError, did_you_mean
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from glazecalc.convert.unity import Composition

__all__ = ("LEVELS", "MODELS", "RANGES_C", "expansion", "expansions")

UNIT = "1e-6 per K"
MODELS = ("fitted", "appen")
LEVELS = (0.80, 0.90, 0.95)
RANGES_C = ((20, 300), (20, 400))

_SUMS: Mapping[str, tuple[str, ...]] = {
    "R2O": ("Li2O", "Na2O", "K2O"),
    "RO": ("MgO", "CaO", "SrO", "BaO", "ZnO"),
    "R2O+RO": ("Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO"),
}
_UNKNOWN_AT_MOST = 0.5  # [mol %] of oxides without a coefficient that may be left out of a number with an interval


def expansion(
    x: Composition | Mapping[str, float],
    *,
    temperature_range_c: tuple[float, float] = (20, 300),
    model: str = "fitted",
    level: float = 0.90,
) -> Estimate:
    """Estimate the linear thermal expansion of a fired glaze.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The composition; a plain mapping is taken as mol % and must total 98 to 102.
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
    UnknownNameError
        For another model, level or temperature range, or an oxide that is not known.
    CompositionError
        For a mapping with another total.

    Notes
    -----
    Fitted: ``alpha = sum(c_i x_i) + sum(p_k a_k b_k / 100)``, x in mol %, a_k and b_k sums of oxides.

    References
    ----------
    SciGlass data base (ODbL), as carried by PyPI glasspy 0.4.0; `tests/calibration/README.md` tells the fit.
    A. A. Appen, Khimiya stekla, Leningrad (numbers from memory).
    """
    from glazecalc.convert.unity import to_mole_percent

    asked, known_model, known_level = _range(temperature_range_c), _model(model), _level(level)
    percent = to_mole_percent(x)
    row = np.array([[percent.get(oxide, 0.0) for oxide in AXIS]])
    value = float(expansions(row, temperature_range_c=asked, model=known_model)[0])
    return (
        _appen_estimate(percent, value, asked)
        if known_model == "appen"
        else _fitted_estimate(percent, value, asked, known_level)
    )


def expansions(
    mole_percent: NDArray[np.float64],
    *,
    temperature_range_c: tuple[float, float] = (20, 300),
    model: str = "fitted",
) -> NDArray[np.float64]:
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
    asked, known = _range(temperature_range_c), _model(model)
    amounts = arrays.fold_iron(np.asarray(mole_percent, dtype=np.float64), INDEX["Fe2O3"], INDEX["FeO"])
    amounts = arrays.shares_percent(np.where(_has_number(known), amounts, 0.0))
    return _appen(amounts) if known == "appen" else _fitted(amounts, asked)


# --- the two models, [1e-6 per K] ---------------------------------------------------------------------------------


def _columns(oxides: tuple[str, ...] | list[str]) -> list[int]:
    return [INDEX[oxide] for oxide in oxides]


@cache
def _coefficients(model: str) -> NDArray[np.float64]:
    """Return the model's number for each oxide of the axis, NaN where it has none."""
    numbers = np.full(len(AXIS), np.nan)
    for oxide, number in load_data(f"expansion_{model}.yaml")["coefficients"].items():
        numbers[INDEX[oxide]] = number
    return numbers


@cache
def _has_number(model: str) -> NDArray[np.bool_]:
    known = ~np.isnan(_coefficients(model))
    known[_columns(list(load_data(f"expansion_{model}.yaml").get("rules", {})))] = True
    return known


def _fitted(amounts: NDArray[np.float64], asked: tuple[float, float]) -> NDArray[np.float64]:
    data = load_data("expansion_fitted.yaml")
    alpha = amounts @ np.nan_to_num(_coefficients("fitted"))
    for product in data["products"]:
        first = amounts[:, _columns(product["first"])].sum(axis=1)
        second = amounts[:, _columns(product["second"])].sum(axis=1)
        alpha += product["coefficient"] * first * second / 100
    if asked == (20, 400):
        alpha += data["add_for_20_400_c"]
    return alpha / 10


def _appen(amounts: NDArray[np.float64]) -> NDArray[np.float64]:
    rules = load_data("expansion_appen.yaml")["rules"]
    silica, alumina, boron = amounts[:, INDEX["SiO2"]], amounts[:, INDEX["Al2O3"]], amounts[:, INDEX["B2O3"]]
    potash, lead = amounts[:, INDEX["K2O"]], amounts[:, INDEX["PbO"]]
    alkalis, earths = amounts[:, _columns(_SUMS["R2O"])].sum(axis=1), amounts[:, _columns(_SUMS["RO"])].sum(axis=1)
    total = amounts @ np.nan_to_num(_coefficients("appen"))

    rule = rules["SiO2"]
    total += silica * np.where(silica <= rule["up_to"], rule["then"], rule["above_minus"] - silica)
    rule = rules["TiO2"]
    total += amounts[:, INDEX["TiO2"]] * np.clip(rule["from"] + rule["per_silica"] * silica, rule["low"], rule["high"])
    rule = rules["B2O3"]
    # psi x B2O3 without the division: held within its limits times B2O3
    total += rule["per_psi"] * np.clip(
        alkalis + earths + lead - alumina, rule["psi_low"] * boron, rule["psi_high"] * boron
    )
    rule = rules["K2O"]
    little_soda = amounts[:, INDEX["Na2O"]] <= rule["soda_at_most"]
    total += potash * np.where(little_soda, rule["then"] - _coefficients("appen")[INDEX["K2O"]], 0.0)
    rule = rules["PbO"]
    plain = (alkalis < rule["alkali_below"]) | (earths > rule["ratio_above"] * alkalis)
    total += lead * np.where(plain, rule["then"], np.minimum(rule["from"] + rule["per_alkali"] * alkalis, rule["high"]))
    return total / 1000


# --- what the number is worth -------------------------------------------------------------------------------------


def _outside(
    percent: Mapping[str, float], limits: Mapping[str, list[float]], *, words: str = "tested"
) -> tuple[str, ...]:
    """Name each amount beyond its limits, e.g. ``Fe2O3 4.3 mol % (tested up to 1)``."""
    found = []
    for name, (low, high) in limits.items():
        amount = sum(percent.get(oxide, 0.0) for oxide in _SUMS.get(name, (name,)))
        if amount < low - 1e-9:
            found.append(f"{name} {_near(amount, low)} mol % ({words} from {low:.1f})")
        elif amount > high + 1e-9:
            found.append(f"{name} {_near(amount, high)} mol % ({words} up to {high:.1f})")
    return tuple(found)


def _near(amount: float, limit: float) -> str:
    """Write the amount with as many decimals, at least one, as tell it from the limit."""
    return next(
        (text for text in (f"{amount:.{places}f}" for places in (1, 2, 3)) if float(text) != limit), f"{amount:.3g}"
    )


def _unnumbered(percent: Mapping[str, float], model: str) -> dict[str, float]:
    known = _has_number(model)
    return {oxide: amount for oxide, amount in percent.items() if amount > 0 and not known[INDEX[oxide]]}


def _left_out(unknown: Mapping[str, float]) -> tuple[str, ...]:
    return tuple(
        f"{oxide} {amount:.1f} mol % (no number: left out, the rest brought to 100)"
        for oxide, amount in unknown.items()
    )


def _fitted_estimate(percent: Mapping[str, float], value: float, asked: tuple[float, float], level: float) -> Estimate:
    data = load_data("expansion_fitted.yaml")
    unknown = _unnumbered(percent, "fitted")
    outside = _outside(percent, data["window"])
    beyond = _outside(percent, data["domain"], words="data")
    if sum(unknown.values()) > _UNKNOWN_AT_MOST:
        outside += _left_out({oxide: amount for oxide, amount in unknown.items() if oxide not in data["window"]})
    no_interval = bool(beyond) or sum(unknown.values()) > _UNKNOWN_AT_MOST
    dark = bool(outside) and not _outside(percent, {**data["window"], **data["dark"]})
    region = "dark" if dark else "outside" if outside else "window"
    half = data["half_width"][region][str(round(level * 100))]
    note = _fitted_note(region, data)
    if no_interval:
        note = (
            "No interval: no measured glasses of this kind stand behind the number. "
            + "; ".join((*beyond, *_left_out(unknown)))
            + "."
        )
    elif unknown:
        note = f"{note} Left out: {', '.join(unknown)}."
    return Estimate(
        quantity="expansion",
        model="fitted",
        value=value,
        low=None if no_interval else value - half,
        high=None if no_interval else value + half,
        level=None if no_interval else level,
        unit=UNIT,
        temperature_range_c=asked,
        in_window=not outside,
        outside=outside,
        note=note,
        source=f"{data['title']}: {data['source']['data']}; {data['source']['carried_by']}",
    )


def _fitted_note(region: str, data: Mapping[str, Any]) -> str:
    on = data["calibrated_on"][region]
    if region == "dark":
        return (
            "Dark with colouring oxides: the interval is that of measured glasses with 2 to 8 mol % Fe2O3 "
            f"({on['rows']} from {on['sources']} sources); how far the iron is reduced is not known."
        )
    if region == "outside":
        return f"Outside the tested window: the interval is that of {on['rows']} such glasses from {on['sources']} sources."
    return "For clear glass of this composition: crystals, unmelted grains and what is taken up from the body are not in it."


def _appen_estimate(percent: Mapping[str, float], value: float, asked: tuple[float, float]) -> Estimate:
    data, measured = load_data("expansion_appen.yaml"), load_data("expansion_fitted.yaml")
    unknown = _unnumbered(percent, "appen")
    outside = _outside(percent, data["window"], words="published for")
    if sum(unknown.values()) > _UNKNOWN_AT_MOST:
        outside += _left_out(unknown)
    shift = measured["appen_constant_correction"][f"{asked[0]:g}-{asked[1]:g}"] / 10
    note = (
        f"As published, for 20-400 C; the numbers are from memory. Against measured glasses inside the fitted model's window it "
        f"wants {shift:+.2f} at {asked[0]:g}-{asked[1]:g} C, which gives {value + shift:.1f}. No interval was measured for it."
    )
    return Estimate(
        quantity="expansion",
        model="appen",
        value=value,
        unit=UNIT,
        temperature_range_c=tuple(data["temperature_range_c"]),
        in_window=not outside,
        outside=outside,
        note=note,
        source=f"{data['source']['author']}, {data['source']['title']}",
    )


# --- what was asked -----------------------------------------------------------------------------------------------


def _range(asked: tuple[float, float]) -> tuple[float, float]:
    for low, high in RANGES_C:
        if len(tuple(asked)) == 2 and (asked[0], asked[1]) == (low, high):
            return (low, high)
    raise UnknownNameError(
        f"the expansion over {asked} deg C is not known.",
        "The models are measured over (20, 300) and (20, 400) deg C only.",
    )


def _model(model: str) -> str:
    if model in MODELS:
        return model
    raise UnknownNameError(
        f"there is no expansion model '{model}'.", did_you_mean(str(model), MODELS) or "There are 'fitted' and 'appen'."
    )


def _level(level: float) -> float:
    for known in LEVELS:
        if abs(level - known) < 1e-9:
            return known
    raise UnknownNameError(
        f"there is no interval at level {level}.", "The intervals were measured at 0.80, 0.90 and 0.95."
    )
