"""What the conversion refuses and what it says beside a result: each by its message, its mend and its code."""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc.convert.basis import to_mole_percent
from glazecalc.convert.batch import resolve
from glazecalc.errors import GlazeError

LIBRARY = gc.load_materials()
CLEAR = {"potash feldspar": 40, "whiting": 20, "kaolin": 10, "silica": 30}


def codes(recipe) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for notice in resolve(recipe, LIBRARY).notices:
        found.setdefault(notice.code, []).append(notice.message)
    return found


@pytest.mark.parametrize(
    ("call", "message", "hint"),
    [
        (lambda: to_mole_percent({"SiO2": 100.0}, "by volume"), "no basis is called 'by volume'", "Say 'mole percent'"),
        (lambda: to_mole_percent({"SiO2": 100.0}, "mole per cent"), "no basis is called", "mole percent"),
        (lambda: to_mole_percent(5, "mole percent"), "the composition is of type int", "gc.mole_percent("),
        (lambda: to_mole_percent({"SiO2": 3.0, "CaO": 1.0}, "mole percent"), "the composition totals 4 mole", "not moles"),
        (lambda: to_mole_percent(gc.UnityFormula({})), "the composition holds nothing", "oxides of a fired glaze"),
        (lambda: to_mole_percent({"SiO2": 60.0, "CO2": 20.0, "H2O": 20.0}, "mole percent"), "'CO2', 'H2O'", "alone"),
        (
            lambda: to_mole_percent(gc.unity_formula(CLEAR, LIBRARY), "weight percent"),
            "a unity formula is no weight percent",
            "Leave basis out.",
        ),
        (
            lambda: to_mole_percent(gc.mole_percent(CLEAR, LIBRARY), "weight percent"),
            "a MolePercent is mole percent",
            "Leave basis out.",
        ),
        (lambda: resolve({"silica": 1e13, "whiting": 5}, LIBRARY), "an amount of 1e+13 is too large", "Amounts up to"),
        (lambda: resolve(gc.Recipe.from_parts("", {"silica": 0.0}, {"cobalt oxide": 1}), LIBRARY), "no base", "without '+'"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_was_given_and_then_the_mend(call, message, hint):
    with pytest.raises(GlazeError) as refused:
        call()
    assert message in refused.value.message
    assert hint in refused.value.hint


def test_a_formula_that_knows_no_batch_is_read_by_its_own_numbers():
    found = to_mole_percent(gc.UnityFormula({"CaO": 1.0, "SiO2": 3.0}))
    assert found.isclose({"CaO": 25.0, "SiO2": 75.0})


def test_two_lines_of_one_material_are_added_up_and_said():
    items = [gc.Ingredient(material=name, amount=amount) for name, amount in (("silica", 20), ("kaolin", 30), ("Silica", 15), ("whiting", 20))]  # fmt: skip
    recipe = gc.Recipe(name="Twice", ingredients=tuple(items))
    batch = resolve(recipe, LIBRARY)
    assert {line.material.id: line.parts for line in batch.lines} == {"silica": 35.0, "kaolin": 30.0, "whiting": 20.0}
    assert codes(recipe)["same-material-twice"] == ["Silica is listed twice in the base; added up to 35."]


def test_a_title_that_is_a_material_is_asked_about():
    assert "is its amount missing?" in codes(gc.Recipe.from_parts("Talc", CLEAR))["title-is-a-material"][0]
    assert "title-is-a-material" not in codes(gc.Recipe.from_parts("Talcum white", CLEAR))


@pytest.mark.parametrize(
    ("material", "said"),
    [
        ("cobalt carbonate", True),
        ("copper carbonate", True),
        ("manganese carbonate", True),
        ("magnesium carbonate", True),
        ("lithium carbonate", False),  # one salt, sold as such
        ("barium carbonate", False),
        ("red iron oxide", False),
        ("cobalt oxide", False),
    ],
)
def test_carbonates_that_bags_sell_in_several_forms_are_named(material, said):
    assert ("carbonate-form" in codes({**CLEAR, material: 3})) is said


def test_ideal_formulas_are_named_and_colourants_are_not():
    (said,) = codes({**CLEAR, "red iron oxide": 3})["ideal-formula"]
    assert said == "ideal formula, not an analysis: Whiting, Kaolin, Silica."


def test_a_moist_material_is_told_by_its_water():
    clay = gc.Material(
        id="wet", name="Wet clay", kind="clay", formula="Al2O3.2SiO2.2H2O", moisture_percent=12.0, source=gc.Source(title="invented for this test"),
    )  # fmt: skip
    library = gc.MaterialLibrary([*LIBRARY.values(), clay])
    said = [n.message for n in resolve({**CLEAR, "wet": 5}, library).notices if n.code == "moist-material"]
    assert said == ["Wet clay holds 12 % water on the dry weight; recipe amounts are taken as dry."]


def test_twenty_unknown_names_come_with_suggestions_and_the_next_without():
    names = {f"potash feldspr {i}": 1.0 for i in range(23)}
    with pytest.raises(gc.FileFaultsError) as refused:
        resolve(names, LIBRARY)
    assert len(refused.value.faults) == 23
    suggested = ["did you mean" in fault.hint.lower() for fault in refused.value.faults]
    assert suggested == [True] * 20 + [False] * 3
    assert refused.value.path == "the recipe"
    with pytest.raises(gc.FileFaultsError) as titled:
        resolve(gc.Recipe.from_parts("Slate", {"nothing known": 1.0}), LIBRARY)
    assert titled.value.path == "Slate"


def test_small_additions_on_a_large_base_are_asked_about():
    large = {name: 10 * parts for name, parts in CLEAR.items()}
    recipe = gc.Recipe.from_parts("Kilo", large, {"cobalt oxide": 2, "tin oxide": 5})
    (said,) = codes(recipe)["additions-or-percent"]
    assert said == (
        "the base totals 1000: cobalt oxide 2 counts as 2 parts, 0.2 % of the base; if 2 % was meant (20 parts), write '2 %'; "
        "so too for tin oxide."
    )
    per_cent = gc.Ingredient(material="cobalt oxide", amount=2, unit="%", addition=True)
    settled = gc.Recipe(ingredients=(*gc.Recipe.from_parts("", large).base, per_cent))
    for other in (
        settled,
        gc.Recipe.from_parts("", CLEAR, {"cobalt oxide": 2}),
        gc.Recipe.from_parts("", large, {"cobalt oxide": 16}),
    ):
        assert "additions-or-percent" not in codes(other)


def test_a_first_line_that_is_no_material_may_be_the_title_of_a_typed_card(tmp_path):
    card = tmp_path / "card.txt"
    card.write_text("Slate grey 4\nwhiting 20\nsilica 60\n")
    with pytest.raises(gc.FileFaultsError) as typed:
        resolve(gc.read_recipe(card), LIBRARY)
    assert "If this line is the title" in typed.value.faults[0].hint
    with pytest.raises(gc.FileFaultsError) as built:
        resolve({"Slate grey": 4, "whiting": 20}, LIBRARY)
    assert "title" not in built.value.faults[0].hint
    assert "materials --new" in built.value.faults[0].hint


def test_tables_say_what_was_given_and_then_the_mend():
    import numpy as np
    import pandas as pd

    matrix = gc.unity_matrix([LIBRARY["whiting"], LIBRARY["silica"]])
    for call, message, hint in (
        (
            lambda: gc.unity_array(np.ones((2, 3)), matrix),
            "the parts have the shape (2, 3)",
            "The columns are whiting, silica.",
        ),
        (
            lambda: gc.unity_array(np.array([[-1.0, 0.0]]), matrix),
            "row 0, column 'whiting' holds -1.0",
            "Write 0 where",
        ),
        (
            lambda: gc.unity_table(pd.DataFrame({"silica": [1], "Silica": [2]}), LIBRARY),
            "the columns silica, Silica",
            "Add them up",
        ),
        (lambda: gc.unity_table(pd.DataFrame({"silica": ["much"]}), LIBRARY), "column silica", "Give amounts alone."),
    ):
        with pytest.raises(GlazeError) as refused:
            call()
        assert message in refused.value.message
        assert hint in refused.value.hint
    assert gc.unity_array(np.array([[1.0, 0.0]]), matrix)[0, 0] == 1.0  # nothing of a material is an amount
