"""Molar masses of the whole axis against a second library, `molmass` (C. Gohlke, its own table of atomic masses).

Both rest on the IUPAC standard atomic weights; editions differ in the last digits, so 1 part in 20 000 is allowed.
"""

from __future__ import annotations

import pytest
from molmass import Formula

from glazecalc.formula import formula_mass
from glazecalc.oxides import AXIS, molar_mass


@pytest.mark.parametrize("oxide", AXIS)
def test_oxide_against_molmass(oxide: str):
    assert molar_mass(oxide) == pytest.approx(Formula(oxide).mass, rel=5e-5)


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("Na2B4O7.10H2O", "Na2B4O7(H2O)10"),
        ("K2O.Al2O3.6SiO2", "K2Al2Si6O16"),
        ("Al2Si2O5(OH)4", "Al2Si2O5(OH)4"),
        ("2CaO.3B2O3.5H2O", "Ca2B6O16H10"),
        ("CuCO3.Cu(OH)2", "CuCO3Cu(OH)2"),
        ("1.5Li2O.Al2O3", "Li6Al4O9"),
    ],
)
def test_mineral_against_molmass(ours: str, theirs: str):
    factor = 0.5 if ours.startswith("1.5") else 1.0
    assert formula_mass(ours) == pytest.approx(Formula(theirs).mass * factor, rel=5e-5)
