"""The door of the package: a plausible mistake in a call is refused with the call to write, never with a raw error."""

from __future__ import annotations

import inspect
import pickle
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

import glazecalc as gc
from glazecalc.errors import ArgumentError, GlazeError

HARBOUR = {"potash feldspar": 38, "whiting": 14.5, "kaolin": 12, "silica": 28, "wollastonite": 7.5}
FUNCTIONS = sorted(name for name in gc.__all__ if inspect.isfunction(getattr(gc, name)))

# What a caller may write by mistake, by the name of the argument.
MISTAKES: dict[str, tuple[Any, ...]] = {
    "recipe": ("harbour-black.txt", None, 5, [("whiting", 5)], {"whiting": "a bit"}),
    "materials": ("my_materials/", {"whiting": 5}, 5),
    "convention": ("iron-as-feo", None, 5),
    "x": ("harbour-black.txt", None, 5, {"SiO2": "60 %"}),
    "recipes": ("harbour-black.txt", None, 5),
    "target": ("target.yaml", None, 5),
    "body": ("body.yaml", 5),
    "use": (5,),
    "surfaces": (5, [5]),
    "temperature_range_c": (20, "20-300", None),
    "temperature_c": ("hot", None),
    "log10_pa_s": ("4", None),
    "level": ("90 %", None),
    "volume_l": ("2 l",),
    "specific_gravity": ("1.45 g/ml",),
    "all_in_g": ("5 kg",),
    "step_g": ("0.1 g",),
    "path": (None, 5),
    "results": ("results.csv", None, 5, [5]),
    "ware": ("plate", None),
    "where": ("nowhere", 5),
    "cautions": ("lead", None, [5]),
    "parts": ("parts.csv", None, {"whiting": 5}),
    "wishes": (5, None, [5]),
    **dict.fromkeys(("without", "also", "only", "stock", "keep"), (5, [5])),
    **dict.fromkeys(("tolerances", "least", "most", "prices", "left_g"), ("prices.csv", 5, {"whiting": "5"})),
    "answers": ("three", 2.5, None),
    "clay": (20, "20-30"),
    "raw_clay": (20, "20-30"),
    "shelf": ("shelf.csv", None, 5),
    "bars": (5, [(100, 88)]),
    "sample": (5, "500 ml"),
    "need": (4000,),
}  # fmt: skip
CASES = [
    (name, parameter, mistake)
    for name in FUNCTIONS
    for parameter in inspect.signature(getattr(gc, name)).parameters
    for mistake in MISTAKES.get(parameter, ())
]


@pytest.fixture(scope="module")
def right(library: gc.MaterialLibrary) -> dict[str, Any]:
    """What stands in the other arguments of a call."""
    recipe = gc.Recipe.from_parts("Harbour", HARBOUR)
    unity = gc.unity_formula(recipe, library)
    return {
        "recipe": recipe, "materials": library, "x": unity, "a": unity, "b": unity, "recipes": [recipe, recipe], "target": recipe,
        "weighed": recipe, "results": [], "cautions": [], "temperature_c": 1200, "log10_pa_s": 4, "cone": "6", "wishes": ["alumina +0.05"],
        "volume_l": 2, "specific_gravity": 1.45, "path": "none.txt", "ware": gc.Ware(kind="plate", area_dm2=2, depth_mm=20),
    }  # fmt: skip


@pytest.mark.parametrize(("name", "parameter", "mistake"), CASES)
def test_a_mistake_is_refused_by_the_name_of_the_argument(
    right: dict[str, Any], name: str, parameter: str, mistake: Any
):
    function = getattr(gc, name)
    required = [p.name for p in inspect.signature(function).parameters.values() if p.default is p.empty]
    given = {p: right.get(p) for p in required} | {parameter: mistake}
    with pytest.raises(GlazeError) as caught:
        function(**given)
    if all(p in right for p in required):
        assert f"'{parameter}'" in str(caught.value) or parameter in str(caught.value)


@pytest.mark.parametrize(
    ("call", "write"),
    [
        ('gc.unity_formula("harbour.txt", materials)', "gc.read_recipe('harbour.txt')"),
        ('gc.check(recipe, "mine/")', "gc.load_materials('mine/')"),
        ('gc.check(recipe, {"whiting": 5})', "gc.load_materials()"),
        ("gc.check(materials, recipe)", "The recipe comes first"),
        ("gc.unity_formula(recipe, recipe)", "The recipe comes first"),
        ('gc.unity_formula(recipe, materials, convention="iron-as-feo")', "gc.Convention.from_names(['iron-as-feo'])"),
        ("gc.unity_formula(recipe, materials, convention=None)", "gc.Convention("),
        ('gc.check(recipe, materials, body="body.yaml")', "gc.read_body('body.yaml')"),
        ("gc.expansion(recipe)", "gc.mole_percent(recipe, materials)"),
        ('gc.scale(recipe, materials, all_in_g="5 kg")', "its unit"),
        ('gc.lab_report("results.csv", gc.Ware(kind="cup", volume_l=1))', "gc.read_release_results"),
        ("gc.size(bars=[(100, 88)])", "gc.Bar("),
        ("gc.scale(recipe, materials, need=4000)", "gc.need_from_gains("),
        ('gc.cost(recipe, materials, shelf="shelf.csv")', "gc.read_shelf("),
        ('gc.match("target.yaml", materials)', "gc.read_target('target.yaml')"),
        ("gc.unity_formula(None, materials)", "gc.Recipe.from_parts("),
        ("gc.unity_table(gc.RecipeCollection(source='', recipes=(recipe,)), materials)", "recipes.parts()"),
        ("gc.slurry(recipe, specific_gravity_now=1.4)", "gc.load_materials()"),
    ],
)
def test_the_error_names_the_call_to_write(library: gc.MaterialLibrary, call: str, write: str):
    names = {"gc": gc, "recipe": gc.Recipe.from_parts("Harbour", HARBOUR), "materials": library}
    with pytest.raises(ArgumentError) as caught:
        eval(call, names)
    assert write in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


NUMBERS = [
    (name, parameter.name)
    for name in FUNCTIONS
    for parameter in inspect.signature(getattr(gc, name)).parameters.values()
    if str(parameter.annotation).split(" | ")[0] == "float"
]


@pytest.mark.parametrize(("name", "parameter"), NUMBERS)
@pytest.mark.parametrize("number", [1e308, 10**400, Decimal("1e308")])
def test_a_number_that_would_overflow_is_refused_at_the_door(
    right: dict[str, Any], name: str, parameter: str, number: Any
):
    function = getattr(gc, name)
    required = [p.name for p in inspect.signature(function).parameters.values() if p.default is p.empty]
    with pytest.raises(GlazeError):
        function(**{p: right[p] for p in required if p in right} | {parameter: number})


@pytest.mark.parametrize(
    "make",
    [
        lambda big: gc.Ingredient(material="silica", amount=big, unit="t"),
        lambda big: gc.MolePercent({"SiO2": big, "CaO": big}),
        lambda big: gc.expansion(gc.UnityFormula({"SiO2": big, "CaO": big})),
        lambda big: gc.expansion({"SiO2": big, "CaO": big}, basis="mole percent"),
        lambda big: gc.check({"silica": big, "whiting": big}, gc.load_materials()),
        lambda big: gc.Target(unity={"SiO2": big}),
        lambda big: gc.blend([HARBOUR], gc.load_materials(), rising={"tin oxide": (0, big)}),
        lambda big: gc.nudge(HARBOUR, gc.load_materials(), f"expansion to {big:.0f}"),
        lambda big: gc.measured_mismatch(
            glaze_1e6_per_k=6, body_1e6_per_k=7, glaze_range_c=(20, big), body_range_c=(20, big)
        ),
    ],
)
def test_a_value_that_would_overflow_is_refused(make: Any):
    with pytest.raises(GlazeError, match="too large to be plausible|from low to high"):
        make(1e308)


def test_a_trace_of_alumina_gives_no_endless_ratio():
    assert gc.UnityFormula({"SiO2": 1e15, "Al2O3": 1e-300}).silica_alumina_ratio is None


def test_a_bare_text_is_one_name(library: gc.MaterialLibrary):
    recipe = gc.Recipe.from_parts("Harbour", HARBOUR)
    bare = gc.substitute(recipe, library, without="wollastonite", answers=1)
    listed = gc.substitute(recipe, library, without=["wollastonite"], answers=1)
    assert [answer.recipe for answer in bare.answers] == [answer.recipe for answer in listed.answers]


def test_what_comes_near_enough_is_taken(library: gc.MaterialLibrary):
    recipe = gc.Recipe.from_parts("Harbour", HARBOUR)
    unity = gc.unity_formula(recipe, library)
    assert gc.expansion(unity, temperature_range_c=[20, 300]) == gc.expansion(unity)  # type: ignore[arg-type]
    assert gc.scale(recipe, library, all_in_g=Decimal(5)).lines == gc.scale(recipe, library, all_in_g=5).lines  # type: ignore[arg-type]
    assert gc.viscosity(unity, temperature_c=np.float64(1200)) == gc.viscosity(unity, temperature_c=1200)
    assert gc.check(recipe, library, cone=6).to_dict() == gc.check(recipe, library, cone="6").to_dict()  # type: ignore[arg-type]
    assert gc.check(recipe, library, use=None, surfaces=None).unity == unity  # type: ignore[arg-type]


def test_an_argument_missing_or_too_much_is_named_by_python():
    with pytest.raises(TypeError, match="materials"):
        gc.unity_formula(HARBOUR)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="colour"):
        gc.unity_formula(HARBOUR, {}, colour="red")  # type: ignore[call-arg, arg-type]


def test_a_public_function_is_found_again_and_keeps_its_help():
    assert pickle.loads(pickle.dumps(gc.unity_formula)) is gc.unity_formula
    assert "materials" in inspect.signature(gc.unity_formula).parameters
    assert inspect.getdoc(gc.unity_formula)


@pytest.mark.parametrize(
    "call", [lambda: gc.compare({"silica": 1}, {"silica": 2}), lambda: gc.scale({"silica": 1}, all_in_kg=5)]
)
def test_an_argument_that_is_missing_or_too_much_is_told_with_the_call(call):
    with pytest.raises(gc.ArgumentError, match=r"It is called as \w+\("):
        call()
