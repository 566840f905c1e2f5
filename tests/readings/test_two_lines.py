"""A short answer keeps to two lines of the page, whatever is in the glaze, and says its test."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.files.materials import load_materials
from glazecalc.files.recipes import parse_recipe_text
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.show.text import bullet
from tests.thirteen import THIRTEEN, thirteen

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
LIBRARY = load_materials()
SLATE = gc.read_body(STUDIO / "body-slate.yaml")
NAMES = sorted(material.name for material in LIBRARY.values())


def lines_of(short: str) -> int:
    return len(bullet("  surface", short, width=10))


def test_the_last_part_gives_way_first_and_only_as_far_as_it_must():
    whole, other = "a" * 80, "b" * 80
    assert in_two_lines(whole, (other, "b")) == f"{whole} {other}"
    assert in_two_lines(whole, (other, "b"), ("cc cc cc cc", "cc", "")) == f"{whole} {other} cc"
    assert in_two_lines(whole, (other, "b"), ("c" * 20, "c" * 19, "")) == f"{whole} {other}"
    assert in_two_lines(whole, (other, "b"), "c" * 80) == f"{whole} b {'c' * 80}"
    assert in_two_lines(whole, other, "c" * 80) == f"{whole} {other} {'c' * 80}"  # nothing is cut


@st.composite
def cards(draw: st.DrawFn) -> str:
    """A card with anything of the library on it, or that beside a plain base."""
    names = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=7, unique=True))
    head = (
        ("name: Oil spot tenmoku", "name: Gun metal lichen", "name: Hare's fur celadon crackle"),
        ("", "cone 04", "cone 5-6", "cone 10\natmosphere: reduction"),
        ("", "cooling: slow", "cooling: 60 C/h from 1100 C to 800 C"),
        ("", "use: plate", "use: not-for-food"),
        ("", "Potash feldspar 40\nSilica 20\nKaolin 10"),
    )
    lines = [f"{name} {draw(st.sampled_from((0.5, 3, 20)))}" for name in names]
    return "\n".join([*(draw(st.sampled_from(choice)) for choice in head), *lines])


@settings(max_examples=30)
@given(cards())
def test_no_glaze_takes_an_answer_beyond_two_lines(card: str):
    for reading in gc.check(parse_recipe_text(card), LIBRARY, body=SLATE).readings:
        assert lines_of(reading.short) <= 2, reading.short


@pytest.mark.parametrize("name", THIRTEEN)
@pytest.mark.parametrize("use", ["cup", "not-for-food"])
def test_a_page_with_a_clay_fits_sixty_lines_too(name: str, use: str):
    report = gc.check(thirteen(name), LIBRARY, use=use, body=SLATE)
    assert len(str(report).splitlines()) <= 60


def test_a_cooling_that_the_card_names_stands_in_the_two_lines():
    plain = thirteen("clear")
    for cooling, leans in (
        ("slow", "This cooling leans to matt"),
        ("fast", "leans to gloss"),
        ("60 C/h from 1100 C to 800 C", "decides as much"),
    ):
        report = gc.check(dataclasses.replace(plain, cooling=cooling), LIBRARY)
        assert leans in report.readings[2].short
    assert "Cool a tile like your ware." in gc.check(plain, LIBRARY).readings[2].short


def test_an_ash_of_unknown_make_is_said_beside_melt_run_and_fit():
    readings = gc.check(thirteen("wood ash"), LIBRARY).readings
    for reading in (readings[0], readings[1], readings[3]):
        assert "By a typical analysis of Mixed wood ash: your own lot decides." in reading.says
        assert "By a typical analysis." in reading.short
    for reading in gc.check(thirteen("celadon"), LIBRARY).readings:
        assert "typical analysis" not in reading.says


def test_a_low_fire_glaze_says_how_few_were_seen_there():
    for name, few in (("majolica", True), ("tenmoku", False)):
        for reading in gc.check(thirteen(name), LIBRARY).readings[:2]:
            assert ("Few fired at this cone: 4 of 83." in reading.short) is few
