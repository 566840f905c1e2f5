"""Thermal expansion of a glaze from its composition: the fitted model, and Appen's method as a second opinion.

The fitted model (``glazecalc/data/expansion_fitted.yaml``) is a sum over the oxides with three products, regressed on
measured lead-free glasses; its interval was measured on papers left out of the fit. What it says is for clear glass of
the stated composition: not for an unfinished melt, crystals, or what the glaze takes up from the body.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial
from typing import Any, Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert import arrays
from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import as_row, folded
from glazecalc.convert.unity import MolePercent
from glazecalc.display import RECALLED
from glazecalc.errors import UnknownNameError
from glazecalc.estimate.fitted import MODEL_GROUPS, Interval, ManyGlazes, Place, TestedRange, in_blocks, refuse_unknown
from glazecalc.estimate.result import Estimate, check_level, check_model, with_interval
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

__all__ = ("ExpansionModel", "expansion", "expansion_of_many", "expansions", "is_dark", "model_source", "tested_range")

Floats = NDArray[np.float64]

ExpansionModel: TypeAlias = Literal["fitted", "appen"]
_LEFT_OUT = "no number for it: left out, the rest counted as 100"


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
        The glaze.
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
        In 1e-6 per K. `outside` names each oxide beyond the tested range [mol %]. Without an interval (`low`, `high`
        and `level` None) where too little is known: the note says why.

    Raises
    ------
    ArgumentError
        For a mapping without `basis`, or an `x` that is no composition.
    UnknownNameError
        For another model, level or temperature range, or an oxide that is not known.
    CompositionError
        For per cents of another total, or where the model has no number for more than a trace of the glaze.

    Notes
    -----
    Fitted: ``alpha = sum(c_i x_i) + sum(p_k a_k b_k / 100)``, x in mol %, a_k and b_k sums of oxides.

    References
    ----------
    SciGlass data base (ODbL), as carried by PyPI glasspy 0.4.0; `tests/calibration/README.md` tells the fit.
    A. A. Appen, Khimiya stekla, Leningrad (numbers from memory).

    Examples
    --------
    >>> import glazecalc as gc
    >>> unity = gc.unity_formula(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> found = gc.expansion(unity)
    >>> round(found.low, 1), round(found.value, 1), round(found.high, 1)
    (4.2, 5.7, 7.2)
    """
    asked_c = _known_range(temperature_range_c)
    check_level(level)
    check_model(model, get_args(ExpansionModel), "expansion")
    glaze = to_mole_percent(x, basis)
    tested = _appen().tested if model == "appen" else _fit().tested
    refuse_unknown(glaze, tested.seen, f"the {'method of Appen' if model == 'appen' else 'fitted expansion'}")
    value = float(expansions(as_row(glaze), temperature_range_c=asked_c, model=model)[0])
    if model == "appen":
        return _appen_estimate(glaze, value, asked_c)
    return _fitted_estimate(glaze, value, asked_c, level)


def expansions(
    mole_percent: Floats, *, temperature_range_c: tuple[float, float] = (20, 300), model: str = "fitted"
) -> Floats:
    """Return the expansion (n,) [1e-6 per K] of compositions (n, k) [mol %], by range and model as in `expansion`.

    Rows are brought to 100 and FeO to Fe2O3; oxides that the model has no number for are left out before, and NaN
    stands where nothing is left. How much that is is not looked at: `expansion` does that.
    """
    asked_c = _known_range(temperature_range_c)
    check_model(model, get_args(ExpansionModel), "expansion")
    kept = np.asarray(mole_percent, dtype=np.float64)
    if model == "appen":
        return in_blocks(lambda rows: _appen_expansions(folded(rows)), kept)
    return in_blocks(partial(_fitted_expansions, asked_c=asked_c), kept)


def _fitted_expansions(mole_percent: Floats, asked_c: tuple[float, float]) -> Floats:
    """Return the fitted expansion (n,) [1e-6 per K]: the terms of all rows by one product, each row's own sum divided out."""
    fit = _fit()
    amounts = mole_percent @ fit.sums
    with np.errstate(divide="ignore", invalid="ignore"):
        share = 100.0 / amounts[:, 0]
        alpha: Floats = amounts[:, 1] * share
        share *= share
        for place, coefficient in enumerate(fit.coefficients):
            alpha += (coefficient / 100.0) * amounts[:, 2 + 2 * place] * amounts[:, 3 + 2 * place] * share
    if asked_c == (20, 400):
        alpha += fit.add_for_20_400_c
    return np.where(amounts[:, 0] > 0.0, alpha / 10.0, np.nan)


def is_dark(mole_percent: Mapping[str, float]) -> bool:
    """Return True where colouring oxides alone take a glaze [mol %] out of what the fitted model was tested on."""
    tested = _fit().tested
    return any(mole_percent.get(oxide, 0.0) > tested.limits[oxide][1] for oxide in tested.dark)


def expansion_of_many() -> ManyGlazes:
    """Return the fitted expansion, 20-300 deg C, for many glazes at once."""
    fit = _fit()
    return ManyGlazes(
        quantity="expansion",
        unit="1e-6 per K",
        values=expansions,
        known=fit.tested.seen,
        model="the fitted expansion",
        tested=fit.tested,
        interval=fit.interval,
    )


def tested_range(model: str) -> TestedRange:
    """Return the range of composition that a model of the expansion was tested in, or published for."""
    return _appen().tested if model == "appen" else _fit().tested


def model_source(model: str) -> str:
    """Return where the numbers of a model of expansion come from."""
    check_model(model, ("fitted", "appen"), "expansion")
    return _fit().source if model == "fitted" else _appen().source


def _known_range(asked_c: tuple[float, float]) -> tuple[float, float]:
    for known in ((20, 300), (20, 400)):
        if tuple(asked_c) == known:
            return known
    hint = "The models are measured over (20, 300) and (20, 400) C only."
    raise UnknownNameError(f"the expansion over {asked_c} C is not known.", hint)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """The fitted model as read from its data file; expansions in 1e-7 per K."""

    sums: (
        Floats  # (k, 2 + 2 products): what has a number, what each oxide counts per mol %, the two sums of each product
    )
    coefficients: tuple[float, ...]  # of the products
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
        sums=_iron_as_fe2o3(np.stack([as_row(column)[0] for column in _columns(data)], axis=1)),
        coefficients=tuple(entry["coefficient"] for entry in data["products"]),
        add_for_20_400_c=data["add_for_20_400_c"],
        appen_wants=data["appen_constant_correction"],
        tested=TestedRange.from_data(data["tested_range"], seen=numbers, unseen_is=_LEFT_OUT),
        interval=Interval.from_data(data["interval"]),
        calibrated_on=data["calibrated_on"],
        source=f"{data['title']}: {data['source']['data']}; {data['source']['carried_by']}",
    )


def _columns(data: Mapping[str, Any]) -> Iterator[Mapping[str, float]]:
    yield dict.fromkeys(data["coefficients"], 1.0)
    yield data["coefficients"]
    for entry in data["products"]:
        yield dict.fromkeys(entry["first"], 1.0)
        yield dict.fromkeys(entry["second"], 1.0)


def _iron_as_fe2o3(columns: Floats) -> Floats:
    """Return the columns (k, sums) with an FeO counted as half an Fe2O3."""
    columns[INDEX["FeO"]] = 0.5 * columns[INDEX["Fe2O3"]]
    return columns


@dataclass(frozen=True, slots=True, kw_only=True)
class _Appen:
    """Appen's additive method as read from its data file; most of its numbers are from memory."""

    numbers: Floats  # (k,) [1e-9 per K per mol %]; 0 for an oxide that follows a rule or has no number
    known: NDArray[np.bool_]  # (k,) the oxides with a number or a rule
    rules: Mapping[str, Mapping[str, float]]
    tested: TestedRange  # what it was published for
    temperature_range_c: tuple[float, float]
    source: str


@cache
def _appen() -> _Appen:
    data = load_data("expansion_appen.yaml")
    named = {*data["coefficients"], *data["rules"]}
    low, high = data["temperature_range_c"]
    return _Appen(
        numbers=as_row(data["coefficients"])[0],
        known=np.array([oxide in named for oxide in AXIS]),
        rules=data["rules"],
        tested=TestedRange.from_data(data["tested_range"], seen=named, tested="published for", unseen_is=_LEFT_OUT),
        temperature_range_c=(low, high),
        source=f"{data['source']['author']}, {data['source']['title']}",
    )


def _appen_expansions(mole_percent: Floats) -> Floats:
    """Return the linear expansion [1e-6 per K] over 20-400 deg C of compositions (n, k) [mol %], iron as Fe2O3.

    Oxides without a number are left out and the rest brought to 100.
    """
    method = _appen()
    rules = method.rules
    amounts = arrays.shares_percent(np.where(method.known, mole_percent, 0.0))

    def of(*oxides: str) -> Floats:
        return np.asarray(amounts[:, [INDEX[oxide] for oxide in oxides]].sum(axis=1))

    silica, alumina, boron, potash, lead = of("SiO2"), of("Al2O3"), of("B2O3"), of("K2O"), of("PbO")
    alkalis, earths = of(*MODEL_GROUPS["R2O"]), of(*MODEL_GROUPS["RO"])
    total: Floats = amounts @ method.numbers

    rule = rules["SiO2"]
    total += silica * np.where(silica <= rule["up_to"], rule["then"], rule["above_minus"] - silica)
    rule = rules["TiO2"]
    total += of("TiO2") * np.clip(rule["from"] + rule["per_silica"] * silica, rule["low"], rule["high"])
    rule = rules["B2O3"]
    # psi x B2O3 without the division: held within its limits times B2O3
    modifiers = alkalis + earths + lead - alumina
    total += rule["per_psi"] * np.clip(modifiers, rule["psi_low"] * boron, rule["psi_high"] * boron)
    rule = rules["K2O"]
    little_soda = of("Na2O") <= rule["soda_at_most"]
    total += potash * np.where(little_soda, rule["then"] - method.numbers[INDEX["K2O"]], 0.0)
    rule = rules["PbO"]
    plain = (alkalis < rule["alkali_below"]) | (earths > rule["ratio_above"] * alkalis)
    total += lead * np.where(plain, rule["then"], np.minimum(rule["from"] + rule["per_alkali"] * alkalis, rule["high"]))
    return total / 1000


def _fitted_estimate(glaze: MolePercent, value: float, asked_c: tuple[float, float], level: float) -> Estimate:
    fit = _fit()
    place = fit.tested.place(glaze)
    estimate = Estimate(
        quantity="expansion",
        model="fitted",
        value=value,
        unit="1e-6 per K",
        temperature_range_c=asked_c,
        outside=place.outside,
        note=_fitted_note(place, fit),
        source=fit.source,
        region=place.region,
    )
    return with_interval(estimate, fit.interval.at(level, region=place.region), level)


def _fitted_note(place: Place, fit: _Fit) -> str:
    if place.region == "beyond":
        why = "; ".join((*place.beyond, *fit.tested.say_unseen(place.unseen)))
        return f"Error not known: no measured glasses of this kind stand behind the number. {why}."
    on = fit.calibrated_on[place.region]
    if place.region == "dark":
        note = (
            "Dark with colouring oxides: the error range is that of measured glasses with 2 to 8 mol % Fe2O3 "
            f"({on['rows']} from {on['sources']} sources); how far the iron is reduced is not known."
        )
    elif place.region == "outside":
        note = f"Outside the tested range: the error range is that of {on['rows']} such glasses from {on['sources']} sources."
    else:
        note = "For clear glass of this composition: crystals, unmelted grains and what is taken up from the body are not counted."
    return f"{note} Left out: {', '.join(place.unseen)}." if place.unseen else note


def _appen_estimate(glaze: MolePercent, value: float, asked_c: tuple[float, float]) -> Estimate:
    method = _appen()
    span = f"{asked_c[0]:g}-{asked_c[1]:g}"
    shift = _fit().appen_wants[span] / 10
    note = (
        f"As published, for 20-400 C; the numbers are {RECALLED}. On measured glasses inside the fitted model's tested range it reads "
        f"{abs(shift):.2f} too {'high' if shift < 0 else 'low'} at {span} C; corrected {value + shift:.1f}. Its error was not measured."
    )
    return Estimate(
        quantity="expansion",
        model="appen",
        value=value,
        unit="1e-6 per K",
        temperature_range_c=method.temperature_range_c,
        outside=method.tested.place(glaze).outside,
        note=note,
        source=method.source,
        corrected=value + shift,
        region=_fit().tested.place(glaze).region,  # the error of a difference was measured by it
    )
