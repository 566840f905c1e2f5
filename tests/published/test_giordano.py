"""Giordano, Russell and Dingwell 2008 against values computed from the published constants outside this project.

The constants were read in five open implementations of the model (Earth Planet. Sci. Lett. 271 (2008) 123-134); the check
values below were worked from them by hand, apart from this code. Rounding of molar masses moves the last digit.
"""

from __future__ import annotations

import numpy as np
import pytest

from glazecalc.convert.basis import to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.estimate.giordano import giordano_parameters, giordano_viscosities
from glazecalc.oxides import molar_mass

BASALT = {
    "SiO2": 50.42,
    "TiO2": 1.53,
    "Al2O3": 15.13,
    "FeO": 9.81,
    "MgO": 7.76,
    "CaO": 11.35,
    "Na2O": 2.83,
    "K2O": 0.14,
}

UNITY = [
    ({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.4, "SiO2": 4.0}, 10343.1, 418.0, 4.522),
    ({"K2O": 0.1, "Na2O": 0.1, "CaO": 0.6, "MgO": 0.2, "Al2O3": 0.4, "SiO2": 3.5}, 9225.2, 463.4, 3.877),
    (
        {"K2O": 0.15, "Na2O": 0.07, "CaO": 0.68, "MgO": 0.10, "FeO": 0.35, "Al2O3": 0.5, "SiO2": 4.0},
        8460.8,
        490.2,
        3.372,
    ),
]


def row(moles: dict[str, float]) -> np.ndarray:
    total = sum(moles.values())
    return as_row(to_mole_percent({oxide: 100 * value / total for oxide, value in moles.items()}, "mole percent"))


def test_a_basalt_at_1200() -> None:
    composition = row({oxide: grams / molar_mass(oxide) for oxide, grams in BASALT.items()})
    a, b, c = giordano_parameters(composition)
    assert a == -4.55
    assert b[0] == pytest.approx(5404.6, abs=0.5)
    assert c[0] == pytest.approx(616.3, abs=0.1)
    assert giordano_viscosities(composition, 1200.0)[0] == pytest.approx(1.758, abs=0.001)


def test_a_basalt_with_one_per_cent_of_water() -> None:
    """The anhydrous part is first brought to 99 wt %."""
    total = sum(BASALT.values())
    moles = {oxide: 0.99 * 100 * grams / total / molar_mass(oxide) for oxide, grams in BASALT.items()}
    water = 1.0 / molar_mass("H2O")
    folded = {oxide: value for oxide, value in moles.items() if oxide != "FeO"} | {"Fe2O3": moles["FeO"] / 2}
    a, b, c = giordano_parameters(as_row(folded), water_mole_percent=water)
    assert b[0] == pytest.approx(5515.2, abs=0.5)
    assert c[0] == pytest.approx(489.2, abs=0.1)
    assert a + b[0] / (1200 + 273.15 - c[0]) == pytest.approx(1.055, abs=0.001)


@pytest.mark.parametrize(("unity", "b_k", "c_k", "log10_pa_s"), UNITY)
def test_glazes_at_1285(unity: dict[str, float], b_k: float, c_k: float, log10_pa_s: float) -> None:
    _, b, c = giordano_parameters(row(unity))
    assert b[0] == pytest.approx(b_k, abs=0.1)
    assert c[0] == pytest.approx(c_k, abs=0.1)
    assert giordano_viscosities(row(unity), 1285.0)[0] == pytest.approx(log10_pa_s, abs=0.001)


def test_many_glazes_at_once_equal_each_alone() -> None:
    rows = np.concatenate([row(unity) for unity, *_ in UNITY])
    assert giordano_viscosities(rows, 1285.0) == pytest.approx([value for *_, value in UNITY], abs=0.001)


def test_below_its_pole_the_model_has_no_answer() -> None:
    assert np.isnan(giordano_viscosities(row(UNITY[0][0]), 100.0)[0])
