"""The difference of two glazes: laws that any difference obeys, and an error that is small between neighbours."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import UnknownNameError
from glazecalc.estimate.difference import EstimateDifference, estimate_differences
from tests.estimate.glazes import BLACK, BORON, GLAZES, LIME, ZINC, mole_percent, swapped

AT = (1222.0,)
MEASURED = {
    ("expansion", "fitted"), ("expansion", "appen"), ("log viscosity", "fitted"),
    ("glass transition", "fitted"), ("softening temperature", "fitted"),
}  # fmt: skip


def found(a: MolePercent, b: MolePercent, **more: float) -> dict[tuple[str, str], EstimateDifference]:
    return {(one.quantity, one.model): one for one in estimate_differences(a, b, temperatures_c=AT, **more)}


def between(a: MolePercent, b: MolePercent, share: float) -> MolePercent:
    return mole_percent({oxide: (1 - share) * a[oxide] + share * b[oxide] for oxide in {*a, *b}})


@given(GLAZES, GLAZES)
def test_turned_round_every_difference_changes_its_sign_and_nothing_else(a: MolePercent, b: MolePercent) -> None:
    forth, back = found(a, b), found(b, a)
    assert forth.keys() == back.keys()
    turned = {"up": "down", "down": "up", "unsure": "unsure"}
    for key, one in forth.items():
        other = back[key]
        assert (other.value, other.odds, other.direction) == (-one.value, one.odds, turned[one.direction])
        assert (other.low, other.high) == (
            None if one.high is None else -one.high,
            None if one.low is None else -one.low,
        )


@given(GLAZES)
def test_a_glaze_differs_from_itself_by_nothing_and_that_is_sure(glaze: MolePercent) -> None:
    for key, one in found(glaze, glaze).items():
        assert one.value == 0
        assert one.direction == "unsure"
        if key in MEASURED and one.first.region != "beyond" and one.half_width is not None:
            assert one.low == one.high == 0


@given(GLAZES, GLAZES, st.floats(0.05, 0.95), st.sampled_from([0.80, 0.90, 0.95]))
def test_the_error_grows_with_the_distance(a: MolePercent, b: MolePercent, share: float, level: float) -> None:
    """Inside the tested range, on the straight way from one glaze to the other."""
    near, far = found(a, between(a, b, share), level=level), found(a, b, level=level)
    for key in MEASURED & near.keys() & far.keys():
        if {one.first.region for one in (near[key], far[key])} | {far[key].second.region, near[key].second.region} == {
            "inside"
        }:
            assert near[key].half_width <= far[key].half_width + 1e-6  # rounding apart


@given(GLAZES, GLAZES)
def test_levels_are_nested_and_nothing_is_not_a_number(a: MolePercent, b: MolePercent) -> None:
    narrow, wide = found(a, b, level=0.80), found(a, b, level=0.95)
    for key, one in wide.items():
        json.dumps(one.to_dict(), allow_nan=False)
        if one.half_width is not None and narrow[key].half_width is not None:
            assert narrow[key].half_width <= one.half_width
        assert one.odds is None or 0.5 <= one.odds <= 1
    with pytest.raises(UnknownNameError):
        found(a, b, level=0.5)


@pytest.mark.parametrize("glaze", [LIME, BORON, ZINC], ids=["lime", "boron", "zinc"])
@pytest.mark.parametrize("parts", [1.0, 2.0, 4.0])
def test_silica_for_anything_else_stiffens_and_lowers_expansion_and_is_said(glaze: MolePercent, parts: float) -> None:
    """Every handbook agrees on both directions: no step is too small for a direction, with its odds."""
    more = mole_percent({**glaze, "SiO2": glaze["SiO2"] + parts})
    both = found(glaze, more)
    for key, way in ((("log viscosity", "fitted"), 1), (("expansion", "fitted"), -1)):
        assert both[key].value * way > 0
        assert both[key].odds > 0.6
        assert both[key].direction in ("unsure", "up" if way > 0 else "down")


def test_a_large_step_is_sure_and_a_small_one_has_odds() -> None:
    viscosity = ("log viscosity", "fitted")
    assert found(BORON, LIME)[viscosity].direction == "up"
    assert found(BORON, LIME)[viscosity].odds > 0.95
    small = found(LIME, swapped(LIME, "CaO", 0.2))[viscosity]
    assert small.direction == "unsure"
    assert 0.5 < small.odds < 0.95


def test_of_two_neighbours_the_difference_is_better_known_than_either() -> None:
    for one in found(LIME, swapped(LIME, "K2O", 1.0)).values():
        if one.half_width is not None and one.first.high is not None:
            assert one.half_width < (one.first.high - one.first.value) / 1.5


def test_outside_the_tested_range_the_error_is_wider_and_beyond_it_there_is_none() -> None:
    dark, clear = found(BLACK, swapped(BLACK, "CaO", 2.0)), found(LIME, swapped(LIME, "CaO", 2.0))
    for key in (("expansion", "fitted"), ("log viscosity", "fitted"), ("glass transition", "fitted")):
        assert dark[key].half_width > 1.2 * clear[key].half_width
    strange = mole_percent({**LIME, "P2O5": 9.0})  # of a bone ash glaze the models saw none
    beyond = found(LIME, strange)["log viscosity", "fitted"]
    assert (beyond.half_width, beyond.odds, beyond.direction, beyond.in_window) == (None, None, "unsure", False)
    assert any("P2O5" in text for text in beyond.outside)
    hot = estimate_differences(LIME, BORON, temperatures_c=(1450,))[-1]
    assert (hot.half_width, hot.in_window) == (None, False)


def test_nothing_is_said_of_an_estimate_that_one_of_the_two_has_not() -> None:
    leaded = mole_percent({**LIME, "PbO": 10.0})
    assert ("log viscosity", "fitted") not in found(LIME, leaded)
    assert ("log viscosity", "fitted") in found(LIME, BORON)


def test_appen_stands_with_its_corrected_value() -> None:
    """The correction is the median of measured minus Appen, -2.52e-7 per K over 20-400 C (`tests/calibration/accuracy.md`)."""
    one = gc.expansion(LIME, model="appen", temperature_range_c=(20, 400))
    assert one.corrected == pytest.approx(one.value - 0.252)
    assert gc.expansion(LIME).corrected is None
    difference = found(LIME, BORON)["expansion", "appen"]
    assert difference.value == pytest.approx(difference.second.corrected - difference.first.corrected)
    assert math.isfinite(difference.half_width)


@pytest.mark.parametrize(
    ("value", "half", "odds", "unit", "said"),
    [
        (-0.0762, 0.6738, 0.613, "1e-6 per K", "-0.08 ± 0.67 (90 %) 1e-6 per K, 6 in 10 that it is down"),
        (0.62, 0.31, 0.999, "log10 Pa s", "+0.62 ± 0.31 (90 %) log10 Pa s"),
        (0.14, 30.0, 0.5035, "deg C", "0 ± 30 (90 %) deg C, as likely up as down"),
        (-7.7, None, None, "mN/m", "-8 mN/m, error not known"),
    ],
)
def test_a_difference_is_said_with_its_error_and_its_odds(
    value: float, half: float | None, odds: float | None, unit: str, said: str
) -> None:
    one = gc.Estimate(quantity="expansion", model="fitted", value=0.0, unit=unit)
    low, high = (None, None) if half is None else (value - half, value + half)
    found = gc.EstimateDifference(
        quantity="expansion", model="fitted", first=one, second=one, value=value, low=low, high=high,
        level=None if half is None else 0.9, odds=odds, unit=unit,
    )  # fmt: skip
    assert str(found) == said
    assert repr(found) == f"<EstimateDifference expansion, fitted: {said}>"
