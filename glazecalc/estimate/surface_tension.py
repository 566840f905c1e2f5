"""Surface tension of the melt, by the additive factors of Kucuk, Appen or Dietzel, and what raises it.

A melt of high surface tension draws back from an edge and heals a crack badly: one half of crawling. The other half is in
the raw coat (much raw clay, zinc oxide, light magnesium carbonate), and it is looked at elsewhere. No limit above which a
glaze crawls has been published; the numbers rank glazes, no more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert.unity import Composition, to_mole_percent
from glazecalc.errors import CompositionError, UnknownNameError, did_you_mean
from glazecalc.estimate.fitted import as_row, check_level, plain_number
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX, molar_masses

__all__ = (
    "MODELS",
    "TensionPart",
    "surface_tension",
    "surface_tension_parts",
    "surface_tensions",
)

MODELS = ("kucuk", "appen", "dietzel")
_DATA = "surface_tension_models.yaml"

# Up to this much without a factor is borne; above it the number would be about another glaze.
_NAMED_ABOVE_MOLE_PERCENT = 0.5
_REFUSED_ABOVE_MOLE_PERCENT = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TensionPart:
    """What one oxide does to the surface tension of a glaze.

    Attributes
    ----------
    oxide : str
        The oxide.
    mole_percent : float
        Its share [mol %].
    change : float
        Surface tension [mN/m] against the same amount of silica in its place: above 0 it raises, below 0 it lowers.
    """

    oxide: str
    mole_percent: float
    change: float


def surface_tensions(mole_percent: NDArray[np.float64], *, model: str = "kucuk") -> NDArray[np.float64]:
    """Return the surface tension [mN/m] at the model's temperature.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions [mol %], iron as Fe2O3.
    model : str
        ``"kucuk"`` (1400 deg C), ``"appen"`` (1300) or ``"dietzel"`` (900). Kucuk counts an oxide without a factor as silica; the
        others leave it out and bring the rest to 100.

    Returns
    -------
    array, shape (n,)
        Surface tension [mN/m].

    References
    ----------
    A. Kucuk, A. G. Clare, L. Jones, Glass Technol. 40 (1999) 149-153. The other two are from memory: see the data file.
    """
    entry = _model(model)
    factor = np.array([entry["factors"].get(oxide, 0.0) for oxide in AXIS])
    if entry["basis"] == "mole_percent":
        return np.asarray(entry["constant"] + mole_percent @ factor)
    known = np.array([oxide in entry["factors"] for oxide in AXIS], dtype=np.float64)
    amount = mole_percent * known
    if entry["basis"] == "weight_percent":
        amount = amount * np.array(molar_masses())
    shares = amount / amount.sum(axis=1, keepdims=True)
    return np.asarray((100.0 if entry["basis"] == "weight_percent" else 1.0) * shares @ factor)


def surface_tension_parts(x: Composition | Mapping[str, float], *, model: str = "kucuk") -> tuple[TensionPart, ...]:
    """Return what raises and what lowers the surface tension of a glaze, the strongest first.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The glaze; a mapping is in mol % and totals 98-102.
    model : str
        As for `surface_tensions`.

    Returns
    -------
    tuple of TensionPart
        Each oxide other than silica that the model knows, against the same moles (Dietzel: the same weight) of silica.
    """
    glaze = to_mole_percent(x)
    entry = _model(model)
    factors = entry["factors"]
    silica = factors.get("SiO2", 0.0)
    amounts = _amounts(glaze, entry)
    parts = [
        TensionPart(oxide=oxide, mole_percent=glaze[oxide], change=(factors[oxide] - silica) * amount)
        for oxide, amount in amounts.items()
        if oxide in factors and oxide != "SiO2"
    ]
    return tuple(sorted(parts, key=lambda part: -abs(part.change)))


def surface_tension(x: Composition | Mapping[str, float], *, model: str = "kucuk", level: float = 0.90) -> Estimate:
    """Estimate the surface tension of the clear melt.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent or mapping
        The glaze; a mapping is in mol % and totals 98-102.
    model : str
        ``"kucuk"`` (1400 deg C), ``"appen"`` (1300 deg C, from memory) or ``"dietzel"`` (900 deg C, from memory).
    level : float
        Share of new glasses the interval is meant to hold: 0.80, 0.90 or 0.95.

    Returns
    -------
    Estimate
        In mN/m; `outside` names the oxides without a factor. The interval of Kucuk's model is how far it lies from measured
        melts of the open glass data, whose temperatures are not stated; the others carry none.

    Raises
    ------
    CompositionError
        If more than 15 mol % of the glaze has no factor in the model.
    UnknownNameError
        For an unknown model or level.
    """
    entry = _model(model)
    glaze = to_mole_percent(x)
    known = {*entry["factors"], *entry.get("zero_by_the_regression", ())}
    without = {oxide: value for oxide, value in glaze.items() if oxide not in known}
    if sum(without.values()) > _REFUSED_ABOVE_MOLE_PERCENT:
        named = ", ".join(f"{oxide} {plain_number(value)}" for oxide, value in without.items())
        raise CompositionError(
            f"{entry['name']} has no factor for {named} mol % of this glaze.", "Use another model of surface tension."
        )
    value = float(surface_tensions(as_row(glaze), model=model)[0])
    percent = check_level(level)
    widths = load_data("surface_tension_error.yaml")["kucuk"]["half_width"] if model == "kucuk" else {}
    half = widths.get(str(percent))
    counted = "counted as silica" if entry["basis"] == "mole_percent" else "left out"
    outside = tuple(
        f"{oxide} {plain_number(amount)} mol % (no factor: {counted})"
        for oxide, amount in without.items()
        if amount >= _NAMED_ABOVE_MOLE_PERCENT
    )
    notes = ["It ranks glazes; no limit for crawling is published."]
    if entry.get("from_memory"):
        notes.append(f"Factors from memory, confidence {entry['confidence']}.")
    if "doubt" in entry:
        notes.append(entry["doubt"])
    if half is not None:
        notes.append("The interval is measured on melts of unstated temperature.")
    return Estimate(
        quantity="surface tension",
        model=model,
        value=value,
        low=None if half is None else value - half,
        high=None if half is None else value + half,
        level=None if half is None else level,
        unit="mN/m",
        temperature_range_c=(float(entry["temperature_c"]), float(entry["temperature_c"])),
        in_window=not outside,
        outside=outside,
        note=" ".join(notes),
        source=entry["source"],
    )


def _model(name: str) -> dict[str, Any]:
    if name not in MODELS:
        raise UnknownNameError(
            f"no model of surface tension is called {name!r}.",
            did_you_mean(name, MODELS) or f"Known: {', '.join(MODELS)}.",
        )
    entry: dict[str, Any] = load_data(_DATA)[name]
    return entry


def _amounts(glaze: Mapping[str, float], entry: Mapping[str, Any]) -> dict[str, float]:
    """Return the oxides of a glaze in the unit of the model's factors, as `surface_tensions` counts them."""
    if entry["basis"] == "mole_percent":
        return dict(glaze)
    known = {oxide: value for oxide, value in glaze.items() if oxide in entry["factors"]}
    if entry["basis"] == "weight_percent":
        known = {oxide: value * molar_masses()[INDEX[oxide]] for oxide, value in known.items()}
    scale = (100.0 if entry["basis"] == "weight_percent" else 1.0) / sum(known.values())
    return {oxide: value * scale for oxide, value in known.items()}
