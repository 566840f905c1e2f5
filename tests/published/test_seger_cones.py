"""Seger's cones 1, 2, 4, 6 and 8: printed batches give the printed formulas.

Source: Collected Writings of Hermann August Seger, Chemical Publishing Co., Easton 1902, tables of the cones (the same table in
Searle, Bourry, Ries). From memory, confidence high: every batch returns its formula. The batches stand for half the unity
formula with feldspar 557, marble 100, quartz 60, kaolin 259, ferric oxide 160; here they meet ideal minerals of modern
molar mass from the bundled library, so 0.005 is allowed.
"""

from __future__ import annotations

import pytest

from glazecalc import load_materials, unity_formula

LIBRARY = load_materials()
CASES = [  # cone, feldspar, marble, quartz, ferric oxide, kaolin; then Fe2O3, Al2O3, SiO2
    ("1", (83.55, 35.00, 66.00, 16.00, 0.0), (0.2, 0.3, 4)),
    ("2", (83.55, 35.00, 60.00, 8.00, 12.95), (0.1, 0.4, 4)),
    ("4", (83.55, 35.00, 54.00, 0.0, 25.90), (0.0, 0.5, 4)),
    ("6", (83.55, 35.00, 108.00, 0.0, 38.85), (0.0, 0.6, 6)),
    ("8", (83.55, 35.00, 156.00, 0.0, 64.75), (0.0, 0.8, 8)),
]


@pytest.mark.parametrize(("cone", "batch", "formula"), CASES, ids=[case[0] for case in CASES])
def test_batch_returns_formula(cone: str, batch: tuple[float, ...], formula: tuple[float, float, float]):
    names = ("potash_feldspar_ideal", "whiting", "silica", "red_iron_oxide", "kaolin")
    unity = unity_formula({name: parts for name, parts in zip(names, batch, strict=True) if parts}, LIBRARY)
    iron, alumina, silica = formula
    assert unity["K2O"] == pytest.approx(0.3, abs=0.005)
    assert unity["CaO"] == pytest.approx(0.7, abs=0.005)
    assert unity["Fe2O3"] == pytest.approx(iron, abs=0.005)
    assert unity["Al2O3"] == pytest.approx(alumina, abs=0.005)
    assert unity["SiO2"] == pytest.approx(silica, abs=0.005)
