"""The conversion: worked values, laws, and answers at the edges."""

from __future__ import annotations

import math
import re

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.convention import CONVENTION_OPTIONS
from glazecalc.convert.basis import to_mole_percent
from glazecalc.convert.batch import resolve
from glazecalc.errors import ArgumentError, CompositionError, FileFaultsError, UnknownNameError
from glazecalc.oxides import AXIS
from glazecalc.source import Source
from tests.handmade import analysed, brings, library_of

LIBRARY = gc.load_materials()
COMMON = [
    "potash_feldspar",
    "whiting",
    "kaolin",
    "silica",
    "talc",
    "zinc_oxide",
    "red_iron_oxide",
    "cobalt_carbonate",
    "spodumene",
    "borax",
    "ilmenite_europe",
]
FLUXING = ["potash_feldspar", "whiting", "talc", "zinc_oxide", "spodumene", "borax"]
parts_of = st.dictionaries(st.sampled_from(COMMON), st.floats(0.01, 1000), min_size=2).filter(
    lambda d: any(name in d for name in FLUXING)
)
conventions = st.sets(st.sampled_from([n for n in CONVENTION_OPTIONS if n != "unity-on-alumina"])).filter(
    lambda s: not {"boron-with-silica", "boron-with-alumina"} <= s
)

FRIT_Q7 = analysed("Frit Q7", {"Na2O": 10, "CaO": 20, "B2O3": 25, "SiO2": 45}, 0.0)
BLACK = gc.Recipe.from_parts(
    "Coalquay Black",
    {"potash_feldspar_ideal": 30, "Frit Q7": 24, "whiting": 8, "kaolin": 14, "silica": 22},
    {"red iron oxide": 8, "cobalt carbonate": 1.5},
)
WITH_FRIT = gc.MaterialLibrary([*LIBRARY.values(), FRIT_Q7])


def test_a_black_worked_by_hand():
    # oxides by hand with ideal formulas: K2O 5.076, Na2O 2.400, CaO 9.282, Al2O3 11.024, B2O3 6.000, SiO2 58.745 parts
    batch = resolve(BLACK, WITH_FRIT)
    masses = dict(zip(AXIS, batch.oxide_masses(base_only=True), strict=True))
    worked = {"K2O": 5.076, "Na2O": 2.400, "CaO": 9.282, "Al2O3": 11.024, "B2O3": 6.000, "SiO2": 58.745}
    assert {oxide: masses[oxide] for oxide in worked} == pytest.approx(worked, abs=0.001)
    unity = gc.unity_formula(BLACK, WITH_FRIT)
    expected = {"K2O": 0.21, "Na2O": 0.15, "CaO": 0.64, "Al2O3": 0.42, "B2O3": 0.33, "SiO2": 3.79}
    assert {oxide: unity[oxide] for oxide in expected} == pytest.approx(expected, abs=0.005)
    assert unity.silica_alumina_ratio == pytest.approx(9.0, abs=0.05)
    assert batch.loss_percent(base_only=True) == pytest.approx(5.58, abs=0.005)
    assert batch.loss_percent() == pytest.approx(5.61, abs=0.005)
    fired = gc.fired_analysis(BLACK, WITH_FRIT)
    assert fired["Fe2O3"] == pytest.approx(7.88, abs=0.005)
    assert fired["CoO"] == pytest.approx(0.93, abs=0.005)


@pytest.mark.parametrize(
    ("names", "silica"), [([], 3.79), (["colourants-as-flux"], 3.61), (["colourants-as-flux", "iron-as-feo"], 2.64)]
)
def test_the_convention_moves_silica(names: list[str], silica: float):
    assert gc.unity_formula(BLACK, WITH_FRIT, convention=gc.Convention.from_names(names))["SiO2"] == pytest.approx(
        silica, abs=0.005
    )


def test_lime_feldspar_glaze_from_ideal_minerals():
    # 0.3 K2O, 0.7 CaO, 0.5 Al2O3, 4 SiO2 from spar 42.08, whiting 17.65, kaolin 13.01, silica 27.25: exact arithmetic
    unity = gc.unity_formula(
        {"potash_feldspar_ideal": 42.08, "whiting": 17.65, "kaolin": 13.01, "silica": 27.25}, LIBRARY
    )
    assert dict(unity) == pytest.approx({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0}, abs=0.001)


def test_iron_is_counted_once_whatever_its_form():
    as_fe2o3 = gc.unity_formula({"whiting": 10, "red_iron_oxide": 5}, LIBRARY)["Fe2O3"]
    magnetite = 5 / 1.03455
    assert gc.unity_formula({"whiting": 10, "black_iron_oxide": magnetite}, LIBRARY)["Fe2O3"] == pytest.approx(
        as_fe2o3, rel=1e-4
    )
    both = library_of(analysed("ore", {"FeO": 34.5, "Fe2O3": 10}), brings("whiting", 100, {"CaO": 1}))
    # FeO x 1.1113 = Fe2O3
    assert gc.fired_analysis({"ore": 100, "whiting": 0.001}, both)["Fe2O3"] == pytest.approx(100, abs=0.01)
    feo = gc.unity_formula({"whiting": 10, "red_iron_oxide": 5}, LIBRARY, convention=gc.Convention(iron_as_feo=True))
    assert feo["FeO"] == pytest.approx(2 * as_fe2o3)
    assert "Fe2O3" not in feo


@given(parts_of, conventions, st.floats(1e-3, 1e4))
def test_unity_does_not_change_with_the_size_of_the_batch(parts: dict[str, float], names: set[str], factor: float):
    convention = gc.Convention.from_names(names)
    small = gc.unity_formula(parts, LIBRARY, convention=convention)
    large = gc.unity_formula({name: p * factor for name, p in parts.items()}, LIBRARY, convention=convention)
    assert small.isclose(large, rtol=1e-9)


@given(parts_of, conventions)
def test_fluxes_sum_to_one_by_every_convention(parts: dict[str, float], names: set[str]):
    unity = gc.unity_formula(parts, LIBRARY, convention=gc.Convention.from_names(names))
    counted = {"FeO", "MnO", "CoO", "NiO", "CuO"} if "colourants-as-flux" in names else set()
    by_hand = unity.r2o + unity.ro + sum(unity[o] for o in counted if o != "FeO" or "iron-as-feo" in names)
    assert by_hand == pytest.approx(1.0, abs=1e-12)


@given(parts_of)
def test_unity_on_alumina_puts_alumina_at_one(parts: dict[str, float]):
    if not {"potash_feldspar", "kaolin", "spodumene"} & set(parts):
        return
    unity = gc.unity_formula(parts, LIBRARY, convention=gc.Convention(unity_on_alumina=True))
    assert unity["Al2O3"] == pytest.approx(1.0, abs=1e-12)


@given(parts_of, st.randoms(use_true_random=False))
def test_order_does_not_matter(parts: dict[str, float], random):
    names = list(parts)
    random.shuffle(names)
    assert gc.unity_formula(parts, LIBRARY).isclose(
        gc.unity_formula({name: parts[name] for name in names}, LIBRARY), rtol=1e-9
    )


@given(parts_of, parts_of, st.floats(0.05, 0.95))
def test_mixing_is_linear_in_moles(a: dict[str, float], b: dict[str, float], share: float):
    mix = {name: share * a.get(name, 0) + (1 - share) * b.get(name, 0) for name in {*a, *b}}
    moles = [gc.unity_formula(parts, LIBRARY).moles for parts in (a, b, mix)]
    for oxide in moles[2]:
        assert moles[2][oxide] == pytest.approx(
            share * moles[0].get(oxide, 0) + (1 - share) * moles[1].get(oxide, 0), rel=1e-9
        )


@given(parts_of)
def test_fired_analysis_and_mole_percent_sum_to_100(parts: dict[str, float]):
    assert math.fsum(gc.fired_analysis(parts, LIBRARY).values()) == pytest.approx(100, abs=1e-9)
    assert math.fsum(gc.mole_percent(parts, LIBRARY).values()) == pytest.approx(100, abs=1e-9)


@given(parts_of)
def test_unity_fired_and_moles_describe_one_glass(parts: dict[str, float]):
    as_moles = gc.mole_percent(parts, LIBRARY)
    fired = gc.fired_analysis(parts, LIBRARY)
    for other in (
        to_mole_percent(gc.unity_formula(parts, LIBRARY)),
        to_mole_percent(fired),
        to_mole_percent(as_moles),
        to_mole_percent(dict(fired), basis="weight percent"),
        to_mole_percent(dict(as_moles), basis="mole percent"),
    ):
        assert dict(other) == pytest.approx(dict(as_moles), rel=1e-9)


@given(parts_of)
def test_every_gram_is_accounted_for(parts: dict[str, float]):
    batch = resolve(gc.Recipe.from_parts("", parts), LIBRARY)
    whole = sum(line.parts * line.material.total_percent for line in batch.lines) / 100
    assert batch.oxide_masses().sum() + batch.loss_percent() / 100 * batch.all_in_total == pytest.approx(
        whole, rel=1e-9
    )


def test_contributions_add_to_the_whole():
    batch = resolve(BLACK, WITH_FRIT)
    assert batch.contributions().shape == (7, len(batch.oxide_masses()))
    assert batch.contributions().sum(axis=0) == pytest.approx(batch.oxide_masses())
    frit = batch.contributions()[1]
    assert frit.sum() == pytest.approx(24.0)


def test_a_batch_without_flux_has_an_analysis_but_no_unity():
    with pytest.raises(CompositionError, match="no flux"):
        gc.unity_formula({"silica": 50, "kaolin": 50}, LIBRARY)
    assert gc.fired_analysis({"silica": 50, "kaolin": 50}, LIBRARY)["SiO2"] > 70
    with pytest.raises(CompositionError, match="no alumina"):
        gc.unity_formula({"silica": 50, "whiting": 50}, LIBRARY, convention=gc.Convention(unity_on_alumina=True))


def test_no_silica_and_no_alumina_are_defined_answers():
    unity = gc.unity_formula({"whiting": 100}, LIBRARY)
    assert dict(unity) == {"CaO": 1.0}
    assert unity["SiO2"] == 0.0
    assert unity.silica_alumina_ratio is None


def test_what_burns_away_is_said():
    gum = gc.Material(id="gum", name="gum", source=Source(title="t"), loi_percent=100.0)
    only_gum = gc.MaterialLibrary([gum])
    with pytest.raises(CompositionError, match="nothing of this batch stays"):
        gc.unity_formula({"gum": 5}, only_gum)
    with pytest.raises(CompositionError, match="nothing of this batch stays"):
        gc.fired_analysis({"gum": 5}, only_gum)


def test_amounts_out_of_reason_are_refused():
    with pytest.raises(CompositionError, match="too large"):
        gc.unity_formula({"whiting": 1e300}, LIBRARY)
    with pytest.raises(CompositionError, match="finite"):
        gc.unity_formula({"whiting": math.inf}, LIBRARY)
    with pytest.raises(CompositionError, match="no ingredients"):
        gc.unity_formula({}, LIBRARY)


def test_unknown_names_are_all_reported():
    with pytest.raises(FileFaultsError) as caught:
        gc.unity_formula({"whitng": 5, "iron": 3, "silica": 1}, LIBRARY)
    assert len(caught.value.faults) == 2


def test_a_mapping_must_be_mole_percent():
    with pytest.raises(CompositionError, match="totals 4"):
        to_mole_percent({"SiO2": 3.0, "CaO": 1.0}, "mole percent")
    with pytest.raises(UnknownNameError, match="Did you mean 'SiO2'"):
        to_mole_percent({"SiO": 100.0}, "mole percent")
    assert to_mole_percent({"SiO2": 60.0, "CaO": 30.0, "FeO": 10.0}, "mole percent")["Fe2O3"] == pytest.approx(
        100 * 5 / 95
    )


def test_the_formula_is_a_mapping_that_knows_the_axis():
    unity = gc.unity_formula(BLACK, WITH_FRIT)
    assert unity["ZnO"] == 0.0
    assert "ZnO" not in unity
    with pytest.raises(UnknownNameError):
        unity["Zno"]
    frame = unity.to_frame()
    assert frame.loc[frame.oxide == "SiO2", "moles"].item() == pytest.approx(unity["SiO2"])
    assert frame.attrs["convention"] == unity.convention.description


def test_table_of_many_recipes_agrees_with_one_by_one():
    rng = np.random.default_rng(7)
    parts = pd.DataFrame(rng.uniform(0, 50, (40, 4)), columns=["potash feldspar", "Whiting", "kaolin", "silica"])
    table = gc.unity_table(parts, LIBRARY)
    assert table.shape[0] == 40
    for row in (0, 17, 39):
        one = gc.unity_formula(dict(parts.iloc[row]), LIBRARY)
        assert {o: table.loc[row, o] for o in table.columns} == pytest.approx({o: one[o] for o in table.columns})


def test_table_names_rows_without_flux_and_refuses_gaps():
    parts = pd.DataFrame({"whiting": [10.0, 0.0], "silica": [5.0, 5.0]}, index=["a", "b"])
    table = gc.unity_table(parts, LIBRARY)
    assert table.attrs["no_unity"] == ["b"]
    assert table.loc["b"].isna().all()
    parts.loc["a", "silica"] = float("nan")
    with pytest.raises(CompositionError, match="row 'a', column 'silica'"):
        gc.unity_table(parts, LIBRARY)
    with pytest.raises(CompositionError, match="one material"):
        gc.unity_table(pd.DataFrame({"whiting": [1.0], "chalk": [1.0]}), LIBRARY)


def test_a_table_keeps_to_the_convention_as_one_formula_does():
    parts = pd.DataFrame({"potash feldspar": [40.0, 60.0], "whiting": [20.0, 10.0], "red iron oxide": [0.0, 8.0]})
    for names in (
        ["alkalis-together"],
        ["iron-as-feo", "colourants-as-flux"],
        ["unity-on-alumina", "alkalis-together"],
    ):
        convention = gc.Convention.from_names(names)
        table = gc.unity_table(parts, LIBRARY, convention=convention)
        for row in (0, 1):
            one = gc.unity_formula(dict(parts.iloc[row]), LIBRARY, convention=convention)
            assert dict(table.loc[row][table.loc[row] > 0]) == pytest.approx(dict(one))
        assert table.attrs["convention"] == convention.description


def test_the_columns_of_a_table_follow_from_materials_and_convention_alone():
    parts = pd.DataFrame({"potash feldspar": [40.0], "whiting": [20.0]})
    none, some = (gc.unity_table(parts.assign(**{"cobalt carbonate": [x]}), LIBRARY) for x in (0.0, 1.0))
    assert list(none.columns) == list(some.columns)
    assert none.loc[0, "CoO"] == 0.0


def test_a_table_refuses_what_is_no_table_and_says_how_names_were_read():
    with pytest.raises(ArgumentError, match="a DataFrame was expected"):
        gc.unity_table({"whiting": 1.0}, LIBRARY)  # type: ignore[arg-type]
    with pytest.raises(CompositionError, match="column silica"):
        gc.unity_table(pd.DataFrame({"whiting": [1.0], "silica": ["much"]}), LIBRARY)
    assert gc.unity_table(pd.DataFrame({"whiting": [1.0]}), LIBRARY).attrs["notices"] == []
    with pytest.warns(gc.GlazeWarning, match="mesh"):
        meshed = gc.unity_table(pd.DataFrame({"whiting": [1.0], "silica 200 mesh": [1.0]}), LIBRARY)
    assert "mesh" in meshed.attrs["notices"][0]


def test_columns_of_one_material_are_named():
    table = pd.DataFrame({"kaolin": [1.0], "silica": [2.0], "Kaolin": [3.0]})
    with pytest.raises(CompositionError, match="the columns kaolin, Kaolin are one material, kaolin"):
        gc.unity_table(table, LIBRARY)


def test_a_line_of_nothing_is_said_by_name():
    recipe = gc.Recipe.from_parts("", {"kaolin": 50, "silica": 50, "whiting": 0})
    (said,) = (notice for notice in resolve(recipe, LIBRARY).notices if notice.code == "zero-amount")
    assert said.message == "the amount is zero: whiting."


def test_a_notice_has_a_code_of_one_word_and_a_message_that_is_a_sentence(studio, studio_library):
    batches = [resolve(gc.read_recipe(path), studio_library) for path in (studio / "recipes").iterdir()]
    batches.append(resolve(dict.fromkeys(COMMON, 10.0) | {"cmc gum": 0.0, "copper carbonate": 1.0}, LIBRARY))
    notices = [notice for batch in batches for notice in batch.notices]
    assert len({notice.code for notice in notices}) > 4
    for notice in notices:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", notice.code), notice
        assert re.search(r" .*\.$", notice.message), notice


def test_a_batch_of_nothing_says_so_first():
    with pytest.raises(CompositionError) as refused:
        resolve(gc.Recipe.from_parts("", {"kaolin": 0.0}), LIBRARY)
    assert refused.value.message == "all amounts of the recipe are zero."
