"""The HTML pages of substitute, match and nudge: the question first, the numbers of their JSON, lead and cadmium always in sight."""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc.library import MaterialLibrary
from glazecalc.show.html import html_page
from tests.handmade import analysed, library_of
from tests.show.html_reader import Read
from tests.show.test_html_pages import NASTY, sound

CLEAR = {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "silica": 25}
LEADED = {"lead bisilicate frit": 60, "kaolin": 15, "silica": 25}


def signed(change: float) -> str:
    return f"{change:+.1f}".replace("-", "\u2212")


@pytest.fixture(scope="module")
def swapped(library: MaterialLibrary) -> gc.Outcome:
    return gc.substitute(CLEAR, library, without=["whiting"], only=["wollastonite", *CLEAR], time_limit_s=0.5)


def test_a_substitution_asks_first_and_shows_what_changes_and_what_is_kept(swapped: gc.Outcome):
    read, said = sound(html_page(swapped)), swapped.to_dict()
    order = (
        "Wanted",
        "Answer 1",
        "before now change",
        "wanted reached off by",
        "The same chemistry",
        "Where the numbers",
    )
    places = [read.words.index(mark) for mark in order]
    assert places == sorted(places)
    for answer in said["answers"]:
        for line in answer["lines"]:
            before, now = line["parts_before"], line["parts"]
            figures = f"{before:.1f} {now:.1f}" if before else f"\u2013 {now:.1f} {signed(now)} new"
            assert f"{line['name']} {figures}" in read.words
        for oxide, off in answer["deviation"].items():
            if abs(off) >= 0.0095 and oxide in answer["unity"]:
                assert f"{answer['unity'][oxide]:.2f} {off:+.2f}".replace("-", "\u2212") in read.words
        for effect in answer["effects"]:
            assert effect["before"] is not None
    assert f"Whiting 20.0 \u2013 {signed(-20)} gone" in read.words
    for one in said["unmet"]:
        assert one["why"] in read.words
    # the bag that is new is named with its source, as those of the recipe are
    assert {material.name for material in swapped.materials} >= {"Wollastonite", "Whiting", "Kaolin"}
    assert "Wollastonite" in read.words.split("Where the numbers come from")[1]


def test_the_estimates_of_an_answer_stand_with_the_error_of_their_difference(swapped: gc.Outcome):
    words = Read(html_page(swapped)).words
    differences = [effect.difference for effect in swapped.answers[0].effects if effect.difference is not None]
    assert differences
    for one in differences:
        if one.half_width is not None and abs(one.value) >= 0.1:
            digits = 2 if one.quantity in ("expansion", "log viscosity") else 0
            way = "up" if one.value > 0 else "down"
            assert f"{way} {abs(one.value):.{digits}f}\u00a0\u00b1\u00a0{one.half_width:.{digits}f}".replace(
                "\u00a0", " "
            ) in words.replace("\u00a0", " ")


def test_batches_stand_side_by_side_where_there_are_several(library: MaterialLibrary):
    found = gc.substitute(CLEAR, library, without=["potash feldspar"], also=["soda feldspar", "nepheline syenite"])
    assert len(found.answers) > 1
    read = sound(html_page(found))
    links = [link["href"] for link in read.all("a")]
    assert links == [f"#answer-{place}" for place in range(1, len(found.answers) + 1)]
    assert {attrs.get("id") for attrs in read.all("article")} == {link[1:] for link in links}
    sums = " ".join(f"{answer.score:.1f}" for answer in found.answers)
    assert f"total deviation, tolerances {sums}" in read.words


def test_a_match_without_a_recipe_has_parts_alone(library: MaterialLibrary):
    target = gc.Target(unity={"K2O+Na2O": 0.3, "CaO": (0.6, 0.7), "SiO2:Al2O3": 8, "SiO2": (3.2, 3.6)})
    found = gc.match(target, library, only=["potash feldspar", "whiting", "kaolin", "silica"], time_limit_s=0.5)
    words = sound(html_page(found)).words
    unity = found.answers[0].unity
    assert f"K2O+Na2O 0.30 {unity['K2O'] + unity['Na2O']:.2f}" in words
    assert f"SiO2:Al2O3 8.00 {unity['SiO2'] / unity['Al2O3']:.2f}" in words
    assert f"CaO 0.6 to 0.7 {unity['CaO']:.2f}" in words
    assert " gone" not in words
    nothing = gc.match(target, library, only=["silica"], time_limit_s=0.5)
    assert nothing.answers == ()
    assert "No batch of these materials answers the question." in sound(html_page(nothing)).words


def test_a_nudge_gives_the_wishes_first_and_what_else_moves(library: MaterialLibrary):
    found = gc.nudge(CLEAR, library, "alumina +0.05, ratio kept")
    read, said = sound(html_page(found)), found.to_dict()
    assert read.words.index("Wished") < read.words.index("Batch") < read.words.index("What else moves")
    for wish in said["wishes"]:
        assert f"{wish['before']:.2f} {wish['wanted']:.2f} {wish['reached']:.2f} met" in read.words
    for line in said["lines"]:
        assert f"{line['name']} {line['parts_before']:.1f} {line['parts']:.1f}" in read.words
    moved = {oxide: change for oxide, change in said["change"].items() if abs(change) >= 0.005}
    for oxide, change in moved.items():
        before, now = said["unity_before"][oxide], said["unity"][oxide]
        assert f"{oxide} {before:.2f} {now:.2f} {change:+.2f}".replace("-", "\u2212") in read.words
    assert len(read.all("svg")) == len(moved)


def test_lead_that_stays_is_open_on_every_page_of_a_changed_batch(library: MaterialLibrary):
    nudged = gc.nudge(LEADED, library, "silica +3")
    swapped = gc.substitute(LEADED, library, without=["silica"], only=["wollastonite", *LEADED], time_limit_s=0.5)
    for found, standing in ((nudged, nudged.standing_cautions), (swapped, swapped.answers[0].standing_cautions)):
        read = sound(html_page(found))
        always = [one for one in standing if one.never_folded]
        assert always
        assert len([attrs for attrs in read.all("details") if "open" in attrs]) >= len(always)
        for one in always:
            assert one.code in read.words
            assert " ".join(one.do.split())[:40] in read.words.replace("\u00a0", " ")


@pytest.mark.parametrize("word", ["".join(NASTY[:5]), "".join(NASTY[5:])])
def test_every_word_of_the_user_is_text(word: str):
    def pages(word: str) -> list[Read]:
        spar = analysed(f"{word} spar", {"SiO2": 65, "Al2O3": 18, "K2O": 17}, 0.0)
        chalk = analysed(f"{word} chalk", {"CaO": 56}, 44.0)
        wall = analysed(f"{word} wall", {"CaO": 48, "SiO2": 52}, 0.0)
        sand = analysed(f"{word} sand", {"SiO2": 100}, 0.0)
        shelf = library_of(spar, chalk, wall, sand)
        lines = zip((spar, chalk, sand), (50, 20, 30), strict=True)
        recipe = gc.Recipe(
            name=f"{word} glaze", ingredients=tuple(gc.Ingredient(material=m.name, amount=n) for m, n in lines)
        )
        sample = gc.SlurrySample(volume_ml=1000, mass_g=1440)
        values = (
            gc.substitute(recipe, shelf, without=[chalk.name], time_limit_s=0.5),
            gc.match(recipe, shelf, only=[spar.name, wall.name, sand.name], time_limit_s=0.5),
            gc.nudge(recipe, shelf, "silica to 3"),
            gc.mend(recipe, shelf, {spar.name: 600, chalk.name: 100}),
            gc.slurry(recipe, shelf, sample=sample, solids_density_g_cm3=2.6, volume_l=6, to_volume_l=9, specific_gravity=1.5),
            gc.cost(recipe, shelf, shelf=gc.Shelf(prices={}, stock_g={spar.name: 100}), base_g=1000),
        )  # fmt: skip
        return [sound(html_page(value)) for value in values]

    for odd, plain in zip(pages(word), pages("plain"), strict=True):
        assert odd.markup == plain.markup
        assert odd.words.lower() == plain.words.lower().replace("plain", word.lower())
