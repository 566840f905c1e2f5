"""All models together: every estimate of one glaze, and each model on many compositions."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from glazecalc.cone_temperatures import heat_points
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError, GlazeError, Notice
from glazecalc.estimate import glass_points
from glazecalc.estimate.expansion import expansion, expansions
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.surface_tension import MODELS, surface_tension, surface_tensions, without_factor
from glazecalc.estimate.viscosity import viscosities, viscosity
from glazecalc.heat import heat_words
from glazecalc.oxides import METAL_COLOURANTS

__all__ = ("estimates_of", "on_arrays", "without_colourants")

Floats = NDArray[np.float64]
_SECOND_OPINION = "viscosity (Giordano)"  # knows no boron, zinc or lithium: shown only where it was made for the glaze


def estimates_of(mole_percent: MolePercent, cone: str = "") -> tuple[tuple[Estimate, ...], tuple[Notice, ...]]:
    """Return every estimate of a glaze, viscosity at each end of what `cone` says (``6``, ``5-6``, ``1240 C``), and what could not be had."""
    notices: list[Notice] = []
    asked: list[tuple[str, Callable[[], Estimate]]] = [
        ("expansion (fitted)", partial(expansion, mole_percent)),
        ("expansion (Appen)", partial(expansion, mole_percent, model="appen", temperature_range_c=(20, 400))),
        ("glass transition", partial(glass_points.glass_transition, mole_percent)),
        ("softening temperature", partial(glass_points.softening_temperature, mole_percent)),
    ]
    if cone:
        try:
            points = heat_points(cone)
        except GlazeError as error:
            notices.append(Notice("no-estimate", f"viscosity at {heat_words(cone)}: {error}"))
            points = ()
        for point in points:
            notices.append(Notice("cone-temperature", point.said))
            melt = partial(viscosity, mole_percent, temperature_c=point.celsius)
            asked.append((f"viscosity at {point.celsius:.0f} C", melt))
            asked.append((_SECOND_OPINION, partial(melt, model="giordano")))
    found: list[Estimate] = []
    without: dict[str, list[str]] = {}
    for name, make in asked:
        try:
            estimate = make()
        except GlazeError as error:
            if name != _SECOND_OPINION:
                without.setdefault(name, []).append(error.message)
        else:
            if name != _SECOND_OPINION or estimate.in_window:
                found.append(estimate)
    notices += [Notice("no-estimate", f"{name}: {' '.join(said)}") for name, said in without.items()]
    tensions, lacking = _surface_tensions(mole_percent)
    return (*found, *tensions), (*notices, *lacking)


def _surface_tensions(mole_percent: MolePercent) -> tuple[list[Estimate], list[Notice]]:
    """Return the surface tension by each model that has numbers for the glaze, and in one notice what the others lack."""
    found, lacking = [], []
    for model in MODELS:
        try:
            found.append(surface_tension(mole_percent, model=model))
        except CompositionError:
            lacking.append(without_factor(mole_percent, model=model))
    told = [Notice("no-estimate", f"surface tension: no number by {'; '.join(lacking)}.")] if lacking else []
    return found, told


def without_colourants(mole_percent: MolePercent) -> MolePercent | None:
    """Return a glaze without its colouring oxides, the rest brought to 100 mol %; None where it has none but these."""
    rest = {oxide: amount for oxide, amount in mole_percent.items() if oxide not in METAL_COLOURANTS}
    total = math.fsum(rest.values())
    return MolePercent({oxide: 100 * amount / total for oxide, amount in rest.items()}) if total > 0 else None


def on_arrays(estimate: Estimate) -> Callable[[Floats], Floats] | None:
    """Return the model of an estimate as a function of many compositions; None where it has no such form."""
    ends = estimate.temperature_range_c
    if estimate.quantity == "expansion" and ends is not None:
        return partial(expansions, model=estimate.model, temperature_range_c=ends)
    if estimate.quantity == "viscosity" and estimate.model == "fitted" and ends is not None:
        return partial(viscosities, temperature_c=ends[0])
    if estimate.quantity == "surface tension":
        return partial(surface_tensions, model=estimate.model)
    if estimate.quantity == "glass transition":
        return glass_points.glass_transitions
    return glass_points.softening_temperatures if estimate.quantity == "softening temperature" else None
