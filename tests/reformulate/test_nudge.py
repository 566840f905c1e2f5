"""Nudges: wishes as read, the smallest change against every swap of two lines, and the figures after solving."""

from __future__ import annotations

import math
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.files.shipped import load_data
from glazecalc.reformulate.wishes import read_wishes

CLEAR = {
    "potash_feldspar": 32.0,
    "unity_frit_lime_soda_boron": 20.0,
    "whiting": 12.0,
    "talc": 4.0,
    "kaolin": 12.0,
    "silica": 20.0,
}


def parts(result) -> dict[str, float]:
    return {line.material: line.parts for line in result.lines}


def expansion(batch, library) -> float:
    return gc.expansion(gc.mole_percent(batch, library)).value


@pytest.mark.parametrize("change", [-0.4, -0.15, 0.3])
def test_no_swap_of_two_lines_does_it_with_less(library, change):
    result = gc.nudge(CLEAR, library, f"expansion {change:+}")
    start = expansion(CLEAR, library)
    assert expansion(parts(result), library) == pytest.approx(start + change, abs=1e-3)
    moved = sum(abs(parts(result).get(name, 0.0) - amount) for name, amount in CLEAR.items()) / 2
    assert result.moved_percent == pytest.approx(moved)
    for giver, taker in permutations(CLEAR, 2):  # bisection on the amount that goes from one line to another
        low, high = 0.0, CLEAR[giver] * 0.999

        def off(amount: float, giver: str = giver, taker: str = taker) -> float:
            batch = {**CLEAR, giver: CLEAR[giver] - amount, taker: CLEAR[taker] + amount}
            return (expansion(batch, library) - start - change) * math.copysign(1, change)

        if off(high) < 0:
            continue
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (low, middle) if off(middle) >= 0 else (middle, high)
        assert moved <= high + 0.01


def test_the_ratio_is_kept_and_what_else_moves_is_told(library):
    result = gc.nudge(CLEAR, library, "expansion down 0.4, ratio kept")
    before, after = gc.unity_formula(CLEAR, library), gc.unity_formula(parts(result), library)
    assert after.silica_alumina_ratio == pytest.approx(before.silica_alumina_ratio, abs=1e-4)
    assert result.met
    assert result.base_total == pytest.approx(100)
    for oxide, change in result.change.items():
        assert change == pytest.approx(after[oxide] - before[oxide], abs=1e-9)
    assert {effect.quantity for effect in result.effects} >= {"expansion", "softening temperature"}


def test_alumina_up(library):
    result = gc.nudge(CLEAR, library, "alumina +0.05")
    before, after = gc.unity_formula(CLEAR, library), gc.unity_formula(parts(result), library)
    assert after["Al2O3"] - before["Al2O3"] == pytest.approx(0.05, abs=1e-6)
    assert parts(result)["kaolin"] > CLEAR["kaolin"]


def test_oxides_kept_by_option_and_by_wish(library):
    by_wish = gc.nudge(CLEAR, library, "Al2O3 +0.05, SiO2 kept, B2O3 kept")
    by_option = gc.nudge(CLEAR, library, "Al2O3 +0.05", keep=["SiO2,B2O3"])
    assert parts(by_wish) == pytest.approx(parts(by_option))
    assert by_wish.change["SiO2"] == pytest.approx(0, abs=1e-6)
    assert by_wish.change["B2O3"] == pytest.approx(0, abs=1e-6)


def test_softening_lower(library):
    before = gc.nudge(CLEAR, library, "softening 20 lower")
    wish = before.wishes[0]
    assert wish.reached - wish.before == pytest.approx(-20, abs=0.05)
    effect = next(e for e in before.effects if e.quantity == "softening temperature")
    assert effect.after == pytest.approx(wish.reached, abs=1e-6)


@settings(max_examples=25)
@given(change=st.integers(-30, 30).filter(lambda n: abs(n) >= 5), which=st.sampled_from(["fitted", "appen"]))
def test_an_expansion_wish_stands_after_a_fresh_calculation(change, which):
    library = gc.load_materials()
    result = gc.nudge(CLEAR, library, f"expansion {change / 100:+}", model=which)
    span = (20, 400) if which == "appen" else (20, 300)
    before = gc.expansion(gc.mole_percent(CLEAR, library), model=which, temperature_range_c=span).value
    after = gc.expansion(gc.mole_percent(parts(result), library), model=which, temperature_range_c=span).value
    assert after - before == pytest.approx(change / 100, abs=2e-3)
    assert sum(parts(result).values()) == pytest.approx(100)
    assert all(amount >= 0 for amount in parts(result).values())


def test_a_line_is_wished_for(library):
    recipe = gc.Recipe.from_parts("Blue", CLEAR, {"cobalt carbonate": 2})
    result = gc.nudge(recipe, library, "kaolin +3, cobalt carbonate -0.5, SiO2 kept")
    assert parts(result)["kaolin"] == pytest.approx(15)
    assert parts(result)["cobalt_carbonate"] == pytest.approx(1.5)
    assert result.change["SiO2"] == pytest.approx(0, abs=1e-6)


def test_lines_may_be_fixed_and_others_brought_in(library):
    result = gc.nudge(CLEAR, library, "MgO +0.1", fixed=["talc"], also=["dolomite"])
    assert parts(result)["talc"] == pytest.approx(4)
    assert parts(result)["dolomite"] > 0
    assert result.met


def test_less_cobalt_stays_within_published_blacks(library):
    recipe = gc.Recipe.from_parts("Black", CLEAR, {"red iron oxide": 6, "cobalt carbonate": 2})
    result = gc.nudge(recipe, library, "less cobalt, expansion kept")
    data = load_data("reformulate_blacks.yaml")
    assert parts(result)["cobalt_carbonate"] == pytest.approx(data["cobalt_percent"][0])
    assert parts(result)["red_iron_oxide"] == pytest.approx(data["iron_percent"][0])
    assert any("Hesselberth" in notice.message for notice in result.notices)
    assert result.met
    already = gc.nudge(
        gc.Recipe.from_parts("Black", CLEAR, {"red iron oxide": 9, "cobalt carbonate": 1}), library, "less cobalt"
    )
    assert not already.met
    with pytest.raises(CompositionError, match="iron and cobalt"):
        gc.nudge(CLEAR, library, "less cobalt")


def test_a_wish_too_large_gives_the_nearest_and_says_so(library):
    result = gc.nudge(CLEAR, library, "expansion down 5")
    assert not result.met
    assert result.wishes[0].reached < result.wishes[0].before
    assert {notice.code for notice in result.notices} >= {"wish-not-met", "far"}


@pytest.mark.parametrize(
    ("text", "kind", "name", "change", "value"),
    [
        ("expansion down 0.4", "expansion", "expansion", -0.4, None),
        ("expansion \u22120.4", "expansion", "expansion", -0.4, None),
        ("expansion to 6.4", "expansion", "expansion", None, 6.4),
        ("softening 20 °C lower", "softening", "softening temperature", -20, None),
        ("alumina +0.05", "oxide", "Al2O3", 0.05, None),
        ("K2O+Na2O kept", "oxide", "K2O+Na2O", None, None),
        ("SiO2:Al2O3 = 8", "ratio", "SiO2:Al2O3", None, 8.0),
        ("Potash feldspar -3", "material", "Potash feldspar", -3.0, None),
    ],
)
def test_wishes_are_read(text, kind, name, change, value):
    others = "" if change is not None or value is not None else ", MgO +0.01"
    wish = read_wishes(text + others)[0]
    assert (wish.kind, wish.name, wish.change, wish.value) == (kind, name, change, value)


@pytest.mark.parametrize(
    ("text", "error", "words"),
    [
        ("make it nice", CompositionError, "not a wish"),
        ("expansion 0.4", CompositionError, "the change or the value"),
        ("expansion down -0.4", CompositionError, "twice"),
        ("ratio kept", CompositionError, "no change"),
        ("", CompositionError, "no change"),
        ("alumina +0.05, Al2O3 +0.1", CompositionError, "twice for one thing"),
        ("kaolin -50", CompositionError, "to take away"),
        ("alumina -3", CompositionError, "below zero"),
        ("moondust +3", UnknownNameError, "moondust"),
        ("dolomite +3", CompositionError, "not in the recipe"),
    ],
)
def test_what_is_no_wish_is_said(library, text, error, words):
    with pytest.raises(error, match=words):
        gc.nudge(CLEAR, library, text)


def test_what_a_wish_is_measured_in_is_a_field(library):
    result = gc.nudge(CLEAR, library, "softening 20 lower, ratio kept, kaolin +1")
    measured = {wish.kind: (wish.unit, wish.decimals) for wish in result.wishes}
    assert measured == {"softening": ("deg C", 0), "ratio": ("mol per mol", 2), "material": ("parts", 2)}
    assert [wish["kind"] for wish in result.to_dict()["wishes"]] == ["softening", "ratio", "material"]


def test_only_a_line_of_the_recipe_can_be_fixed(library):
    with pytest.raises(CompositionError, match="Dolomite is not in the recipe"):
        gc.nudge(CLEAR, library, "alumina +0.05", fixed="dolomite")


def test_a_ratio_may_stand_in_the_keep_list(library):
    result = gc.nudge(CLEAR, library, "expansion down 0.3", keep="SiO2:Al2O3")
    assert result.wishes[1].kind == "ratio"
    assert result.met
    with pytest.raises(UnknownNameError, match="kaolin"):
        gc.nudge(CLEAR, library, "expansion down 0.3", keep="kaolin")


def test_cautions_travel_whole(library):
    recipe = gc.Recipe.from_parts("White", CLEAR)
    result = gc.nudge(recipe, library, "BaO +0.1", also="barium carbonate")
    (new,) = [caution for caution in result.new_cautions if "barium" in caution.code]
    told = next(entry for entry in result.to_dict()["new_cautions"] if entry["code"] == new.code)
    assert (told["title"], told["severity"], told["message"]) == (new.title, str(new.severity), new.message)


def test_lead_that_stays_in_the_batch_is_told_whole_with_its_severity(library):
    leaded = {"lead bisilicate": 70, "kaolin": 10, "silica": 20}
    result = gc.nudge(leaded, library, "kaolin +2")
    codes = [caution.code for caution in result.standing_cautions]
    assert "lead-present" in codes
    assert not {caution.code for caution in result.new_cautions} & set(codes)
    page = str(result)
    for caution in result.standing_cautions:
        assert caution.never_folded
        assert f"{caution.severity}: {caution.message.split()[0]}" in page
    assert [entry["code"] for entry in result.to_dict()["standing_cautions"]] == codes
