"""A unit is spelled alike everywhere: in a recipe's text, YAML and CSV, and in what an option is given."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.errors import FileFaultsError, UnitError
from glazecalc.files.csv_table import format_table
from glazecalc.files.recipe_csv import format_recipe_csv, parse_recipe_csv
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.recipe_yaml import format_recipe_yaml, parse_recipe_yaml
from glazecalc.recipe import Recipe
from glazecalc.units import MASS_UNITS, parse_quantity, spellings

MASSES = [spelled for spelled in spellings("mass") if not spelled.startswith("ton") or spelled.startswith("tonne")]
numbers = st.sampled_from(["12", "12.5", ".5", "1/2", "1 1/2", "½", "1½", "1 ¾", "100"])


def recipes(amount: str, unit: str) -> list[Recipe]:
    """One line of whiting, written in every way that a recipe may be."""
    return [
        parse_recipe_text(f"T\nwhiting {amount} {unit}\n"),
        parse_recipe_text(f"T\nwhiting: {amount}{unit}\n"),
        parse_recipe_text(f"T\n{amount} {unit} whiting\n"),
        parse_recipe_yaml(f"base:\n  whiting: '{amount} {unit}'\n"),
        parse_recipe_yaml(f"base:\n- {{material: whiting, amount: '{amount} {unit}'}}\n"),
        parse_recipe_csv(format_table(("material", "amount"), [("whiting", f"{amount} {unit}")])),
    ]


def with_unit_apart(amount: str, unit: str) -> list[Recipe]:
    return [
        parse_recipe_yaml(f"base:\n- {{material: whiting, amount: '{amount}', unit: '{unit}'}}\n"),
        parse_recipe_csv(format_table(("material", "amount", "unit"), [("whiting", amount, unit)])),
    ]


@given(numbers, st.sampled_from(MASSES), st.sampled_from([str.lower, str.upper, str.title]))
def test_every_spelling_of_a_mass_weighs_the_same_everywhere(amount: str, spelled: str, case):
    unit = case(spelled)
    grams = float(parse_quantity(f"{amount} {unit}", "mass").exact_base)
    for recipe in recipes(amount, unit) + with_unit_apart(amount, unit):
        (item,) = recipe.ingredients
        assert item.material == "whiting"
        assert item.unit in MASS_UNITS
        assert recipe.amounts() == pytest.approx([grams], rel=1e-12)


@given(st.integers(0, 200), st.integers(1, 31), st.sampled_from([("lb", "oz"), ("pounds", "ounces"), ("lbs.", "oz.")]))
def test_pounds_and_ounces_make_one_amount(pounds: int, ounces: int, units: tuple[str, str]):
    written = f"{pounds} {units[0]} {ounces}"
    for recipe in recipes(written, units[1]):
        (item,) = recipe.ingredients
        assert (item.material, item.unit, item.amount) == ("whiting", "lb", pounds + ounces / 16)
    text = f"T\nwhiting {written} {units[1]}\n"
    recipe = parse_recipe_text(text)
    assert format_recipe_text(recipe) == text
    assert parse_recipe_yaml(format_recipe_yaml(recipe)) == recipe
    assert parse_recipe_csv(format_recipe_csv(recipe)).ingredients == recipe.ingredients


@given(numbers, st.sampled_from(spellings("share")))
def test_every_spelling_of_per_cent(amount: str, spelled: str):
    for recipe in recipes(amount, spelled) + with_unit_apart(amount, spelled):
        assert (recipe.ingredients[0].amount, recipe.ingredients[0].unit) == (
            float(parse_quantity(f"{amount}%").number),
            "%",
        )


@pytest.mark.parametrize("word", ["part", "parts", "pts", "pbw"])
def test_parts_are_a_recipe_s_word_and_no_unit(word: str):
    for recipe in recipes("12", word) + with_unit_apart("12", word):
        assert (recipe.ingredients[0].amount, recipe.ingredients[0].unit) == (12, "")
    with pytest.raises(UnitError):
        parse_quantity(f"12 {word}")


@pytest.mark.parametrize("word", ["ton", "tons", "Ton"])
def test_a_ton_is_asked_back_about(word: str):
    with pytest.raises(UnitError, match="metric, a US short or a UK long"):
        parse_quantity(f"2 {word}", "mass")
    for write in (
        lambda: parse_recipe_text(f"T\nwhiting 2 {word}\n"),
        lambda: parse_recipe_yaml(f"base: {{whiting: 2 {word}}}\n"),
        lambda: parse_recipe_csv(f"material,amount,unit\nwhiting,2,{word}\n"),
    ):
        with pytest.raises(FileFaultsError, match="metric, a US short or a UK long"):
            write()


@pytest.mark.parametrize("text", ["5 g 3 g", "1 kg 5 l", "60C 5C", "3 lb -2 oz", "5 lb 3", "8 % 2 %"])
def test_several_amounts_are_not_one(text: str):
    with pytest.raises(UnitError):
        parse_quantity(text)


@pytest.mark.parametrize(
    ("text", "exact", "unit"),
    [
        ("1 lb 8 oz", Fraction(3, 2), "lb"), ("1lb8oz", Fraction(3, 2), "lb"), ("1 lb .5 oz", Fraction(33, 32), "lb"), ("1 lb.5 oz.", Fraction(21, 16), "lb"), ("1 lb, 8 oz", Fraction(3, 2), "lb"),
         ("2 kg 350 g", Fraction(47, 20), "kg"), ("1½ lb", Fraction(3, 2), "lb"),
        ("9 1/16 in", Fraction(145, 16), "in"), ("1 ft 2 1/2 in", Fraction(29, 24), "ft"), ("2 metric tons", Fraction(2), "t"), ("2 T", Fraction(2), "t"),
        ("3 U.S. gal.", Fraction(3), "us gal"), ("1 imperial pint", Fraction(1), "imp pt"), ("2 dm²", Fraction(2), "dm2"), ("5 cm³", Fraction(5), "cm3"),
    ],
)  # fmt: skip
def test_quantities(text: str, exact: Fraction, unit: str):
    found = parse_quantity(text)
    assert (found.number, found.unit) == (exact, unit)


def test_a_decimal_comma_is_known_of_the_quantity():
    assert parse_quantity("1,5 kg").mark == ","
    assert parse_quantity("1 lb 1,5 oz").mark == ","
    assert parse_quantity("1.5 kg").mark == "."


def test_amounts_beyond_reason_are_refused_alike():
    for amount, said in (("-3", "negative"), ("9" * 14, "too large"), ("1,500", "1500 or 1.500")):
        for write in (
            lambda a: parse_recipe_text(f"T\nwhiting {a} g\n"),
            lambda a: parse_recipe_yaml(f"base: {{whiting: '{a} g'}}\n"),
            lambda a: parse_recipe_csv(f"material;amount;unit\nwhiting;{a};g\n"),
        ):
            with pytest.raises(FileFaultsError, match=said):
                write(amount)
