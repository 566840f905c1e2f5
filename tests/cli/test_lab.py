"""The page and the JSON of ``glazecalc lab``."""

from collections.abc import Callable

import pytest

from tests.cli.run import Ran, run

CONTRACT = [
    "jurisdiction",
    "document",
    "legal_status",
    "element",
    "limit",
    "unit",
    "measured",
    "below",
    "measured_text",
    "ratio",
    "applies",
    "note",
]
SHEET = "element,value,unit\nPb,0.03,mg/dm2\nCd,<0.005,mg/dm²\nCo,24,µg/dm2\n"
SIZES = ["--ware", "plate", "--depth", "18mm", "--area", "2.8dm2", "--volume", "0.4l"]


@pytest.fixture
def call(tmp_path, capsys) -> Callable[..., Ran]:
    def called(*options: str, text: str = SHEET) -> Ran:
        path = tmp_path / "results.csv"
        path.write_text(text, encoding="utf-8")
        return run(capsys, "lab", str(path), *options)

    return called


def test_json_has_the_contracts_keys_first(call):
    result = call(*SIZES, "--json")
    assert result.code == 0
    value = result.json
    for row in value["rows"]:
        assert list(row)[: len(CONTRACT)] == CONTRACT
        if row["measured"] is not None:
            assert row["ratio"] == pytest.approx(row["measured"] / row["limit"])
            assert row["below"] == row["measured_text"].startswith("<")
    eu = [r for r in value["rows"] if r["jurisdiction"] == "European Union" and r["applies"]]
    assert [(r["element"], r["limit"], r["unit"], r["measured_text"]) for r in eu] == [
        ("Pb", 0.8, "mg/dm2", "0.03"),
        ("Cd", 0.07, "mg/dm2", "<0.005"),
    ]


def test_page_fits_and_shows_what_matters(call):
    page = call(*SIZES).out
    assert max(map(len, page.splitlines())) <= 100
    for words in (
        "over (15x)",
        "cannot show",
        "1 of 6",
        "<0.005",
        "advice, not law",
        "borrowed, no limit",
        "Not applied, and why",
    ):
        assert words in page


def test_what_was_not_checked_is_starred_on_the_page_and_a_field_of_the_row(call):
    """The Chinese figures are recalled, the Canadian ones read; the American ones read, their sampling rule recalled."""
    page = call(*SIZES).out
    china = next(line for line in page.splitlines() if line.strip().startswith("China"))
    europe = next(line for line in page.splitlines() if line.strip().startswith("European Union"))
    assert "0.8 mg/dm2*" in china
    assert "*" not in europe
    assert "A star: recalled, not checked against the print." in " ".join(page.split())
    assert "A star" not in call(*SIZES, "--where", "canada").out
    rows = {row["jurisdiction"]: row for row in call(*SIZES, "--json").json["rows"] if row["element"] == "Pb"}
    assert rows["China"]["recalled"]
    assert rows["US federal (FDA)"]["recalled"]
    assert not rows["Canada"]["recalled"]


@pytest.mark.parametrize(
    ("mg_per_l", "says"),
    [("3.01", "over (by less than 1 %"), ("3.05", "over (1.02x"), ("9", "over (3x)"), ("450", "over (150x)")],
)
def test_over_says_by_how_much(call, mg_per_l: str, says: str):
    page = call(*SIZES, "--where", "canada", text=f"element,value,unit\nPb,{mg_per_l},mg/L\n").out
    assert says in page


def test_full_page_has_rules_and_sources(call):
    page = call(*SIZES, "--full").out
    assert max(map(len, page.splitlines())) <= 100
    assert "Source: " in page
    assert "converted with 2.8 dm2 and 0.4 l" in " ".join(page.split())


def test_over_a_limit_is_exit_0(call):
    result = call(
        "--ware",
        "cup",
        "--depth",
        "90mm",
        "--volume",
        "300ml",
        "--area",
        "2.5dm2",
        text="element,value,unit\nPb,9,mg/L\n",
    )
    assert result.code == 0
    assert "over (18x)" in result.out


@pytest.mark.parametrize(
    "options",
    [
        [],
        ["--ware", "spoon"],
        ["--ware", "not-for-food"],
        ["--ware", "plate", "--depth", "18kg"],
        ["--ware", "plate", "--depth", "0mm"],
        ["--ware", "plate", "--volume", "-1l"],
        ["--ware", "plate", "--where", "mars"],
    ],
)
def test_wrong_calls_are_exit_2_with_an_empty_stdout(call, options):
    result = call(*options)
    assert result.code == 2
    assert result.out == ""


def test_a_faulty_file_leaves_stdout_empty(call):
    result = call(*SIZES, text="element,value,unit\nPb,n.d.,mg/L\n")
    assert result.code == 1
    assert result.out == ""


def test_inches_and_us_gallons_are_read(call):
    result = call(
        "--ware",
        "bowl",
        "--depth",
        "2in",
        "--volume",
        "0.5 us gal",
        "--json",
        text="element,value,unit\nPb,0.1,mg/L\n",
    )
    us = next(r for r in result.json["rows"] if r["jurisdiction"] == "US federal (FDA)")
    assert us["limit"] == 1.0  # 50.8 mm deep and 1.89 l: large hollowware


def test_names_may_be_in_capitals(call):
    result = call("--ware", "Plate", "--depth", "1.8cm", "--where", "EU", "--json")
    assert {r["jurisdiction"] for r in result.json["rows"]} == {"European Union"}


def test_six_pieces_by_the_page(call):
    text = "element,value,unit,piece\n" + "".join(
        f"Pb,{value},ug/mL,{n}\n" for n, value in enumerate((8, 2, 2, 2, 2, 1.9))
    )
    page = call("--ware", "plate", "--depth", "20mm", "--where", "us", text=text).out
    federal = next(line for line in page.splitlines() if line.strip().startswith("US federal"))
    assert federal.endswith("under (within lab error)")  # the mean, 2.98; no piece is missing
    states = next(line for line in page.splitlines() if "US states" in line)
    assert "over (2.7x)" in states  # every utensil: 8


def test_a_third_extraction_shows_what_it_cannot_show_on_the_page_and_in_json(call):
    text = "element,value,unit,extraction\nPb,0.03,mg/dm2,3\n"
    page = call(*SIZES, "--where", "eu", text=text).out
    assert "cannot show (third extraction)" in page
    assert "0.03 mg/dm2 (third extraction)" in page
    rows = call(*SIZES, "--json", text=text).json["rows"]
    compared = {(r["extraction"], r["standing"]) for r in rows if r["measured"] is not None and r["applies"]}
    assert compared <= {(3, standing) for standing in ("under", "at", "over", "cannot show")}
    assert {r["standing"] for r in rows} <= {"under", "at", "over", "cannot show", ""}


def test_without_the_column_the_page_says_which_was_read(call):
    ran = call(*SIZES)
    assert "read as the first extraction" in ran.out + ran.err


def test_an_extraction_that_adds_nothing_is_left_to_the_full_page(call):
    text = "element,value,unit,extraction\nPb,0.03,mg/dm2,1\nPb,0.01,mg/dm2,3\n"
    words = (*SIZES, "--where", "canada")

    def page(*options: str) -> str:
        return call(*options, text=text).out

    assert "cannot show" not in page(*words)
    assert "cannot show (third extraction)" in page(*words, "--full")


def test_alike_results_are_told_once(call):
    lines = "".join(f"Pb,<0.01,mg/dm2,plate {n}\n" for n in range(1, 7)) + "Pb,0.02,mg/dm2,plate 7\n"
    result = call(*SIZES, text="element,value,unit,piece\n" + lines)
    assert "Lead (Pb): <0.01 mg/dm2 (6 pieces), 0.02 mg/dm2" in result.out
    many = "".join(f"Pb,0.{n}1,mg/dm2,plate {n}\n" for n in range(1, 10))
    assert "and 3 more" in call(*SIZES, text="element,value,unit,piece\n" + many).out
