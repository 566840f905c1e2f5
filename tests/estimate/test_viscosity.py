"""Viscosity: physics any melt obeys, and honesty at the edges."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.estimate.fitted import MODEL_GROUPS, design_matrix
from glazecalc.estimate.viscosity import temperature_at_viscosity, viscosities, viscosity
from glazecalc.files.shipped import load_data
from tests.estimate.glazes import BLACK, BORON, GLAZES, LIME, ZINC, mole_percent, swapped


@given(GLAZES)
def test_a_hotter_melt_is_runnier(glaze: MolePercent) -> None:
    row = as_row(glaze)
    values = [viscosities(row, t)[0] for t in range(800, 1401, 100)]
    assert np.isfinite(values).all()
    assert all(cold > hot for cold, hot in pairwise(values))


@given(GLAZES, st.floats(1.5, 5.0))
def test_the_temperature_of_a_viscosity_gives_the_viscosity_back(glaze: MolePercent, log10_pa_s: float) -> None:
    found = temperature_at_viscosity(glaze, log10_pa_s=log10_pa_s)
    assert viscosities(as_row(glaze), found.value)[0] == pytest.approx(log10_pa_s, abs=1e-9)


@pytest.mark.parametrize("glaze", [LIME, BORON, ZINC], ids=["lime", "boron", "zinc"])
@pytest.mark.parametrize("oxide", ["B2O3", "Li2O", "Na2O", "K2O", "CaO", "ZnO", "BaO", "Fe2O3"])
def test_a_flux_for_silica_thins_the_melt(glaze: MolePercent, oxide: str) -> None:
    """Every handbook agrees on the direction for these oxides at maturing heat."""
    before, after = (viscosities(as_row(x), 1222.0)[0] for x in (glaze, swapped(glaze, oxide)))
    assert after < before


@pytest.mark.parametrize("glaze", [LIME, BORON, ZINC], ids=["lime", "boron", "zinc"])
def test_alumina_for_lime_stiffens_the_melt(glaze: MolePercent) -> None:
    stiffer = MolePercent({**glaze, "CaO": glaze["CaO"] - 1, "Al2O3": glaze["Al2O3"] + 1})
    assert viscosities(as_row(stiffer), 1222.0)[0] > viscosities(as_row(glaze), 1222.0)[0]


def test_lithia_thins_more_than_soda_and_soda_more_than_potash_by_mole() -> None:
    for glaze in (LIME, BORON, ZINC):
        li, na, k = (viscosities(as_row(swapped(glaze, oxide)), 1222.0)[0] for oxide in ("Li2O", "Na2O", "K2O"))
        assert li < na < k


def test_the_formula_by_hand() -> None:
    """A silica-soda glass, term by term from the data file."""
    data = load_data("viscosity_fitted.yaml")
    si, na = 0.8, 0.2
    isokom, offset = data["isokom_c"], data["offset_c"]
    t_isokom = isokom["SiO2"] * si + isokom["Na2O"] * na + isokom["R2O*R2O"] * na * na
    t_offset = offset["SiO2"] * si + offset["Na2O"] * na
    by_hand = data["A"] + (3 - data["A"]) * (t_isokom - t_offset) / (1200 - t_offset)
    assert viscosities(as_row({"SiO2": 80.0, "Na2O": 20.0}), 1200.0)[0] == pytest.approx(by_hand, abs=1e-12)


def test_many_at_once_equal_each_alone_in_any_form() -> None:
    rows = np.concatenate([as_row(x) for x in (LIME, BORON, ZINC)])
    at_once = viscosities(rows, np.array([1200.0, 1100.0, 1300.0]))
    alone = [viscosity(x, temperature_c=t).value for x, t in ((LIME, 1200.0), (BORON, 1100.0), (ZINC, 1300.0))]
    assert at_once == pytest.approx(alone)
    bare = viscosity(dict(LIME), basis="mole percent", temperature_c=1200)
    assert bare.value == pytest.approx(viscosity(LIME, temperature_c=1200).value)


def test_iron_counts_the_same_as_ferric_or_ferrous() -> None:
    ferrous = {oxide: value for oxide, value in BLACK.items() if oxide != "Fe2O3"} | {"FeO": 2 * BLACK["Fe2O3"]}
    total = sum(ferrous.values())
    scaled = MolePercent({oxide: 100 * value / total for oxide, value in ferrous.items()})
    assert viscosity(scaled, temperature_c=1200).value == pytest.approx(viscosity(BLACK, temperature_c=1200).value)


def test_an_answer_says_what_it_is_worth() -> None:
    found = viscosity(LIME, temperature_c=1285)
    assert (found.quantity, found.model, found.unit, found.temperature_range_c) == (
        "viscosity",
        "fitted",
        "log10 Pa s",
        (1285, 1285),
    )
    assert found.in_window
    assert found.outside == ()
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.value < found.high
    assert found.high - found.value == pytest.approx(found.value - found.low)
    assert "SciGlass" in found.source
    widths = [viscosity(LIME, temperature_c=1200, level=level) for level in (0.80, 0.90, 0.95)]
    spans = [(w.high or 0) - (w.low or 0) for w in widths]
    assert spans == sorted(set(spans))


def test_the_interval_widens_in_the_cold_and_for_iron_and_outside() -> None:
    def half(x: MolePercent, t: float) -> float:
        found = viscosity(x, temperature_c=t)
        assert found.high is not None
        return found.high - found.value

    assert half(LIME, 900) > half(LIME, 1100) > half(LIME, 1300)
    assert half(BLACK, 1200) > 2 * half(LIME, 1200)
    assert viscosity(BLACK, temperature_c=1200).in_window
    assert "iron" in viscosity(BLACK, temperature_c=1200).note
    magnesian = mole_percent({"K2O": 0.15, "CaO": 0.15, "MgO": 0.9, "Al2O3": 0.4, "SiO2": 3.2})
    out = viscosity(magnesian, temperature_c=1200)
    assert not out.in_window
    assert any(text.startswith("MgO 18.") and "tested 0 to 15" in text for text in out.outside)
    assert half(magnesian, 1200) > half(LIME, 1200)


def test_outside_the_tested_temperatures_there_is_a_word_and_no_interval() -> None:
    found = viscosity(LIME, temperature_c=1450)
    assert found.low is None
    assert found.level is None
    assert not found.in_window
    assert any("1450 C (tested 800 to 1400)" in text for text in found.outside)


def test_beyond_the_data_there_is_no_interval() -> None:
    alumina = mole_percent({"K2O": 0.3, "CaO": 0.7, "Al2O3": 1.4, "SiO2": 4.0})
    found = viscosity(alumina, temperature_c=1300)
    assert found.low is None
    assert any(text.startswith("Al2O3") for text in found.outside)
    vanadium = viscosity(swapped(LIME, "V2O5", 0.8), temperature_c=1200)
    assert vanadium.low is None
    assert any("V2O5 0.80 mol % (no such glass in the data)" in text for text in vanadium.outside)


def test_a_lead_glaze_is_refused() -> None:
    lead = mole_percent({"PbO": 0.8, "CaO": 0.2, "Al2O3": 0.25, "SiO2": 2.0})
    with pytest.raises(CompositionError, match=r"PbO 24.6"):
        viscosity(lead, temperature_c=1000)
    with pytest.raises(CompositionError, match="PbO"):
        temperature_at_viscosity(lead, log10_pa_s=3)


def test_what_cannot_be_used_is_refused() -> None:
    with pytest.raises(UnknownNameError, match=r"0.80, 0.90 or 0.95"):
        viscosity(LIME, temperature_c=1200, level=0.5)
    with pytest.raises(UnknownNameError, match="'fitted', 'giordano'"):
        viscosity(LIME, temperature_c=1200, model="arrhenius")  # type: ignore[arg-type]
    with pytest.raises(CompositionError, match="at 300 C"):
        viscosity(LIME, temperature_c=300)
    with pytest.raises(CompositionError, match="totals 5"):
        viscosity({"K2O": 0.3, "CaO": 0.7, "SiO2": 4.0}, basis="mole percent", temperature_c=1200)
    with pytest.raises(CompositionError, match="no temperature"):
        temperature_at_viscosity(LIME, log10_pa_s=-5)
    with pytest.raises(CompositionError, match="no temperature"):
        temperature_at_viscosity(LIME, log10_pa_s=float("nan"))


def test_the_interval_of_a_temperature_is_that_of_the_viscosity() -> None:
    found = temperature_at_viscosity(LIME, log10_pa_s=3.4)
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.value < found.high
    half = viscosity(LIME, temperature_c=found.value)
    assert half.high is not None
    width = half.high - half.value
    assert viscosity(LIME, temperature_c=found.low).value == pytest.approx(3.4 + width)
    assert viscosity(LIME, temperature_c=found.high).value == pytest.approx(3.4 - width)


def test_giordano_beside_it_only_where_it_knows_the_oxides() -> None:
    found = viscosity(LIME, temperature_c=1285, model="giordano")
    assert found.low is not None
    assert found.high is not None
    ours = viscosity(LIME, temperature_c=1285)
    assert found.low < ours.value < found.high
    with pytest.raises(CompositionError, match=r"B2O3 7.4"):
        viscosity(BORON, temperature_c=1222, model="giordano")
    little = viscosity(swapped(LIME, "ZnO", 1.0), temperature_c=1222, model="giordano")
    assert "ZnO 1.00" in little.note
    assert viscosity(LIME, temperature_c=1500, model="giordano").low is None


def test_terms_are_mole_fractions() -> None:
    row = as_row({"SiO2": 60.0, "Al2O3": 10.0, "Na2O": 5.0, "K2O": 5.0, "CaO": 15.0, "SnO2": 3.0, "CoO": 2.0})
    found = design_matrix(row, ("SiO2", "Al2O3", "CaO", "Na2O", "K2O", "R2O*Al2O3", "RO*RO", "other"))
    assert found[0] == pytest.approx([0.60, 0.10, 0.15, 0.05, 0.05, 0.01, 0.0225, 0.05])
    assert set(MODEL_GROUPS) == {"R2O", "RO", "R2O+RO"}


def test_nothing_is_said_of_the_fired_surface() -> None:
    for found in (viscosity(BLACK, temperature_c=1222), viscosity(LIME, temperature_c=1285, model="giordano")):
        assert not any(word in found.note.lower() for word in ("gloss", "matt", "shiny"))
