"""The HTML pages of the bench: card, label, bucket, mend, cost, sizes say what their JSON says, and a box can be ticked for each line."""

from __future__ import annotations

from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.files.shelf import read_shelf
from glazecalc.library import MaterialLibrary
from glazecalc.show.html import fragment, html_page
from glazecalc.show.html.setting import page_css
from glazecalc.workshop.weighing_list import ScaledBatch
from tests.show.html_reader import Read
from tests.show.test_html_pages import sound

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"


@pytest.fixture(scope="module")
def studio() -> MaterialLibrary:
    return gc.load_materials(str(STUDIO / "materials"))


@pytest.fixture(scope="module")
def black() -> gc.Recipe:
    return gc.read_recipe(STUDIO / "recipes" / "harbour-black.txt")


@pytest.fixture(scope="module")
def bucket(black: gc.Recipe, studio: MaterialLibrary) -> ScaledBatch:
    return gc.scale(black, studio, volume_l=10, specific_gravity=1.45, step_g=0.1, capacity_g=600)


def boxes(read: Read, start: str = "") -> list[dict[str, str]]:
    return [box for box in read.all("input") if box.get("id", "").startswith(start)]


def named(read: Read) -> None:
    """Hold every box to a name: a label of its own, or words beside it."""
    labelled = {label["for"] for label in read.all("label")}
    for box in read.all("input"):
        assert box["type"] == "checkbox"
        assert box.get("id") in labelled or box["aria-label"]


def test_a_card_has_a_box_for_each_line_and_round_and_the_weights_of_its_json(bucket: ScaledBatch):
    read, found = sound(html_page(bucket, mesh="80")), bucket.to_dict()
    named(read)
    assert len(boxes(read, "weigh-")) == len(found["lines"]) == 8
    rounds = [line["rounds_g"] for line in found["lines"]]
    assert len([box for box in read.all("input") if "round" in box.get("aria-label", "")]) == sum(
        len(split) for split in rounds if len(split) > 1
    )
    for line in found["lines"]:
        assert f"{line['mass_g']:.1f}" in read.words
    running = sum(line["mass_g"] for line in found["lines"])
    assert f"{running:.1f} Base" in read.words  # the last running total, then the sums
    assert f"hold back {found['hold_back_g']:.0f} g" in read.words
    assert read.words.index("Water first") < read.words.index("Potash feldspar")
    for notice in found["notices"]:
        assert notice["message"][1:] in read.words


def test_a_card_names_what_harms_at_the_bench_without_being_asked(bucket: ScaledBatch):
    words = Read(html_page(bucket)).words
    assert "May cause cancer or harm fertility or an unborn child: Cobalt carbonate" in words
    assert "At the bench" not in Read(html_page(bucket, bench=())).words


def test_a_label_says_what_the_text_says(bucket: ScaledBatch):
    label = gc.bucket_label(bucket, date="12 May", mesh="80")
    read = sound(html_page(label))
    for text in (*label.bench, "12 May", "This label says nothing about use with food.", "In it: Potash feldspar"):
        assert text in read.words
    assert ".label { max-width: 130mm;" in page_css()


def test_a_bucket_tells_first_what_to_add(black: gc.Recipe, studio: MaterialLibrary):
    sample = gc.SlurrySample(volume_ml=1000, mass_g=1440)
    found = gc.slurry(
        black, studio, sample=sample, volume_l=6, to_volume_l=10, specific_gravity=1.45, step_g=1, adding={"rutile": 1}
    )
    read, said = sound(html_page(found)), found.to_dict()
    named(read)
    assert read.words.index("To add") < read.words.index("What it is now") < read.words.index("Water first")
    assert f"dry glaze {said['add_dry_g']:.0f} g give or take {said['dry_give_or_take_g']:.0f} g" in read.words
    assert f"water {said['add_water_g']:.0f} g" in read.words
    assert f"specific gravity {said['specific_gravity']:.3f}" in read.words
    assert f"dry glaze {said['dry_g_per_l']:.0f} g/l" in read.words
    assert len(boxes(read, "weigh-")) == len(black.ingredients) + 1
    assert f"rutile, 1 % of the dry glaze in the full bucket: {said['additions'][0]['mass_g']:.1f} g" in read.words
    bare = gc.slurry(specific_gravity_now=1.38, volume_l=9, solids_density_g_cm3=2.6)
    words = sound(html_page(bare)).words
    assert "To add" not in words
    assert "At the bench" not in words


def test_a_mended_batch_has_a_box_for_each_addition(black: gc.Recipe, studio: MaterialLibrary):
    weighed = {"potash feldspar": 700, "silica": 440, "studio calcium borate frit": 400, "kaolin": 260, "whiting": 160}
    found = gc.mend(black, studio, weighed, all_in_g=2000)
    read, said = sound(html_page(found)), found.to_dict()
    named(read)
    assert said["action"] == "add"
    assert said["advice"] in read.words
    assert len(boxes(read, "weigh-")) == len(said["add"])
    for line in said["lines"]:
        assert f"{line['in_bucket_g']:.1f}" in read.words
    added = sum(round(line["mass_g"], 1) for line in said["add"])
    assert f"Add {added:.1f} g altogether" in read.words
    again = gc.mend(black, studio, {**weighed, "zinc oxide": 30}, all_in_g=2000)
    read = sound(html_page(again))
    assert not boxes(read)
    assert again.advice in read.words
    assert "Zinc oxide not in the recipe 30.0 30.0" in read.words


def test_a_cost_gives_the_sums_of_its_json_and_what_runs_out(black: gc.Recipe, studio: MaterialLibrary):
    shelf = read_shelf(str(STUDIO / "prices.csv"), studio)
    stock = read_shelf(str(STUDIO / "shelf.csv"), studio)
    both = gc.Shelf(prices=shelf.prices, stock_g=stock.stock_g)
    found = gc.cost(black, studio, shelf=both, volume_l=10, specific_gravity=1.45)
    read, said = sound(html_page(found)), found.to_dict()
    assert f"materials {said['total']} {said['currency']}" in read.words
    assert f"per litre {said['per_litre']}" in read.words
    assert f"{said['runs_out_first']['name']} runs out first" in read.words
    for line in said["lines"]:
        assert f"{line['name']} {line['mass_g']:.1f} {line['price_per_kg']:.2f} {line['cost']}" in read.words
    assert len(read.all("svg")) == len(said["lines"])
    dear = gc.cost(black, studio, shelf=gc.Shelf(prices=dict(list(shelf.prices.items())[:1])), base_g=5000)
    assert "total incomplete: no price for" in Read(html_page(dear)).words


def test_sizes_come_first_with_their_shrinkages_and_clay():
    found = gc.size(
        bars=[gc.Bar(wet=100, dry=93.5, fired=87.6), gc.Bar(wet=100, dry=94, fired=88)],
        thrown_mm=254, tolerance_mm=3, piece="bowl", absorbed_g=[(210.4, 214.6), (200, 203)],
    )  # fmt: skip
    read, said = sound(html_page(found)), found.to_dict()
    assert f"throw {said['wet_mm']:.1f} {said['wet_inches']}" in read.words
    assert f"fired {said['fired_mm']:.1f} {said['fired_inches']}" in read.words
    assert f"total shrinkage {said['total_percent']:.2f} % of the plastic length; 2 bars" in read.words
    assert f"to throw it {said['clay_g']:.0f} g {said['clay_text']}" in read.words
    assert f"water absorption {said['absorption_percent']:.2f} %" in read.words
    assert f"\u00b1{said['wet_tolerance_mm']:.1f} mm at the wheel" in read.words
    assert len(read.all("svg")) == 3


def test_what_a_fragment_ticks_needs_no_script(bucket: ScaledBatch):
    read = Read(str(fragment(bucket)))
    assert boxes(read)
    assert all(set(box) <= {"type", "id", "aria-label"} for box in boxes(read))
