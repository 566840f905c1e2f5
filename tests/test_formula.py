"""Mineral formulas: what is read, what is refused, what leaves in the fire."""

from __future__ import annotations

import pytest

from glazecalc.errors import FormulaError
from glazecalc.formula import formula_mass, formula_yield, parse_formula


def test_a_dot_after_a_count_parts_and_is_no_decimal():
    # borax is 381.4 g/mol (CRC Handbook); read as Na2B4O7.10 with H2O it would be 220.8
    assert formula_mass("Na2B4O7.10H2O") == pytest.approx(381.37, abs=0.01)
    assert parse_formula("Na2B4O7.10H2O") == {"Na": 2, "B": 4, "O": 17, "H": 20}


def test_a_decimal_may_lead_a_part():
    assert parse_formula("1.5Li2O.SiO2") == {"Li": 3.0, "O": 3.5, "Si": 1.0}
    assert parse_formula("0.3K2O.0.7CaO") == pytest.approx({"K": 0.6, "O": 1.0, "Ca": 0.7})


@pytest.mark.parametrize(
    "same", ["Al2Si2O5(OH)4", "Al2O3.2SiO2.2H2O", "Al2O3·2SiO2·2H2O", "Al₂Si₂O₅(OH)₄", " Al2 Si2 O5 (OH)4 "]
)
def test_one_mineral_written_in_several_ways(same: str):
    assert dict(formula_yield(same).analysis) == pytest.approx(dict(formula_yield("Al2Si2O5(OH)4").analysis))


@pytest.mark.parametrize(
    ("formula", "loss"),
    [
        ("Fe3O4", -3.46),  # gains oxygen to Fe2O3
        ("FeTiO3", -5.27),
        ("Cu2O", -11.18),
        ("MnO2", 18.40),  # loses oxygen to MnO
        ("Co3O4", 6.64),
        ("CaCO3", 43.97),
        ("SiO2", 0.0),
    ],
)
def test_loss_counts_oxygen_both_ways(formula: str, loss: float):
    assert formula_yield(formula).loi_percent == pytest.approx(loss, abs=0.01)


@pytest.mark.parametrize(
    "formula", ["CaF2", "Na3AlF6", "CaMg(CO3)2", "Al2Si2O5(OH)4", "KNO3", "MgSO4.7H2O", "SiC", "CdS"]
)
def test_oxides_and_losses_add_to_the_whole(formula: str):
    found = formula_yield(formula)
    assert sum(found.analysis.values()) + sum(found.loss.values()) == pytest.approx(100, abs=1e-9)


@pytest.mark.parametrize(
    "bad",
    [
        "",
        "Na0.75K0.25AlSiO4",
        "Al2Si2O5(OH",
        "Al2Si2O5OH)4",
        "2",
        "Xx2O",
        "K2O..SiO2",
        "K2O.",
        "al2o3",
        "Au2O3",
        "Si O2!",
        "(" * 50,
        "H2O" * 100,
        "[OH)2Ca",
    ],
)
def test_what_is_no_formula_is_refused(bad: str):
    with pytest.raises((FormulaError, LookupError)):
        formula_yield(bad)
