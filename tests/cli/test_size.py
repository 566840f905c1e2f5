"""``glazecalc size``: the contract of its JSON and what it refuses."""

from __future__ import annotations

import pytest

from tests.cli.run import run

BAR = ("size", "--wet", "100", "--dry", "93.5", "--fired", "87.6")


def test_json_contract(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, *BAR, "--want", "9in", "--json").json
    assert page["drying_percent"] == pytest.approx(6.5)
    assert page["firing_percent"] == pytest.approx(100 * 5.9 / 93.5)
    assert page["total_percent"] == pytest.approx(12.4)
    assert page["wet_mm"] == pytest.approx(228.6 / 0.876)
    assert page["dry_mm"] == pytest.approx(228.6 / 0.876 * 0.935)
    assert page["wet_inches"] == "10 1/4"


def test_half_a_millimetre_on_the_bar(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, *BAR, "--want", "9in", "--json").json
    assert (round(page["wet_low_mm"] / 25.4, 2), round(page["wet_high_mm"] / 25.4, 2)) == (10.22, 10.33)


def test_page(capsys: pytest.CaptureFixture[str]):
    ran = run(
        capsys,
        *BAR,
        "--want",
        "11in",
        "--tolerance",
        "3mm",
        "--clay-mass",
        "2 lb 12 oz",
        "--clay-size",
        "9in",
        "--absorption",
        "210.4g 214.6g",
    )
    assert ran.code == 0
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    assert "4 lb 1.5 oz" in ran.out  # 44 oz x (11/9)^2 = 65.73 oz
    assert "+-3.4 mm at the wheel" in ran.out
    assert "2.00 %" in ran.out


def test_clay_by_the_chart_names_its_source(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, "size", "--shrinkage", "11.5%", "--want", "9in", "--piece", "plate", "--json").json
    assert page["clay_g"] == pytest.approx(1360 * (9 / 0.885 / 10) ** 2)
    assert "weigh one good piece" in page["clay_source"]


def test_bars_may_carry_their_unit(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, "size", "--wet", "10cm", "--fired", "87.6mm", "--want", "9in", "--json").json
    assert page["total_percent"] == pytest.approx(12.4)
    assert (page["drying_percent"], page["dry_mm"]) == (None, None)


def test_bars_that_differ_by_more_than_the_tolerance(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "size", "--bar", "100 88", "--bar", "100 86", "--want", "9in", "--tolerance", "1mm")
    assert "more than the tolerance" in ran.out


def test_several_bars(capsys: pytest.CaptureFixture[str]):
    page = run(capsys, "size", "--bar", "100 93.5 87.6", "--bar", "100 93 87", "--thrown", "10in", "--json").json
    assert page["total_percent"] == pytest.approx(12.7)
    assert page["total_spread"]["count"] == 2
    assert page["fired_mm"] == pytest.approx(254 * 0.873)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--wet", "100", "--fired", "110"), 1, "right order"),
        (("--wet", "100"), 2, "--fired"),
        ((), 2, "--shrinkage"),
        (("--shrinkage", "12%", "--want", "9kg"), 2, "a length was expected"),
        (("--shrinkage", "120%", "--want", "9in"), 1, "is not plausible"),
        (("--want", "9in"), 2, "--shrinkage"),
        (("--shrinkage", "12%", "--want", "9in", "--clay-mass", "2 lb"), 2, "--clay-size"),
        (("--shrinkage", "12%", "--want", "9in", "--thrown", "10in"), 2, "not both"),
        (("--bar", "100 x 87"), 2, "--bar"),
        (("--absorption", "214g 210g"), 1, "right way round"),
        (("--shrinkage", "12%", "--want", "9in", "--tolerance", "0mm"), 1, "tolerance"),
    ],
)
def test_refused_with_the_mend(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: int, said: str):
    ran = run(capsys, "size", *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
