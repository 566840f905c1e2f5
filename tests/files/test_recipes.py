"""Recipes as potters type them; and the round trips."""

from __future__ import annotations

import dataclasses
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import FileFaultsError
from glazecalc.files.recipe_csv import format_recipe_csv, parse_recipe_csv
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.recipe_yaml import format_recipe_yaml, parse_recipe_yaml

HARBOUR = """Harbour Black   cone 6 ox
Potash feldspar   38
Whiting           14.5
Kaolin            12
Silica            28
Wollastonite       7.5
+ Red iron oxide   9
+ Cobalt carbonate 1
"""


def test_the_recipe_as_a_potter_types_it():
    recipe = parse_recipe_text(HARBOUR)
    assert (recipe.name, recipe.cone, recipe.atmosphere) == ("Harbour Black", "6", "oxidation")
    assert [item.amount for item in recipe.base] == [38, 14.5, 12, 28, 7.5]
    assert [item.material for item in recipe.additions] == ["Red iron oxide", "Cobalt carbonate"]
    assert (recipe.base_total, recipe.additions_total, recipe.all_in_total) == (100, 10, 110)


@pytest.mark.parametrize(
    ("line", "material", "amount", "unit"),
    [
        ("whiting 12", "whiting", 12, ""),
        ("12 whiting", "whiting", 12, ""),
        ("whiting 12 g", "whiting", 12, "g"),
        ("12g whiting", "whiting", 12, "g"),
        ("2 lb silica", "silica", 2, "lb"),
        ("whiting\t12", "whiting", 12, ""),
        ("whiting ..... 12", "whiting", 12, ""),
        ("whiting.....12", "whiting", 12, ""),
        ("whiting .5", "whiting", 0.5, ""),
        ("Whiting: 12,5", "Whiting", 12.5, ""),
        ("whiting 12 %", "whiting", 12, "%"),
        ("silica (325) 22", "silica (325)", 22, ""),
        ("silica 325 mesh 22", "silica 325 mesh", 22, ""),
        ("60 silica 200 mesh", "silica 200 mesh", 60, ""),
        ("Frit Q7 24", "Frit Q7", 24, ""),
        ("bentonite 1 1/2", "bentonite", 1.5, ""),
        ("1/2 bentonite", "bentonite", 0.5, ""),
        ("2 lbs. silica", "silica", 2, "lb"),
        ("silica 1 lb 8 oz.", "silica", 1.5, "lb"),
        ("1 lb 8 oz of silica", "silica", 1.5, "lb"),
        ("Frit 3 lb 8 oz", "Frit", 3.5, "lb"),
        ("12 parts whiting", "whiting", 12, ""),
        ("whiting 2 T", "whiting", 2, "t"),
        ("bentonite 1½", "bentonite", 1.5, ""),
        ("whiting 1.500", "whiting", 1.5, ""),
        ("- whiting 12", "whiting", 12, ""),
        ("* whiting 12", "whiting", 12, ""),
    ],
)
def test_lines_that_are_read(line: str, material: str, amount: float, unit: str):
    (item,) = parse_recipe_text(f"T\n{line}\n").ingredients
    assert (item.material, item.amount, item.unit, item.addition) == (material, amount, unit, False)


@pytest.mark.parametrize(
    "line",
    [
        "+ red iron oxide 8",
        "+red iron oxide 8",
        "add: red iron oxide 8",
        "add red iron oxide 8",
        "plus red iron oxide 8",
    ],
)
def test_additions(line: str):
    recipe = parse_recipe_text(f"T\nwhiting 50\n{line}\n")
    assert recipe.ingredients[1].addition
    assert recipe.ingredients[1].material == "red iron oxide"
    assert recipe.base_total == 50


def test_an_addition_in_per_cent_is_of_the_base_total():
    recipe = parse_recipe_text("T\nwhiting 150\nsilica 50\n+ red iron oxide 8 %\n")
    assert recipe.amounts() == [150, 50, 16]
    grams = parse_recipe_text("T\nwhiting 1.5 kg\nsilica 500 g\n+ red iron oxide 8 %\n")
    assert grams.amounts() == [1500, 500, 160]


def test_a_decimal_comma_is_read_and_said():
    recipe = parse_recipe_text("T\nwhiting 50\n+ cobalt carb 1,5\n")
    assert recipe.ingredients[1].amount == 1.5
    assert [n.code for n in recipe.notices] == ["decimal-comma"]


@pytest.mark.parametrize(
    ("title", "name", "cone", "atmosphere"),
    [
        ("Harbour Black", "Harbour Black", "", ""),
        ("Tarn White (cone 04)", "Tarn White", "04", ""),
        ("Moss, ^10 reduction", "Moss", "10", "reduction"),
        ("cone 6 ox", "", "6", "oxidation"),
        ("Black v3 cone 06", "Black v3", "06", ""),
        ("Cone 022 lustre", "lustre", "022", ""),
    ],
)
def test_titles(title: str, name: str, cone: str, atmosphere: str):
    recipe = parse_recipe_text(f"{title}\nwhiting 5\n")
    assert (recipe.name, recipe.cone, recipe.atmosphere) == (name, cone, atmosphere)


def test_lines_that_are_no_material():
    recipe = parse_recipe_text(
        "T\n# brushed 3 coats\n\nwhiting 50 # chalk\nsilica 48\ntotal 98\ncone 6 ox\nuse: plate\nbody: Slate\nnote: thin\nversion: 3\n"
    )
    assert [item.material for item in recipe.ingredients] == ["whiting", "silica"]
    assert recipe.ingredients[0].note == "chalk"
    assert (recipe.cone, recipe.use, recipe.body, recipe.notes, recipe.version) == ("6", "plate", "Slate", "thin", "3")
    assert [n.code for n in recipe.notices] == ["total-checked"]


def test_a_total_may_be_that_of_the_base_or_all_in():
    text = "T\nwhiting 98\n+ red iron oxide 8\ntotal {}\n"
    assert "base" in parse_recipe_text(text.format(98)).notices[0].message
    assert "total batch" in parse_recipe_text(text.format(106)).notices[0].message
    with pytest.raises(FileFaultsError, match="base adds to 98 and base with additions to 106"):
        parse_recipe_text(text.format(100))


def test_byte_order_mark_and_windows_line_ends_change_nothing():
    windows = "\ufeff" + HARBOUR.replace("\n", "\r\n")
    recipe = parse_recipe_text(windows)
    assert recipe == parse_recipe_text(HARBOUR)
    assert format_recipe_text(recipe) == windows


names = st.sampled_from(
    ["whiting", "Potash feldspar", "silica (325)", "Frit Q7", "red iron oxide", "NO", "kaolin, calcined"]
)
amounts = st.one_of(
    st.integers(0, 9999).map(float), st.floats(0.001, 9999).map(lambda x: round(x, 4)), st.floats(1e-9, 1e9)
)
items = st.builds(
    gc.Ingredient,
    material=names,
    amount=amounts,
    addition=st.booleans(),
    note=st.sampled_from(["", "sieved", "the new bag"]),
)
recipes = st.builds(
    gc.Recipe,
    name=st.sampled_from(["", "Harbour Black", "Tarn 2 White", "1984", "NO", "total eclipse", "cone"]),
    ingredients=st.lists(items, min_size=1, max_size=8)
    .map(lambda found: tuple(sorted(found, key=lambda i: i.addition)))
    .filter(lambda found: not found[0].addition),
    cone=st.sampled_from(["", "6", "06", "022", "10", "5-6", "05.5-04", "1240 C", "1220-1240 C", "2264 F"]),
    atmosphere=st.sampled_from(["", "oxidation", "reduction"]),
    cooling=st.sampled_from(["", "slow", "held at 1050 C for 1.5 h", "fast to 1100 C, 60 C/h to 800 C"]),
    body=st.sampled_from(["", "Slate: fine"]),
    use=st.sampled_from(["", "plate"]),
    version=st.sampled_from(["", "3", "1.10"]),
    notes=st.sampled_from(["", "thin", "one\ntwo"]),
)
spacing = st.sampled_from(["\n", "\r\n"])


@given(recipes)
def test_text_and_yaml_return_an_equal_recipe(recipe: gc.Recipe):
    text = format_recipe_text(recipe)
    read = parse_recipe_text(text)
    assert read == recipe
    assert parse_recipe_yaml(format_recipe_yaml(read)) == recipe
    assert format_recipe_text(parse_recipe_yaml(format_recipe_yaml(read))) == text


@given(recipes, spacing, st.booleans(), st.sampled_from(["", "# a remark\n\n", "\t\n"]))
def test_text_comes_back_byte_for_byte(recipe: gc.Recipe, line_end: str, mark: bool, lead: str):
    text = ("\ufeff" if mark else "") + (lead + format_recipe_text(recipe)).replace("\n", line_end)
    assert format_recipe_text(parse_recipe_text(text)) == text


@given(recipes)
def test_csv_returns_an_equal_recipe(recipe: gc.Recipe):
    read = parse_recipe_text(format_recipe_text(recipe))
    back = parse_recipe_csv(format_recipe_csv(read), "another-name.csv")
    assert back == recipe
    assert format_recipe_text(back) == format_recipe_text(recipe)


def test_csv_with_semicolons_and_decimal_commas():
    recipe = parse_recipe_csv(
        "\ufeffMaterial;Amount;Unit;Role\r\nwhiting;12,5;g;base\r\nred iron oxide;8;%;addition\r\n"
    )
    assert [(i.material, i.amount, i.unit, i.addition) for i in recipe.ingredients] == [
        ("whiting", 12.5, "g", False),
        ("red iron oxide", 8, "%", True),
    ]
    assert [n.code for n in recipe.notices] == ["decimal-comma"]


def test_yaml_keeps_a_cone_with_its_zero_and_a_name_that_is_an_old_word():
    recipe = parse_recipe_yaml("name: NO\ncone: 06\nbase:\n  whiting: 1e1\n")
    assert (recipe.name, recipe.cone, recipe.ingredients[0].amount) == ("NO", "06", 10.0)


def test_an_atmosphere_reads_alike_in_text_and_yaml():
    assert (
        parse_recipe_yaml("atmosphere: ox\nbase: {whiting: 5}\n").atmosphere
        == parse_recipe_text("T cone 6 ox\nwhiting 5\n").atmosphere
        == "oxidation"
    )


def test_yaml_lists_of_lines():
    recipe = parse_recipe_yaml(
        "base:\n- {material: whiting, amount: 5, unit: g, note: new bag}\nadditions:\n- {material: red iron oxide, amount: 8, unit: '%'}\n"
    )
    assert recipe.ingredients[0].note == "new bag"
    assert recipe.amounts() == pytest.approx([5, 0.4])


def test_writing_is_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "black.txt"
    path.write_bytes(("\ufeff" + HARBOUR.replace("\n", "\r\n")).encode())
    before = path.read_bytes()
    recipe = gc.read_recipe(path)
    gc.write_recipe(recipe, path)
    assert path.read_bytes() == before

    def full_disk(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full_disk)
    with pytest.raises(FileFaultsError, match="No space left"):
        gc.write_recipe(dataclasses.replace(recipe, name="New"), path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["black.txt"]


def test_a_changed_recipe_is_written_afresh(tmp_path: Path):
    recipe = parse_recipe_text(HARBOUR)
    changed = dataclasses.replace(recipe, name="Harbour Black 2")
    path = tmp_path / "r.txt"
    gc.write_recipe(changed, path)
    assert gc.read_recipe(path) == changed


def test_a_title_in_the_middle_of_a_card_is_told_as_one():
    with pytest.raises(FileFaultsError) as caught:
        parse_recipe_text("Quay White  cone 6\nKaolin 20\nThe version of last spring\nSilica 30\n")
    (fault,) = caught.value.faults
    assert fault.line == 3
    assert "a title stands in the first line" in fault.hint
