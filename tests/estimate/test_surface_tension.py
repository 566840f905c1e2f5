"""Surface tension: the sums, what raises it, and what each model does not know."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.estimate.surface_tension import MODELS, surface_tension, surface_tension_parts, surface_tensions
from glazecalc.files.shipped import load_data
from tests.estimate.glazes import BLACK, BORON, GLAZES, LIME, ZINC, mole_percent, swapped

SODA = mole_percent({"Na2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0})  # Appen has no factor for potash


@pytest.mark.parametrize("oxide", ["Al2O3", "MgO", "CaO"])
@pytest.mark.parametrize("model", MODELS)
def test_alumina_magnesia_and_lime_for_silica_raise_it(model: str, oxide: str) -> None:
    assert surface_tension(swapped(SODA, oxide), model=model).value > surface_tension(SODA, model=model).value


@pytest.mark.parametrize(
    ("model", "oxide"),
    [("kucuk", "B2O3"), ("kucuk", "K2O"), ("dietzel", "B2O3"), ("dietzel", "K2O"), ("dietzel", "Na2O")],
)
def test_boron_and_alkali_for_silica_lower_it(model: str, oxide: str) -> None:
    assert surface_tension(swapped(LIME, oxide), model=model).value < surface_tension(LIME, model=model).value


@given(GLAZES)
def test_the_parts_add_up_to_the_whole(glaze: MolePercent) -> None:
    silica_alone = {"kucuk": 271.2, "dietzel": 340.0}
    for model, start in silica_alone.items():
        parts = surface_tension_parts(glaze, model=model)
        assert start + sum(parts.values()) == pytest.approx(surface_tensions(as_row(glaze), model=model)[0])


def test_parts_come_strongest_first_and_tell_up_from_down() -> None:
    change = surface_tension_parts(BORON)
    sizes = [abs(part) for part in change.values()]
    assert sizes == sorted(sizes, reverse=True)
    assert change["CaO"] > 0 > change["B2O3"]
    assert change["CaO"] == pytest.approx(3.34 * BORON["CaO"])
    assert "SiO2" not in change


def test_oxides_without_a_factor_are_named() -> None:
    found = surface_tension(swapped(LIME, "ZnO", 0.8))
    assert not found.in_window
    assert found.outside == ("ZnO 0.80 mol % (no factor: counted as silica)",)
    assert surface_tension(LIME).outside == ()
    little = surface_tension(swapped(SODA, "K2O", 0.6), model="appen")
    assert little.outside == ("K2O 0.60 mol % (no factor: left out)",)
    for glaze, named in ((ZINC, "ZnO 8.1"), (BLACK, "Fe2O3 4.3, CoO 0.69")):
        with pytest.raises(CompositionError, match=f"Kucuk 1999 has no number for {named} mol %"):
            surface_tension(glaze)


def test_each_model_names_its_temperature_and_its_memory_marks() -> None:
    found = {model: surface_tension(SODA, model=model) for model in MODELS}
    assert {model: one.temperature_range_c for model, one in found.items()} == {
        "kucuk": (1400, 1400),
        "appen": (1300, 1300),
        "dietzel": (900, 900),
    }
    assert "memory" not in found["kucuk"].note
    assert "not checked against the print; confidence medium" in found["appen"].note
    assert "not checked against the print; confidence medium" in found["dietzel"].note
    assert {one.unit for one in found.values()} == {"mN/m"}


def test_only_kucuk_carries_an_interval_and_it_is_wide() -> None:
    found = surface_tension(LIME)
    measured = load_data("surface_tension_error.yaml")["kucuk"]
    assert found.high is not None
    assert found.high - found.value == pytest.approx(measured["interval"]["half_width"]["inside"]["90"])
    assert measured["mae"] > 20
    assert surface_tension(SODA, model="appen").low is None
    assert "no limit for crawling is published" in found.note


def test_many_at_once_equal_each_alone() -> None:
    glazes = (SODA, swapped(SODA, "MgO", 5.0))
    rows = np.concatenate([as_row(x) for x in glazes])
    for model in MODELS:
        assert surface_tensions(rows, model=model) == pytest.approx(
            [surface_tension(x, model=model).value for x in glazes]
        )


def test_what_cannot_be_used_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="Did you mean 'kucuk'"):
        surface_tension(LIME, model="kukuk")
    with pytest.raises(UnknownNameError, match=r"0.80, 0.90 or 0.95"):
        surface_tension(LIME, level=0.5)
