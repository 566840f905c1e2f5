"""Slurry laws: volumes add, what was filled is measured back, an adjustment conserves mass."""

from __future__ import annotations

import math
import pickle
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from glazecalc.errors import ArgumentError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Recipe
from glazecalc.source import Source
from glazecalc.workshop.bucket import slurry
from glazecalc.workshop.density import given_density, solids_density
from glazecalc.workshop.slurry import (
    SlurrySample,
    adjust,
    bring_to_volume,
    check_gravity,
    content_of_mass,
    dry_g_per_ml,
    fill_amounts,
    give_or_take,
    water_for_gravity,
)  # fmt: skip

GRAVITY = st.floats(1.02, 1.95)
DENSITY = st.floats(2.2, 5.0)
VOLUME = st.floats(50, 1e6)


def _gravity(dry_g: float, water_g: float, density: float) -> float:
    return (dry_g + water_g) / (dry_g / density + water_g)  # weight over volume: volumes add


def _sample(mass_g: float) -> SlurrySample:
    return SlurrySample(volume_ml=500, mass_g=mass_g, volume_error_ml=1, mass_error_g=1)


@given(VOLUME, GRAVITY, DENSITY)
def test_fill_then_measure(volume: float, gravity: float, density: float):
    dry, water = fill_amounts(volume, gravity, density)
    assert _gravity(dry, water, density) == pytest.approx(gravity, rel=1e-12)
    assert dry / density + water == pytest.approx(volume, rel=1e-12)
    sample = _sample(500 * gravity)
    found = content_of_mass(dry + water, sample, density)
    assert found.dry_g == pytest.approx(dry, rel=1e-9)
    assert found.dry_g + found.water_g == pytest.approx(dry + water, rel=1e-12)
    assert found.low_dry_g < found.dry_g < found.high_dry_g


@given(st.floats(1, 1e5), GRAVITY, DENSITY)
def test_water_for_a_gravity_gives_that_gravity(dry: float, gravity: float, density: float):
    assert _gravity(dry, water_for_gravity(dry, gravity, density), density) == pytest.approx(gravity, rel=1e-12)


@given(VOLUME, GRAVITY, GRAVITY, DENSITY)
def test_one_addition_reaches_the_gravity(volume: float, now: float, wanted: float, density: float):
    assume(abs(now - wanted) > 1e-6)
    dry, water = fill_amounts(volume, now, density)
    change = adjust(dry, water, wanted, density)
    assert (change.add_dry_g == 0) == (wanted < now)
    assert (change.add_water_g == 0) == (wanted > now)
    after = _gravity(dry + change.add_dry_g, water + change.add_water_g, density)
    assert after == pytest.approx(wanted, rel=1e-9)
    assert (dry + change.add_dry_g) / density + water + change.add_water_g == pytest.approx(change.volume_ml, rel=1e-9)
    if change.or_take_off_water_g is not None:
        assert _gravity(dry, water - change.or_take_off_water_g, density) == pytest.approx(wanted, rel=1e-9)


def test_bucket_of_the_studio():
    # By hand: 10.30 kg at 1.47: V = 7.0068 l; dry = V (1.47 - 1) 2.6 / 1.6.
    found = content_of_mass(10_300, _sample(735), 2.6)
    assert found.volume_ml == pytest.approx(10_300 / 1.47, rel=1e-12)
    assert found.dry_g == pytest.approx(10_300 / 1.47 * 0.47 * 2.6 / 1.6, rel=1e-12)
    low, high = 734 / 501, 736 / 499
    assert found.low_dry_g == pytest.approx(10_300 * (1 - 1 / low) * 2.6 / 1.6, rel=1e-12)
    assert found.high_dry_g == pytest.approx(10_300 * (1 - 1 / high) * 2.6 / 1.6, rel=1e-12)
    change = bring_to_volume(found.dry_g, found.water_g, 10_000, 1.45, 2.6)
    assert found.dry_g + change.add_dry_g == pytest.approx(7312.5, rel=1e-12)
    assert found.water_g + change.add_water_g == pytest.approx(7187.5, rel=1e-12)


def test_too_much_dry_or_water_is_refused_with_what_works():
    dry, water = fill_amounts(10_000, 1.5, 2.6)
    with pytest.raises(WorkshopError, match=r"dry glaze.*11\.\d+ l"):
        bring_to_volume(dry, water, 10_000, 1.45, 2.6)
    dry, water = fill_amounts(10_000, 1.2, 2.6)
    with pytest.raises(WorkshopError, match="of water"):
        bring_to_volume(dry, water, 10_000, 1.45, 2.6)


def test_the_refusal_counts_right():
    # 10 l at 1.5 hold 8125 g dry (812.5 g/l); at 1.45 they take 7312.5; with water alone 8125 / 0.73125 = 11.11 l, 1111 g of water.
    dry, water = fill_amounts(10_000, 1.5, 2.6)
    with pytest.raises(WorkshopError) as caught:
        bring_to_volume(dry, water, 10_000, 1.45, 2.6)
    assert (
        "10.00 l at 1.45 take 7312 g of dry glaze; the 10.00 l now in the bucket hold 8125 g." in caught.value.message
    )
    assert caught.value.hint == "Adding 1111 g of water alone reaches 1.45 at 11.11 l."
    same = bring_to_volume(dry, water, 10_000, 1.5, 2.6)  # nothing to add is an answer, not a refusal
    assert (same.add_dry_g, same.add_water_g) == (pytest.approx(0, abs=1e-6), pytest.approx(0, abs=1e-6))


@pytest.mark.parametrize(
    ("gravity", "word"),
    [
        (1.0, "below water"),
        (0.9, "below water"),
        (2.6, "solids density"),
        (145, "1.45"),
        (1450, "1.45"),
        (math.nan, "not a number"),
    ],
)
def test_impossible_gravities(gravity: float, word: str):
    with pytest.raises(WorkshopError, match=word):
        check_gravity(gravity, 2.6)


@pytest.mark.parametrize(("density", "expected"), [(2.5, 750.0), (2.6, 731.25), (2.7, 714.7)])
def test_dry_grams_in_a_litre_at_1_45(density: float, expected: float):
    assert 1000 * dry_g_per_ml(1.45, density) == pytest.approx(expected, abs=0.05)


def _material(name: str, density: float | None, solubility: str | None = None) -> Material:
    return Material(
        id=name, name=name, source=Source(title="made up"), formula="SiO2", density_g_cm3=density, solubility=solubility
    )


def test_density_is_mass_over_volume():
    found = solids_density([50, 50], [_material("a", 2.0), _material("b", 4.0)])
    assert found.g_cm3 == pytest.approx(100 / (25 + 12.5), rel=1e-12)  # not the plain mean, 3.0
    assert not found.unknown


def test_unknown_density_is_filled_with_the_mean_of_the_rest_and_said():
    found = solids_density([60, 40], [_material("a", 2.5), _material("mystery", None)])
    assert found.g_cm3 == pytest.approx(2.5)
    assert found.unknown == ("mystery",)
    assert any("mystery" in n.message and "40.0 %" in n.message for n in found.notices)


def test_mostly_unknown_density_asks():
    with pytest.raises(WorkshopError, match="--solids-density"):
        solids_density([40, 60], [_material("a", 2.5), _material("mystery", None)])


@pytest.mark.parametrize(
    ("grams", "solubility", "said"),
    [(10, "yes", True), (2.1, "yes", True), (1.9, "yes", False), (10, "slightly", False), (10, None, False)],
)
def test_soluble_material_is_said(grams: float, solubility: str | None, said: bool):
    found = solids_density([100 - grams, grams], [_material("a", 2.5), _material("borax", 1.7, solubility)])
    assert any(n.code == "dissolves" for n in found.notices) is said


@pytest.mark.parametrize("density", [1.0, 0.5, 26, math.nan])
def test_impossible_densities(density: float):
    with pytest.raises(WorkshopError):
        given_density(density)


def test_samples_that_cannot_be():
    for wrong in ({"volume_ml": 0}, {"volume_error_ml": 500}, {"mass_error_g": 735}, {"mass_error_g": -1}):
        with pytest.raises(WorkshopError):
            SlurrySample(**{"volume_ml": 500, "mass_g": 735, "volume_error_ml": 1, "mass_error_g": 1} | wrong)
    with pytest.raises(WorkshopError, match="bucket"):
        content_of_mass(-1, _sample(735), 2.6)


def test_a_bucket_from_python(library: MaterialLibrary):
    sample = SlurrySample(volume_ml=500, mass_g=735)
    found = slurry(
        sample=sample, gross_g=11_200, tare_g=900, solids_density_g_cm3=2.6, to_volume_l=10, specific_gravity=1.45
    )
    assert found.change is not None
    assert found.content.dry_g + found.change.add_dry_g == pytest.approx(7312.5, rel=1e-12)
    recipe = {"potash feldspar": 60, "kaolin": 40}
    split = slurry(recipe, library, specific_gravity_now=1.4, volume_l=5, specific_gravity=1.5, adding={"tin oxide": 4})
    assert split.change is not None
    assert math.fsum(line.mass_g for line in split.lines) == pytest.approx(split.change.add_dry_g)
    end_g = split.content.dry_g + split.change.add_dry_g  # the full bucket
    assert split.additions[0].mass_g == pytest.approx(end_g * 0.04)
    assert pickle.loads(pickle.dumps(split)).to_dict() == split.to_dict()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({}, "one of the two"),
        ({"sample": SlurrySample(volume_ml=500, mass_g=735), "specific_gravity_now": 1.4}, "one of the two"),
        ({"specific_gravity_now": 1.4, "gross_g": 900}, "belong together"),
        ({"specific_gravity_now": 1.4, "gross_g": 900, "tare_g": 100, "volume_l": 5}, "not both"),
        ({"specific_gravity_now": 1.4, "to_volume_l": 5}, "which specific gravity"),
    ],
)
def test_buckets_that_are_not_said(words: dict[str, Any], said: str):
    with pytest.raises(ArgumentError, match=said):
        slurry(solids_density_g_cm3=2.6, **words)


def test_a_bucket_without_a_density_asks():
    with pytest.raises(ArgumentError, match="what is the solids density"):
        slurry(specific_gravity_now=1.4)


def test_a_colourant_is_counted_on_all_that_is_dry_and_on_the_base_alone(library: MaterialLibrary):
    # base 100 parts, 25 on top: of each kilogram dry, 800 g are base
    recipe = Recipe.from_parts("", {"kaolin": 80, "silica": 20}, {"tin oxide": 25})
    found = slurry(recipe, library, specific_gravity_now=1.4, volume_l=5, adding={"cobalt carbonate": 2})
    (cobalt,) = found.additions
    assert cobalt.mass_g == pytest.approx(found.content.dry_g * 0.02)
    assert cobalt.mass_on_base_g == pytest.approx(found.content.dry_g * 0.8 * 0.02)


@pytest.mark.parametrize(
    ("words", "message", "hint"),
    [
        ({"to_volume_l": 10, "bucket_l": 9, "specific_gravity": 1.5}, "10 l do not fit", "Ask for less"),
        ({"specific_gravity": 1.3, "bucket_l": 5.1}, "would come to 6.67 l", "Take some out"),
        ({"adding": {"tin oxide": -1}}, "'tin oxide -1 %'", "Write it like"),
    ],
)
def test_a_refusal_says_what_was_given_and_then_the_mend(
    words: dict[str, Any], message: str, hint: str, library: MaterialLibrary
):
    with pytest.raises(WorkshopError) as refused:
        slurry({"kaolin": 1}, library, specific_gravity_now=1.4, volume_l=5, **words)
    assert message in refused.value.message
    assert hint in refused.value.hint


@given(VOLUME, st.floats(1.2, 1.4), st.floats(1.41, 1.6), st.floats(0.0, 0.3))
def test_moist_powder_thickens_to_the_gravity_asked_for(volume: float, now: float, then: float, moist: float):
    dry, water = fill_amounts(volume, now, 2.6)
    change = adjust(dry, water, then, 2.6, moist_share=moist)
    assert change.add_water_g == pytest.approx(moist * change.add_dry_g)
    assert _gravity(dry + change.add_dry_g, water + change.add_water_g, 2.6) == pytest.approx(then, rel=1e-9)


def test_powder_too_moist_to_thicken_is_told():
    dry, water = fill_amounts(1000, 1.4, 2.6)
    with pytest.raises(WorkshopError, match="too much water"):
        adjust(dry, water, 1.6, 2.6, moist_share=0.9)


@given(st.floats(1.30, 1.40), st.floats(0.5, 3.0))
def test_the_addition_lies_within_give_or_take_at_both_ends_of_the_sample(now: float, error: float):
    sample = SlurrySample(volume_ml=500, mass_g=500 * now, volume_error_ml=error, mass_error_g=1.0)
    content = content_of_mass(10_000, sample, 2.6)
    for whole, change in (
        (False, adjust(content.dry_g, content.water_g, 1.5, 2.6)),
        (True, bring_to_volume(content.dry_g, content.water_g, 12_000, 1.5, 2.6)),
    ):
        dry_off, water_off = give_or_take(content, change, 2.6, whole_volume=whole)
        for dry in (content.low_dry_g, content.high_dry_g):
            other = (
                bring_to_volume(dry, 10_000 - dry, 12_000, 1.5, 2.6) if whole else adjust(dry, 10_000 - dry, 1.5, 2.6)
            )
            assert abs(other.add_dry_g - change.add_dry_g) <= dry_off * (1 + 1e-9) + 1e-6
            assert abs(other.add_water_g - change.add_water_g) <= water_off * (1 + 1e-9) + 1e-6
