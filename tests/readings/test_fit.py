"""Fit: by the studio's own firings, by both expansions measured, or among the estimates of the glazes that matured."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.body import ClayBody
from glazecalc.calibration import fit_on_body
from glazecalc.errors import CompositionError
from glazecalc.estimate.firings import FiredResult, fit_range
from glazecalc.estimate.melted import fired_set
from glazecalc.estimate.stress import measured_mismatch
from glazecalc.firing import Firing
from glazecalc.readings import fit
from tests.readings.pot import LIBRARY, facts

PLAIN = {"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30}
LOW, HIGH = fired_set().expansion.lower_tenth, fired_set().expansion.upper_tenth
SLATE = ClayBody(name="Slate", cone="6")


def expanding(value: float, **more):
    """The plain glaze as if it were calculated to expand so much."""
    found = facts(PLAIN, **more)
    changed = tuple(
        replace(e, value=value, low=value - 0.7, high=value + 0.7)
        if (e.quantity, e.model) == ("expansion", "fitted")
        else e
        for e in found.estimates
    )
    return replace(found, estimates=changed)


@pytest.mark.parametrize(
    ("value", "code"),
    [(HIGH + 0.01, "fit-crazing-side"), (HIGH, "fit-among"), (LOW, "fit-among"), (LOW - 0.01, "fit-shivering-side")],
)
def test_the_tenths_of_all_that_matured(value: float, code: str):
    reading = fit.read(expanding(value))
    assert reading.code == code
    assert "5 crazed, at 8.1 to 8.3, and none shivered" in reading.because
    assert "--firings FILE" in reading.do
    assert reading.evidence["matured"] == 67


def test_the_edges_are_those_of_the_shipped_rows():
    """10-90 % of 67 estimates from 5.4 to 8.1; every crazed glaze of the set lies above 8."""
    assert (pytest.approx(5.45, abs=0.1), pytest.approx(8.1, abs=0.1)) == (LOW, HIGH)
    assert min(fired_set().expansion.crazed.values) > 8
    assert max(fired_set().expansion.sound.values) < 7


@pytest.mark.parametrize(
    "parts", [{"lead bisilicate frit": 80, "kaolin": 20}, {"manganese dioxide": 70, "ball clay": 30}]
)
def test_no_estimate_or_one_without_an_error_is_not_judged(parts: dict[str, float]):
    reading = fit.read(facts(parts, "6"))
    assert reading.code == "fit-not-judged"
    assert "--firings" in reading.do


@pytest.mark.parametrize(
    ("mineral", "words"),
    [
        ("petalite", "Crystals of petalite hardly expand"),
        ("spodumene", "Crystals of spodumene hardly expand"),
        ("zircon", "Counted as glass"),
    ],
)
def test_crystals_are_said(mineral: str, words: str):
    assert words in fit.read(facts({**PLAIN, mineral: 4})).says
    assert words not in fit.read(facts({**PLAIN, mineral: 3})).says  # 2.9 % of the batch


# --- measured -------------------------------------------------------------------------------------------------------------
def measured(glaze: float, body: float):
    return measured_mismatch(
        glaze_1e6_per_k=glaze, body_1e6_per_k=body, glaze_range_c=(20, 500), body_range_c=(20, 500)
    )


@pytest.mark.parametrize(
    ("glaze", "body", "code", "words"),
    [
        (7.0, 6.5, "fit-crazing-side", "+22 MPa in the glaze, tension: crazing side"),
        (6.0, 6.5, "fit-among", "-22 MPa in the glaze, compression"),
        (6.5, 6.5, "fit-among", "neither tension nor compression"),
    ],
)
def test_both_measured_give_the_stress(glaze: float, body: float, code: str, words: str):
    """0.5e-6 per K over 500 K at E 70 GPa and Poisson's ratio 0.22: 22 MPa."""
    reading = fit.read(expanding(9.0, mismatch=measured(glaze, body)))
    assert reading.code == code
    assert words in reading.says


# --- by the studio's own firings --------------------------------------------------------------------------------------------
def fired(recipe: str, expansion: float, result: str) -> FiredResult:
    return FiredResult(recipe=recipe, body="Slate", cone="6", result=result, model="fitted", expansion=expansion)


OWN = fit_range([fired("a", 5.2, "sound"), fired("b", 5.9, "sound"), fired("c", 6.6, "crazed")])


def test_own_firings_answer_before_all_else():
    found = facts(PLAIN, "6", body=SLATE, fit=OWN, mismatch=measured(7.0, 6.5))
    reading = fit.read(found)
    assert reading.code == "fit-by-your-firings"
    assert reading.says == (
        "By your own firings on Slate: inside what came out sound. Both measured: +22 MPa in the glaze, tension: crazing side."
    )
    assert "among 3 of your firings (2 sound and 1 crazed): sound from 5.2 to 5.9, crazed from 6.6" in reading.because
    assert (reading.evidence["sound_firings"], reading.evidence["shivered_firings"]) == (2, 0)


@pytest.mark.parametrize("name", ["Plain Glaze", "plain-glaze", "recipes/plain-glaze.txt"])
def test_a_glaze_that_was_fired_itself_is_told_its_own_result(name: str):
    own = fit_range([*OWN.results, fired(name, 5.6, "crazed")])
    reading = fit.read(facts(PLAIN, "6", name="Plain Glaze", body=SLATE, fit=own))
    assert "This glaze itself: crazed." in reading.says
    assert "itself" not in fit.read(facts(PLAIN, "6", body=SLATE, fit=own)).says


def test_firings_on_another_clay_are_refused():
    for body in (None, ClayBody(name="Tarn")):
        with pytest.raises(CompositionError, match="the firings are on Slate"):
            gc.check(PLAIN, LIBRARY, firings=OWN, body=body)
    report = gc.check(PLAIN, LIBRARY, firings=OWN, body=ClayBody(name="slate"))
    assert report.readings[3].code == "fit-by-your-firings"


@pytest.fixture
def kiln_book(tmp_path: Path) -> Path:
    for name, silica in (("clear", 30), ("lean", 20)):
        (tmp_path / f"{name}.txt").write_text(
            f"{name}\npotash feldspar 40\nwhiting 18\nkaolin 12\nsilica {silica}\n", encoding="utf-8"
        )
    return tmp_path / "firings.csv"


def rows(*cones: str) -> list[Firing]:
    names = ("clear", "lean")
    return [Firing(recipe=names[n % 2], body="Slate", cone=cone, result="sound") for n, cone in enumerate(cones)]


@pytest.mark.parametrize(
    ("cones", "asked", "used", "codes"),
    [
        (("6", "6"), "6", 2, []),
        (("6", "10"), "6", 1, ["other-cones"]),
        (("", ""), "6", 2, ["firings-without-cone"]),
        (("6", ""), "6", 1, ["other-cones"]),
        (("10", "10"), "6", 0, ["no-firing-at-cone"]),
        (("6", "10"), "", 0, ["no-firing-at-cone"]),
        (("6", "6"), "", 2, []),
    ],
)
def test_firings_count_on_this_body_at_this_cone(kiln_book: Path, cones, asked: str, used: int, codes: list[str]):
    found, said = fit_on_body(rows(*cones), LIBRARY, SLATE, cone=asked, path=kiln_book)
    assert (0 if found is None else len(found.results)) == used
    assert [notice.code for notice in said] == codes


def test_no_firing_on_the_clay_is_said(kiln_book: Path):
    found, (said,) = fit_on_body(rows("6"), LIBRARY, ClayBody(name="Tarn"), cone="6", path=kiln_book)
    assert found is None
    assert said.code == "no-firing-on-body"
    assert "has: Slate" in said.message


# --- a body described at another cone ---------------------------------------------------------------------------------------
def test_a_body_described_at_another_cone_is_said_and_its_absorption_does_not_count():
    body = ClayBody(name="Tarn", cone="6", absorption_percent=5)
    same, other, unknown = (gc.check(PLAIN, LIBRARY, body=body, cone=cone, use="plate") for cone in ("6", "9", ""))
    for report, differs in ((same, False), (unknown, False), (other, True)):
        assert ("Tarn is described at cone 6, not at cone 9" in report.readings[3].says) is differs
        assert ("body-absorbs" in {c.code for c in report.cautions}) is not differs
        assert ("body-other-cone" in {n.code for n in report.notices}) is differs
