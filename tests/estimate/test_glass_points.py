"""Glass transition and softening temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.estimate.glass_points import (
    glass_transition,
    glass_transitions,
    softening_temperature,
    softening_temperatures,
)
from glazecalc.estimate.viscosity import temperature_at_viscosity
from glazecalc.files.shipped import load_data
from tests.estimate.glazes import BLACK, BORON, GLAZES, LIME, ZINC, mole_percent, swapped


@given(GLAZES)
def test_a_glass_softens_above_its_transition(glaze: MolePercent) -> None:
    row = as_row(glaze)
    assert softening_temperatures(row)[0] > glass_transitions(row)[0] + 50


@pytest.mark.parametrize("glaze", [LIME, BORON, BLACK, ZINC], ids=["lime", "boron", "black", "zinc"])
def test_two_fits_of_other_rows_agree_on_softening(glaze: MolePercent) -> None:
    """Softening is 10^6.6 Pa s: the viscosity fit, made on other measurements, puts that at the same temperature."""
    assert softening_temperature(glaze).value == pytest.approx(
        temperature_at_viscosity(glaze, log10_pa_s=6.6).value, abs=25
    )


@pytest.mark.parametrize("glaze", [LIME, BORON, ZINC], ids=["lime", "boron", "zinc"])
@pytest.mark.parametrize("alkali", ["Li2O", "Na2O", "K2O"])
def test_alkali_for_silica_lowers_both(glaze: MolePercent, alkali: str) -> None:
    more = swapped(glaze, alkali)
    assert glass_transition(more).value < glass_transition(glaze).value
    assert softening_temperature(more).value < softening_temperature(glaze).value


def test_the_sum_by_hand() -> None:
    coefficients = load_data("glass_points.yaml")["transition"]["coefficients_c"]
    by_hand = coefficients["SiO2"] * 0.8 + coefficients["Na2O"] * 0.2 + coefficients["R2O*R2O"] * 0.2 * 0.2
    assert glass_transition({"SiO2": 80, "Na2O": 20}, basis="mole percent").value == pytest.approx(by_hand)


def test_many_at_once_equal_each_alone() -> None:
    rows = np.concatenate([as_row(x) for x in (LIME, BORON, ZINC)])
    assert glass_transitions(rows) == pytest.approx([glass_transition(x).value for x in (LIME, BORON, ZINC)])
    assert softening_temperatures(rows) == pytest.approx([softening_temperature(x).value for x in (LIME, BORON, ZINC)])


def test_an_answer_says_what_it_is_worth() -> None:
    found = glass_transition(LIME)
    assert (found.quantity, found.unit, found.model) == ("glass transition", "deg C", "fitted")
    assert found.in_window
    assert found.low is not None
    assert found.high is not None
    assert found.high - found.value == pytest.approx(found.value - found.low)
    assert "10^6.6 Pa s" in softening_temperature(LIME).note
    narrow, wide = (glass_transition(LIME, level=level) for level in (0.80, 0.95))
    assert (narrow.high or 0) < (wide.high or 0)


def test_where_the_data_are_few_the_answer_says_so() -> None:
    dark = glass_transition(BLACK)
    assert dark.low is not None
    assert dark.high is not None
    plain = glass_transition(LIME)
    assert dark.high - dark.low > (plain.high or 0) - (plain.low or 0)
    soft = softening_temperature(BLACK)
    assert soft.low is None
    assert soft.level is None
    assert "too few to know the error" in soft.note
    alumina = glass_transition(mole_percent({"K2O": 0.3, "CaO": 0.7, "Al2O3": 1.4, "SiO2": 4.0}))
    assert alumina.low is None
    assert any(text.startswith("Al2O3") for text in alumina.outside)


def test_what_cannot_be_used_is_refused() -> None:
    with pytest.raises(CompositionError, match="PbO"):
        softening_temperature(mole_percent({"PbO": 0.8, "CaO": 0.2, "Al2O3": 0.25, "SiO2": 2.0}))
    with pytest.raises(UnknownNameError, match=r"0.80, 0.90 or 0.95"):
        glass_transition(LIME, level=0.99)


def test_a_trace_without_data_does_not_move_a_glaze_out_of_the_window_and_more_does():
    plain = {"SiO2": 70.0, "Al2O3": 8.0, "CaO": 14.0, "K2O": 4.0, "Na2O": 4.0}
    trace = glass_transition(MolePercent({**plain, "Rb2O": 0.09}))
    assert trace.in_window
    assert "Rb2O" in trace.note
    more = glass_transition(MolePercent({**plain, "Rb2O": 0.2}))
    assert not more.in_window
    assert "Rb2O" in more.outside[0]
