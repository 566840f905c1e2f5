"""Tweaks of a recipe read as they are said, and what becomes of it when its amounts move."""

from __future__ import annotations

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import AmbiguousNameError, CompositionError, ConventionError, UnknownNameError

LIBRARY = gc.load_materials()
BASE = {"potash feldspar": 40.0, "whiting": 20.0, "kaolin": 10.0, "silica": 30.0}
CLEAR = gc.Recipe.from_parts("Clear", BASE, {"tin oxide": 4.0}, cone="6")


def amounts(recipe):
    return dict(zip((line.material for line in recipe.ingredients), recipe.amounts(), strict=True))


def test_a_chain_of_tweaks_says_what_it_does():
    told = CLEAR.with_amount("Silica", 25).without("Kaolin").swap("potash spar", "soda feldspar").add("talc", 3)
    assert amounts(told) == {"soda feldspar": 40, "whiting": 20, "silica": 25, "talc": 3, "tin oxide": 4}
    assert [line.material for line in told.additions] == ["tin oxide"]
    assert (told.name, told.cone) == ("Clear", "6")
    assert amounts(CLEAR) == {**BASE, "tin oxide": 4}  # the old one is as it was


def test_what_is_not_in_it_is_told_with_what_is():
    with pytest.raises(UnknownNameError, match="no line of the recipe"):
        CLEAR.without("talc")
    with pytest.raises(UnknownNameError) as refused:
        CLEAR.with_amount("whitting", 5)
    assert "whiting" in refused.value.hint
    twice = CLEAR.add("silica", 2, addition=True)
    with pytest.raises(AmbiguousNameError, match="2 lines"):
        twice.with_amount("silica", 5)


@settings(max_examples=40)
@given(st.floats(1, 5000), st.lists(st.floats(0.1, 90), min_size=4, max_size=4))
def test_a_scaled_recipe_has_its_total_and_the_same_formula(total, parts):
    recipe = gc.Recipe.from_parts("", dict(zip(BASE, parts, strict=True)), {"tin oxide": 4})
    scaled = recipe.scaled_to(total)
    assert scaled.base_total == pytest.approx(total)
    assert gc.unity_formula(scaled, LIBRARY).isclose(gc.unity_formula(recipe, LIBRARY), rtol=1e-9)


def test_per_cent_on_top_stays_per_cent_when_scaled():
    line = gc.Ingredient(material="tin oxide", amount=5, unit="%", addition=True)
    recipe = gc.Recipe(ingredients=(*CLEAR.base, line)).scaled_to(1000)
    assert recipe.additions[0].amount == 5
    assert recipe.all_in_total == pytest.approx(1050)


def test_a_tweaked_recipe_is_written_as_it_is_now(tmp_path):
    path = tmp_path / "clear.txt"
    path.write_text("Clear\nwhiting 40\nsilica 60\n")
    recipe = gc.read_recipe(path).with_amount("silica", 50)
    gc.write_recipe(recipe, tmp_path / "new.txt")
    assert gc.read_recipe(tmp_path / "new.txt").base[1].amount == 50


def test_formulas_are_subtracted_by_oxide():
    more = gc.unity_formula(CLEAR.with_amount("silica", 40), LIBRARY)
    less = gc.unity_formula(CLEAR, LIBRARY)
    change = more - less
    assert change["SiO2"] == pytest.approx(more["SiO2"] - less["SiO2"])
    assert change["SiO2"] > 0.5
    assert abs(change["CaO"]) < 1e-9
    assert str(change) == "SiO2 +0.62"
    assert repr(change).startswith("<UnityChange SiO2 +0.62")
    assert (str(less - less), (less - less)["ZnO"]) == ("no oxide moves by 0.005 or more", 0.0)
    assert change.to_frame().attrs["units"] == {"moles_more": "mol per mol of flux"}
    with pytest.raises(UnknownNameError):
        change["SiO3"]
    other = gc.unity_formula(CLEAR, LIBRARY, convention=gc.Convention(alkalis_together=True))
    with pytest.raises(ConventionError, match="two conventions"):
        more - other


def test_a_tweak_gets_a_name_of_its_own():
    less = CLEAR.with_amount("tin oxide", 2).named("Clear, half the tin")
    assert (less.name, CLEAR.name) == ("Clear, half the tin", "Clear")
    assert less.named("Clear").cone == "6"


def test_an_answer_and_an_estimate_are_asked_for_by_name():
    report = gc.check(CLEAR, LIBRARY)
    assert report.reading("melt") is report.readings[0]
    assert str(report.reading("melt")).split()[0] == "melt"
    assert report.reading("melt").do.split()[-1] in str(report.reading("melt"))
    assert report.estimate("expansion").model == "fitted"
    assert report.estimate("expansion", "appen").model == "appen"
    with pytest.raises(UnknownNameError, match="no answer about 'melting'"):
        report.reading("melting")
    with pytest.raises(UnknownNameError) as refused:
        gc.check(CLEAR, LIBRARY, cone="5-6").estimate("viscocity")
    assert "viscosity" in refused.value.hint
    with pytest.raises(UnknownNameError, match="no estimate of 'viscosity'"):
        gc.check(BASE, LIBRARY).estimate("viscosity")


def test_a_library_takes_one_more():
    spar = gc.Material(
        id="our_spar", name="Our spar", formula="K2O.Al2O3.6SiO2", source=gc.Source(title="invented for this test")
    )
    wider = LIBRARY.with_material(spar)
    assert len(wider) == len(LIBRARY) + 1
    assert "our_spar" not in LIBRARY


def test_a_grid_holds_every_pair_and_each_row_is_its_recipe():
    grid = gc.vary(CLEAR, {"silica": range(20, 41, 10), "whiting": (15, 20)}, LIBRARY)
    assert grid.index.names == ["silica", "whiting"]
    assert len(grid) == 6
    one = CLEAR.with_amount("silica", 40).with_amount("whiting", 15)
    unity = gc.unity_formula(one, LIBRARY)
    row = grid.loc[(40.0, 15.0)]
    assert unity.isclose({oxide: row[oxide] for oxide in unity})
    assert row["SiO2:Al2O3"] == pytest.approx(unity.silica_alumina_ratio)
    expansion = gc.expansion(unity)
    assert (row["expansion"], row["expansion low"]) == (pytest.approx(expansion.value), pytest.approx(expansion.low))
    assert "viscosity" in grid.columns  # at the cone of the card


def test_one_line_gives_a_plain_index_and_zero_is_an_amount():
    grid = gc.vary(CLEAR, {"silica": [0, 30]}, LIBRARY)
    assert grid.index.tolist() == [0.0, 30.0]
    assert gc.unity_formula(CLEAR, LIBRARY)["SiO2"] == pytest.approx(grid["SiO2"].iloc[1])
    with pytest.raises(CompositionError, match="no amounts"):
        gc.vary(CLEAR, {"silica": []}, LIBRARY)
    with pytest.raises(CompositionError, match="at most"):
        gc.vary(CLEAR, {"silica": range(2000), "whiting": range(2000)}, LIBRARY)


def test_one_part_more_of_each():
    found = gc.sensitivity(CLEAR, LIBRARY)
    assert isinstance(found, pd.DataFrame)
    more = gc.unity_formula(CLEAR.with_amount("whiting", 21), LIBRARY) - gc.unity_formula(CLEAR, LIBRARY)
    assert found.loc["Whiting", "SiO2"] == pytest.approx(more["SiO2"])
    assert found.loc["Silica", "expansion"] < 0 < found.loc["Potash feldspar", "expansion"]


def test_additions_in_per_cent_follow_the_base_of_each_row():
    line = gc.Ingredient(material="tin oxide", amount=5, unit="%", addition=True)
    recipe = gc.Recipe(ingredients=(*CLEAR.base, line), cone="6")
    grid = gc.vary(recipe, {"silica": [10, 30, 60]}, LIBRARY)
    for silica in (10, 30, 60):
        one = gc.unity_formula(recipe.with_amount("silica", silica), LIBRARY)
        assert one.isclose({oxide: grid.loc[silica, oxide] for oxide in one})
    more = gc.unity_formula(recipe.with_amount("silica", 31), LIBRARY) - gc.unity_formula(recipe, LIBRARY)
    assert gc.sensitivity(recipe, LIBRARY).loc["Silica", "SnO2"] == pytest.approx(more["SnO2"])


def test_a_material_on_two_lines_moves_by_the_line_that_is_tried():
    recipe = CLEAR.add("silica", 3, addition=True).swap("kaolin", "ball clay")
    with pytest.raises(AmbiguousNameError, match="2 lines"):
        gc.vary(recipe, {"silica": [20]}, LIBRARY)
    grid = gc.vary(recipe, {"whiting": [0, 25]}, LIBRARY)
    one = gc.unity_formula(recipe.with_amount("whiting", 25), LIBRARY)
    assert one.isclose({oxide: grid.loc[25, oxide] for oxide in one})


def test_a_grid_knows_a_line_by_the_names_of_the_library_too_and_each_line_once():
    grid = gc.vary(CLEAR, {"flint": [20, 30]}, LIBRARY)
    assert grid.index.name == "flint"
    assert grid.reset_index(drop=True).equals(gc.vary(CLEAR, {"silica": [20, 30]}, LIBRARY).reset_index(drop=True))
    with pytest.raises(CompositionError, match="'silica' and 'flint' are one line"):
        gc.vary(CLEAR, {"silica": [20], "flint": [30]}, LIBRARY)
    with pytest.raises(UnknownNameError, match="'talc' is no line of the recipe"):
        gc.vary(CLEAR, {"talc": [0, 5]}, LIBRARY)


@pytest.mark.parametrize(("fired", "judged"), [("6", True), ("1240 C", True), ("5-6", False), ("", False)])
def test_the_firing_of_the_card_gives_the_viscosity_where_it_is_one(fired, judged):
    recipe = gc.Recipe.from_parts("Clear", BASE, cone=fired)
    assert ("viscosity" in gc.vary(recipe, {"silica": [30]}, LIBRARY)) is judged
    assert ("viscosity" in gc.sensitivity(recipe, LIBRARY)) is judged
