"""``glazecalc cone``: the contract of its JSON, both ways, and what it refuses. The printed points are in tests/published."""

from __future__ import annotations

import pytest

from tests.cli.run import run


def test_json_contract(capsys: pytest.CaptureFixture[str]):
    rows = run(capsys, "cone", "6", "--rate", "60C/h", "--json").json["rows"]
    assert all(row.keys() >= {"family", "table", "rate_c_per_h", "celsius", "fahrenheit"} for row in rows)
    found = {(row["family"], row["table"], row["rate_c_per_h"]): row["celsius"] for row in rows}
    assert found["self-supporting", "current", 60] == 1222
    assert found["large", "older", 150] == 1222  # the older table has one rate; kept apart from the current one
    assert found["seger", "1908", None] == 1200
    first = next(row for row in rows if row["family"] == "self-supporting")
    assert first["fahrenheit"] == pytest.approx(2231.6)


@pytest.mark.parametrize(("rate", "celsius"), [("15C/h", 1185), ("108F/h", 1222), ("270F/h", 1243)])
def test_rates_in_both_scales(capsys: pytest.CaptureFixture[str], rate: str, celsius: float):
    rows = run(capsys, "cone", "6", "--rate", rate, "--family", "self-supporting", "--json").json["rows"]
    assert [row["celsius"] for row in rows] == [celsius]


def test_06_is_not_6(capsys: pytest.CaptureFixture[str]):
    assert run(capsys, "cone", "06", "--rate", "60C/h", "--json").json["rows"][0]["celsius"] == 998


@pytest.mark.parametrize("words", [("1230C",), ("2246F",), ("1230", "C")])
def test_cone_for_a_temperature(capsys: pytest.CaptureFixture[str], words: tuple[str, ...]):
    rows = run(capsys, "cone", *words, "--rate", "60C/h", "--json").json["rows"]
    first = next(row for row in rows if row["family"] == "self-supporting")
    assert (first["down"], first["standing"]) == ("6", "7")


def test_page(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "cone", "6")
    assert ran.code == 0
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    assert "recalled, not checked" in ran.out
    assert "older" in ran.out


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("99",), 1, "no cone"), (("6", "--rate", "60"), 2, "no unit"), (("6", "--rate", "60C"), 2, "heating rate"), (("6", "--rate", "0C/h"), 1, "above 0"),
        (("1222",), 1, "temperature"), (("6", "--family", "tall"), 2, "Known"), ((), 2, "CONE"),
    ],
)  # fmt: skip
def test_refused_with_the_mend(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: int, said: str):
    ran = run(capsys, "cone", *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_a_family_that_prints_no_such_cone_is_told(capsys):
    ran = run(capsys, "cone", "42", "--family", "self-supporting")
    assert (ran.code, ran.out) == (1, "")
    assert "no chart of the family 'self-supporting' prints cone 42" in ran.err


@pytest.mark.parametrize("number", ["1222", "2345"])
def test_a_temperature_without_its_unit_is_told_how_to_write_it(capsys, number):
    ran = run(capsys, "cone", number)
    assert ran.code == 1
    assert f"write '{number}C'" in ran.err
    assert run(capsys, "cone", "1222C").code == 0
