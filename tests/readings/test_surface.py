"""The surface line: who says gloss and who says matt, where it keeps silent, and what titles say."""

from __future__ import annotations

import pytest

from glazecalc.caution.surface import given_surface, said_surfaces
from glazecalc.errors import UnknownNameError
from glazecalc.readings import surface
from tests.readings.pot import facts, glass

PLAIN = {"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30}
# One mole of flux [g]: 0.3 K2O and 0.7 CaO; alumina 0.5.
FLUX = {"K2O": 0.3 * 94.2, "CaO": 0.7 * 56.08}


def of_ratio(ratio: float, **more: float):
    """A glaze on 0.3 K2O, 0.7 CaO and 0.5 Al2O3 of this SiO2:Al2O3; `more` in grams beside."""
    grams = {**FLUX, "Al2O3": 0.5 * 101.96, "SiO2": ratio * 0.5 * 60.08, **more}
    total = sum(grams.values())
    return facts({"glass": 100}, library=glass(**{oxide: 100 * value / total for oxide, value in grams.items()}))


def test_each_author_is_named_once_with_gloss_matt_or_no_word():
    reading = surface.read(of_ratio(8.2))
    assert reading.code == "surface-hint"
    assert reading.says == (
        "A weak hint, authors differ: SiO2:Al2O3 8.2 is gloss to Stull (cone 11), Carty (cone 6) and Cushing; satin to McWhinnie."
    )
    assert (
        reading.because
        == "In the fired set they overlap: 27 glossy at 3.7 to 16.1, 14 satin at 4.3 to 45.3, 7 matt or dry at 3.8 to 9.7."
    )


@pytest.mark.parametrize(("ratio", "differ"), [(3.5, False), (4.9, False), (6.0, True), (9.5, False), (11.0, False)])
def test_authors_differ_only_where_they_do(ratio: float, differ: bool):
    reading = surface.read(of_ratio(ratio))
    called = {word.removeprefix("dry ") for words in reading.evidence["conventions"].values() for word in words}
    assert ("authors differ" in reading.says) is differ, called


def test_where_no_author_has_a_word_it_is_said():
    reading = surface.read(of_ratio(17))
    assert reading.says == "SiO2:Al2O3 is 17.0: none of 4 published conventions has a word for gloss or matt there."


# What each threshold is held against, just below and just above; half the flux in colourants is where the formula ceases to hold. Molar masses [g/mol]: CoO 74.93, B2O3 69.62, ZnO 81.38.
@pytest.mark.parametrize(
    ("more", "why"),
    [
        (lambda over: {"CoO": (0.5 + over) * 74.93}, "unity formula does not hold"),
        (lambda over: {"B2O3": 1.5 * (0.5 + over) * 69.62}, "boron clears it"),
        (lambda over: {"ZnO": (0.3 / 0.7 + over) * 81.38}, "zinc may grow crystals"),
    ],
)
def test_no_word_where_the_ratio_means_little(more, why: str):
    quiet = surface.read(of_ratio(8.0, **more(0.002)))
    assert quiet.code == "surface-no-word"
    assert why in quiet.says
    assert quiet.evidence["conventions"] == {}
    assert surface.read(of_ratio(8.0, **more(-0.002))).code == "surface-hint"


@pytest.mark.parametrize(
    ("parts", "why"),
    [
        ({**PLAIN, "wood ash": 18}, "wood ash"),
        ({**PLAIN, "titanium dioxide": 6}, "titanium"),
        ({"silica": 60, "kaolin": 40}, "none"),
        ({"silica": 60, "whiting": 40}, "none"),
    ],
)
def test_ash_titanium_and_a_glaze_without_flux_or_alumina_get_no_word(parts: dict[str, float], why: str):
    reading = surface.read(facts(parts))
    assert reading.code == "surface-no-word"
    assert why in reading.says


def test_a_little_ash_or_titanium_silences_nothing():
    assert surface.read(facts({**PLAIN, "wood ash": 17})).code == "surface-hint"  # 14.5 % of the batch
    assert surface.read(facts({**PLAIN, "titanium dioxide": 3})).code == "surface-hint"


TITLES = {
    "Gun Metal": "metal", "Oil-Spot": "spots", "Copper Penny": "metal", "Oribe": "copper green", "Tea Shino": "crawled", "White crackle": "cracks",
    "Lichen": "islands", "Celadon": "green gloss", "Tenmoku gold": "breaks", "Temmoku": "breaks", "Hare\u2019s fur": "streaks", "Jun": "milky",
    "Kaki": "crystals", "Oxblood": "red gloss", "Raku clear": "cracks", "Semi-matte white": "between gloss and matt", "Nuka": "milky white",
    "Tea Dust": "olive", "Crystal clear liner": "a gloss", "Aventurine": "crystals", "Mirror black": "high dark gloss",
}  # fmt: skip


@pytest.mark.parametrize("title", TITLES)
def test_titles_of_the_trade_say_what_the_surface_is(title: str):
    reading = surface.read(facts(PLAIN, name=title))
    assert reading.code == "surface-as-said"
    assert reading.says.startswith("It calls itself ")
    (looks,) = reading.evidence["said_to_be"].values()
    assert TITLES[title] in looks
    assert "A weak hint" in reading.says


@pytest.mark.parametrize("title", ["Harbour Black", "June blue", "Junction white", "Stone", "Matthew's clear"])
def test_a_plain_title_says_nothing(title: str):
    assert surface.read(facts(PLAIN, name=title)).code == "surface-hint"


@pytest.mark.parametrize(
    "word", ["crackle", "crazed", "Gun metal", "gun-metal", "shino", "gloss", "matte", "oil_spot", "lichen"]
)
def test_a_given_surface_is_read_by_every_name_of_it(word: str):
    reading = surface.read(facts(PLAIN, surfaces=(word,)))
    assert reading.says.startswith(f"Given as {word}: ")


def test_what_is_given_goes_before_what_the_title_says():
    found = said_surfaces(facts(PLAIN, name="Grey Crackle").batch, ["crazed"])
    assert [(said.word, said.given) for said in found] == [("crazed", True)]
    two = said_surfaces(facts(PLAIN, name="Satin oribe").batch, ["crackle"])
    assert [(said.word, said.given) for said in two] == [("crackle", True), ("satin", False), ("oribe", False)]


def test_an_unknown_word_is_refused_with_a_near_one():
    with pytest.raises(UnknownNameError, match="crackle"):
        given_surface("crakle")
    with pytest.raises(UnknownNameError, match="gloss, satin, matt"):
        given_surface("zebra")


@pytest.mark.parametrize(
    ("cooling", "words"),
    [
        ("slow", "Cooled slow: crystals get time to grow, so it leans towards matt"),
        ("held at 1050 C for 2 h", "crystals get time"),
        ("fast to 1050 C, slow to 800 C", "crystals get time"),
        ("fast", "leans to gloss"),
        ("60 C/h from 1100 C to 800 C", "as much as the ratio"),
        ("natural", "as much as the ratio"),
    ],
)
def test_what_hangs_on_the_cooling_is_said(cooling: str, words: str):
    reading = surface.read(facts(PLAIN, cooling=cooling))
    assert words in reading.says
    assert reading.evidence["cooling"]
    assert "this cooling" in reading.do
    assert "Cooled" not in surface.read(facts(PLAIN)).says
