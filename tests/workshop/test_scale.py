"""Scaling laws: proportions kept, mass conserved, rounding never hides."""

from __future__ import annotations

import math
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import ArgumentError, UnknownNameError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.price import Price, Shelf
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.show.html import html_page
from glazecalc.units import MASS_UNITS
from glazecalc.workshop.bags import bags_to_open
from glazecalc.workshop.bucket_label import BucketLabel
from glazecalc.workshop.gum import as_solution, with_gum
from glazecalc.workshop.parts_lines import parts_lines
from glazecalc.workshop.pieces import need_from_area, need_from_gains
from glazecalc.workshop.scale import limit_factor, scale
from glazecalc.workshop.steps import round_to_step, weigh_rounds
from glazecalc.workshop.weighing_list import list_unit, sheet_rows

BLACK = Recipe.from_parts(
    "Quay Black",
    {"potash feldspar": 30, "wollastonite": 24, "whiting": 8, "kaolin": 14, "silica": 22},
    {"red iron oxide": 8, "cobalt carbonate": 1.5},
)
MATERIALS = gc.load_materials()
PARTS = st.lists(st.floats(0.1, 100), min_size=2, max_size=8)


@given(PARTS, st.floats(1, 1e6))
def test_scale_and_back(parts: list[float], grams: float):
    recipe = Recipe.from_parts("", {f"m{i}": p for i, p in enumerate(parts)}, {"colour": 3.0})
    scaled = gc.scale(recipe, all_in_g=grams)
    assert scaled.dry_mass_g == pytest.approx(grams, rel=1e-12)
    assert scaled.base_g + scaled.additions_g == pytest.approx(grams, rel=1e-12)
    back = gc.scale(scaled.as_weighed, base_g=math.fsum(parts))
    assert [line.mass_g for line in back.lines] == pytest.approx([*parts, 3.0], rel=1e-12)


def test_base_and_all_in_are_told_apart():
    # A 300 g test: 4.6 g of cobalt where 300 g is the base, 4.2 g where it is all-in.
    base, all_in = gc.scale(BLACK, base_g=300), gc.scale(BLACK, all_in_g=300)
    assert base.lines[-1].mass_g == pytest.approx(300 * 1.5 / 98)
    assert all_in.lines[-1].mass_g == pytest.approx(300 * 1.5 / 107.5)
    assert base.dry_mass_g == pytest.approx(300 * 107.5 / 98)
    assert all_in.base_g == pytest.approx(300 * 98 / 107.5)
    with pytest.raises(WorkshopError, match="base alone, or of the total batch"):
        gc.scale(BLACK)
    with pytest.raises(WorkshopError, match="base alone, or of the total batch"):
        gc.scale(BLACK, base_g=1, all_in_g=1)


def test_bucket_of_ten_litres(library: MaterialLibrary):
    # By hand: dry = 10 000 x 0.45 x 2.6 / 1.6 = 7312.5 g; factor 7312.5 / 107.5 = 68.023.
    filled = gc.fill(BLACK, volume_l=10, specific_gravity=1.45, materials=library, solids_density_g_cm3=2.6)
    assert filled.dry_mass_g == pytest.approx(7312.5, rel=1e-12)
    assert filled.water_g == pytest.approx(7187.5, rel=1e-12)
    assert [round(line.mass_g, 1) for line in filled.lines] == [2040.7, 1632.6, 544.2, 952.3, 1496.5, 544.2, 102.0]
    assert filled.volume_ml == 10_000
    assert [line.material for line in filled.lines][-1] == "cobalt_carbonate"
    assert [line.addition for line in filled.lines] == [False] * 5 + [True] * 2


def test_fill_takes_the_density_of_the_materials(library: MaterialLibrary):
    filled = gc.fill(BLACK, volume_l=10, specific_gravity=1.45, materials=library)
    volume = math.fsum(line.mass_g / (library[line.material].density_g_cm3 or math.nan) for line in filled.lines)
    assert filled.density is not None
    assert filled.density.g_cm3 == pytest.approx(filled.dry_mass_g / volume, rel=1e-12)
    assert volume + (filled.water_g or 0) == pytest.approx(10_000, rel=1e-12)
    assert (filled.dry_mass_g + (filled.water_g or 0)) / 10_000 == pytest.approx(1.45, rel=1e-12)


def test_parts_that_are_not_100_are_kept_and_said():
    scaled = gc.scale(BLACK, all_in_g=5000)
    assert any(n.code == "base-total" and "98" in n.message for n in scaled.notices)


@pytest.mark.parametrize(("silica", "said"), [(50.0, False), (50.04, False), (50.06, True), (49.94, True)])
def test_a_total_near_100_is_let_be(silica: float, said: bool):
    scaled = gc.scale({"kaolin": 50, "silica": silica}, all_in_g=5000)
    assert any(n.code == "base-total" for n in scaled.notices) is said


def test_a_mapping_is_a_recipe_without_additions():
    assert [line.mass_g for line in gc.scale({"kaolin": 1, "silica": 3}, all_in_g=100).lines] == pytest.approx([25, 75])


def test_percent_additions_and_mass_recipes():
    recipe = Recipe(
        name="",
        ingredients=(
            Ingredient(material="kaolin", amount=1, unit="kg"),
            Ingredient(material="silica", amount=1000, unit="g"),
            Ingredient(material="tin oxide", amount=5, unit="%", addition=True),
        ),
    )
    scaled = gc.scale(recipe, base_g=500)
    assert [line.mass_g for line in scaled.lines] == pytest.approx([250, 250, 25])


def test_one_material_twice_is_summed_and_said():
    recipe = Recipe(
        name="", ingredients=(Ingredient(material="Silica", amount=60), Ingredient(material="silica", amount=40))
    )
    scaled = gc.scale(recipe, all_in_g=1000)
    assert [line.mass_g for line in scaled.lines] == [1000]
    assert any(n.code == "same-material-twice" and "added up to 100" in n.message for n in scaled.notices)


@given(st.floats(0.001, 1e5), st.sampled_from([0.01, 0.1, 0.5, 1.0, 5.0]))
def test_rounding_is_to_the_nearest_step(mass: float, step: float):
    rounded = round_to_step(mass, step)
    assert abs(rounded - mass) <= step / 2 * (1 + 1e-9)
    assert (Fraction(str(rounded)) / Fraction(str(step))).denominator == 1


def test_rounded_lines_add_to_the_total_and_say_what_they_lost():
    scaled = gc.scale(BLACK, base_g=300, step_g=1)
    assert scaled.dry_mass_g == math.fsum(line.mass_g for line in scaled.lines)
    assert scaled.exact_dry_g == pytest.approx(300 * 107.5 / 98)
    coarse = next(n for n in gc.scale(BLACK, base_g=320, step_g=1).notices if n.code == "step-is-coarse")
    assert coarse.message.startswith("cobalt")
    assert "+-10.2 % of 4.9 g (here +2.1 %)" in coarse.message  # 320 x 1.5 / 98 = 4.898 g, for which 5 g are weighed
    assert "5.2 times" in coarse.message  # 10.208 : 2 = 5.104; 5.1 would still be off by more than 2 %
    assert not any(
        n.code == "step-is-coarse" and n.message.startswith("whiting")
        for n in gc.scale(BLACK, base_g=307, step_g=1).notices
    )


def test_what_the_step_would_lose_is_weighed_on_a_fine_scale(library: MaterialLibrary):
    # Cobalt of a 300 g base is 4.59 g: 5 g would be 8.9 % over. Of a 20 g base it is 0.31 g, of which a step of 1 g makes nothing.
    for base_g, exact, became in (
        (300, 300 * 1.5 / 98, "4.59 g (5 g, +9 %)"),
        (20, 20 * 1.5 / 98, "0.306 g (nothing)"),
    ):
        scaled = gc.scale(BLACK, library, base_g=base_g, step_g=1)
        cobalt = scaled.lines[-1]
        assert (cobalt.fine_scale, cobalt.mass_g) == (True, pytest.approx(exact, rel=1e-12))
        assert any(n.code == "fine-scale" and became in n.message for n in scaled.notices)
        for text in (str(scaled), html_page(scaled), str(BucketLabel(bucket=scaled))):
            row = next(line for line in text.splitlines() if "Cobalt carbonate" in line and "fine scale" in line)
            assert f"{exact:.2f}" in row


@given(PARTS, st.floats(1, 1e5), st.sampled_from([0.01, 0.1, 1.0, 5.0, 28.349523125]))
def test_no_line_is_lost_and_none_moves_by_more_than_a_twentieth(parts: list[float], grams: float, step: float):
    recipe = Recipe.from_parts("", {f"m{i}": p for i, p in enumerate(parts)}, {"colour": 0.1})
    scaled = gc.scale(recipe, all_in_g=grams, step_g=step)
    for line in scaled.lines:
        nearest = round_to_step(line.exact_g, step)
        assert line.fine_scale == (abs(nearest - line.exact_g) > line.exact_g / 20)
        assert line.mass_g == (line.exact_g if line.fine_scale else nearest)
    for unit in ("g", "kg", "oz", "lb"):
        for row in sheet_rows(scaled, unit=unit):
            factor = float(MASS_UNITS[list_unit(scaled, unit).counted_in])
            assert float(row.printed) * factor == pytest.approx(row.line.weigh_g, rel=0.05)


def test_unrounded_without_a_step():
    scaled = gc.scale(BLACK, base_g=300)
    assert all(line.mass_g == line.exact_g for line in scaled.lines)


@given(st.floats(0, 1e5), st.floats(1, 5000), st.sampled_from([0.1, 1.0]))
def test_rounds_fit_the_scale_and_add_up(mass: float, capacity: float, step: float):
    assume(mass / capacity < 150)
    rounds = weigh_rounds(mass, capacity, step)
    assert max(rounds) <= capacity + 1e-9
    assert sum(Fraction(str(r)) for r in rounds) == Fraction(str(round_to_step(mass, step)))
    assert max(rounds) - min(rounds) <= step * (1 + 1e-9)
    assert len(rounds) == max(
        1,
        math.ceil(
            round_to_step(mass, step) / (math.floor(Fraction(str(capacity)) / Fraction(str(step))) * step) - 1e-9
        ),
    )


def test_rounds_of_the_studio_scale():
    assert weigh_rounds(2040.7, 610, 0.1) == (510.2, 510.2, 510.2, 510.1)
    with pytest.raises(WorkshopError):
        weigh_rounds(10, 0.05, 0.1)
    with pytest.raises(WorkshopError, match="larger scale"):
        weigh_rounds(1e6, 1, 0.1)


@given(st.floats(0, 40), st.floats(1, 1e4))
def test_moist_and_dry_round_trip(moisture: float, grams: float):
    recipe = Recipe.from_parts("", {"kaolin": 1, "silica": 1})
    line = scale(recipe, all_in_g=grams, moisture_percent={"kaolin": moisture}).lines[0]
    assert line.weigh_g / (1 + moisture / 100) == pytest.approx(line.mass_g, rel=1e-12)
    assert line.mass_g == pytest.approx(grams / 2, rel=1e-12)


def test_largest_batch_from_what_is_left():
    lines, _ = parts_lines(BLACK)
    factor, name = limit_factor(lines, {"kaolin": 800, "cobalt carbonate": 200})
    assert name == "kaolin"
    assert factor == pytest.approx(800 / 14)
    with pytest.raises(WorkshopError, match="none of the materials"):
        limit_factor(lines, {"talc": 5})
    with pytest.raises(WorkshopError, match="above zero"):
        limit_factor(lines, {"kaolin": -5})


@pytest.mark.parametrize("grams", [0, -1, math.inf, math.nan, 1e12])
def test_masses_that_cannot_be(grams: float):
    with pytest.raises(WorkshopError):
        gc.scale(BLACK, all_in_g=grams)


@pytest.mark.parametrize("step", [0, -1, math.nan])
def test_steps_that_cannot_be(step: float):
    with pytest.raises(WorkshopError, match="step"):
        gc.scale(BLACK, all_in_g=100, step_g=step)


def test_what_is_left_by_name(library: MaterialLibrary):
    for materials in (None, library):
        scaled = gc.scale(BLACK, materials, left_g={"kaolin": 800, "cobalt carbonate": 200})
        assert scaled.dry_mass_g == pytest.approx(800 / 14 * 107.5)
        assert any(n.code == "limited-by" for n in scaled.notices)
        with pytest.raises(WorkshopError, match="not in the recipe"):
            gc.scale(BLACK, materials, left_g={"talc": 5})


def test_an_order_by_area(library: MaterialLibrary):
    # 85 pieces of 8 dm2 at 6.5 g/dm2.
    scaled = gc.scale(BLACK, library, need=need_from_area(85, 8.0, coat_g_per_dm2=6.5))
    assert scaled.dry_mass_g == pytest.approx(4420)


def test_moisture_and_stock_never_fall_on_another_line(library: MaterialLibrary):
    recipe = Recipe.from_parts("", {"zirconium silicate": 10, "potash feldspar": 40, "kaolin": 20, "whiting": 30})
    own = {"zircon", "potash_feldspar", "kaolin", "whiting"} & set(library) | {
        line.material for line in gc.scale(recipe, library, all_in_g=100).lines
    }
    for material in library.values():
        for name in (material.name, material.id):
            for words in ({"left_g": {name: 100.0}}, {"all_in_g": 100.0, "moisture_percent": {name: 5.0}}):
                if material.id in own:
                    gc.scale(recipe, library, **words)
                else:
                    with pytest.raises(WorkshopError, match="not in the recipe"):
                        gc.scale(recipe, library, **words)


def test_a_bucket_that_is_too_small_is_refused(library: MaterialLibrary):
    with pytest.raises(WorkshopError, match="do not fit"):
        gc.scale(BLACK, library, volume_l=10, specific_gravity=1.45, bucket_l=9)
    with pytest.raises(WorkshopError, match="its specific gravity"):
        gc.scale(BLACK, library, volume_l=10, solids_density_g_cm3=2.6)


def test_a_weighing_list_pickles(library: MaterialLibrary):
    scaled = gc.scale(BLACK, library, all_in_g=500, step_g=1, capacity_g=100)
    again = pickle.loads(pickle.dumps(scaled))
    assert again.to_dict() == scaled.to_dict()
    assert str(again) == str(scaled)


@pytest.mark.parametrize(
    "words",
    [
        {"all_in_g": "5kg"},
        {"base_g": True},
        {"need": 4000},
        {"left_g": {"kaolin": "800 g"}},
        {"all_in_g": 500, "moisture_percent": {"kaolin": "8%"}},
    ],
)
def test_arguments_of_the_wrong_kind(words: dict[str, Any]):
    with pytest.raises(ArgumentError, match="expected"):
        gc.scale(BLACK, **words)


def test_arguments_in_the_wrong_order(library: MaterialLibrary):
    for first, second in ((library, BLACK), ("black.txt", library), (BLACK, "materials/")):
        with pytest.raises(ArgumentError):
            gc.scale(first, second, all_in_g=5)  # type: ignore[arg-type]


MOIST = st.dictionaries(st.sampled_from([item.material for item in BLACK.ingredients]), st.floats(0.5, 40), min_size=1)


@given(MOIST, st.floats(100, 2e4), st.sampled_from([0.1, 0.5, 1.0, 5.0]))
def test_a_moist_line_is_still_a_whole_step_at_the_scale(moist: dict[str, float], grams: float, step: float):
    # it is the moist weight that the scale shows, so that is what is rounded
    for line in gc.scale(BLACK, all_in_g=grams, step_g=step, moisture_percent=moist).lines:
        if line.fine_scale:
            assert line.mass_g == line.exact_g
            continue
        assert line.weigh_g / step == pytest.approx(round(line.weigh_g / step), abs=1e-6)
        assert abs(line.weigh_g - line.exact_g * (1 + line.moisture_percent / 100)) <= step / 2 * (1 + 1e-9)


@given(MOIST, st.floats(50, 5000), st.sampled_from([None, 0.1, 1.0]))
def test_what_is_left_is_weighed_with_the_water_of_the_bag(moist: dict[str, float], left: float, step: float | None):
    # a bag of 800 g clay with 25 % of water on the dry weight holds 640 g of dry clay, and all 800 g go on the scale
    name = next(iter(moist))
    scaled = gc.scale(BLACK, left_g={name: left}, moisture_percent=moist, step_g=step)
    (line,) = (line for line in scaled.lines if line.name == name)
    assert line.weigh_g <= left * (1 + 1e-9)
    assert line.weigh_g >= (left - (step or 0)) * (1 - 1e-9)
    assert line.exact_g == pytest.approx(line.weigh_g / (1 + moist[name] / 100), abs=step or 1e-9)


def test_a_moist_bag_by_hand(library: MaterialLibrary):
    scaled = gc.scale(BLACK, library, left_g={"kaolin": 800}, moisture_percent={"kaolin": 25})
    assert scaled.factor == pytest.approx(640 / 14)


@given(MOIST, st.floats(50, 2e4), st.sampled_from([None, 0.1, 1.0]))
def test_running_totals_are_of_what_the_scale_shows(moist: dict[str, float], grams: float, step: float | None):
    # a potter who tares the bowl once reads the running total off the scale, water of the bags included
    scaled = gc.scale(BLACK, base_g=grams, moisture_percent=moist, step_g=step)
    rows = sheet_rows(scaled)
    place = 10.0 ** -list_unit(scaled, "g").decimals
    before = Decimal(0)
    for row in rows:
        assert row.running - before == row.printed == sum(row.rounds)
        assert float(row.printed) == pytest.approx(
            row.line.weigh_g, abs=0.5001 * place
        )  # a fine line is printed finer still
        before = row.running
    assert float(before) == pytest.approx(math.fsum(x.weigh_g for x in scaled.lines), abs=len(rows) * place)


def test_gum_is_in_per_cent_of_the_dry_glaze_additions_included(library: MaterialLibrary):
    # base 98 parts, additions 9.5: one per cent of 107.5
    for percent in (0.5, 1.0, 2.0):
        gum = with_gum(BLACK, library, percent).ingredients[-1]
        assert (gum.amount, gum.addition) == (pytest.approx(1.075 * percent), True)
    scaled = gc.scale(with_gum(BLACK, library, 1.0), library, all_in_g=1010)
    assert scaled.lines[-1].mass_g == pytest.approx(10)


@pytest.mark.parametrize(
    ("grams", "unit", "step", "decimals"),
    [
        (1000, "g", None, 1),
        (50, "g", None, 2),
        (50, "g", 0.1, 1),
        (50, "g", 1, 0),
        (1000, "kg", None, 3),
        (1000, "oz", 1, 2),
    ],
)
def test_a_list_is_printed_as_finely_as_its_scale_or_its_smallest_line(
    grams: float, unit: str, step: float | None, decimals: int
):
    # of 50 g the cobalt is 0.7 g: a tenth would be too coarse
    scaled = gc.scale(BLACK, all_in_g=grams, step_g=step)
    assert list_unit(scaled, unit).decimals == decimals
    rows = [row for row in sheet_rows(scaled, unit=unit) if not row.line.fine_scale]
    assert all(-int(row.printed.as_tuple().exponent) == decimals for row in rows)


@given(st.floats(0.5, 20), st.integers(1, 200), st.floats(0, 50))
def test_what_stays_in_the_bucket_comes_on_top_of_the_order(reserve_l: float, pieces: int, spare: float):
    # By hand: dry in a litre at 1.45 with solids of 2.6 is 1000 x 0.45 x 2.6 / 1.6 = 731.25 g
    need = need_from_gains(pieces, [60, 62, 64], spare_percent=spare, reserve_l=reserve_l)
    scaled = gc.scale(BLACK, MATERIALS, need=need, specific_gravity=1.45, solids_density_g_cm3=2.6)
    assert scaled.need is not None
    assert scaled.need.reserve_g == pytest.approx(731.25 * reserve_l)
    assert scaled.dry_mass_g == pytest.approx(need.dry_g + 731.25 * reserve_l)
    assert scaled.litres == pytest.approx(need.dry_g / 731.25 + reserve_l)
    with pytest.raises(WorkshopError, match="gravity"):
        gc.scale(BLACK, MATERIALS, need=need)


@given(
    st.dictionaries(st.sampled_from(["kaolin", "silica", "whiting"]), st.floats(1, 2e5), min_size=1),
    st.sampled_from([500, 5000, 25000]),
)
def test_the_bags_opened_hold_what_is_weighed_and_not_one_too_many(weights: dict[str, float], pack_g: int):
    price = {
        m: (Price(material=m, pack_g=Decimal(pack_g), price=Decimal(1), currency="EUR"),) for m in ("kaolin", "silica")
    }
    lines = [(material, material.title(), grams) for material, grams in weights.items()]
    bags = bags_to_open(lines, Shelf(prices=price))
    assert {one.material for one in bags} == set(weights) - {"whiting"}  # its pack is not known
    for one in bags:
        assert (one.count - 1) * pack_g < weights[one.material] <= one.count * pack_g


@given(st.floats(100, 1e5), st.floats(0.5, 2), st.booleans())
def test_the_water_is_poured_held_back_or_in_the_gum_and_none_is_lost(grams: float, percent: float, stirred: bool):
    scaled = gc.scale(with_gum(BLACK, MATERIALS, percent), MATERIALS, all_in_g=grams, specific_gravity=1.4)
    if stirred:
        scaled = as_solution(scaled, 40)
        assert all(row.line.material != "cmc_gum" for row in sheet_rows(scaled))
    assert scaled.first_water_g is not None
    assert scaled.hold_back_g is not None
    assert min(scaled.first_water_g, scaled.hold_back_g) >= 0
    gum_g = scaled.gum_solution.water_g if scaled.gum_solution else 0.0
    assert scaled.first_water_g + scaled.hold_back_g + gum_g == pytest.approx(scaled.pour_water_g)


def test_gum_in_solution_needs_no_fine_scale(library: MaterialLibrary):
    dry = gc.scale(with_gum(BLACK, library, 0.5), library, all_in_g=500, step_g=5)
    assert dry.lines[-1].fine_scale  # 2.5 g
    stirred = as_solution(dry, 30)
    assert not stirred.lines[-1].fine_scale
    told = [notice for scaled in (dry, stirred) for notice in scaled.notices if notice.code == "fine-scale"]
    assert ["CMC gum" in notice.message for notice in told] == [True, False]


def test_pounds_and_ounces():
    # 5 lb of 100 parts: 40 are 2 lb, 35 are 1 lb 12 oz, 25 are 1 lb 4 oz
    scaled = gc.scale({"a": 40, "b": 35, "c": 25}, all_in_g=5 * 453.59237, step_g=28.349523125)
    written = list_unit(scaled, "lb")
    rows = [(written.number(row.printed), written.number(row.running)) for row in sheet_rows(scaled, unit="lb")]
    assert rows == [("2 lb 0 oz", "2 lb 0 oz"), ("1 lb 12 oz", "3 lb 12 oz"), ("1 lb 4 oz", "5 lb 0 oz")]
    assert list_unit(gc.scale({"a": 1}, all_in_g=500, step_g=1), "lb").in_pounds is False


@pytest.mark.parametrize(
    ("percent", "said"), [(108, "Was 8 % meant"), (100, "more water than powder"), (250, "no bag")]
)
def test_more_water_than_powder_is_no_bag(percent: float, said: str):
    with pytest.raises(WorkshopError) as caught:
        gc.scale({"kaolin": 50, "silica": 50}, all_in_g=1000, moisture_percent={"kaolin": percent})
    assert said in str(caught.value)


def test_a_paste_is_asked_about_and_a_moist_bag_is_not():
    for percent, asked in ((8.7, False), (40, False), (41, True), (99, True)):
        batch = gc.scale({"kaolin": 50, "silica": 50}, all_in_g=1000, moisture_percent={"kaolin": percent})
        assert ("large-moisture" in {notice.code for notice in batch.notices}) is asked


def test_a_label_holds_the_bucket_and_the_cautions_of_its_materials():
    bucket = gc.fill(BLACK, MATERIALS, volume_l=10, specific_gravity=1.45, step_g=1)
    label = gc.bucket_label(bucket, date="3 May", batch_no="7", mesh="80")
    text = str(label)
    for said in (
        BLACK.name.upper(),
        "3 May",
        "10.00 l",
        "1.45",
        *(f"{line.name} {line.mass_g:.0f} g" for line in bucket.lines),
    ):
        assert said in " ".join(text.replace("|", " ").split()), said
    assert label.bench[0] == "May cause cancer or harm fertility or an unborn child: Cobalt carbonate"
    assert "nothing about use with food" in text


def test_a_label_without_known_hazards_is_refused():
    with pytest.raises(WorkshopError, match="without a library"):
        gc.bucket_label(gc.scale(BLACK, all_in_g=500))
    with pytest.raises(UnknownNameError, match="'stone'"):
        gc.bucket_label(gc.scale(BLACK, MATERIALS, all_in_g=500), unit="stone")  # type: ignore[arg-type]
