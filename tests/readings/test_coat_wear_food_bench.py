"""Coat, wear, food and bench: each code by a batch that shows it, from cautions' codes and evidence alone."""

from __future__ import annotations

import dataclasses
import re

import pytest

import glazecalc as gc
from glazecalc.caution.codes import codes
from glazecalc.files.materials import load_materials
from glazecalc.material import Material
from glazecalc.readings import coat, wear
from glazecalc.readings.reading import Reading, reading_codes
from glazecalc.readings.signs import sign_threshold, signs
from glazecalc.source import Source
from tests.readings.pot import facts
from tests.thirteen import THIRTEEN, thirteen

LIBRARY = load_materials()
PLAIN = {"potash feldspar": 40, "whiting": 15, "kaolin": 15, "silica": 30}
CADMIUM = Material(
    id="cadmium_stain", name="Red stain", source=Source(title="made for the test"),
    analysis={"CdO": 20, "SeO2": 5, "SiO2": 75}, loi_percent=0.0,
)  # fmt: skip
TRACE = dataclasses.replace(
    LIBRARY["whiting"], id="whiting_trace", name="Whiting, dull", aliases=(), below_detection={"PbO": "<0.01"}
)
STUFF = Material(
    id="stuff",
    name="Stuff",
    source=Source(title="made for the test"),
    analysis={"SiO2": 70, "Na2O": 30},
    loi_percent=0.0,
)
WITH_METALS = gc.MaterialLibrary([*LIBRARY.values(), CADMIUM, TRACE, STUFF])


def read(about: str, recipe, *, cone: str = "6", use: str = "plate", library=LIBRARY) -> Reading:
    """One reading of a check."""
    report = gc.check(recipe, library, cone=cone, use=use)
    return next(reading for reading in report.readings if reading.about == about)


SHOWN = {
    "coat-may-crawl": {"nepheline syenite": 60, "kaolin": 20, "magnesium carbonate, light": 20},
    "coat-may-crack": PLAIN | {"kaolin": 24},
    "coat-gas": {"potash feldspar": 40, "whiting": 30, "kaolin": 12, "silica": 18},
    "coat-settles": PLAIN | {"kaolin": 3},
    "coat-soluble": PLAIN | {"soda ash": 6},
    "coat-no-cause": PLAIN,
    "wear-may-wear": {"soda feldspar": 60, "kaolin": 30, "whiting": 10},
    "wear-may-mark": PLAIN | {"zircon": 10},
    "wear-no-sign": PLAIN,
    "wear-not-told": {"silica": 90, "kaolin": 10},
    "food-lead-or-cadmium": {"lead bisilicate frit": 80, "kaolin": 20},
    "food-metals": PLAIN | {"copper oxide, black": 3},
    "food-surface": gc.Recipe.from_parts("Crackle", PLAIN),
    "food-release-not-known": PLAIN,
    "bench-stop": {"lead bisilicate frit": 80, "kaolin": 20},
    "bench-grave": PLAIN | {"barium carbonate": 5},
    "bench-dust": PLAIN,
    "bench-no-data": PLAIN | {"stuff": 5},
    "bench-usual": {"strontium carbonate": 30, "titanium dioxide": 70},
}


@pytest.mark.parametrize("code", SHOWN)
def test_a_batch_that_shows_it_has_the_code(code: str):
    assert read(code.partition("-")[0], SHOWN[code], library=WITH_METALS).code == code


def test_every_code_is_shown_here():
    ours = {key for key, code in reading_codes().items() if code.about in ("coat", "wear", "food", "bench")}
    assert ours == {*SHOWN, "food-not-meant"}
    assert read("food", PLAIN, use="not-for-food").code == "food-not-meant"


def test_every_sign_is_the_code_of_a_caution():
    assert set(signs()) <= set(codes())


def test_gas_is_said_above_its_figure_and_not_at_it():
    limit = sign_threshold("gas").value
    whiting = LIBRARY["whiting"].loi_percent
    for percent, code in ((limit - 0.01, "coat-settles"), (limit + 0.01, "coat-gas")):
        parts = 100 * percent / whiting
        found = read("coat", {"whiting": parts, "potash feldspar, ideal": 100 - parts})
        assert (found.code, found.evidence["threshold_loss_wt_percent"]) == (code, limit)


def test_zircon_marks_above_its_figure_and_not_at_it():
    """Facts without cautions: the share of ZrO2 alone."""
    limit = sign_threshold("zircon_marks").value
    given = facts(PLAIN, "6")
    for share, code in ((limit, "wear-no-sign"), (limit + 0.01, "wear-may-mark")):
        fired = dataclasses.replace(given.fired, amounts={"ZrO2": share, "SiO2": 100 - share})
        assert wear.read(dataclasses.replace(given, fired=fired)).code == code


def test_without_a_cone_the_signs_by_cone_are_not_looked_for():
    with_cone, without = (read("wear", PLAIN, cone=cone).evidence["signs_looked_for"] for cone in ("6", ""))
    assert (with_cone, without) == (8, 5)
    assert "by cone left out" in read("wear", PLAIN, cone="").short


def test_in_a_lead_glass_no_sign_of_wear_says_nothing_of_wear():
    leaded = {"lead bisilicate frit": 70, "potash feldspar": 10, "kaolin": 10, "silica": 10}
    found = read("wear", leaded, cone="04")
    assert found.code == "wear-not-told"
    assert found.short.startswith("Acid and dishwasher cannot be told in a lead glass. 0 of 8 signs.")
    assert read("wear", PLAIN).code == "wear-no-sign"


def test_where_the_formula_does_not_hold_its_signs_are_not_looked_for():
    for name, code in (("manganese black", "wear-may-mark"), ("wood ash", "wear-not-told")):
        found = gc.check(thirteen(name), LIBRARY).readings[5]
        assert (found.code, found.evidence["signs_looked_for"]) == (code, 2)
        assert found.short.startswith("Acid and dishwasher cannot be told, as the unity formula does not hold")


def test_crawling_names_its_causes_with_their_shares_and_a_title_that_means_it_turns_the_advice():
    found = read(
        "coat", gc.Recipe.from_parts("White", {"nepheline syenite": 60, "kaolin": 20, "magnesium carbonate, light": 20})
    )
    assert (found.code, "light magnesium carbonate 20 %" in found.says) == ("coat-may-crawl", True)
    assert "Meant to?" not in found.do
    named = gc.Recipe.from_parts(
        "Crawl White", {"nepheline syenite": 60, "kaolin": 20, "magnesium carbonate, light": 20}
    )
    assert "Meant to crawl?" in read("coat", named).do


def test_the_answers_do_not_hang_on_the_words_of_cautions():
    """Messages of every caution replaced: the readings stay as they are."""
    report = gc.check(thirteen("manganese black"), LIBRARY)
    blank = tuple(
        dataclasses.replace(c, message=f"m{i}", why="", do="d", source="s") for i, c in enumerate(report.cautions)
    )
    given = facts(
        {
            "manganese dioxide": 55,
            "plastic clay, american": 30,
            "ball clay": 8,
            "black copper oxide": 5,
            "black cobalt oxide": 2,
        },
        "6",
    )
    for module in (coat, wear):
        one, other = (module.read(dataclasses.replace(given, cautions=found)) for found in (report.cautions, blank))
        assert one.to_dict() == other.to_dict()


@pytest.mark.parametrize("use", ["plate", "storage", "not-for-food"])
def test_food_names_lead_and_cadmium_for_every_use(use: str):
    for parts, said in (
        (PLAIN, "Lead and cadmium: "),
        ({"lead bisilicate frit": 80, "kaolin": 20}, "Lead stands in it (53.5 % PbO fired). Cadmium: "),
        (PLAIN | {"red stain": 5}, "Cadmium stands in it"),
        (
            {**PLAIN, "whiting": 0, "whiting, dull": 15},
            "Lead below detection in Whiting, dull, not zero. Cadmium: ",
        ),
    ):
        found = read("food", parts, use=use, library=WITH_METALS)
        assert said in found.says
        assert said.partition(" (")[0] in found.short
        assert {"PbO_wt_percent_fired", "CdO_wt_percent_fired"} <= set(found.evidence)


def test_food_names_the_metals_that_stand_out_and_what_to_ask_the_laboratory():
    found = read("food", thirteen("manganese black"), use="")
    assert set(found.evidence["metals_that_stand_out"]) == {"MnO", "CuO", "CoO"}
    assert "manganese, copper and cobalt stand out" in found.short
    assert found.evidence["ask_for"] == ("Pb", "Cd", "Co", "Cu", "Mn") or found.evidence["ask_for"] == [
        "Pb",
        "Cd",
        "Co",
        "Cu",
        "Mn",
    ]
    assert "Co" in read("food", PLAIN | {"cobalt carbonate": 1}).evidence["ask_for"]  # there, though it stands not out


def test_bench_says_the_worst_first():
    found = read("bench", {"lead bisilicate frit": 60, "barium carbonate": 10, "silica": 30})
    assert found.says.startswith(
        "Lead material in the batch: Lead bisilicate frit. Poisonous material: Barium carbonate."
    )
    assert found.code == "bench-stop"
    assert "Do not open" in found.do
    fumes = read("bench", PLAIN | {"manganese dioxide": 5})
    assert "Kiln: " in fumes.says
    assert "manganese" in fumes.says.partition("Kiln: ")[2]


@pytest.mark.parametrize("name", THIRTEEN)
def test_no_answer_is_a_verdict(name: str):
    for reading in gc.check(thirteen(name), LIBRARY).readings[4:]:
        text = f"{reading.says} {reading.because} {reading.do} {reading.short}"
        assert not re.search(r"\bsafe\b(?! sheet)|\bpass(es|ed)?\b|durable|suitable|\bwill (crawl|wear|mark)", text)
        assert reading.code in reading_codes()
