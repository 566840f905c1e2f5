"""Tables of many recipes: each row is what one recipe by itself comes to, and the columns do not depend on the rows."""

from __future__ import annotations

import math
import pickle
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import ArgumentError, CompositionError
from glazecalc.estimate.expansion import expansion_of_many
from glazecalc.estimate.fitted import REGIONS
from glazecalc.estimate.glass_points import glass_points_of_many
from glazecalc.estimate.viscosity import viscosity_of_many
from glazecalc.oxides import AXIS

LIBRARY = gc.load_materials()
NAMES = ["potash_feldspar", "whiting", "talc", "kaolin", "silica", "red_iron_oxide", "borax", "zinc_oxide", "litharge"]
amounts = st.lists(st.integers(0, 60), min_size=len(NAMES), max_size=len(NAMES)).filter(lambda row: sum(row[:3]) > 0)


@settings(max_examples=25)
@given(st.lists(amounts, min_size=1, max_size=4), st.sampled_from(["default", "alkalis-together", "iron-as-feo", "colourants-as-flux", "unity-on-alumina"]))  # fmt: skip
def test_a_row_is_what_its_recipe_is_by_itself(rows, name):
    convention = gc.Convention.from_names(name)
    table = gc.unity_table(pd.DataFrame(rows, columns=NAMES), LIBRARY, convention=convention)
    for place, row in enumerate(rows):
        try:
            one = gc.unity_formula(dict(zip(NAMES, row, strict=True)), LIBRARY, convention=convention)
        except CompositionError:
            assert table.iloc[place].isna().all()
        else:
            assert one.isclose(table.iloc[place].to_dict(), rtol=1e-12)


@settings(max_examples=25)
@given(st.lists(amounts, min_size=1, max_size=4))
def test_fired_and_mole_per_cent_are_those_of_one_recipe(rows):
    parts = pd.DataFrame(rows, columns=NAMES)
    fired, moles = gc.fired_table(parts, LIBRARY), gc.mole_percent_table(parts, LIBRARY)
    for place, row in enumerate(rows):
        recipe = dict(zip(NAMES, row, strict=True))
        assert gc.fired_analysis(recipe, LIBRARY).isclose(fired.iloc[place].to_dict(), rtol=1e-12)
        assert gc.mole_percent(recipe, LIBRARY).isclose(moles.iloc[place].to_dict(), rtol=1e-12)


@settings(max_examples=30)
@given(amounts, st.sampled_from([900.0, 1222.0, 1300.0, 1500.0]), st.sampled_from([0.8, 0.9, 0.95]))
def test_an_estimate_of_many_is_that_of_one(row, temperature_c, level):
    recipe = dict(zip(NAMES, row, strict=True))
    table = gc.estimate_table(pd.DataFrame([row], columns=NAMES), LIBRARY, temperature_c=temperature_c, level=level)
    glaze = gc.mole_percent(recipe, LIBRARY)
    ways = {
        "expansion": lambda: gc.expansion(glaze, level=level),
        "glass transition": lambda: gc.glass_transition(glaze, level=level),
        "softening temperature": lambda: gc.softening_temperature(glaze, level=level),
        "surface tension": lambda: gc.surface_tension(glaze, level=level),
        "viscosity": lambda: gc.viscosity(glaze, temperature_c=temperature_c, level=level),
    }
    for name, way in ways.items():
        found = table.iloc[0][[name, f"{name} low", f"{name} high"]].astype(float).tolist()
        try:
            one = way()
        except CompositionError:
            assert math.isnan(found[0]), name
            continue
        wanted = [one.value, one.low, one.high]
        assert found == pytest.approx([math.nan if x is None else x for x in wanted], rel=1e-9, nan_ok=True), name
        if name != "surface tension":
            assert bool(table.iloc[0][f"{name} tested"]) is one.in_window, name


@settings(max_examples=60)
@given(st.dictionaries(st.sampled_from(AXIS), st.floats(0.01, 60), min_size=1, max_size=9))
def test_the_place_of_many_is_that_of_one(found):
    total = sum(found.values())
    glaze = {oxide: 100 * value / total for oxide, value in found.items()}
    row = np.array([[glaze.get(oxide, 0.0) for oxide in AXIS]])
    for model in (expansion_of_many(), *glass_points_of_many(), viscosity_of_many(1200.0)):
        region, inside = model.tested.regions(row)
        place = model.tested.place(gc.MolePercent(glaze))
        assert (REGIONS[region[0]], bool(inside[0])) == (place.region, not place.outside), model.quantity


def test_columns_follow_from_materials_and_convention_alone():
    some = pd.DataFrame({"potash feldspar": [0.0], "whiting": [20.0], "silica": [30.0], "cobalt oxide": [0.0]})
    more = pd.DataFrame({"potash feldspar": [50.0, 0.0], "whiting": [20.0, 1.0], "silica": [0.0, 3.0], "cobalt oxide": [2.0, 0.0]})  # fmt: skip
    assert list(gc.unity_table(some, LIBRARY).columns) == list(gc.unity_table(more, LIBRARY).columns)
    together = gc.Convention(alkalis_together=True)
    for table in (gc.unity_table, gc.fired_table, gc.mole_percent_table):
        columns = list(table(some, LIBRARY, convention=together).columns)
        assert columns[0] == "KNaO"
        assert not {"K2O", "Na2O"} & set(columns)


TABLES = (gc.unity_table, gc.fired_table, gc.mole_percent_table, gc.estimate_table)
# forty materials: a product of that size is added up in another order than a small one, on some processors
WIDE = sorted((m.id for m in LIBRARY.values() if m.analysis), key=lambda m: (-len(LIBRARY[m].analysis), m))[:40]


@pytest.mark.parametrize("columns", [NAMES[:5], WIDE], ids=["5 materials", "40 materials"])
def test_parts_of_a_table_are_the_table_and_a_process_pool_makes_it(columns):
    parts = pd.DataFrame(np.random.default_rng(7).uniform(0, 40, (3000, len(columns))), columns=columns)
    pieces = [parts.iloc[:17], parts.iloc[17:18], parts.iloc[18:1100], parts.iloc[1100:]]
    with ProcessPoolExecutor(2) as pool:
        for table in TABLES:
            whole = table(parts, LIBRARY)
            assert pd.concat([table(piece, LIBRARY) for piece in pieces]).equals(whole), table.__name__
            assert pd.concat(pool.map(table, pieces, [LIBRARY] * 4)).equals(whole), table.__name__
        matrix = gc.unity_matrix([LIBRARY[name] for name in columns])
        made = list(pool.map(gc.unity_array, (piece.to_numpy() for piece in pieces), [matrix] * 4))
    assert (np.concatenate(made) == gc.unity_table(parts, LIBRARY).to_numpy()).all()


@pytest.mark.parametrize("table", [*TABLES, gc.caution_table])
def test_a_table_of_no_recipes_has_the_columns_and_kinds_of_any(table):
    parts = pd.DataFrame(1.0, index=range(3), columns=NAMES[:5])
    none, some = table(parts.iloc[:0], LIBRARY), table(parts, LIBRARY)
    assert len(none) == 0
    assert none.dtypes.equals(some.dtypes)
    assert none.attrs == some.attrs


def test_what_a_worker_needs_is_soon_sent():
    matrix = gc.unity_matrix([LIBRARY[name] for name in WIDE])
    sent = [len(pickle.dumps(value)) for value in (LIBRARY, matrix, gc.Convention())]
    assert [size < most for size, most in zip(sent, (300_000, 30_000, 500), strict=True)] == [True] * 3, sent
    back = pickle.loads(pickle.dumps(matrix))
    assert (back.oxides, back.convention, back.brought.tobytes()) == (matrix.oxides, matrix.convention, matrix.brought.tobytes())  # fmt: skip


TABLE_NAMES = ("unity_table", "fired_table", "mole_percent_table", "estimate_table", "caution_table")


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_bad_amount_is_named_by_row_and_column(bad):
    parts = pd.DataFrame(1.0, index=[f"r{i}" for i in range(5000)], columns=["whiting", "silica"])
    parts.loc["r4321", "silica"] = bad
    for table in (getattr(gc, name) for name in TABLE_NAMES):
        with pytest.raises(CompositionError, match=r"row 'r4321', column 'silica'"):
            table(parts, LIBRARY)
    with pytest.raises(CompositionError, match="row 4321, column 'silica'"):
        gc.unity_array(parts.to_numpy(), gc.unity_matrix([LIBRARY["whiting"], LIBRARY["silica"]]))


def test_another_number_of_columns_is_refused():
    with pytest.raises(ArgumentError, match="2 materials"):
        gc.unity_array(np.ones((3, 3)), gc.unity_matrix([LIBRARY["whiting"], LIBRARY["silica"]]))
    with pytest.raises(ArgumentError, match="one of them"):
        gc.estimate_table(pd.DataFrame({"whiting": [1], "silica": [3]}), LIBRARY, cone="6", temperature_c=1200.0)


ROW = {"whiting": 20.0, "kaolin": 20.0, "silica": 60.0, "copper carb": 2.0}
EVERY_TABLE = {
    **{name: lambda name=name: getattr(gc, name)(pd.DataFrame([ROW]), LIBRARY) for name in TABLE_NAMES},
    "vary": lambda: gc.vary(gc.Recipe.from_parts("", ROW), {"silica": [60]}, LIBRARY),
    "sensitivity": lambda: gc.sensitivity(gc.Recipe.from_parts("", ROW), LIBRARY),
}


@pytest.mark.parametrize("name", EVERY_TABLE)
def test_in_every_table_a_loosely_read_name_is_warned_of_once_and_kept(name: str):
    with pytest.warns(gc.GlazeWarning, match="copper carbonate") as caught:
        table = EVERY_TABLE[name]()
    assert len(caught) == 1
    assert str(caught[0].message) == " ".join(table.attrs["notices"])
    assert caught[0].filename == __file__  # the line of the user's own code
    if name != "caution_table":
        numbers = set(table.select_dtypes("number").columns)
        assert table.attrs["units"].keys() == numbers


@pytest.mark.parametrize("name", ["unity_table", "fired_table", "mole_percent_table", "vary", "sensitivity"])
def test_a_convention_holds_in_every_table_that_takes_one(name: str):
    convention = gc.Convention.from_names(["alkalis-together", "colourants-as-flux"])
    parts = {"potash feldspar": 40.0, "soda ash": 2.0, "silica": 40.0, "whiting": 18.0, "cobalt oxide": 3.0}
    recipe, function = gc.Recipe.from_parts("", parts), getattr(gc, name)
    if name in TABLE_NAMES:
        table = function(pd.DataFrame([parts]), LIBRARY, convention=convention)
    else:
        table = (
            function(recipe, {"silica": [40.0]}, LIBRARY, convention=convention)
            if name == "vary"
            else function(recipe, LIBRARY, convention=convention)
        )
    assert "KNaO" in table.columns
    assert not {"K2O", "Na2O"} & set(table.columns)
    assert table.attrs["convention"] == convention.description
    if name in ("unity_table", "vary"):
        assert table.iloc[0][list(gc.unity_formula(recipe, LIBRARY, convention=convention))].to_dict() == pytest.approx(
            dict(gc.unity_formula(recipe, LIBRARY, convention=convention))
        )


def test_units_stand_in_attrs_and_empty_rows_are_named():
    parts = pd.DataFrame({"whiting": [20, 0], "silica": [60, 0]}, index=["a", "b"])
    table = gc.unity_table(parts, LIBRARY)
    assert table.attrs["unit"] == "mol per mol of flux"
    assert table.attrs["no_unity"] == ["b"]
    alone = gc.unity_table(parts.iloc[:1], LIBRARY)  # a row of nothing beside it changes nothing
    assert (table.iloc[:1].to_numpy() == alone.to_numpy()).all()
    assert table.iloc[1].isna().all()
    assert gc.fired_table(parts, LIBRARY).attrs["nothing_left"] == ["b"]
    assert gc.unity_table(parts.iloc[:0], LIBRARY).columns.tolist() == ["CaO", "SiO2"]
