"""Mending: what is added brings the recipe back, with the least, and never takes anything out."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.errors import WorkshopError
from glazecalc.workshop.mend import Mend, mend

SHARES = [
    ("spar", "Spar", 40.0),
    ("whiting", "Whiting", 20.0),
    ("kaolin", "Kaolin", 15.0),
    ("silica", "Silica", 25.0),
    ("cobalt", "Cobalt", 2.0),
]


def _proportional(found: Mend, shares: list[tuple[str, str, float]]) -> None:
    total = math.fsum(p for _, _, p in shares)
    assert found.dry_mass_g is not None
    for line, (_, _, parts) in zip(found.lines, shares, strict=True):
        assert line.weighed_g + line.add_g == pytest.approx(found.dry_mass_g * parts / total, rel=1e-9)


@given(
    st.lists(st.tuples(st.floats(0.5, 60), st.floats(0, 1000)), min_size=2, max_size=8),
    st.one_of(st.none(), st.floats(1, 1e5)),
)
def test_restores_the_recipe_with_the_least(pairs: list[tuple[float, float]], planned: float | None):
    shares = [(f"m{i}", f"M{i}", p) for i, (p, _) in enumerate(pairs)]
    weighed = {f"m{i}": w for i, (_, w) in enumerate(pairs)}
    if not math.fsum(weighed.values()) > 1e-6:
        return
    found = mend(shares, weighed, planned_g=planned)
    _proportional(found, shares)
    assert all(line.add_g >= 0 for line in found.lines)
    assert math.fsum(line.weighed_g + line.add_g for line in found.lines) == pytest.approx(found.dry_mass_g, rel=1e-12)
    # The least: either the plan is met exactly, or some material gets nothing more.
    met = planned is not None and found.dry_mass_g == pytest.approx(planned, rel=1e-12)
    assert met or any(line.add_g == 0 for line in found.lines)


def test_one_forgotten_is_just_weighed():
    found = mend(SHARES, {"spar": 400, "whiting": 200, "silica": 250, "cobalt": 20}, planned_g=1020)
    assert found.verdict == "finish"
    assert [(x.material, x.add_g) for x in found.additions] == [("kaolin", pytest.approx(150))]
    assert found.dry_mass_g == pytest.approx(1020)


def test_a_material_twice_doubles_the_batch():
    found = mend(SHARES, {"spar": 400, "whiting": 200, "kaolin": 150, "silica": 250, "cobalt": 40}, planned_g=1020)
    assert found.dry_mass_g == pytest.approx(2040)
    assert {x.material: round(x.add_g, 6) for x in found.additions} == {
        "spar": 400,
        "whiting": 200,
        "kaolin": 150,
        "silica": 250,
    }
    assert found.verdict == "enlarge"
    assert "grows from 1020 g to 2040 g" in found.advice


def test_400_for_40_starts_again():
    # 20 parts of 102 in a 204 g batch is 40 g; 400 went in: mending takes 2040 - 480 g, a fresh batch 204.
    found = mend(SHARES, {"spar": 80, "whiting": 400}, planned_g=204)
    assert found.dry_mass_g == pytest.approx(2040)
    assert found.verdict == "start again"
    assert (
        "Start again: Whiting is so far over that mending takes 1560 g of new material, and a fresh batch only 204 g."
        in found.advice
    )
    assert math.fsum(x.add_g for x in found.additions) == pytest.approx(2040 - 480)


def test_starting_again_begins_where_mending_takes_more_than_a_fresh_batch():
    # Whiting alone in the bucket: w g make 5.1 w in all and need 4.1 w more; a fresh 1020 g batch is equal at w = 248.78.
    assert mend(SHARES, {"whiting": 1020 / 4.1 - 0.1}, planned_g=1020).verdict == "enlarge"
    assert mend(SHARES, {"whiting": 1020 / 4.1 + 0.1}, planned_g=1020).verdict == "start again"


def test_a_small_slip_may_be_left():
    found = mend(SHARES, {"spar": 402}, planned_g=1020)
    assert "fair choice" in found.advice
    assert "fair choice" not in mend(SHARES, {"spar": 405}, planned_g=1020).advice


def test_foreign_material_cannot_be_taken_out():
    found = mend(SHARES, {"spar": 400, "talc": 20}, planned_g=1020, foreign=["Talc"])
    assert found.verdict == "start again"
    assert found.dry_mass_g is None
    assert not found.additions
    assert "Talc" in found.advice


def test_a_line_of_zero_in_the_recipe_cannot_take_a_weight():
    found = mend([*SHARES, ("tin", "Tin", 0.0)], {"spar": 400, "tin": 5}, planned_g=1020)
    assert (found.verdict, found.dry_mass_g) == ("start again", None)
    assert "Tin" in found.advice
    assert "Spar" not in found.advice
    assert mend([*SHARES, ("tin", "Tin", 0.0)], {"spar": 400}, planned_g=1020).dry_mass_g == pytest.approx(1020)


def test_part_of_the_mix_was_used():
    # Cobalt was 10 g for 20; 305 g of the 1010 g were used. What is left lacks half its cobalt.
    weighed = {"spar": 400, "whiting": 200, "kaolin": 150, "silica": 250, "cobalt": 10}
    found = mend(SHARES, weighed, planned_g=1020, used_g=303)
    assert [(x.material, x.add_g) for x in found.additions] == [("cobalt", pytest.approx(7.0))]
    assert found.dry_mass_g == pytest.approx(0.7 * 1020)
    assert "was used is off the recipe" in found.advice


def test_a_material_on_its_mark_is_not_over():
    found = mend(SHARES, {"spar": 400.0, "whiting": 200.0}, planned_g=1020)
    assert found.verdict == "finish"
    assert "Nothing is over its share" in found.advice


def test_nothing_to_mend():
    found = mend(SHARES, {m: p * 10 for m, _, p in SHARES}, planned_g=1020)
    assert found.verdict == "finish"
    assert not found.additions


@pytest.mark.parametrize(
    ("weighed", "options"),
    [
        ({}, {}),
        ({"spar": 0.0}, {}),
        ({"spar": -5.0}, {}),
        ({"spar": 5.0}, {"planned_g": 0.0}),
        ({"spar": 5.0}, {"used_g": 5.0}),
        ({"spar": 5.0}, {"used_g": -1.0}),
    ],
)
def test_what_cannot_be(weighed: dict[str, float], options: dict[str, float]):
    with pytest.raises(WorkshopError):
        mend(SHARES, weighed, **options)
