"""Melt viscosity after Giordano, Russell and Dingwell 2008, made for volcanic melts.

It is the second opinion beside our own fit, and only for glazes without boron, zinc, lithium, barium or strontium.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glazecalc.files.shipped import load_data
from glazecalc.oxides import INDEX, molar_mass

__all__ = ("giordano", "giordano_parameters", "giordano_viscosities", "outside_giordano")

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Giordano:
    """The published model as read from its data file."""

    a: float
    b: Mapping[str, float]  # the constants of B and C by their printed names
    c: Mapping[str, float]
    oxides: tuple[str, ...]  # what the model knows; iron as Fe2O3
    silica_weight_percent: tuple[float, float]  # what it was made for
    temperature_c: tuple[float, float]
    source: str


@cache
def giordano() -> Giordano:
    """Return the published model, read once."""
    data = load_data("viscosity_giordano_2008.yaml")
    domain = data["domain"]
    return Giordano(
        a=float(data["A"]),
        b=data["B"],
        c=data["C"],
        oxides=tuple(data["oxides"]),
        silica_weight_percent=tuple(domain["silica_weight_percent"]),
        temperature_c=tuple(domain["temperature_c"]),
        source=data["source"],
    )


def giordano_parameters(
    mole_percent: Floats, *, water_mole_percent: Floats | float = 0.0
) -> tuple[float, Floats, Floats]:
    """Return A, B and C of ``log10(viscosity / Pa s) = A + B / (T - C)``.

    Compositions (n, k) [mol %], iron as Fe2O3; water [mol] comes on top of them, and a fired glaze holds none to speak of. B and
    C [K] have the shape (n,).

    References
    ----------
    D. Giordano, J. K. Russell, D. B. Dingwell, Earth Planet. Sci. Lett. 271 (2008) 123-134.
    """
    model = giordano()
    known = {oxide: mole_percent[:, INDEX[oxide]] for oxide in model.oxides}
    known["FeO"] = 2.0 * known.pop("Fe2O3")  # the model counts all iron as FeO
    water = np.broadcast_to(np.asarray(water_mole_percent, dtype=np.float64), mole_percent.shape[:1])
    total = sum(known.values()) + water
    x = {oxide: 100.0 * amount / total for oxide, amount in known.items()}
    volatile = 100.0 * water / total
    silica_titania = x["SiO2"] + x["TiO2"]
    titania_alumina = x["TiO2"] + x["Al2O3"]
    iron_magnesia = x["FeO"] + x["MnO"] + x["MgO"]
    alkali = x["Na2O"] + x["K2O"]
    log_water = np.log1p(volatile)
    b, c = model.b, model.c
    big_b = (
        b["b1"] * silica_titania
        + b["b2"] * x["Al2O3"]
        + b["b3"] * (x["FeO"] + x["MnO"] + x["P2O5"])
        + b["b4"] * x["MgO"]
        + b["b5"] * x["CaO"]
        + b["b6"] * (x["Na2O"] + volatile)
        + b["b7"] * (volatile + log_water)
        + b["b11"] * silica_titania * iron_magnesia
        + b["b12"] * (x["SiO2"] + titania_alumina + x["P2O5"]) * (alkali + volatile)
        + b["b13"] * x["Al2O3"] * alkali
    )
    big_c = (
        c["c1"] * x["SiO2"]
        + c["c2"] * titania_alumina
        + c["c3"] * iron_magnesia
        + c["c4"] * x["CaO"]
        + c["c5"] * alkali
        + c["c6"] * log_water
        + c["c11"] * (x["Al2O3"] + iron_magnesia + x["CaO"] - x["P2O5"]) * (alkali + volatile)
    )
    return model.a, big_b, big_c


def giordano_viscosities(mole_percent: Floats, temperature_c: Floats | float) -> Floats:
    """Return log10(viscosity / Pa s) (n,) of compositions (n, k) [mol %]; NaN where the temperature does not exceed C."""
    a, b, c = giordano_parameters(mole_percent)
    above = np.asarray(temperature_c, dtype=np.float64) + 273.15 - c
    return np.where(above > 0, a + b / np.where(above > 0, above, np.nan), np.nan)


def outside_giordano(mole_percent: Mapping[str, float], temperature_c: float) -> tuple[str, ...]:
    """Name what lies outside the range that the model was made for."""
    found = []
    low, high = giordano().silica_weight_percent
    masses = {oxide: value * molar_mass(oxide) for oxide, value in mole_percent.items()}
    silica = 100.0 * masses.get("SiO2", 0.0) / sum(masses.values())
    if not low <= silica <= high:
        found.append(f"SiO2 {silica:.0f} wt % (model made for {low:g} to {high:g})")
    low, high = giordano().temperature_c
    if not low <= temperature_c <= high:
        found.append(f"temperature {temperature_c:g} C (model made for {low:g} to {high:g})")
    return tuple(found)
