"""Surface tension of the melt, by the additive factors of Kucuk, Appen or Dietzel, and what raises it.

A melt of high surface tension draws back from an edge and heals a crack badly: one half of crawling. The other half is in
the raw coat (much raw clay, zinc oxide, light magnesium carbonate), and it is looked at elsewhere. No limit above which a
glaze crawls has been published; the numbers rank glazes, no more.
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
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.display import RECALLED
from glazecalc.estimate.fitted import Interval, ManyGlazes, plain_number, refuse_unknown
from glazecalc.estimate.result import Estimate, check_level, check_model, with_interval
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX, molar_masses

__all__ = (
    "MODELS",
    "surface_tension",
    "surface_tension_of_many",
    "surface_tension_parts",
    "surface_tensions",
    "without_factor",
)

Floats = NDArray[np.float64]
TensionModel: TypeAlias = Literal["kucuk", "appen", "dietzel"]
MODELS: tuple[TensionModel, ...] = ("kucuk", "appen", "dietzel")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Factors:
    """One published model as read from the data file."""

    name: str
    temperature_c: float
    per: Literal["mole_percent", "mole_fraction", "weight_percent"]
    constant: float
    factors: Mapping[str, float]  # [mN/m] `per` unit
    known: frozenset[str]  # with a factor, or with none by the regression
    interval: Interval | None
    notes: tuple[str, ...]
    source: str

    def amounts(self, mole_percent: Floats) -> Floats:
        """Return compositions (n, k) [mol %] in the unit of the factors; those of fractions leave out what has no factor."""
        if self.per == "mole_percent":
            return mole_percent
        amount = mole_percent * np.array([oxide in self.factors for oxide in AXIS], dtype=np.float64)
        if self.per == "weight_percent":
            amount = amount * np.array(molar_masses())
        return (100.0 if self.per == "weight_percent" else 1.0) * arrays.shares(amount)


@cache
def _factors(model: str) -> _Factors:
    check_model(model, MODELS, "surface tension")
    entry = load_data("surface_tension_models.yaml")[model]
    notes = ["It ranks glazes; no limit for crawling is published."]
    if entry.get("from_memory"):
        notes.append(f"Factors {RECALLED}; confidence {entry['confidence']}.")
    if "doubt" in entry:
        notes.append(entry["doubt"])
    interval = None
    if model == "kucuk":  # the others are from memory: how far they lie from measured melts is no promise of theirs
        interval = Interval.from_data(load_data("surface_tension_error.yaml")[model]["interval"])
        notes.append("The error range was measured on melts whose temperature is not stated.")
    return _Factors(
        name=entry["name"],
        temperature_c=float(entry["temperature_c"]),
        per=entry["basis"],
        constant=entry["constant"],
        factors=entry["factors"],
        known=frozenset((*entry["factors"], *entry.get("zero_by_the_regression", ()))),
        interval=interval,
        notes=tuple(notes),
        source=entry["source"],
    )


def surface_tensions(mole_percent: Floats, *, model: str = "kucuk") -> Floats:
    """Return the surface tension (n,) [mN/m] of compositions (n, k) [mol %], iron as Fe2O3, at the model's temperature.

    Kucuk counts an oxide without a factor as silica; the others leave it out and bring the rest to 100; NaN where nothing is left.
    """
    entry = _factors(model)
    return np.asarray(entry.constant + entry.amounts(mole_percent) @ as_row(entry.factors)[0])


def surface_tension_of_many() -> ManyGlazes:
    """Return Kucuk's surface tension for many glazes at once."""
    entry = _factors("kucuk")
    return ManyGlazes(
        quantity="surface tension",
        unit="mN/m",
        values=surface_tensions,
        known=entry.known,
        model=entry.name,
        interval=entry.interval,
    )


def without_factor(glaze: MolePercent, *, model: TensionModel) -> str:
    """Return a model's name and the oxides of a glaze that it has no factor for: ``Appen for K2O, Fe2O3``."""
    entry = _factors(model)
    named_above = load_data("surface_tension_models.yaml")["without_factor"]["named_above_mole_percent"]
    unknown = {oxide: amount for oxide, amount in glaze.items() if amount > 0 and oxide not in entry.known}
    named = [oxide for oxide, amount in unknown.items() if amount >= named_above] or list(unknown)
    return f"{entry.name} for {', '.join(named)}"


def surface_tension_parts(glaze: MolePercent, *, model: TensionModel = "kucuk") -> dict[str, float]:
    """Return oxide -> what it adds to the surface tension [mN/m] (below 0: takes from it), the strongest first.

    Each oxide other than silica that the model knows, against the same moles (Dietzel: the same weight) of silica.
    """
    entry = _factors(model)
    amounts = entry.amounts(as_row(glaze))[0]
    silica = entry.factors.get("SiO2", 0.0)
    known = [oxide for oxide in glaze if oxide in entry.factors and oxide != "SiO2"]
    parts = {oxide: (entry.factors[oxide] - silica) * float(amounts[INDEX[oxide]]) for oxide in known}
    return dict(sorted(parts.items(), key=lambda part: -abs(part[1])))


def surface_tension(
    x: AnyComposition, *, basis: Basis | None = None, model: TensionModel = "kucuk", level: float = 0.90
) -> Estimate:
    """Estimate the surface tension of the clear melt.

    Parameters
    ----------
    x, basis, level
        As for `expansion`.
    model : str
        ``"kucuk"`` (1400 deg C), ``"appen"`` (1300 deg C, from memory) or ``"dietzel"`` (900 deg C, from memory).

    Returns
    -------
    Estimate
        In mN/m; `outside` names the oxides without a factor. The interval of Kucuk's model is how far it lies from measured
        melts of the open glass data, whose temperatures are not stated; the others carry none.

    Raises
    ------
    ArgumentError, UnknownNameError
        As for `expansion`.
    CompositionError
        If more than a trace of the glaze has no factor in the model.

    References
    ----------
    A. Kucuk, A. G. Clare, L. Jones, Glass Technol. 40 (1999) 149-153. The other two are from memory: see the data file.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/rill-clear.txt"), gc.load_materials("materials"))
    >>> found = gc.surface_tension(glaze)
    >>> round(found.value), found.unit
    (311, 'mN/m')
    """
    entry = _factors(model)
    check_level(level)
    glaze = to_mole_percent(x, basis)
    named_above = load_data("surface_tension_models.yaml")["without_factor"]["named_above_mole_percent"]
    without = refuse_unknown(glaze, entry.known, entry.name)
    counted = "counted as silica" if entry.per == "mole_percent" else "left out"
    estimate = Estimate(
        quantity="surface tension",
        model=model,
        value=float(surface_tensions(as_row(glaze), model=model)[0]),
        unit="mN/m",
        temperature_range_c=(entry.temperature_c, entry.temperature_c),
        outside=tuple(
            f"{oxide} {plain_number(amount)} mol % (no factor: {counted})"
            for oxide, amount in without.items()
            if amount >= named_above
        ),
        note=" ".join(entry.notes),
        source=entry.source,
    )
    half = None if entry.interval is None else entry.interval.at(level, region="inside")
    return with_interval(estimate, half, level)
