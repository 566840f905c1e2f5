"""What can be read in two ways is refused with both readings: points before three figures, fractions, signs, numbered lists."""

from __future__ import annotations

from fractions import Fraction
from math import gcd
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.amounts import parse_recipe_amount
from glazecalc.errors import FileFaultsError, UnitError
from glazecalc.files.recipe_csv import parse_recipe_csv
from glazecalc.files.recipe_text import parse_recipe_text
from glazecalc.units import parse_quantity


@given(st.integers(1, 999), st.integers(0, 999), st.sampled_from(("", " g", " kg")))
def test_a_point_before_three_figures_beside_decimal_commas(whole: int, rest: int, unit: str):
    doubtful = f"{whole}.{rest:03d}"
    for recipe in (
        lambda: parse_recipe_text(f"T\nsilica 500,5{unit}\nkaolin {doubtful}{unit}\n"),
        lambda: parse_recipe_csv(f"material;amount\nsilica;500,5{unit}\nkaolin;{doubtful}{unit}\n"),
    ):
        with pytest.raises(FileFaultsError, match=f"can be read as {whole}{rest:03d} or as"):
            recipe()


@given(st.integers(1, 999), st.integers(0, 999), st.integers(100, 5000))
def test_a_point_before_three_figures_among_whole_hundreds(whole: int, rest: int, other: int):
    with pytest.raises(FileFaultsError, match=r"or as .*: the file has whole hundreds too"):
        parse_recipe_text(f"T\nsilica {other} g\nkaolin {whole}.{rest:03d} g\n")


@pytest.mark.parametrize(
    "text",
    [
        "silica 28.125\nkaolin 12.375\n", "silica 500\nkaolin 1.250\nwhiting 12.5\n", "silica 500 g\nkaolin 1.250 kg\n",
        "silica 500,5\nkaolin 0.250\n", "silica 500,5\nkaolin 1.25\n",
    ],
)  # fmt: skip
def test_where_the_others_show_what_is_meant_it_is_read(text: str):
    assert parse_recipe_text(f"T\n{text}").ingredients[1].amount < 100


def test_prices_and_packs_have_the_same_answer(tmp_path: Path):
    path = tmp_path / "p.csv"
    for row in ('1.250 kg,"37,50"', '"12,5 kg",1.250', "20/25 kg,30", "25 kg,20/25"):
        path.write_text(f"material,pack,price,currency\nkaolin,{row},EUR\n")
        with pytest.raises(FileFaultsError, match="can be read as"):
            gc.read_shelf(path, gc.load_materials())
    path.write_text("element,value,unit\nPb,1.250,mg/dm2\nCd;0,5,mg/dm2\n".replace(",", ";").replace("0;5", "0,5"))
    with pytest.raises(FileFaultsError, match="can be read as 1250 or as 1.25"):
        gc.read_release_results(path)


@given(st.integers(0, 99), st.integers(1, 99), st.sampled_from(("", "2 ")), st.sampled_from(("", " g", " lb", " in")))
def test_a_fraction_is_one_of_kitchen_or_rule(top: int, bottom: int, whole: str, unit: str):
    finest = {" lb": 16, " in": 64}.get(unit, 8)
    kitchen = 0 < top < bottom <= finest and bottom in (2, 3, 4, 8, 16, 32, 64) and gcd(top, bottom) == 1
    text = f"{whole}{top}/{bottom}{unit}"
    if kitchen:
        assert parse_quantity(text).number == Fraction(top, bottom) + int(whole or 0)
    else:
        with pytest.raises(UnitError, match=f"{top} divided by {bottom}, or as {top} or {bottom}"):
            parse_quantity(text)


@pytest.mark.parametrize("amount", ["+8", "+8 g", "+1/2", "+8,5"])
def test_a_sign_is_no_part_of_an_amount(amount: str):
    with pytest.raises(UnitError, match="addition on top"):
        parse_recipe_amount(amount)
    with pytest.raises(FileFaultsError):
        parse_recipe_text(f"T\nsilica 50\nred iron oxide {amount}\n")


@pytest.mark.parametrize("line", ["1. silica", "12. red iron oxide", "3.  kaolin 12"])
def test_a_numbered_list_is_asked_about(line: str):
    with pytest.raises(FileFaultsError, match=r"place in a list|both ends"):
        parse_recipe_text(f"T\nwhiting 5\n{line}\n")


@pytest.mark.parametrize(
    ("line", "whole"), [("kaolin 1 ,5 kg", "1,5"), ("kaolin 1 .5", "1.5"), ("silica 12 ,25 g", "12,25")]
)
def test_a_number_broken_by_a_space_is_refused(line, whole):
    with pytest.raises(FileFaultsError, match=f"broken by a space: {whole}, or "):
        parse_recipe_text(f"Title\n{line}\n")
