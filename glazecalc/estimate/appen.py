"""Thermal expansion by Appen's additive method as published: the second opinion beside the fitted model.

Numbers, rules and the range they were published for are in ``data/expansion_appen.yaml``; most are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glazecalc.convert import arrays
from glazecalc.estimate.fitted import MODEL_GROUPS, TestedRange
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

__all__ = ("Appen", "appen", "appen_expansions")

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Appen:
    """Appen's method as read from its data file."""

    numbers: (
        Floats  # (k,) what each oxide counts [1e-9 per K per mol %]; 0 for one that follows a rule or has no number
    )
    known: NDArray[np.bool_]  # (k,) the oxides with a number or a rule
    rules: Mapping[str, Mapping[str, float]]
    tested: TestedRange  # what it was published for
    temperature_range_c: tuple[float, float]
    source: str


@cache
def appen() -> Appen:
    """Return Appen's method, read once."""
    data = load_data("expansion_appen.yaml")
    named = {*data["coefficients"], *data["rules"]}
    low, high = data["temperature_range_c"]
    return Appen(
        numbers=np.array([data["coefficients"].get(oxide, 0.0) for oxide in AXIS], dtype=np.float64),
        known=np.array([oxide in named for oxide in AXIS]),
        rules=data["rules"],
        tested=TestedRange.from_data(
            data["tested_range"],
            seen=tuple(named),
            tested="published for",
            unseen_is="no number: left out, the rest brought to 100",
        ),
        temperature_range_c=(low, high),
        source=f"{data['source']['author']}, {data['source']['title']}",
    )


def appen_expansions(mole_percent: Floats) -> Floats:
    """Calculate the linear expansion [1e-6 per K] over 20-400 deg C of many compositions.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions, iron as Fe2O3; oxides without a number are left out and the rest brought to 100.

    Returns
    -------
    array, shape (n,)
    """
    method = appen()
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
    total += rule["per_psi"] * np.clip(
        alkalis + earths + lead - alumina, rule["psi_low"] * boron, rule["psi_high"] * boron
    )
    rule = rules["K2O"]
    little_soda = of("Na2O") <= rule["soda_at_most"]
    total += potash * np.where(little_soda, rule["then"] - method.numbers[INDEX["K2O"]], 0.0)
    rule = rules["PbO"]
    plain = (alkalis < rule["alkali_below"]) | (earths > rule["ratio_above"] * alkalis)
    total += lead * np.where(plain, rule["then"], np.minimum(rule["from"] + rule["per_alkali"] * alkalis, rule["high"]))
    return total / 1000
