"""A composition says what it is counted in, or is asked."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import glazecalc as gc
from glazecalc.convert.batch import resolve
from glazecalc.errors import ArgumentError, CompositionError, UnknownNameError
from glazecalc.estimate.surface_tension import surface_tension_parts
from glazecalc.oxides import molar_mass

GLAZE = gc.MolePercent(
    {"K2O": 4.0, "Na2O": 4.0, "CaO": 14.0, "MgO": 2.0, "Al2O3": 8.0, "B2O3": 5.0, "SiO2": 62.0, "Fe2O3": 1.0}
)
MASS = {oxide: moles * molar_mass(oxide) for oxide, moles in GLAZE.items()}
WEIGHT = {oxide: 100 * mass / sum(MASS.values()) for oxide, mass in MASS.items()}
RECIPE = gc.Recipe.from_parts("Test", {"potash feldspar": 50, "whiting": 20, "silica": 30})
LIBRARY = gc.load_materials()

ESTIMATES = {
    "expansion": lambda x, **basis: gc.expansion(x, **basis).value,
    "viscosity": lambda x, **basis: gc.viscosity(x, temperature_c=1200, **basis).value,
    "temperature at viscosity": lambda x, **basis: gc.temperature_at_viscosity(x, log10_pa_s=3, **basis).value,
    "glass transition": lambda x, **basis: gc.glass_transition(x, **basis).value,
    "softening": lambda x, **basis: gc.softening_temperature(x, **basis).value,
    "surface tension": lambda x, **basis: gc.surface_tension(x, **basis).value,
    "parts": lambda x, **basis: surface_tension_parts(gc.to_mole_percent(x, **basis))["CaO"],
    "difference": lambda x, **basis: gc.estimate_differences(x, GLAZE, **basis)[0].value,
    "mole per cent": lambda x, **basis: gc.to_mole_percent(x, **basis)["CaO"],
}


@pytest.mark.parametrize("name", [name for name in ESTIMATES if name != "difference"])
def test_every_way_to_give_one_glaze_gives_one_number(name: str) -> None:
    estimate = ESTIMATES[name]
    expected = pytest.approx(estimate(GLAZE), rel=1e-9)
    assert estimate(gc.FiredAnalysis(WEIGHT)) == expected
    assert estimate(dict(GLAZE), basis="mole percent") == expected
    assert estimate(WEIGHT, basis="weight percent") == expected
    assert estimate(pd.Series(WEIGHT), basis="weight percent") == expected
    assert estimate(pd.DataFrame([WEIGHT], index=["a"]).loc["a"], basis="weight percent") == expected


def test_two_glazes_given_in_one_basis_are_compared() -> None:
    assert gc.estimate_differences(WEIGHT, dict(WEIGHT), basis="weight percent")[0].value == 0
    assert gc.estimate_differences(dict(GLAZE), GLAZE, basis="mole percent")[0].value == 0


@pytest.mark.parametrize("name", ESTIMATES)
@pytest.mark.parametrize("bare", [dict(GLAZE), pd.Series(WEIGHT)], ids=["mapping", "series"])
def test_a_bare_composition_is_asked_what_it_is(name: str, bare: object) -> None:
    with pytest.raises(ArgumentError, match=r"mole per cent or weight per cent\?.*basis="):
        ESTIMATES[name](bare)


def test_what_it_costs_to_take_the_one_for_the_other() -> None:
    """Weight read as mole per cent is an error that no total and no limit notices."""
    clear = {"K2O": 7.0, "CaO": 14.0, "Al2O3": 8.0, "SiO2": 71.0}
    mass = {oxide: moles * molar_mass(oxide) for oxide, moles in clear.items()}
    weight = {oxide: 100 * grams / sum(mass.values()) for oxide, grams in mass.items()}
    right, wrong = gc.expansion(clear, basis="mole percent"), gc.expansion(weight, basis="mole percent")
    assert wrong.in_window
    assert wrong.value - right.value > 0.8


def test_a_basis_that_agrees_is_let_be_and_one_that_does_not_is_refused() -> None:
    assert gc.to_mole_percent(GLAZE, basis="mole percent") == gc.to_mole_percent(GLAZE)
    assert gc.to_mole_percent(gc.FiredAnalysis(WEIGHT), basis="weight percent")["CaO"] == pytest.approx(14)
    with pytest.raises(ArgumentError, match="contradicts"):
        gc.to_mole_percent(GLAZE, basis="weight percent")
    with pytest.raises(ArgumentError, match="contradicts"):
        gc.to_mole_percent(gc.FiredAnalysis(WEIGHT), basis="mole percent")
    with pytest.raises(ArgumentError, match="unity formula"):
        gc.to_mole_percent(gc.unity_formula(RECIPE, LIBRARY), basis="mole percent")
    with pytest.raises(UnknownNameError, match="'weight percent'"):
        gc.to_mole_percent(WEIGHT, basis="weight per cent")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (RECIPE, r"gc\.mole_percent\(recipe, materials\)"),
        (resolve(RECIPE, LIBRARY), r"gc\.mole_percent\(recipe, materials\)"),
        ("harbour-black.txt", r"gc\.mole_percent\(gc\.read_recipe\('harbour-black\.txt'\), materials\)"),
        (Path("a.txt"), r"gc\.read_recipe\('a\.txt'\)"),
        (LIBRARY, "MaterialLibrary"),
        ([62.0, 14.0], r"gc\.mole_percent\(recipe, materials\)"),
        (None, "is None"),
        (pd.DataFrame([WEIGHT]), "one row"),
    ],
    ids=lambda value: type(value).__name__,
)
@pytest.mark.parametrize("basis", [None, "mole percent"])
def test_what_is_no_composition_is_refused_with_the_call_to_write(given: object, said: str, basis: str) -> None:
    with pytest.raises(ArgumentError, match=said):
        gc.expansion(given, basis=basis)  # type: ignore[arg-type]


def test_entries_that_are_no_oxides_are_named_all_at_once() -> None:
    row = pd.Series({"recipe": "Black", "cone": "6", **WEIGHT})
    with pytest.raises(UnknownNameError, match=r"'recipe', 'cone'"):
        gc.expansion(row, basis="weight percent")
    with pytest.raises(UnknownNameError, match="how much of it is Na2O"):
        gc.expansion({"SiO2": 80.0, "KNaO": 20.0}, basis="mole percent")
    with pytest.raises(UnknownNameError, match="leaves in the fire"):
        gc.expansion({"SiO2": 80.0, "CaO": 15.0, "SO3": 5.0}, basis="mole percent")


@pytest.mark.parametrize("amount", [-1.0, float("nan"), float("inf"), "14", None, True])
def test_an_amount_that_is_no_amount_is_named(amount: object) -> None:
    with pytest.raises(gc.GlazeError, match="CaO"):
        gc.expansion({**GLAZE, "CaO": amount}, basis="mole percent")  # type: ignore[dict-item]
    with pytest.raises(gc.GlazeError, match="CaO"):
        gc.MolePercent({**GLAZE, "CaO": amount})  # type: ignore[dict-item]


def test_per_cents_total_98_to_102_and_are_brought_to_100() -> None:
    for total in (98.0, 102.0):
        scaled = {oxide: amount * total / 100 for oxide, amount in GLAZE.items()}
        assert dict(gc.to_mole_percent(scaled, basis="mole percent")) == pytest.approx(dict(GLAZE))
    for total in (97.9, 102.1, 0.0):
        scaled = {oxide: amount * total / 100 for oxide, amount in GLAZE.items()}
        with pytest.raises(CompositionError, match=r"98 to 102"):
            gc.to_mole_percent(scaled, basis="mole percent")
    unity = {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.4, "SiO2": 4.0}
    with pytest.raises(CompositionError, match="moles per unity"):
        gc.to_mole_percent(unity, basis="mole percent")
