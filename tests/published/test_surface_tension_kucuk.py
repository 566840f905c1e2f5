"""Kucuk, Clare and Jones 1999 (Glass Technol. 40, 149-153), as reproduced at glassproperties.com/surfacetension.

    mN/m at 1400 C = 271.2 + 3.47 Al2O3 + 3.34 CaO + 3.32 SrO + 2.92 MnO + 2.68 FeO + 1.96 MgO + 1.48 Li2O + 1.28 BaO
                     - 1.38 PbO - 2.22 K2O - 2.86 B2O3        (mol %)

The five glazes were worked from that equation by hand, apart from this code.
"""

from __future__ import annotations

import pytest

from glazecalc.estimate.surface_tension import surface_tension
from glazecalc.files.shipped import load_data

GLAZES = {
    "lime gloss": ({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.4, "SiO2": 4.0}, 327.9),
    "mixed gloss": ({"K2O": 0.1, "Na2O": 0.1, "CaO": 0.6, "MgO": 0.2, "Al2O3": 0.4, "SiO2": 3.5}, 343.9),
    "alumina matte": ({"K2O": 0.1, "Na2O": 0.1, "CaO": 0.6, "MgO": 0.2, "Al2O3": 0.5, "SiO2": 2.5}, 368.9),
    "high magnesia": ({"K2O": 0.1, "Na2O": 0.1, "CaO": 0.3, "MgO": 0.5, "Al2O3": 0.5, "SiO2": 3.0}, 348.9),
    "boron gloss": (
        {"K2O": 0.109, "Na2O": 0.25, "CaO": 0.469, "MgO": 0.172, "Al2O3": 0.24, "B2O3": 0.397, "SiO2": 3.744},
        296.5,
    ),
}
PRINTED = {
    "Al2O3": 3.47, "CaO": 3.34, "SrO": 3.32, "MnO": 2.92, "FeO": 2.68, "MgO": 1.96, "Li2O": 1.48, "BaO": 1.28, "PbO": -1.38, "K2O": -2.22,
    "B2O3": -2.86,
}  # fmt: skip


@pytest.mark.parametrize("name", GLAZES)
def test_a_glaze_worked_by_hand(name: str) -> None:
    unity, by_hand = GLAZES[name]
    total = sum(unity.values())
    found = surface_tension({oxide: 100 * moles / total for oxide, moles in unity.items()}, basis="mole percent")
    assert found.value == pytest.approx(by_hand, abs=0.06)
    assert found.temperature_range_c == (1400, 1400)


def test_the_factors_are_those_printed() -> None:
    entry = load_data("surface_tension_models.yaml")["kucuk"]
    assert entry["constant"] == 271.2
    assert {oxide: entry["factors"][oxide] for oxide in PRINTED} == PRINTED
