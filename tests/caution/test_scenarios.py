"""Eight glazes as a restaurant's buyer and a safety officer would meet them; recipes made up for the test."""

import copy
import pickle

import pytest

from glazecalc.caution.codes import codes
from glazecalc.caution.ratio import ratio_readings
from glazecalc.caution.test_plan import plan_tests
from glazecalc.check_report import check
from glazecalc.files.materials import load_materials
from glazecalc.recipe import Ingredient, Recipe

LIBRARY = load_materials()


def glaze(name, base, additions=None, cone="6", atmosphere="oxidation"):
    lines = [Ingredient(material=m, amount=float(a)) for m, a in base.items()]
    lines += [Ingredient(material=m, amount=float(a), addition=True) for m, a in (additions or {}).items()]
    return Recipe(name=name, ingredients=tuple(lines), cone=cone, atmosphere=atmosphere)


POTASH = {"Potash feldspar": 38, "Whiting": 14.5, "Kaolin": 12, "Silica": 28, "Wollastonite": 7.5}
LEAD = glaze(
    "Honey",
    {"Lead bisilicate frit": 60, "Potash feldspar": 15, "Kaolin": 10, "Silica": 15},
    {"Copper carbonate": 2},
    cone="04",
)
BARIUM = glaze(
    "Sea",
    {"Nepheline syenite": 50, "Barium carbonate": 25, "Kaolin": 10, "Silica": 12, "Lithium carbonate": 3},
    {"Copper carbonate": 3},
)
COPPER = glaze("Moss", POTASH, {"Copper carbonate": 5})
COBALT_MANGANESE = glaze("Night", POTASH, {"Red iron oxide": 5, "Cobalt carbonate": 4, "Manganese dioxide": 4})
IRON = glaze(
    "Rust",
    {"Potash feldspar": 45, "Whiting": 15, "Kaolin": 12, "Silica": 28},
    {"Red iron oxide": 14},
    cone="10",
    atmosphere="reduction",
)
LOW_SILICA = glaze("Chalk", {"Potash feldspar": 45, "Whiting": 30, "Kaolin": 25})
CRAWL = glaze("Lichen", {"Nepheline syenite": 45, "Magnesium carbonate light": 28, "Kaolin": 22, "Soda feldspar": 5})
CLEAR = glaze(
    "Liner", {"Potash feldspar": 25, "Unity frit, lime-soda boron": 22, "Kaolin": 15, "Silica": 25, "Whiting": 13}
)


def steps(recipe, use, **more):
    return {c.code: str(c.severity) for c in check(recipe, LIBRARY, use=use, **more).cautions}


def about_food(cautions):
    """The codes of gravity that are not about the bench, the kiln or the bucket."""
    bench = ("raw-material", "silica-dust", "kiln-", "soluble", "raw-clay", "settles")
    return {code for code, step in cautions.items() if step != "know" and not any(word in code for word in bench)}


@pytest.mark.parametrize(
    ("recipe", "expected"),
    [
        (LEAD, {"lead-present": "stop", "copper-with-lead": "stop", "lead-raw-material": "stop", "kiln-lead": "stop"}),
        (
            BARIUM,
            {
                "barium-on-food": "stop",
                "copper-load": "look",
                "copper-with-metals": "stop",
                "toxic-raw-material": "look",
                "cmr-raw-material": "look",
            },
        ),
        (COPPER, {"copper-load": "stop", "kiln-copper": "know"}),
        (
            COBALT_MANGANESE,
            {
                "cobalt-load": "look",
                "manganese-load": "look",
                "saturated-colour": "look",
                "kiln-manganese": "look",
                "cmr-raw-material": "look",
            },
        ),
        (IRON, {"saturated-colour": "look"}),
        (LOW_SILICA, {"silica-low": "look", "matt-surface": "look", "lime-matt": "look", "raw-clay-high": "look"}),
        (CRAWL, {"crawled-on-food": "look", "crawling-likely": "look", "silica-low": "look"}),
        (CLEAR, {"release-not-known": "know", "silica-dust": "know"}),
    ],
    ids=lambda value: value.name if isinstance(value, Recipe) else "",
)
def test_on_a_plate(recipe, expected):
    met = steps(recipe, "plate")
    assert {code: met.get(code) for code in expected} == expected


def test_a_clear_liner_and_a_usual_black_raise_nothing_grave_about_food():
    assert about_food(steps(CLEAR, "bowl")) == set()
    assert about_food(steps(glaze("Harbour", POTASH, {"Red iron oxide": 9, "Cobalt carbonate": 1}), "plate")) == set()


def test_lead_is_seen_first_and_on_a_vase_too():
    first = check(LEAD, LIBRARY, use="plate").cautions[0]
    assert str(first.severity) == "stop"
    assert steps(LEAD, "not-for-food")["lead-present"] == "look"
    assert steps(LEAD, "not-for-food")["lead-raw-material"] == "stop"


def test_a_crawl_on_a_vase_is_a_thing_to_know():
    assert steps(CRAWL, "not-for-food")["crawled-on-food"] == "know"
    assert steps(CRAWL, "plate", surfaces=("crawled",))["crawled-on-food"] == "stop"


@pytest.mark.parametrize(
    "recipe", [LEAD, BARIUM, COPPER, COBALT_MANGANESE, IRON, LOW_SILICA, CRAWL, CLEAR], ids=lambda r: r.name
)
@pytest.mark.parametrize("use", ["plate", "not-for-food"])
def test_each_caution_says_what_why_do_and_on_whose_authority(recipe, use):
    for caution in check(recipe, LIBRARY, use=use).cautions:
        assert caution.message
        assert caution.do
        assert caution.source
        code = codes()[caution.code]
        assert caution.severity in (code.otherwise if use == "not-for-food" else code.on_food), caution.code
        assert (caution.about, caution.title) == (code.about, code.title)
        assert ".." not in caution.message.replace("...", "")
        assert "  " not in caution.message


@pytest.mark.parametrize("recipe", [LEAD, BARIUM, CRAWL], ids=lambda r: r.name)
def test_every_number_a_caution_holds_can_be_written_as_json(recipe):
    import json

    for caution in check(recipe, LIBRARY, use="plate").cautions:
        assert json.loads(json.dumps(caution.to_dict(), allow_nan=False)) == caution.to_dict()


def test_acid_food_and_heat_are_named():
    lead = next(c for c in check(LEAD, LIBRARY, use="plate").cautions if c.code == "lead-present")
    for words in ("acid food", "microwave", "copper in the same glaze"):
        assert words in lead.why


@pytest.mark.parametrize("recipe", [LEAD, BARIUM, CRAWL], ids=lambda r: r.name)
def test_cautions_and_planned_tests_can_be_pickled_and_copied(recipe):
    report = check(recipe, LIBRARY, use="plate")
    for value in (*report.cautions, *plan_tests(report.cautions, use="plate"), *ratio_readings(report.unity)):
        assert pickle.loads(pickle.dumps(value)) == copy.deepcopy(value) == value
