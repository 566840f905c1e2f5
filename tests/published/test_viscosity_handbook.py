"""The fitted viscosity, softening point and glass transition against handbook values of two well-known glasses."""

from __future__ import annotations

import pytest

from glazecalc.convert.unity import FiredAnalysis, MolePercent
from glazecalc.estimate.glass_points import glass_transition, softening_temperature
from glazecalc.estimate.viscosity import temperature_at_viscosity

# Float glass: T. Lakatos, L.-G. Johansson, B. Simmingskold, Glass Technol. 13 (1972) 88-95, constants from memory
# (confidence high); they put 10^3, 10^7.65 and 10^13 dPa s at 1193, 722 and 546 C.
FLOAT = MolePercent({"SiO2": 71.86, "Al2O3": 0.08, "MgO": 5.64, "CaO": 9.23, "Na2O": 13.13, "K2O": 0.02})

# E-glass of the usual handbook composition (wt %) softens near 846 C; from memory, confidence medium.
E_GLASS = FiredAnalysis({"SiO2": 54.3, "Al2O3": 15.2, "CaO": 17.3, "MgO": 4.7, "B2O3": 8.0, "Na2O": 0.5})


def test_float_glass_at_the_working_end() -> None:
    found = temperature_at_viscosity(FLOAT, log10_pa_s=2.0)
    assert found.value == pytest.approx(1193, abs=20)
    assert found.low is None or found.low < 1193 < (found.high or 0)


def test_float_glass_softening_point() -> None:
    assert softening_temperature(FLOAT).value == pytest.approx(722, abs=20)


def test_float_glass_transition() -> None:
    """10^13 dPa s, 546 C, is the annealing point; the transition lies within some tens of degrees of it."""
    found = glass_transition(FLOAT)
    assert found.value == pytest.approx(546, abs=30)


def test_e_glass_softening_point() -> None:
    assert softening_temperature(E_GLASS).value == pytest.approx(846, abs=30)
