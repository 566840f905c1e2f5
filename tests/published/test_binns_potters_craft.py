"""C. F. Binns, The Potter's Craft (public domain), pages 46 and 48: worked raw-lead glazes, historical checks only.

Source: binns p. 46 and p. 48, as read at bitlit.ru. The weights are those the book prints; with them the bright glaze is
exact, and the matt one comes back within the rounding of its whole-part batch.
"""

from __future__ import annotations

import pytest

from glazecalc import unity_formula
from tests.handmade import brings, library_of

PRINTED_WEIGHTS = library_of(
    brings("white lead", 258, {"PbO": 1}),
    brings("whiting", 100, {"CaO": 1}),
    brings("feldspar", 557, {"K2O": 1, "Al2O3": 1, "SiO2": 6}),
    brings("kaolin", 258, {"Al2O3": 1, "SiO2": 2}),
    brings("calcined kaolin", 222, {"Al2O3": 1, "SiO2": 2}),
    brings("flint", 60, {"SiO2": 1}),
)


def test_bright_glaze_page_46_is_exact_with_the_printed_weights():
    batch = {"white lead": 154.8, "whiting": 30.0, "feldspar": 55.7, "kaolin": 25.8, "flint": 48.0}
    assert sum(batch.values()) == pytest.approx(314.3)
    unity = unity_formula(batch, PRINTED_WEIGHTS)
    assert dict(unity) == pytest.approx({"PbO": 0.6, "CaO": 0.3, "K2O": 0.1, "Al2O3": 0.2, "SiO2": 1.6}, abs=1e-9)


def test_matt_glaze_page_48_within_the_rounding_of_its_whole_part_batch():
    batch = {"white lead": 129, "whiting": 35, "feldspar": 83, "calcined kaolin": 33, "kaolin": 13, "flint": 14}
    unity = unity_formula(batch, PRINTED_WEIGHTS)
    # half a part of flint is 0.008 mol, half a part of feldspar 0.005 mol of SiO2
    printed = {"PbO": 0.50, "CaO": 0.35, "K2O": 0.15, "Al2O3": 0.35}
    assert {oxide: unity[oxide] for oxide in printed} == pytest.approx(printed, abs=0.005)
    assert unity["SiO2"] == pytest.approx(1.54, abs=0.015)


def test_matt_rule_page_48_oxygen_ratio():
    # SiO2 = 3 (3 Al2O3 + RO) / 4: acid oxygen to base oxygen 1.5 with alumina counted as a base
    batch = {
        "white lead": 258 * 0.50,
        "whiting": 100 * 0.35,
        "feldspar": 557 * 0.15,
        "calcined kaolin": 222 * 0.15,
        "kaolin": 258 * 0.05,
        "flint": 60 * 0.2375,
    }
    unity = unity_formula(batch, PRINTED_WEIGHTS)
    assert unity["SiO2"] == pytest.approx(1.5375, abs=1e-9)
    assert 2 * unity["SiO2"] / (unity.r2o + unity.ro + 3 * unity["Al2O3"]) == pytest.approx(1.5, abs=1e-9)
