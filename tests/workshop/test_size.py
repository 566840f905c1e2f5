"""Sizes: from the wheel to the table and back, spread over bars, clay, absorption, and lengths in words."""

from __future__ import annotations

import math
import pickle
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.amounts import inches_text, pounds_text
from glazecalc.errors import ArgumentError, WorkshopError
from glazecalc.units import parse_quantity
from glazecalc.workshop.shrinkage import Bar, shrinkages, sizes_from_fired, sizes_from_wet
from glazecalc.workshop.size import absorption_percent, clay_mass_g


@given(st.floats(1, 2000), st.floats(0.1, 30), st.floats(0, 1))
def test_there_and_back(fired: float, total: float, share: float):
    there = sizes_from_fired(fired, total, total * share)
    back = sizes_from_wet(there.wet_mm, total, total * share)
    assert back.fired_mm == pytest.approx(fired, rel=1e-12)
    assert there.dry_mm is not None
    assert fired <= there.dry_mm * (1 + 1e-12) <= there.wet_mm * (1 + 1e-9)


@given(st.floats(50, 200), st.floats(0.85, 1), st.floats(0.85, 1))
def test_shrinkages_chain_and_do_not_add(wet: float, dry: float, fired: float):
    bar = Bar(wet=wet, dry=wet * dry, fired=wet * dry * fired)
    assert bar.drying_percent is not None
    assert bar.firing_percent is not None
    assert 1 - bar.total_percent / 100 == pytest.approx(
        (1 - bar.drying_percent / 100) * (1 - bar.firing_percent / 100), rel=1e-9
    )
    assert bar.total_percent <= bar.drying_percent + bar.firing_percent + 1e-9


def test_bar_of_the_studio():
    bar = Bar(wet=100, dry=93.5, fired=87.6)
    assert bar.total_percent == pytest.approx(12.4)
    assert bar.firing_percent == pytest.approx(6.31, abs=0.005)
    sizes = sizes_from_fired(9 * 25.4, 12.4, 6.5)
    assert sizes.wet_mm / 25.4 == pytest.approx(10.27, abs=0.005)
    assert (sizes.dry_mm or 0) / 25.4 == pytest.approx(9.61, abs=0.006)


def test_eight_inches_at_12_5_percent_come_out_seven():
    assert sizes_from_wet(8 * 25.4, 12.5).fired_mm == pytest.approx(7 * 25.4, rel=1e-12)


def test_mean_and_spread_over_bars():
    drying, firing, total = shrinkages(
        [Bar(wet=100, dry=94, fired=88), Bar(wet=100, dry=93, fired=87), Bar(wet=100, dry=93.5, fired=86)]
    )
    assert total.mean == pytest.approx(13.0)
    assert total.deviation == pytest.approx(1.0)
    assert (total.low, total.high, total.count) == (12, 14, 3)
    assert drying is not None
    assert drying.mean == pytest.approx(6.5)
    assert firing is not None
    assert shrinkages([Bar(wet=100, fired=88)])[0] is None


@pytest.mark.parametrize(
    "lengths",
    [
        {"wet": 100, "fired": 110},
        {"wet": 100, "dry": 101, "fired": 90},
        {"wet": 100, "dry": 85, "fired": 88},
        {"wet": 0, "fired": 0},
        {"wet": math.nan, "fired": 1},
    ],
)
def test_bars_that_cannot_be(lengths: dict[str, float]):
    with pytest.raises(WorkshopError):
        Bar(**lengths)


def test_sizes_that_cannot_be():
    for call in (
        lambda: sizes_from_fired(-9, 12),
        lambda: sizes_from_fired(math.inf, 12),
        lambda: sizes_from_wet(math.inf, 12),
        lambda: sizes_from_fired(9, 100),
        lambda: sizes_from_fired(9, 12, 13),
        lambda: sizes_from_wet(0, 12),
    ):
        with pytest.raises(WorkshopError):
            call()


def test_clay_by_the_two_laws():
    assert clay_mass_g(1000, 9, 18, power=2) == pytest.approx(4000)
    assert clay_mass_g(1000, 9, 18, power=3) == pytest.approx(8000)
    with pytest.raises(WorkshopError):
        clay_mass_g(1000, 0, 18, power=2)


def test_absorption_is_on_the_dry_weight():
    assert absorption_percent(200, 204) == pytest.approx(2.0)
    assert absorption_percent(200, 200) == 0
    with pytest.raises(WorkshopError, match="right way round"):
        absorption_percent(204, 200)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (25.4, "1"),
        (25.4 * 10.274, "10 1/4"),
        (25.4 * 9.99, "10"),
        (25.4 / 16, "1/16"),
        (25.4 * 9.5625, "9 9/16"),
        (25.4 * 0.25, "1/4"),
        (0, "0"),
    ],
)
def test_inches_to_the_nearest_sixteenth(mm: float, text: str):
    assert inches_text(mm) == text


@given(st.floats(0.1, 5000))
def test_inches_text_reads_back(mm: float):
    text = inches_text(mm)
    assert parse_quantity(f"{text}in", "length").base == pytest.approx(mm, abs=25.4 / 32 * (1 + 1e-9))


@pytest.mark.parametrize(
    ("text", "grams"), [("2 lb 12 oz", 44 * 28.349523125), ("12 oz", 12 * 28.349523125), ("1 lb 0 oz", 453.59237)]
)
def test_pounds_and_ounces(text: str, grams: float):
    assert parse_quantity(text, "mass").base == pytest.approx(grams, rel=1e-12)
    assert pounds_text(grams) == text


def test_sizes_from_python():
    bars = [Bar(wet=100, dry=93.5, fired=87.6), Bar(wet=100, dry=93.0, fired=87.0)]
    found = gc.size(bars=bars, want_mm=200, clay_g=1000, clay_size_mm=100, absorbed_g=[(200, 204)])
    assert found.total is not None
    assert found.total.mean == pytest.approx(12.7)
    assert found.sizes is not None
    assert found.sizes.wet_mm == pytest.approx(200 / 0.873)
    assert found.clay is not None
    assert found.clay.mass_g == pytest.approx(4000)
    assert found.absorption is not None
    assert found.absorption.mean == pytest.approx(2.0)
    assert pickle.loads(pickle.dumps(found)) == found
    assert "throw" in str(found)


@pytest.mark.parametrize(
    "words",
    [
        {},
        {"want_mm": 200},
        {"shrinkage_percent": 12, "bars": [Bar(wet=100, fired=88)]},
        {"shrinkage_percent": 12, "want_mm": 200, "thrown_mm": 230},
        {"shrinkage_percent": 12, "want_mm": 200, "clay_g": 1000},
        {"shrinkage_percent": 12, "piece": "plate"},
        {"shrinkage_percent": "12%"},
        {"bars": [(100, 88)]},
    ],
)
def test_sizes_that_are_not_said(words: dict[str, Any]):
    with pytest.raises(ArgumentError):
        gc.size(**words)
