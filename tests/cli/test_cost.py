"""``glazecalc cost``: the page, the JSON, and what it refuses."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import run

RECIPE = "Quay Black  cone 6\npotash feldspar 30\nwhiting 8\nkaolin 14\nsilica 22\n+ cobalt carbonate 1.5\n"
PRICES = (
    "material,pack,price,currency\npotash feldspar,25 kg,40.00,EUR\nwhiting,25 kg,30,EUR\nkaolin,20 kg,30,EUR\nsilica,25 kg,27.50,EUR\n"
    "cobalt carbonate,100 g,9.50,EUR\n"
)


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str, str]:
    for name, text in (
        ("r.txt", RECIPE),
        ("p.csv", PRICES),
        ("s.csv", "material,stock\nkaolin,12 kg\ncobalt carbonate,100 g\n"),
    ):
        (tmp_path / name).write_text(text)
    return str(tmp_path / "r.txt"), str(tmp_path / "p.csv"), str(tmp_path / "s.csv")


def test_json(capsys: pytest.CaptureFixture[str], files: tuple[str, str, str]):
    recipe, prices, stock = files
    page = run(
        capsys,
        "cost",
        recipe,
        "--prices",
        prices,
        "--stock",
        stock,
        "--fill",
        "10l",
        "--sg",
        "1.45",
        "--solids-density",
        "2.6",
        "--json",
    ).json
    assert page["currency"] == "EUR"
    assert page["total"] == pytest.approx(sum(x["cost"] for x in page["lines"]), abs=1e-9)
    by_hand = 7312.5 / 75.5 * (30 * 1.6 + 8 * 1.2 + 14 * 1.5 + 22 * 1.1 + 1.5 * 95) / 1000
    assert page["total"] == pytest.approx(by_hand, abs=0.03)
    assert page["per_litre"] == pytest.approx(by_hand / 10, abs=0.006)
    assert page["runs_out_first"]["material"] == "cobalt_carbonate"
    assert {"material", "name", "mass_g", "cost"} <= page["lines"][0].keys()


def test_page(capsys: pytest.CaptureFixture[str], files: tuple[str, str, str]):
    recipe, prices, stock = files
    ran = run(
        capsys,
        "cost",
        recipe,
        "--prices",
        prices,
        "--stock",
        stock,
        "--pieces",
        "60",
        "--gain",
        "63g",
        "--spare",
        "10%",
    )
    assert ran.code == 0
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    assert "EUR per piece" in ran.out
    assert "runs out first" in ran.out


def test_missing_price(capsys: pytest.CaptureFixture[str], files: tuple[str, str, str], tmp_path: Path):
    (tmp_path / "p.csv").write_text(PRICES.replace("cobalt carbonate,100 g,9.50,EUR\n", ""))
    ran = run(capsys, "cost", files[0], "--prices", files[1], "--all-in", "5kg", "--json")
    assert (ran.code, ran.json["total"], ran.json["unpriced"]) == (0, None, ["Cobalt carbonate"])
    assert "no price is known" in " ".join(ran.out.split())


@pytest.mark.parametrize("name", ["harbour-black", "rill-clear", "chalk-satin", "lichen-crawl", "weir-celadon"])
def test_studio_price_list_covers_its_glazes(name: str, capsys: pytest.CaptureFixture[str], studio: Path):
    folder = (
        "--materials",
        str(studio / "materials"),
        "--prices",
        str(studio / "prices.csv"),
        "--stock",
        str(studio / "shelf.csv"),
    )
    page = run(capsys, "cost", str(studio / f"recipes/{name}.txt"), *folder, "--all-in", "5kg", "--json").json
    assert page["unpriced"] == []
    assert page["total"] > 0


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--all-in", "5kg"), 2, "--prices"),
        (("--prices", "P"), 2, "how much?"),
        (("--prices", "nowhere.csv", "--all-in", "5kg"), 1, "no such file"),
    ],
)
def test_refused_with_the_mend(
    capsys: pytest.CaptureFixture[str], files: tuple[str, str, str], words: tuple[str, ...], code: int, said: str
):
    names = {"P": files[1], "S": files[2]}
    ran = run(capsys, "cost", files[0], *(names.get(word, word) for word in words))
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_one_list_may_serve_for_prices_and_stock(capsys: pytest.CaptureFixture[str], files: tuple[str, str, str]):
    recipe, prices, stock = files
    ran = run(capsys, "cost", recipe, "--prices", stock, "--all-in", "5kg", "--json")
    assert (ran.code, ran.json["total"]) == (0, None)
    assert "no-prices" in [notice["code"] for notice in ran.json["notices"]]
    ran = run(capsys, "cost", recipe, "--stock", prices, "--prices", prices, "--all-in", "5kg", "--json")
    assert ran.code == 0
    assert {line["stock_g"] for line in ran.json["lines"]} == {None}
    assert "no-stock" in [notice["code"] for notice in ran.json["notices"]]


def test_one_file_with_prices_and_stock(
    capsys: pytest.CaptureFixture[str], files: tuple[str, str, str], tmp_path: Path
):
    both = tmp_path / "both.csv"
    rows = ["material,stock,pack,price,currency", *(line.replace(",", ",5 kg,", 1) for line in PRICES.splitlines()[1:])]
    both.write_text("\n".join(rows))
    pages = [
        run(capsys, "cost", files[0], *options, "--all-in", "1kg", "--json").json
        for options in (("--stock", str(both)), ("--prices", str(both)), ("--prices", str(both), "--stock", str(both)))
    ]
    assert pages[0] == pages[1] == pages[2]
    assert pages[0]["total"] > 0
    assert {line["stock_g"] for line in pages[0]["lines"]} == {5000}


def test_a_price_of_silica_is_no_price_of_zirconium_silicate(
    capsys: pytest.CaptureFixture[str], files: tuple[str, str, str], tmp_path: Path
):
    recipe = tmp_path / "white.txt"
    recipe.write_text("White\npotash feldspar 40\nwhiting 20\nkaolin 30\nzirconium silicate 10\n")
    page = run(capsys, "cost", str(recipe), "--prices", files[1], "--all-in", "1kg", "--json").json
    costs = {line["material"]: line["cost"] for line in page["lines"]}
    assert costs.pop("zircon") is None
    assert None not in costs.values()


def test_a_small_batch_is_printed_in_whole_cents(capsys, studio):
    words = ("cost", str(studio / "recipes/weir-celadon.txt"), "--materials", str(studio / "materials"))
    prices = ("--prices", str(studio / "prices.csv"))
    for mass in ("300g", "3g"):
        ran = run(capsys, *words, *prices, "--all-in", mass)
        amounts = re.findall(r"\d+\.\d+(?= EUR)|(?<=; )\d+\.\d+(?= per kg)", ran.out)
        assert amounts
        assert all(len(amount.partition(".")[2]) == 2 for amount in amounts)
    assert "<0.01" in ran.out
