"""``glazecalc substitute`` at the shell: contract keys, exit codes, the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from glazecalc import load_materials, unity_formula
from tests.cli.run import run

RECIPE = """Harbour Black   cone 6 ox
Potash feldspar   38
Whiting           14.5
Kaolin            12
Silica            28
Wollastonite       7.5
+ Red iron oxide   9
+ Cobalt carbonate 1
"""


@pytest.fixture
def black(tmp_path: Path) -> str:
    path = tmp_path / "black.txt"
    path.write_text(RECIPE, encoding="utf-8")
    return str(path)


def test_the_contract(capsys, black):
    ran = run(
        capsys,
        "substitute",
        black,
        "--without",
        "potash feldspar",
        "--also",
        "soda feldspar",
        "--also",
        "nepheline syenite",
        "--json",
    )
    assert ran.code == 0
    assert set(ran.json) >= {"answers", "unmet"}
    for answer in ran.json["answers"]:
        assert set(answer) >= {"lines", "unity", "deviation", "total", "notices"}
        assert all(set(line) >= {"material", "parts"} for line in answer["lines"])
        assert answer["total"] == pytest.approx(sum(line["parts"] for line in answer["lines"]))
        assert "potash_feldspar" not in {line["material"] for line in answer["lines"]}
        base = {line["material"]: line["parts"] for line in answer["lines"]}
        assert (base["red_iron_oxide"], base["cobalt_carbonate"]) == (9, 1)
        assert answer["unity"] == pytest.approx(dict(unity_formula(base, load_materials())))
        assert all(set(notice) == {"code", "message"} for notice in answer["notices"])
    assert all(set(entry) >= {"oxide", "shortfall", "why"} for entry in ran.json["unmet"])


def test_no_exact_answer_is_still_done(capsys, black):
    ran = run(
        capsys,
        "substitute",
        black,
        "--without",
        "potash feldspar",
        "--only",
        "whiting",
        "--only",
        "kaolin",
        "--only",
        "silica",
        "--json",
    )
    assert ran.code == 0
    assert {entry["oxide"] for entry in ran.json["unmet"]} >= {"K2O"}
    ran = run(capsys, "substitute", black, "--only", "silica", "--json")
    assert (ran.code, ran.json["answers"]) == (0, [])


def test_keep_names_what_is_held(capsys, black):
    ran = run(
        capsys,
        "substitute",
        black,
        "--without",
        "whiting",
        "--keep",
        "K2O+Na2O,Al2O3,CaO,SiO2",
        "--also",
        "dolomite",
        "--json",
    )
    held = {entry["oxides"]: entry["deviation"] for entry in ran.json["answers"][0]["kept"]}
    assert set(held) == {"K2O+Na2O", "Al2O3", "CaO", "SiO2"}
    assert all(abs(off) < 1e-6 for off in held.values())
    assert ran.json["unmet"] == []


def test_names_may_follow_one_another(capsys, black):
    one = run(capsys, "substitute", black, "--without", "potash feldspar", "--also", "soda feldspar", "talc", "--json")
    two = run(
        capsys,
        "substitute",
        black,
        "--without",
        "potash feldspar",
        "--also",
        "soda feldspar",
        "--also",
        "talc",
        "--json",
    )
    three = run(capsys, "substitute", black, "--without", "potash feldspar", "--also", "soda feldspar, talc", "--json")
    assert one.json["answers"] == two.json["answers"] == three.json["answers"]


def test_the_page(capsys, black):
    ran = run(capsys, "substitute", black, "--without", "potash feldspar", "--also", "soda feldspar")
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    for words in (
        "Harbour Black without potash feldspar",
        "gone",
        "new",
        "Not met by the best answer",
        "Off by",
        "fire a tile",
    ):
        assert words in ran.out
    assert "ideal formula, not an analysis: Whiting" in " ".join(ran.out.split())


def test_a_list_with_amounts_and_one_with_prices_say_what_is_at_hand(capsys, black, tmp_path):
    stock = tmp_path / "shelf.csv"
    stock.write_text(
        "stock,material\n18 kg,soda feldspar\n6 kg,whiting\n9½ kg,kaolin\n14 kg,silica\n", encoding="utf-8"
    )
    ran = run(capsys, "substitute", black, "--stock", str(stock), "--prices", str(stock), "--json")
    assert ran.code == 0
    used = {line["material"] for answer in ran.json["answers"] for line in answer["lines"]}
    assert used <= {"soda_feldspar", "whiting", "kaolin", "silica", "red_iron_oxide", "cobalt_carbonate"}
    assert "no-prices" in [notice["code"] for notice in ran.json["notices"]]


def test_a_stock_file(capsys, black, tmp_path):
    stock = tmp_path / "shelf.txt"
    stock.write_text("# the shelf\nsoda feldspar\nwhiting\nkaolin  # new bag\nsilica\n", encoding="utf-8")
    ran = run(capsys, "substitute", black, "--without", "potash feldspar", "--stock", str(stock), "--json")
    assert ran.code == 0
    used = {line["material"] for answer in ran.json["answers"] for line in answer["lines"]}
    assert used <= {"soda_feldspar", "whiting", "kaolin", "silica", "red_iron_oxide", "cobalt_carbonate"}
    stock.write_text("soda feldspar\nwhitting\n", encoding="utf-8")
    ran = run(capsys, "substitute", black, "--stock", str(stock))
    assert (ran.code, ran.out) == (1, "")
    assert "shelf.txt:2" in ran.err
    assert "'Whiting'" in ran.err


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--without", "unobtainium"], 1, "unobtainium"),
        (["--keep", "Wishes"], 1, "Wishes"),
        (["--least", "whiting"], 2, "NAME=NUMBER"),
        (["--raw-clay", "much"], 2, "range"),
        (["--answers", "0"], 2, "answers"),
        (["--convention", "odd"], 2, "odd"),
        (["--parts-step", "-1"], 1, "step"),
        (["--parts-step", "1000"], 1, "too coarse"),
        (["--parts-step", "1e-320"], 1, "too fine"),
        (["--tolerance", "SiO2=0"], 1, "above zero"),
        (["--tolerance", "SiO=1"], 1, "SiO"),
        (["--least", "moondust=3"], 1, "moondust"),
        (["--most", "kaolin=200"], 1, "per 100"),
        (["--time-limit", "0"], 1, "time limit"),
    ],
)
def test_a_bad_call_leaves_the_output_empty(capsys, black, words, code, said):
    ran = run(capsys, "substitute", black, *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_a_missing_file(capsys):
    ran = run(capsys, "substitute", "nowhere.txt")
    assert (ran.code, ran.out) == (1, "")


def test_prices(capsys, black, tmp_path):
    prices = tmp_path / "prices.csv"
    prices.write_text(
        "material,pack,price,currency\npotash feldspar,25 kg,40.00,EUR\nsoda feldspar,25 kg,50.00,EUR\nwhiting,25 kg,30.00,EUR\nkaolin,1 kg,1.50,EUR\n"
        "silica,25 kg,27.50,EUR\nwollastonite,1 kg,2.00,EUR\nred iron oxide,1 kg,7.00,EUR\ncobalt carbonate,1 kg,95.00,EUR\n",
        encoding="utf-8",
    )
    ran = run(
        capsys,
        "substitute",
        black,
        "--without",
        "potash feldspar",
        "--also",
        "soda feldspar",
        "--prices",
        str(prices),
        "--json",
    )
    assert ran.code == 0
    per_kg = {
        "potash_feldspar": 1.6, "soda_feldspar": 2.0, "whiting": 1.2, "kaolin": 1.5, "silica": 1.1, "wollastonite": 2.0, "red_iron_oxide": 7.0,
        "cobalt_carbonate": 95.0,
    }  # fmt: skip
    answer = ran.json["answers"][0]
    assert answer["cost"] == pytest.approx(
        sum(per_kg[line["material"]] * line["parts"] for line in answer["lines"]) / answer["total"]
    )
    old = {
        "potash_feldspar": 38,
        "whiting": 14.5,
        "kaolin": 12,
        "silica": 28,
        "wollastonite": 7.5,
        "red_iron_oxide": 9,
        "cobalt_carbonate": 1,
    }
    assert answer["cost_before"] == pytest.approx(sum(per_kg[name] * amount for name, amount in old.items()) / 110)
    assert "EUR" in " ".join(ran.out.split())
    prices.write_text("material,pack,price,currency\nwhiting,25 kg,a lot,EUR\n", encoding="utf-8")
    ran = run(capsys, "substitute", black, "--prices", str(prices))
    assert (ran.code, ran.out) == (1, "")


def test_the_studio_shelf_and_the_batch_to_mix(capsys, studio):
    recipe, own = str(studio / "recipes/harbour-black.txt"), str(studio / "materials")
    words = ("substitute", recipe, "--materials", own, "--without", "talc", "--stock", str(studio / "shelf.csv"))
    ran = run(capsys, *words, "--batch-mass", "20kg", "--json")
    assert ran.code == 0
    for answer in ran.json["answers"]:
        said = [notice["message"] for notice in answer["notices"] if notice["code"] == "more-than-stock"]
        assert any("Cobalt carbonate; the shelf holds 90 g" in text for text in said)
    page = run(capsys, *words, "--batch-mass", "20kg").out
    assert page.count("the shelf holds 90 g") == 1  # what is said of every answer stands once
    assert "* in every answer: 20 kg take" in page
    assert "the shelf holds" not in run(capsys, *words, "--batch-mass", "1kg").out
    assert run(capsys, *words[:-2], "--batch-mass", "1kg").code == 2


def test_a_name_of_the_stock_that_is_read_loosely_is_said_on_the_page(capsys, black, tmp_path):
    stock = tmp_path / "shelf.csv"
    stock.write_text("material,stock\npotash feldspar,1 kg\nwhiting,1 kg\nkaolin,1 kg\nsilica,1 kg\nwollast,500 g\n")
    ran = run(capsys, "substitute", black, "--stock", str(stock))
    assert "'wollast' is read as" in ran.out


def test_an_answer_is_saved_as_a_recipe_and_nothing_is_written_over(capsys, black, tmp_path):
    import glazecalc as gc

    saved = tmp_path / "soda.yaml"
    words = ("substitute", black, "--without", "potash feldspar", "--also", "soda feldspar", "--save", str(saved))
    ran = run(capsys, *words, "--json")
    assert ran.code == 0
    recipe = gc.read_recipe(saved)
    assert recipe.based_on == "Harbour Black"
    for line, item in zip(ran.json["answers"][0]["lines"], recipe.ingredients, strict=True):
        assert (line["name"], round(line["parts"], 2)) == (item.material, item.amount)
    again = run(capsys, *words)
    assert (again.code, again.out) == (1, "")
    other = run(capsys, *words, "--answer", "2", "--replace")
    assert other.code == 0
    assert gc.read_recipe(saved) != recipe
    none = run(capsys, *words, "--answer", "9", "--replace")
    assert (none.code, none.out) == (1, "")
    assert run(capsys, *words[:-2], "--answer", "2").code == 2
    own = run(capsys, "substitute", black, "--without", "talc", "--also", "dolomite", "--save", black, "--replace")
    assert own.code == 1  # never over the recipe itself
