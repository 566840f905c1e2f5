"""How a card says that its glaze is cooled: paces, rates and holds, kept by one plain wording."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.cooling import CoolingStep, parse_cooling
from glazecalc.errors import UnitError
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.recipe_yaml import format_recipe_yaml, parse_recipe_yaml


@pytest.mark.parametrize(
    ("written", "label"),
    [
        ("slow", "slow"), ("Slow cooled", "slow"), ("cooled slowly", "slow"), ("crash cool", "fast"), ("kiln off", "natural"),
        ("hold 1050C 2h", "held at 1050 C for 2 h"), ("held for 30 min at 1900 F", "held at 1900 F for 30 min"), ("2 h at 1050 \u00b0C", "held at 1050 C for 2 h"),
        ("60 C/h 1100 C - 800 C", "60 C/h from 1100 C to 800 C"), ("150 F/hr to 1400F", "150 F/h to 1400 F"),
        ("fast to 1050 C, then slow to 800 C", "fast to 1050 C, slow to 800 C"), ("slow; hold 1 h 30 min at 900 C", "slow, held at 900 C for 1.5 h"),
        ("1,5 h at 1050 C", "held at 1050 C for 1.5 h"),
    ],
)  # fmt: skip
def test_ways_of_writing_have_one_plain_wording(written: str, label: str):
    assert parse_cooling(written).label == label
    assert parse_cooling(label).label == label
    for recipe in (
        parse_recipe_text(f"T\ncooling: {written}\nwhiting 5\n"),
        parse_recipe_yaml(f"name: T\ncooling: '{written}'\nbase: {{whiting: 5}}\n"),
        gc.Recipe(name="T", cooling=written, ingredients=(gc.Ingredient(material="whiting", amount=5),)),
    ):
        assert recipe.cooling == label
        assert parse_recipe_text(format_recipe_text(recipe)) == recipe
        assert parse_recipe_yaml(format_recipe_yaml(recipe)) == recipe


@given(st.integers(500, 1300), st.integers(1, 600), st.integers(10, 500), st.integers(20, 400))
def test_what_the_steps_hold(hold_c: int, minutes: int, rate: int, below: int):
    cooling = parse_cooling(f"fast to {hold_c} C, hold {minutes} min at {hold_c} C, {rate} C/h to {hold_c - below} C")
    assert cooling.steps == (
        CoolingStep(pace="fast", to_c=hold_c),
        CoolingStep(from_c=hold_c, to_c=hold_c, hours=pytest.approx(minutes / 60)),
        CoolingStep(c_per_h=rate, to_c=hold_c - below),
    )
    assert cooling.holds == cooling.steps[1:2]
    assert cooling.pace == ""
    assert parse_cooling(cooling.label) == cooling


def test_fahrenheit_rates_have_no_32_in_them():
    (step,) = parse_cooling("108 F/h from 1832 F to 1472 F").steps
    assert (step.c_per_h, step.from_c, step.to_c) == (60, 1000, 800)


@pytest.mark.parametrize("pace", ["slow", "fast", "natural"])
def test_one_word_is_the_pace_of_the_whole(pace: str):
    assert parse_cooling(pace).pace == pace
    assert parse_cooling(f"{pace} to 900 C").pace == ""


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("warm", "no cooling"), ("slow, fast", "two paces"), ("60 C/h to 800 C, 50 C/h to 900 C", "from the hotter to the cooler"),
        ("held at 1050 for 2 h", "no cooling"), ("held at 1050 C", "no cooling"), ("held at 9999 C for 2 h", "too large"), ("0 C/h", "too small"),
        ("held at 1050 C for 1,500 min", "1500 or 1.500"), ("slow,", "no cooling"), ("x" * 300, "too long"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused(written: str, said: str):
    with pytest.raises(UnitError, match=said):
        parse_cooling(written)


def test_json_and_page_tell_it(library: gc.MaterialLibrary):
    recipe = parse_recipe_text("T cone 6\ncooling: slow\npotash feldspar 60\nwhiting 20\nsilica 20\n")
    report = gc.check(recipe, library)
    assert report.to_dict()["recipe"]["cooling"] == "slow"
    assert "cone 6, cooling slow, use not given" in str(report)
