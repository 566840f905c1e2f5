"""``glazecalc slurry``: the contract of its JSON, the page, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.convert.batch import resolve
from tests.cli.run import run

BUCKET = ("slurry", "--sample", "500 ml 735 g", "--gross", "11.20kg", "--tare", "0.90kg", "--solids-density", "2.6")
KEYS = {"specific_gravity", "volume_ml", "dry_g", "water_g", "low_dry_g", "high_dry_g", "add_dry_g", "add_water_g"}


def test_json_contract(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, *BUCKET, "--to", "10l", "--sg", "1.45", "--json").json
    assert page.keys() >= KEYS
    assert page["specific_gravity"] == pytest.approx(1.47)
    assert page["dry_g"] + page["water_g"] == pytest.approx(10_300, rel=1e-12)
    assert page["dry_g"] + page["add_dry_g"] == pytest.approx(7312.5, rel=1e-12)
    assert page["water_g"] + page["add_water_g"] == pytest.approx(7187.5, rel=1e-12)
    without = run(capsys, *BUCKET, "--json").json
    assert without.keys() >= KEYS
    assert without["add_dry_g"] is None


def test_the_recipe_gives_density_and_lines(capsys: pytest.CaptureFixture[str], studio: Path):
    recipe = str(studio / "recipes/harbour-black.txt")
    ran = run(
        capsys,
        "slurry",
        recipe,
        "--sample",
        "500 ml 735 g",
        "--gross",
        "8.2kg",
        "--tare",
        "0.9kg",
        "--sg",
        "1.5",
        "--json",
        "--materials",
        str(studio / "materials"),
    )
    assert ran.code == 0
    assert ran.json["solids_density_given"] is False
    assert sum(x["mass_g"] for x in ran.json["lines"]) == pytest.approx(ran.json["add_dry_g"], rel=1e-12)
    assert {"material", "name", "mass_g", "addition"} <= ran.json["lines"][0].keys()


def test_the_error_of_the_sample_as_given(capsys: pytest.CaptureFixture[str]):
    close = run(capsys, *BUCKET, "--json").json
    wide = run(capsys, *BUCKET, "--sample-error", "5 ml 2 g", "--json").json
    assert wide["low_dry_g"] < close["low_dry_g"] < close["dry_g"] < close["high_dry_g"] < wide["high_dry_g"]


def test_a_volume_that_cannot_be_had_gets_the_nearest(capsys: pytest.CaptureFixture[str]):
    # 12 l at 1.47 hold 9165 g dry; 10 l at 1.45 take 7312.5. Water alone: 9165 / 0.73125 = 12.53 l.
    ran = run(
        capsys,
        "slurry",
        "--sample",
        "500 ml 735 g",
        "--solids-density",
        "2.6",
        "--volume",
        "12l",
        "--to",
        "10l",
        "--sg",
        "1.45",
        "--json",
    )
    assert ran.code == 0
    assert ran.json["add_dry_g"] == 0
    assert ran.json["volume_after_ml"] == pytest.approx(12 * 763.75 / 0.73125)
    assert [n["code"] for n in ran.json["notices"]] == ["volume-not-reached"]
    assert "alone reaches 1.45" in " ".join(ran.out.split())


def test_one_per_cent_of_a_colourant_on_the_dry(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, *BUCKET, "--add", "cobalt carbonate 1%", "--json").json
    assert page["additions"][0]["material"] == "cobalt_carbonate"
    assert page["additions"][0]["mass_g"] == pytest.approx(page["dry_g"] / 100)


def test_page_in_100_columns(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, *BUCKET, "--sg", "1.6", "--add", "cobalt carbonate 1%")
    assert ran.code == 0
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    assert "oz per imperial pint" in ran.out
    assert "decant" in ran.out


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--sample", "500 ml 435 g", "--solids-density", "2.6"), 1, "below water"),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--sg", "0.9"), 1, "below water"),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--sg", "145"), 1, "Did you mean 1.45"),
        (("--sample", "500 ml 735 g", "--solids-density", "26"), 1, "density"),
        (("--sample", "500 lm 735 g", "--solids-density", "2.6"), 2, "'lm'"),
        (("--sample", "1 pint 30 oz", "--solids-density", "2.6"), 2, "two sizes"),
        (("--sample", "500 ml 735 g"), 2, "--solids-density"),
        (("--solids-density", "2.6"), 2, "--sample"),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--gross", "9kg"), 2, "--tare"),
        (
            ("--sample", "500 ml 735 g", "--solids-density", "2.6", "--gross", "1kg", "--tare", "2kg"),
            1,
            "weighs no more",
        ),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--gross", "9", "--tare", "2kg"), 2, "no unit"),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--to", "10l"), 2, "--sg"),
        (
            ("--sample", "500 ml 735 g", "--solids-density", "2.6", "--to", "10l", "--sg", "1.45", "--bucket", "9l"),
            1,
            "do not fit",
        ),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--add", "cobalt carbonate"), 2, "--add"),
        (("--sample", "500 ml 735 g", "--solids-density", "2.6", "--add", "cobald carbonate 1%"), 1, "Did you mean"),
    ],
)
def test_refused_with_the_mend(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: int, said: str):
    ran = run(capsys, "slurry", *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def half_used(studio: Path, *words: str) -> tuple[str, ...]:
    """A bucket of the black with 6 l in it, a sample of a litre, to be brought to 10 l."""
    recipe = (str(studio / "recipes/harbour-black.txt"), "--materials", str(studio / "materials"))
    return ("slurry", *recipe, "--sample", "1l 1440 g", "--volume", "6l", "--to", "10l", "--sg", "1.45", *words)


def test_the_half_used_bucket_gets_a_weighing_list(capsys, studio):
    ran = run(capsys, *half_used(studio))
    assert ran.out.count("[ ]") >= 7
    assert "running g" in ran.out
    assert ran.out.count("give or take") == 2
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    black = gc.read_recipe(studio / "recipes/harbour-black.txt")
    listed = run(capsys, *half_used(studio, "--json")).json
    share = {x["name"]: x["mass_g"] / listed["add_dry_g"] for x in listed["lines"]}
    lines = resolve(black, gc.load_materials(studio / "materials")).lines
    wanted = {line.material.name: line.parts / black.all_in_total for line in lines}
    assert share == pytest.approx(wanted)
    assert listed["pour_water_g"] == pytest.approx(listed["add_water_g"])


def test_a_step_rounds_and_moist_bags_bring_water(capsys, studio):
    dry = run(capsys, *half_used(studio, "--json")).json
    ran = run(capsys, *half_used(studio, "--step", "5g", "--moist", "kaolin 10%", "--json")).json
    assert ran["step_g"] == 5
    kaolin = next(x for x in ran["lines"] if x["material"] == "kaolin")
    assert kaolin["weigh_g"] / 5 == pytest.approx(round(kaolin["weigh_g"] / 5))
    brought = kaolin["weigh_g"] - kaolin["mass_g"]
    assert brought == pytest.approx(0.1 * kaolin["mass_g"])
    assert ran["pour_water_g"] == pytest.approx(dry["add_water_g"] - brought)


def test_a_colourant_is_figured_on_the_full_bucket(capsys, studio):
    page = run(capsys, *half_used(studio, "--add", "cobalt carbonate 1%", "--json")).json
    (colour,) = page["additions"]
    assert colour["mass_g"] == pytest.approx((page["dry_g"] + page["add_dry_g"]) / 100)
    assert "cobalt_carbonate" in {x["material"] for x in page["lines"]}  # the recipe's own stays beside it
    assert sum(x["mass_g"] for x in page["lines"]) == pytest.approx(page["add_dry_g"])
    assert "for the full bucket" in run(capsys, *half_used(studio, "--add", "cobalt carbonate 1%")).out


def test_the_error_of_the_sample_goes_into_the_addition(capsys):
    # to a volume the whole error of the dry glaze: the ends of the dry content, as they stand on the page
    found = run(capsys, *BUCKET, "--to", "12l", "--sg", "1.45", "--json").json
    off = max(found["high_dry_g"] - found["dry_g"], found["dry_g"] - found["low_dry_g"])
    assert found["dry_give_or_take_g"] == pytest.approx(off)
    assert found["water_give_or_take_g"] == pytest.approx(off)
    # to a gravity, water alone: as much as the water of the ends differs
    thin = run(capsys, *BUCKET, "--sg", "1.45", "--json").json
    net = thin["dry_g"] + thin["water_g"]
    needed = [dry / 0.73125 - dry / 2.6 - (net - dry) for dry in (thin["low_dry_g"], thin["high_dry_g"])]
    assert thin["water_give_or_take_g"] == pytest.approx(max(abs(x - thin["add_water_g"]) for x in needed))
    assert thin["dry_give_or_take_g"] == 0
    little = run(capsys, *BUCKET, "--sg", "1.471", "--json").json
    assert "error-beyond-addition" in {notice["code"] for notice in little["notices"]}
    assert (
        run(capsys, *(BUCKET[0], "--sg-now", "1.47", *BUCKET[3:]), "--sg", "1.45", "--json").json[
            "water_give_or_take_g"
        ]
        is None
    )


def test_sheet_and_label_of_a_half_used_bucket(capsys, studio, tmp_path):
    sheet, label = tmp_path / "top-up.html", tmp_path / "label.txt"
    files = ("--sheet", str(sheet), "--label", str(label), "--date", "3 May")
    assert run(capsys, *half_used(studio, *files, "--add", "chromium oxide 1%")).code == 0
    text = sheet.read_text(encoding="utf-8")
    assert "to add to the bucket" in text
    assert "3 May" in text
    label_text = label.read_text(encoding="utf-8")
    assert "10.00 l" in label_text  # the bucket as it is in the end
    assert "hrom" in label_text  # what is stirred in counts at the bench
    again = run(capsys, *half_used(studio, *files))
    assert (again.code, again.out) == (1, "")
    alone = run(capsys, *BUCKET, "--sg", "1.45", "--sheet", str(sheet))
    assert (alone.code, "RECIPE" in alone.err) == (2, True)
