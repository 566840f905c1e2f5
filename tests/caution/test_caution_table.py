"""The table of cautions says of each row what a check says of it; its columns hang on no recipe."""

from __future__ import annotations

import pickle
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.caution.codes import codes

STUDIO = Path(__file__).parents[2] / "notebooks/studio"
LIBRARY = gc.load_materials()
MATERIALS = (
    "silica", "kaolin", "whiting", "potash_feldspar", "soda_ash", "zinc_oxide", "litharge", "copper_carbonate", "cobalt_carbonate",
    "manganese_dioxide", "barium_carbonate", "lithium_carbonate", "red_iron_oxide", "chromium_oxide", "talc", "wood_ash", "colemanite", "rutile",
)  # fmt: skip
ORDER = ["know", "look", "stop"]


def gravest(report: gc.CheckReport) -> dict[str, str]:
    found: dict[str, str] = {}
    for caution in report.cautions:
        found[caution.code] = max(found.get(caution.code, "know"), caution.severity.value, key=ORDER.index)
    return found


def row_of(table: pd.DataFrame, label: object) -> dict[str, str]:
    return table.loc[label].dropna().to_dict()


rows = st.lists(
    st.dictionaries(st.sampled_from(MATERIALS), st.integers(1, 60).map(float), min_size=1), min_size=1, max_size=3
)
cones = st.sampled_from(["", "6", "04", "5-6", "10R", "1240 C"])
uses = st.sampled_from(["", "cup", "not-for-food"])


@settings(max_examples=40)
@given(rows, cones, st.sampled_from(["", "oxidation", "reduction"]), uses, st.sampled_from([(), ("crazed",)]))
def test_each_row_is_what_check_says_of_it(
    given_rows: list[dict[str, float]], cone: str, atmosphere: str, use: str, surfaces: tuple[str, ...]
):
    if cone.endswith("R"):
        atmosphere = ""
    body = gc.ClayBody(name="Slate", absorption_percent=6.0)
    how = {"use": use, "surfaces": surfaces, "body": body}
    parts = pd.DataFrame(given_rows, columns=list(MATERIALS)).fillna(0.0)
    table = gc.caution_table(parts, LIBRARY, cone=cone, atmosphere=atmosphere, **how)
    for label, amounts in enumerate(given_rows):
        in_order = {material: amounts[material] for material in MATERIALS if material in amounts}
        card = gc.Recipe.from_parts("", in_order)
        card = gc.Recipe(ingredients=card.ingredients, atmosphere=atmosphere)
        expected, why = {}, ""
        try:
            expected = gravest(gc.check(card, LIBRARY, cone=cone, **how))
        except gc.CompositionError as error:
            why = error.message
        assert row_of(table, label) == expected
        assert table.attrs["not_checked"].get(label, "").startswith(why)


def test_of_a_collection_the_names_and_cards_count():
    own = gc.load_materials(STUDIO / "materials")
    found = gc.read_recipes(STUDIO / "recipes", own)
    table = gc.caution_table(found, own)
    assert list(table.index) == list(found.to_frame().index)
    for row in found.rows:
        assert row_of(table, row.label) == gravest(gc.check(row.recipe, own))
    assert table.loc["Lichen Crawl", "crawled-on-food"] == "know"  # by its name; it is not for food
    by_parts = gc.caution_table(found.parts(), own, cone="6")
    assert by_parts["crawled-on-food"].isna().all()


def test_the_columns_hang_on_no_recipe():
    one = gc.caution_table(pd.DataFrame({"silica": [60.0], "whiting": [40.0]}), LIBRARY)
    other = gc.caution_table(
        pd.DataFrame({"litharge": [60.0, 0.0], "kaolin": [40.0, 40.0]}), LIBRARY, use="cup", cone="04"
    )
    assert list(one.columns) == list(other.columns) == list(codes())
    assert (one.dtypes == other.dtypes).all()
    assert set(one.attrs["titles"]) == set(one.columns)
    assert other["lead-present"].to_list()[0] == "stop"
    assert (other["lead-present"] >= "look").tolist() == [True, False]
    together = pd.concat([one, other])
    assert (together.dtypes == one.dtypes).all()


def test_a_table_in_pieces_as_another_process_makes_them_is_the_table():
    parts = pd.DataFrame(
        {material: [float((place * row) % 7) for row in range(1, 21)] for place, material in enumerate(MATERIALS, 1)}
    )
    elsewhere = pickle.loads(pickle.dumps(gc.caution_table))
    pieces = [elsewhere(piece, LIBRARY, cone="6") for piece in (parts.iloc[:1], parts.iloc[1:13], parts.iloc[13:])]
    assert pd.concat(pieces).equals(gc.caution_table(parts, LIBRARY, cone="6"))


def test_what_nothing_can_be_said_of_is_told_and_the_others_stand():
    parts = pd.DataFrame({"silica": [60.0, 0.0], "whiting": [40.0, 0.0]}, index=["full", "empty"])
    table = gc.caution_table(parts, LIBRARY, cone="6")
    assert table.loc["full"].notna().any()
    assert table.loc["empty"].isna().all()
    assert list(table.attrs["not_checked"]) == ["empty"]
    assert "zero" in table.attrs["not_checked"]["empty"]


def test_names_and_wrong_words_are_said():
    parts = pd.DataFrame({"silica 325 mesh": [60.0], "whiting": [40.0]})
    with pytest.warns(gc.GlazeWarning, match="mesh"):
        table = gc.caution_table(parts, LIBRARY)
    assert "mesh" in table.attrs["notices"][0]
    with pytest.raises(gc.UnknownNameError, match="tea"):
        gc.caution_table(parts.rename(columns={"silica 325 mesh": "silica"}), LIBRARY, use="tea")
    with pytest.raises(gc.UnknownNameError, match="bumpy"):
        gc.caution_table(parts.rename(columns={"silica 325 mesh": "silica"}), LIBRARY, surfaces="bumpy")
    with pytest.raises(gc.CompositionError, match="-1"):
        gc.caution_table(pd.DataFrame({"silica": [-1.0]}), LIBRARY)
