"""Melt viscosity of a glaze, in log10 Pa s: our fit to measured glasses, and Giordano 2008 as second opinion.

The fit has Vogel's form, ``log10 viscosity = A + (3 - A)(isokom - offset)/(T - offset)``: `isokom` is the temperature at
which the melt reaches 10^3 Pa s, and both functions are sums over oxides and a few products of oxides. Coefficients,
window, intervals and the table of candidate models are in ``data/viscosity_fitted.yaml``; ``tests/calibration/viscosity.py``
wrote them.

The number is for the clear melt of the stated composition. Grains not yet dissolved, crystals and bubbles stiffen a melt,
and what a glaze takes up from the body changes it; nothing follows from it about the surface of the cooled glaze.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.unity import Composition, to_mole_percent
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.estimate.fitted import Interval, Window, as_row, check_level, design_matrix
from glazecalc.estimate.giordano import giordano_viscosities, outside_giordano, unknown_to_giordano
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data

__all__ = (
    "ViscosityDifference",
    "compare_viscosity",
    "temperature_at_viscosity",
    "viscosities",
    "viscosity",
)

_DATA = "viscosity_fitted.yaml"
_UNIT = "log10 Pa s"

# Nearer to its pole than this [K] Vogel's form is a wall, not a melt.
_LEAST_ABOVE_OFFSET_K = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityDifference:
    """How much stiffer one glaze melts than another at one temperature.

    Attributes
    ----------
    temperature_c : float
        Temperature of both melts [deg C].
    difference : float
        log10 viscosity of the first minus that of the second [log10 Pa s].
    half_width : float or None
        Error of such a difference at `level` [log10 Pa s]; None where none is known.
    level : float
        Share of pairs whose difference is meant to lie within `half_width`, 0-1.
    verdict : str
        ``"stiffer"`` or ``"runnier"`` (the first against the second) where the difference exceeds its error, else
        ``"no clear difference"``.
    in_window : bool
        True where both glazes and the temperature lie in the tested range.
    outside : tuple of str
        What does not, each with its number.
    note : str
        What the reader must know.
    """

    temperature_c: float
    difference: float
    half_width: float | None
    level: float
    verdict: Literal["stiffer", "runnier", "no clear difference"]
    in_window: bool
    outside: tuple[str, ...] = ()
    note: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Return the comparison as plain values, for JSON."""
        return {
            "temperature_c": self.temperature_c,
            "difference": self.difference,
            "half_width": self.half_width,
            "level": self.level,
            "unit": _UNIT,
            "verdict": self.verdict,
            "in_window": self.in_window,
            "outside": list(self.outside),
            "note": self.note,
        }


@cache
def _window() -> Window:
    return Window.from_data(load_data(_DATA))


@cache
def _interval(model: str) -> Interval:
    data = load_data(_DATA)
    return Interval.from_data(data["giordano"] if model == "giordano" else data["interval"])


@cache
def _coefficients() -> tuple[float, float, tuple[str, ...], NDArray[np.float64], tuple[str, ...], NDArray[np.float64]]:
    data = load_data(_DATA)
    isokom, offset = data["isokom_c"], data["offset_c"]
    return (
        float(data["A"]),
        float(data["log_reference"]),
        tuple(isokom),
        np.array(list(isokom.values())),
        tuple(offset),
        np.array(list(offset.values())),
    )


def _vogel(mole_percent: NDArray[np.float64]) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    """Return A, the rise above it times (T - offset) [K], and the offset [deg C], each composition."""
    a, reference, isokom_terms, isokom, offset_terms, offset = _coefficients()
    pole = design_matrix(mole_percent, offset_terms) @ offset
    rise = (reference - a) * (design_matrix(mole_percent, isokom_terms) @ isokom - pole)
    return a, rise, pole


def viscosities(mole_percent: NDArray[np.float64], temperature_c: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return log10(viscosity in Pa s) of many melts by the fitted model.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions [mol %], total 100, iron as Fe2O3.
    temperature_c : float or array, shape (n,)
        Temperature [deg C].

    Returns
    -------
    array, shape (n,)
        log10(viscosity / Pa s); NaN where the form has no sense (within 50 K of its pole, or falling with cold). Whether
        the model knows the composition is not looked at: `viscosity` does that.
    """
    a, rise, pole = _vogel(mole_percent)
    above = np.asarray(temperature_c, dtype=np.float64) - pole
    sound = (above >= _LEAST_ABOVE_OFFSET_K) & (rise > 0)
    return np.where(sound, a + rise / np.where(sound, above, np.nan), np.nan)


def viscosity(
    x: Composition | Mapping[str, float],
    *,
    temperature_c: float,
    model: Literal["fitted", "giordano"] = "fitted",
    level: float = 0.90,
) -> Estimate:
    """Estimate the viscosity of the clear melt at one temperature.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The glaze; a mapping is in mol % and totals 98-102.
    temperature_c : float
        Temperature [deg C]. For a cone take `glazecalc.cone_temperatures.cone_temperature_c`.
    model : str
        ``"fitted"``, or ``"giordano"`` for glazes without boron, zinc, lithium, barium, strontium and lead.
    level : float
        Share of new glasses the interval is meant to hold: 0.80, 0.90 or 0.95.

    Returns
    -------
    Estimate
        In log10 Pa s.

    Raises
    ------
    CompositionError
        If the model has no answer for this glaze at this temperature: lead, oxides it does not know, or a melt too cold.
    UnknownNameError
        For an unknown model or level.
    """
    if model not in ("fitted", "giordano"):
        raise UnknownNameError(f"no model of viscosity is called {model!r}.", "Known: 'fitted', 'giordano'.")
    glaze = to_mole_percent(x)
    check_level(level)
    if model == "giordano":
        return _by_giordano(glaze, temperature_c, level)
    value = _one_value(glaze, temperature_c)
    region, outside, note = _place(glaze, temperature_c)
    half = _interval("fitted").half_width(level, region=region, temperature_c=temperature_c)
    return _estimate("fitted", value, half, level, temperature_c, outside, note, load_data(_DATA)["source"])


def temperature_at_viscosity(
    x: Composition | Mapping[str, float], *, log10_pa_s: float, level: float = 0.90
) -> Estimate:
    """Estimate the temperature at which the clear melt has a given viscosity, by the fitted model.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The glaze; a mapping is in mol % and totals 98-102.
    log10_pa_s : float
        Viscosity as log10 Pa s; 3 is a working melt, 4 flows slowly.
    level : float
        As for `viscosity`.

    Returns
    -------
    Estimate
        In deg C. The interval is that of the viscosity, carried over to temperature.

    Raises
    ------
    CompositionError
        If the melt has no such viscosity by the model.
    """
    glaze = to_mole_percent(x)
    check_level(level)
    _window().refuse_strangers(glaze, "the fitted viscosity")
    a, rise, pole = (float(np.ravel(part)[0]) for part in _vogel(as_row(glaze)))
    if not (
        np.isfinite(log10_pa_s) and log10_pa_s > a and rise > 0 and rise / (log10_pa_s - a) >= _LEAST_ABOVE_OFFSET_K
    ):
        raise CompositionError(
            f"the fitted model has no temperature at which this melt has 10^{log10_pa_s:g} Pa s.", "Ask for 1 to 6."
        )
    value = pole + rise / (log10_pa_s - a)
    region, outside, note = _place(glaze, value)
    half = _interval("fitted").half_width(level, region=region, temperature_c=value)
    low = high = None
    if half is not None:
        low = pole + rise / (log10_pa_s + half - a)
        high = pole + rise / (log10_pa_s - half - a) if log10_pa_s - half > a else None
    return Estimate(
        quantity=f"temperature at 10^{log10_pa_s:g} Pa s",
        model="fitted",
        value=value,
        low=low,
        high=high,
        level=level if low is not None else None,
        unit="deg C",
        temperature_range_c=None,
        in_window=not outside,
        outside=outside,
        note=note,
        source=load_data(_DATA)["source"],
    )


def compare_viscosity(
    a: Composition | Mapping[str, float],
    b: Composition | Mapping[str, float],
    temperature_c: float,
    *,
    level: float = 0.90,
) -> ViscosityDifference:
    """Say whether one glaze melts stiffer or runnier than another, where the difference exceeds its error.

    Parameters
    ----------
    a, b : UnityFormula, FiredAnalysis, MolePercent or mapping
        The two glazes.
    temperature_c : float
        Temperature of both [deg C].
    level : float
        Share of pairs whose difference is meant to lie within the error: 0.80, 0.90 or 0.95.

    Returns
    -------
    ViscosityDifference
        `a` against `b`.

    Notes
    -----
    The error of a difference is measured on pairs of glasses of one paper: what is common to both drops out. It is smaller
    for two glazes that differ in few mol % than for two unlike ones, and taken accordingly.
    """
    first, second = to_mole_percent(a), to_mole_percent(b)
    percent = str(check_level(level))
    difference = _one_value(first, temperature_c) - _one_value(second, temperature_c)
    places = [_place(glaze, temperature_c) for glaze in (first, second)]
    data = load_data(_DATA)["difference"]
    apart = 0.5 * sum(abs(first.get(oxide, 0.0) - second.get(oxide, 0.0)) for oxide in {*first, *second})
    near = apart <= data["near_mole_percent"]
    width = float(np.interp(temperature_c, data["knots_c"], data["near" if near else "far"][percent]))
    factors = [_interval("fitted").factor(level, region=region) for region, _, _ in places]
    known = [factor for factor in factors if factor is not None]
    half: float | None = width * max(1.0, *known) if len(known) == len(factors) else None
    verdict: Literal["stiffer", "runnier", "no clear difference"] = "no clear difference"
    if half is not None and abs(difference) > half:
        verdict = "stiffer" if difference > 0 else "runnier"
    outside = tuple(dict.fromkeys(text for _, found, _ in places for text in found))
    return ViscosityDifference(
        temperature_c=temperature_c,
        difference=difference,
        half_width=half,
        level=level,
        verdict=verdict,
        in_window=not outside,
        outside=outside,
        note=" ".join(dict.fromkeys(note for _, _, note in places)),
    )


def _one_value(glaze: Mapping[str, float], temperature_c: float) -> float:
    _window().refuse_strangers(glaze, "the fitted viscosity")
    value = float(viscosities(as_row(glaze), temperature_c)[0])
    if not np.isfinite(value):
        raise CompositionError(
            f"the fitted model has no viscosity for this glaze at {temperature_c:g} deg C.",
            "It was made for glazes between 800 and 1400 deg C.",
        )
    return value


def _place(glaze: Mapping[str, float], temperature_c: float) -> tuple[str, tuple[str, ...], str]:
    """Return region, what lies outside, and the note."""
    region, outside = _window().place(glaze)
    low, high = load_data(_DATA)["temperature_range_c"]
    if not low <= temperature_c <= high:
        region = "beyond"
        outside += (f"temperature {temperature_c:.0f} deg C (tested {low:g}-{high:g})",)
    notes = ["For the clear melt: grains, crystals and bubbles stiffen it."]
    if region == "iron":
        notes.append("Few measured melts hold so much iron, so the interval is wide.")
    if region == "beyond":
        notes.append("Beyond the data: no interval.")
    return region, outside, " ".join([*notes, _window().traces(glaze)]).strip()


def _by_giordano(glaze: Mapping[str, float], temperature_c: float, level: float) -> Estimate:
    outside = outside_giordano(glaze, temperature_c)
    value = float(giordano_viscosities(as_row(glaze), temperature_c)[0])
    if not np.isfinite(value):
        raise CompositionError(
            f"the Giordano model has no viscosity for this glaze at {temperature_c:g} deg C.",
            "Ask for a higher temperature.",
        )
    interval = _interval("giordano")
    low, high = load_data(_DATA)["temperature_range_c"]
    tested = low <= temperature_c <= high
    half = interval.half_width(
        level, region="inside" if tested and not outside else "beyond", temperature_c=temperature_c
    )
    notes = ["Made for volcanic melts, all iron taken as FeO; the interval is its error on measured glasses."]
    left_out = unknown_to_giordano(glaze)
    if left_out:
        notes.append(
            "Left out, as the model does not know them: "
            + ", ".join(f"{oxide} {value:.2f}" for oxide, value in left_out.items())
            + " mol %."
        )
    source = load_data("viscosity_giordano_2008.yaml")["source"]
    return _estimate("giordano", value, half, level, temperature_c, outside, " ".join(notes), source)


def _estimate(
    model: str,
    value: float,
    half: float | None,
    level: float,
    temperature_c: float,
    outside: tuple[str, ...],
    note: str,
    source: str,
) -> Estimate:
    return Estimate(
        quantity="viscosity",
        model=model,
        value=value,
        low=None if half is None else value - half,
        high=None if half is None else value + half,
        level=None if half is None else level,
        unit=_UNIT,
        temperature_range_c=(temperature_c, temperature_c),
        in_window=not outside,
        outside=outside,
        note=note,
        source=source,
    )
