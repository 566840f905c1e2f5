"""Surfaces against the wording of food codes, crawling, the body's absorption, and the test plan."""

import pytest

from glazecalc.body import ClayBody
from glazecalc.caution.surface import SURFACES, body_cautions, surface_cautions
from glazecalc.caution.surface_rules import absorption_class, surface_rules
from glazecalc.caution.test_plan import plan_tests
from glazecalc.errors import ArgumentError, UnknownNameError
from tests.caution.pot import batch, look, material


def found(of, use="plate", surfaces=()):
    return {c.code: c for c in surface_cautions(of, use=use, surfaces=surfaces)}


@pytest.mark.parametrize("name", SURFACES)
def test_a_stated_surface_stops_food_ware_and_not_a_vase(name):
    on_plate, on_vase = (
        found(batch(), "plate", [name])[f"{name}-on-food"],
        found(batch(), "not-for-food", [name])[f"{name}-on-food"],
    )
    assert str(on_plate.severity) == "stop"
    assert "it is not an easily cleanable food surface" in on_plate.why
    assert any("4-202.11" in code for code in on_plate.evidence["codes"])
    assert "Food Code 4-202.11" in on_plate.why
    assert on_plate.evidence["use"] == "plate"
    assert found(batch(), None, [name])[f"{name}-on-food"].evidence["use"] == "not given, read as food ware"
    assert on_plate.do[0].isupper()
    assert on_plate.do.endswith(".")
    assert str(on_vase.severity) == "know"


@pytest.mark.parametrize(
    ("text", "code"),
    [("Crawl White", "crawled-on-food"), ("lichen", "crawled-on-food"), ("Grey Crackle", "crazed-on-food"), ("Lava", "pinholed-on-food"),
     ("Dry Matt Stone", "rough-on-food"), ("Bronze", "metallic-on-food"), ("Zinc Crystal", "crystalline-on-food"), ("textured blue", "textured-on-food")],
)  # fmt: skip
def test_a_recipe_that_calls_itself_so_gets_a_look(text, code):
    assert str(found(batch(name=text))[code].severity) == "look"
    assert str(found(batch(notes=text))[code].severity) == "look"


def test_a_plain_name_raises_nothing():
    assert found(batch(name="Harbour Black", notes="over white slip")) == {}


def test_a_crawl_on_a_plate_tells_the_conditions():
    do = found(batch(), "plate", ["crawled"])["crawled-on-food"].do
    for words in ("rim", "0.5 %", "undercut", "wider than deep", "125 washes", "crazing test"):
        assert words in do


def test_an_unknown_surface_is_refused_with_a_near_name():
    with pytest.raises(UnknownNameError, match="crawled"):
        found(batch(), "plate", ["crawld"])
    with pytest.raises(UnknownNameError, match="Known: crawled, crazed"):
        found(batch(), "plate", ["xyz"])


@pytest.mark.parametrize(
    ("percent", "name"), [(0.5, "vitreous"), (0.51, "semivitreous"), (10, "semivitreous"), (10.1, "nonvitreous")]
)
def test_absorption_classes(percent, name):
    """ASTM C242 as recalled: vitreous to 0.5 %, semivitreous to 10 %."""
    assert absorption_class(percent) == name


def test_body_absorption():
    def body(percent):
        return ClayBody(name="Tidewater", absorption_percent=percent)

    assert body_cautions(body(2.0), use="plate") == []
    assert [c.code for c in body_cautions(body(2.01), use="plate")] == ["body-absorbs"]
    assert body_cautions(body(5), use="not-for-food") == []
    assert body_cautions(body(None), use="plate") == []
    assert body_cautions(None) == []


# --- the test plan ------------------------------------------------------------------------------------------------------
def keys(cautions=(), use="plate", absorption=None):
    body = None if absorption is None else ClayBody(name="Tidewater", absorption_percent=absorption)
    return [test.key for test in plan_tests(cautions, use=use, body=body)]


def test_food_ware_always_gets_release_crazing_absorption_and_dishwasher():
    names = {
        test.name.split(" ")[0] + " " + test.name.split(" ")[1].rstrip(",") for test in plan_tests((), use="plate")
    }
    assert {"ASTM C738", "ASTM C554", "ASTM C424", "ASTM C373", "ASTM C1607", "EN 12875-1"} <= names
    assert keys(use="not-for-food") == []


def test_absorption_chooses_the_crazing_test():
    assert "thermal_shock" in keys(absorption=0.3)
    assert "autoclave" not in keys(absorption=0.3)
    assert {"thermal_shock", "autoclave"} <= set(keys(absorption=2.0))
    assert "thermal_shock" not in keys(absorption=12)
    assert "autoclave" in keys(absorption=12)


def test_cooking_ware_is_boiled_and_a_jar_is_filled():
    assert "release_hot" in keys(use="cooking")
    assert "leak" in keys(use="storage")
    assert "release_hot" not in keys(use="plate")


def test_cautions_ask_for_their_metals():
    from glazecalc.caution.food import food_cautions

    b, u, f = look(batch({"CoO": 3, "MnO": 5}))
    plan = {test.key: test for test in plan_tests(food_cautions(b, u, f, use="plate", cone="6"), use="plate")}
    assert plan["release_other"].why == "the glaze contains cobalt, manganese: ask for Co, Mn"
    assert "release_other" not in keys()
    vase = food_cautions(b, u, f, use="not-for-food", cone="6")
    assert plan_tests(vase, use="not-for-food") == []


def test_a_metallic_surface_is_not_sent_to_the_microwave_test():
    cautions = surface_cautions(batch(), use="plate", surfaces=["metallic"])
    assert "microwave" not in keys(cautions)
    assert "microwave" in keys()
    assert "stain" in keys(cautions)


def test_laboratory_first_then_workshop_then_bench():
    levels = [test.level for test in plan_tests((), use="plate")]
    assert levels == sorted(levels, key=("laboratory", "workshop", "bench").index)
    assert all(test.source and test.why and test.pieces for test in plan_tests((), use="plate"))


def test_a_metal_on_food_is_not_a_stain():
    from glazecalc.caution.food import food_cautions

    carbonate = material("ba", {"BaO": 77.7}, loi_percent=22.3)
    b, u, f = look(batch(None, {"glass": 80, "ba": 20}, carbonate))
    planned = keys(food_cautions(b, u, f, use="plate", cone="6"))
    assert "release_other" in planned
    assert "stain" not in planned


@pytest.mark.parametrize(("cobalt", "asked"), [(0.1, False), (0.101, True)])
def test_a_release_test_is_asked_for_each_metal_above_a_trace(cobalt: float, asked: bool):
    plan = {test.key: test for test in plan_tests((), use="plate", fired={"SiO2": 99.0, "CoO": cobalt})}
    assert ("release_other" in plan) is asked
    if asked:
        assert "Co" in plan["release_other"].why
    assert plan_tests((), use="not-for-food", fired={"CoO": 5.0}) == []


def test_every_kind_of_surface_has_its_rule():
    assert tuple(surface_rules()) == SURFACES


def test_a_use_that_is_not_known_and_a_report_in_place_of_its_cautions_are_refused():
    with pytest.raises(UnknownNameError, match="Did you mean 'plate'"):
        plan_tests((), use="plat")
    with pytest.raises(ArgumentError, match="report.cautions"):
        plan_tests(batch(), use="plate")
