"""Melt viscosity of a glaze, in log10 Pa s: our fit to measured glasses, and Giordano 2008 as second opinion.

The fit has Vogel's form, ``log10 viscosity = A + (3 - A)(isokom - offset)/(T - offset)``: `isokom` is the temperature at
which the melt reaches 10^3 Pa s, and both functions are sums over oxides and a few products of oxides. Their numbers are in
``data/viscosity_fitted.yaml``, written by ``tests/calibration/viscosity.py``.

The number is for the clear melt of the stated composition. Grains not yet dissolved, crystals and bubbles stiffen a melt,
and what a glaze takes up from the body changes it; nothing follows from it about the surface of the cooled glaze.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, partial
from typing import Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.basis import AnyComposition, Basis, to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError
from glazecalc.estimate.fitted import (
    Interval,
    ManyGlazes,
    Place,
    TestedRange,
    in_blocks,
    refuse_unknown,
    sum_of_terms,
)
from glazecalc.estimate.giordano import giordano, giordano_viscosities, outside_giordano
from glazecalc.estimate.melted import yardstick
from glazecalc.estimate.result import Estimate, Region, check_model, with_interval
from glazecalc.files.shipped import load_data

__all__ = ("temperature_at_viscosity", "viscosities", "viscosity", "viscosity_of_many", "vogel_fit")

Floats = NDArray[np.float64]
ViscosityModel: TypeAlias = Literal["fitted", "giordano"]

# Nearer to its pole than this [K] Vogel's form is a wall, not a melt; this program's own choice.
_LEAST_ABOVE_OFFSET_K = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class VogelFit:
    """The fitted model as read from its data file; both functions in deg C."""

    a: float
    log_reference: float
    isokom: Mapping[str, float]  # term -> coefficient
    offset: Mapping[str, float]
    tested: TestedRange
    temperature_range_c: tuple[float, float]
    interval: Interval
    giordano_interval: Interval
    source: str

    def parts(self, mole_percent: Floats) -> tuple[Floats, Floats]:
        """Return the rise above A times (T - offset) [K], and the offset [deg C], each composition."""
        pole = sum_of_terms(mole_percent, self.offset)
        return (self.log_reference - self.a) * (sum_of_terms(mole_percent, self.isokom) - pole), pole

    def refuse(self, glaze: MolePercent) -> None:
        """Raise CompositionError for more than a trace of what the fit has no number for; of lead it saw traces only."""
        refuse_unknown(glaze, self.tested.seen - {"PbO"}, "the fitted viscosity")

    def value(self, glaze: MolePercent, temperature_c: float) -> float:
        """Return log10(viscosity / Pa s) of one melt; CompositionError where the model has none."""
        self.refuse(glaze)
        value = float(viscosities(as_row(glaze), temperature_c)[0])
        if not np.isfinite(value):
            text = f"the fitted model has no viscosity for this glaze at {temperature_c:g} C."
            raise CompositionError(text, "It was made for glazes between 800 and 1400 C.")
        return value

    def place(self, glaze: MolePercent, temperature_c: float) -> Place:
        """Return where glaze and temperature lie in the tested range."""
        place = self.tested.place(glaze)
        low, high = self.temperature_range_c
        if low <= temperature_c <= high:
            return place
        hot = f"temperature {temperature_c:.0f} C (tested {low:g} to {high:g})"
        return replace(place, region="beyond", outside=(*place.outside, hot))


@cache
def vogel_fit() -> VogelFit:
    """Return the fitted model, read once."""
    data = load_data("viscosity_fitted.yaml")
    low, high = data["temperature_range_c"]
    return VogelFit(
        a=float(data["A"]),
        log_reference=float(data["log_reference"]),
        isokom=data["isokom_c"],
        offset=data["offset_c"],
        tested=TestedRange.from_data(data["tested_range"]),
        temperature_range_c=(low, high),
        interval=Interval.from_data(data["interval"]),
        giordano_interval=Interval.from_data(data["giordano"]),
        source=data["source"],
    )


def note_of(place: Place) -> str:
    """Return what the reader must know of a viscosity whose glaze lies there."""
    notes = ["For the clear melt: grains, crystals and bubbles stiffen it."]
    if place.region == "dark":
        notes.append("Few measured melts hold so much iron, so the error range is wide.")
    if place.region == "beyond":
        notes.append("Beyond the data: error not known.")
    return " ".join([*notes, *place.notes])


def viscosities(mole_percent: Floats, temperature_c: Floats | float) -> Floats:
    """Return log10(viscosity / Pa s) (n,) of compositions (n, k) [mol %], iron as Fe2O3, by the fitted model.

    NaN where the form has no sense (within 50 K of its pole, or falling with cold). Whether the model knows the composition is
    not looked at: `viscosity` does that.
    """
    temperatures = np.asarray(temperature_c, dtype=np.float64)
    if temperatures.ndim == 0:
        return in_blocks(partial(_by_vogel, temperature_c=temperatures), mole_percent)
    return _by_vogel(mole_percent, temperatures)


def _by_vogel(mole_percent: Floats, temperature_c: Floats) -> Floats:
    fit = vogel_fit()
    rise, pole = fit.parts(mole_percent)
    above = temperature_c - pole
    sound = (above >= _LEAST_ABOVE_OFFSET_K) & (rise > 0)
    return np.where(sound, fit.a + rise / np.where(sound, above, np.nan), np.nan)


def viscosity_of_many(temperature_c: float) -> ManyGlazes:
    """Return the fitted viscosity at one temperature for many glazes at once."""
    fit = vogel_fit()
    low, high = fit.temperature_range_c
    return ManyGlazes(
        quantity="viscosity",
        unit="log10 Pa s",
        values=partial(viscosities, temperature_c=temperature_c),
        known=fit.tested.seen - {"PbO"},
        model="the fitted viscosity",
        tested=fit.tested,
        interval=fit.interval,
        temperature_c=temperature_c,
        temperature_is_tested=low <= temperature_c <= high,
    )


def viscosity(
    x: AnyComposition,
    *,
    temperature_c: float,
    basis: Basis | None = None,
    model: ViscosityModel = "fitted",
    level: float = 0.90,
) -> Estimate:
    """Estimate the viscosity of the clear melt at one temperature.

    Parameters
    ----------
    x, basis, level
        As for `expansion`.
    temperature_c : float
        Temperature [deg C]; for a cone see `cone_temperature_c`.
    model : str
        ``"fitted"``, or ``"giordano"`` for glazes without boron, zinc, lithium, barium, strontium and lead.

    Returns
    -------
    Estimate
        In log10 Pa s.

    Raises
    ------
    ArgumentError, UnknownNameError
        As for `expansion`.
    CompositionError
        If the model has no answer for this glaze at this temperature: lead, oxides it does not know, or a melt too cold.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/rill-clear.txt"), gc.load_materials("materials"))
    >>> round(gc.viscosity(glaze, temperature_c=gc.cone_temperature_c("6").celsius).value, 1)
    2.8
    """
    check_model(model, get_args(ViscosityModel), "viscosity")
    glaze = to_mole_percent(x, basis)
    if model == "giordano":
        return _by_giordano(glaze, temperature_c, level)
    fit = vogel_fit()
    value, place = fit.value(glaze, temperature_c), fit.place(glaze, temperature_c)
    estimate = replace(_at(temperature_c, model, value, place.outside, note_of(place), fit.source), region=place.region)
    half = fit.interval.at(level, region=place.region, temperature_c=temperature_c)
    return with_interval(estimate, half, level)


def temperature_at_viscosity(
    x: AnyComposition, *, log10_pa_s: float, basis: Basis | None = None, level: float = 0.90
) -> Estimate:
    """Estimate the temperature at which the clear melt has a given viscosity, by the fitted model.

    Parameters
    ----------
    x, basis, level
        As for `expansion`.
    log10_pa_s : float
        Viscosity as log10 Pa s; 3 is a working melt, 4 flows slowly.

    Returns
    -------
    Estimate
        In deg C. The interval is that of the viscosity, carried over to temperature.

    Raises
    ------
    ArgumentError, UnknownNameError
        As for `expansion`.
    CompositionError
        If the melt has no such viscosity by the model.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/rill-clear.txt"), gc.load_materials("materials"))
    >>> round(gc.temperature_at_viscosity(glaze, log10_pa_s=3).value)
    1200
    """
    glaze = to_mole_percent(x, basis)
    fit = vogel_fit()
    fit.refuse(glaze)
    rise, pole = (float(part[0]) for part in fit.parts(as_row(glaze)))
    above = log10_pa_s - fit.a
    if not (np.isfinite(log10_pa_s) and above > 0 and rise > 0 and rise / above >= _LEAST_ABOVE_OFFSET_K):
        text = f"the fitted model has no temperature at which this melt has 10^{log10_pa_s:g} Pa s."
        raise CompositionError(text, "Ask for 1 to 6.")
    value = pole + rise / above
    place = fit.place(glaze, value)
    half = fit.interval.at(level, region=place.region, temperature_c=value)
    low = high = None
    if half is not None:
        low = pole + rise / (log10_pa_s + half - fit.a)
        high = pole + rise / (log10_pa_s - half - fit.a) if log10_pa_s - half > fit.a else None
    return Estimate(
        quantity=f"temperature at 10^{log10_pa_s:g} Pa s",
        model="fitted",
        value=value,
        low=low,
        high=high,
        level=level if low is not None else None,
        unit="deg C",
        outside=place.outside,
        note=note_of(place),
        source=fit.source,
    )


def _by_giordano(glaze: MolePercent, temperature_c: float, level: float) -> Estimate:
    unknown = refuse_unknown(glaze, giordano().oxides, "the Giordano model, made for volcanic melts,")
    left_out = ", ".join(f"{oxide} {amount:.2f}" for oxide, amount in unknown.items())
    outside = outside_giordano(glaze, temperature_c)
    value = float(giordano_viscosities(as_row(glaze), temperature_c)[0])
    if not np.isfinite(value):
        text = f"the Giordano model has no viscosity for this glaze at {temperature_c:g} C."
        raise CompositionError(text, "Ask for a higher temperature.")
    note = "Made for volcanic melts, all iron taken as FeO; the error range is that on measured glasses."
    if left_out:
        note += f" Not known to the model and left out: {left_out} mol %."
    fit = vogel_fit()
    low, high = fit.temperature_range_c
    region: Region = "inside" if low <= temperature_c <= high and not outside else "beyond"
    half = fit.giordano_interval.at(level, region=region, temperature_c=temperature_c)
    return with_interval(_at(temperature_c, "giordano", value, outside, note, giordano().source), half, level)


def _at(
    temperature_c: float, model: ViscosityModel, value: float, outside: tuple[str, ...], note: str, source: str
) -> Estimate:
    return Estimate(
        quantity="viscosity",
        model=model,
        value=value,
        unit="log10 Pa s",
        temperature_range_c=(temperature_c, temperature_c),
        outside=outside,
        note=f"Beside fired glazes: {yardstick(value)}. {note}" if model == "fitted" else note,
        source=source,
    )
