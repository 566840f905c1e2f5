"""Mending: what is added brings the recipe back, with the least, and never takes anything out."""

from __future__ import annotations

import math
import pickle
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.workshop.mend import Mend, WeighedMaterial, mend, restore
from glazecalc.workshop.parts_lines import PartsLine
from glazecalc.workshop.restoring import read_step
from tests.handmade import analysed, library_of

PARTS = {"spar": 40.0, "whiting": 20.0, "kaolin": 15.0, "silica": 25.0, "cobalt": 2.0}


def _mended(
    weighed_g: dict[str, float],
    parts: dict[str, float] = PARTS,
    *,
    planned_g: float | None = None,
    used_g: float = 0.0,
    step_g: float | None = None,
) -> Mend:
    shares = [PartsLine(material=m, name=m.title(), parts=p) for m, p in parts.items()]
    went_in = [WeighedMaterial(material=m, name=m.title(), mass_g=g) for m, g in weighed_g.items()]
    return restore(shares, went_in, planned_g=planned_g, used_g=used_g, step_g=step_g)


def _is_right(weight_g: float, due_g: float, step_g: float = 0.0) -> bool:
    """Whether a weight is right: half a step, but no more than 5 % of the line, or 0.5 % where that is more."""
    return abs(weight_g - due_g) <= max(0.005 * due_g, min(step_g / 2, 0.05 * due_g)) + 1e-6 * due_g


@given(
    st.lists(st.tuples(st.floats(0.5, 60), st.floats(0, 1000)), min_size=2, max_size=8),
    st.one_of(st.none(), st.floats(1, 1e5)),
    st.sampled_from([None, 0.1, 5.0]),
)
def test_restores_the_recipe_with_the_least(
    pairs: list[tuple[float, float]], planned: float | None, step: float | None
):
    parts = {f"m{i}": p for i, (p, _) in enumerate(pairs)}
    weighed = {f"m{i}": w for i, (_, w) in enumerate(pairs)}
    if not math.fsum(weighed.values()) > 1e-6:
        return
    found = _mended(weighed, parts, planned_g=planned, step_g=step)
    assert found.restored_g is not None
    if found.action == "start-over":
        assert planned is not None
        assert (found.additions, found.dry_mass_g) == ((), None)
        return
    total = math.fsum(parts.values())
    for line in found.lines:
        due = found.restored_g * parts[line.material] / total
        assert line.add_g == 0 or line.final_g == pytest.approx(due, rel=1e-9)
        assert _is_right(line.final_g, due, found.step_g or 0.0)
        assert line.final_g >= line.weighed_g
    # The least: either the plan is met, or some material gets nothing more.
    assert found.restored_g == planned or any(line.add_g == 0 for line in found.lines)


@given(
    st.lists(st.floats(0.5, 60), min_size=2, max_size=8),
    st.floats(200, 2e4),
    st.sampled_from([0.1, 1.0, 5.0, 28.349523125]),
)
def test_what_the_scale_showed_is_on_recipe(parts: list[float], grams: float, step: float):
    recipe = {f"m{i}": p for i, p in enumerate(parts)}
    weighed = {line.material: line.mass_g for line in gc.scale(recipe, all_in_g=grams, step_g=step).lines}
    for planned in (None, grams):
        found = _mended(weighed, recipe, planned_g=planned, step_g=step)
        assert (found.action, found.additions) == ("on-recipe", ())
        assert found.advice == "On recipe: nothing to add."


@settings(max_examples=40)
@given(st.permutations(sorted(PARTS)), st.floats(1000, 2e4), st.sampled_from([0.1, 1.0, 5.0]), st.integers(1, 2))
def test_a_forgotten_line_is_given_alone(order: list[str], grams: float, step: float, forgotten: int):
    weighed = {line.material: line.mass_g for line in gc.scale(PARTS, all_in_g=grams, step_g=step).lines}
    gone = set(order[:forgotten])
    for planned in (None, grams):
        left = {material: mass for material, mass in weighed.items() if material not in gone}
        found = _mended(left, planned_g=planned, step_g=step)
        assert found.action == "add"
        assert {one.material for one in found.additions} == gone
        assert "alone" in found.advice
        assert all(_is_right(one.mass_g, grams * PARTS[one.material] / 102, 2 * step) for one in found.additions)


def test_the_step_is_read_from_weights_that_are_whole_multiples():
    # 2000 g at a step of 5 g; the cobalt of 5.64 g was weighed on a fine scale
    assert read_step([565, 450, 415, 265, 150, 150, 5.64]) == 5
    assert read_step([565, 450, 415, 265, 152, 150, 5.64]) == 1
    assert read_step([564.5, 451.5, 414.0]) == 0.5
    assert read_step([564.43, 451.55]) is None
    ounce = 28.349523125
    assert read_step([97 * ounce, 65 * ounce, 23 * ounce]) == pytest.approx(ounce)
    assert read_step([3.17, 4.02, 500.0]) is None  # most of them are no multiples: that one is proves nothing
    found = _mended({"spar": 390.0, "whiting": 195.0, "kaolin": 145.0, "silica": 245.0, "cobalt": 19.6}, planned_g=1000)
    assert (found.step_g, found.step_from, found.action) == (5, "weights", "on-recipe")
    assert _mended({"spar": 392.1, "whiting": 200.0}, planned_g=1020, step_g=1.0).step_from == "given"


def test_a_weight_is_right_within_half_a_step_and_a_twentieth():
    on = {"spar": 400.0, "whiting": 200.0, "kaolin": 150.0, "silica": 250.0, "cobalt": 20.0}
    for material, grams, action in (
        ("whiting", 198.0, "on-recipe"), ("whiting", 197.0, "add"),  # half a step of 5 g is 2.5
        ("spar", 402.5, "on-recipe"), ("spar", 412.0, "add"),
        ("cobalt", 19.1, "on-recipe"), ("cobalt", 18.9, "add"),  # but a twentieth of 20 g is 1
        ("cobalt", 0.0, "add"),
    ):  # fmt: skip
        assert _mended(on | {material: grams}, planned_g=1020, step_g=5.0).action == action, (material, grams)


def test_a_correction_below_the_step_is_told_as_such():
    on = {"spar": 400.0, "whiting": 200.0, "kaolin": 150.0, "silica": 250.0, "cobalt": 18.0}
    found = _mended(on, planned_g=1020, step_g=5.0)
    assert [(x.material, x.mass_g) for x in found.additions] == [("cobalt", pytest.approx(2.0))]
    assert found.lines[-1].fine_scale
    assert "2 g of Cobalt is below the scale's step of 5 g: it takes a fine scale" in found.advice
    assert "is the recipe again" not in found.advice


def test_one_forgotten_is_just_weighed():
    found = _mended({"spar": 400, "whiting": 200, "silica": 250, "cobalt": 20}, planned_g=1020)
    assert found.action == "add"
    assert [(x.material, x.mass_g) for x in found.additions] == [("kaolin", pytest.approx(150))]
    assert found.dry_mass_g == pytest.approx(1020)


def test_a_material_twice_doubles_the_batch():
    found = _mended({"spar": 400, "whiting": 200, "kaolin": 150, "silica": 250, "cobalt": 40}, planned_g=1020)
    assert found.dry_mass_g == pytest.approx(2040)
    assert {x.material: round(x.mass_g, 6) for x in found.additions} == {
        "spar": 400,
        "whiting": 200,
        "kaolin": 150,
        "silica": 250,
    }
    assert found.action == "add"
    assert "grows from 1020 g to 2040 g" in found.advice


def test_400_for_40_starts_again():
    # 20 parts of 102 in a 204 g batch is 40 g; 400 went in: mending takes 2040 - 480 g, a fresh batch 204.
    found = _mended({"spar": 80, "whiting": 400}, planned_g=204)
    assert found.restored_g == pytest.approx(2040)
    assert found.action == "start-over"
    assert (
        "Start again: Whiting is so far over that mending takes 1560 g of new material, a fresh batch only 204 g."
        in found.advice
    )
    assert (found.additions, found.dry_mass_g) == ((), None)  # the answer is one or the other
    # scooped off while it lies on top, the batch as planned is weighed on
    assert [(x.material, x.mass_g) for x in found.scoop_off] == [("whiting", pytest.approx(360))]
    assert [(x.material, x.mass_g) for x in found.then_weigh] == [
        ("silica", pytest.approx(50)), ("kaolin", pytest.approx(30)), ("cobalt", pytest.approx(4)),
    ]  # fmt: skip
    assert "[ ]" not in str(found)


def test_starting_again_begins_where_mending_takes_more_than_a_fresh_batch():
    # Whiting alone in the bucket: w g make 5.1 w in all and need 4.1 w more; a fresh 1020 g batch is equal at w = 248.78.
    assert _mended({"whiting": 1020 / 4.1 - 0.1}, planned_g=1020).action == "add"
    assert _mended({"whiting": 1020 / 4.1 + 0.1}, planned_g=1020).action == "start-over"


def test_a_small_slip_may_be_left():
    assert not any(line.is_over for line in _mended({"spar": 402}, planned_g=1020).lines)  # 0.5 %
    found = _mended({"spar": 403}, planned_g=1020)
    assert "you may also leave it" in found.advice
    assert "leave it" not in _mended({"spar": 405}, planned_g=1020).advice


def test_foreign_material_cannot_be_taken_out():
    found = _mended({"spar": 400, "talc": 20}, planned_g=1020)
    assert [(x.material, x.name, x.mass_g) for x in found.foreign] == [("talc", "Talc", 20)]
    assert (found.action, found.dry_mass_g, found.additions) == ("start-over", None, ())
    assert found.advice.startswith("Start again: Talc (20 g) is not in the recipe")
    assert found.scoop_off == found.foreign
    assert [(x.material, x.mass_g) for x in found.then_weigh] == [
        ("silica", pytest.approx(250)), ("whiting", pytest.approx(200)), ("kaolin", pytest.approx(150)), ("cobalt", pytest.approx(20)),
    ]  # fmt: skip
    rows = str(found).splitlines()
    (head,) = (i for i, row in enumerate(rows) if "in bucket g" in row)
    assert rows[head + 1].split()[:3] == ["Talc", "20.0", "20.0"]
    assert "[ ]" not in str(found)


def test_what_was_stirred_in_is_not_scooped_off():
    found = _mended({"spar": 400, "talc": 20}, planned_g=1020, used_g=100)
    assert (found.action, found.scoop_off, found.then_weigh) == ("start-over", (), ())
    assert "scoop" not in found.advice


def test_a_line_of_zero_in_the_recipe_cannot_take_a_weight():
    with_tin = PARTS | {"tin": 0.0}
    found = _mended({"spar": 400, "tin": 5}, with_tin, planned_g=1020)
    assert (found.action, found.dry_mass_g) == ("start-over", None)
    assert "Tin" in found.advice
    assert "Spar" not in found.advice
    assert _mended({"spar": 400}, with_tin, planned_g=1020).dry_mass_g == pytest.approx(1020)


def test_part_of_the_mix_was_used():
    # Cobalt was 10 g for 20; 305 g of the 1010 g were used. What is left lacks half its cobalt.
    weighed = {"spar": 400, "whiting": 200, "kaolin": 150, "silica": 250, "cobalt": 10}
    found = _mended(weighed, planned_g=1020, used_g=303)
    assert [(x.material, x.mass_g) for x in found.additions] == [("cobalt", pytest.approx(7.0))]
    assert found.dry_mass_g == pytest.approx(0.7 * 1020)
    assert "already used was off-recipe" in found.advice


def test_a_material_on_its_mark_is_not_over():
    found = _mended({"spar": 400.0, "whiting": 200.0}, planned_g=1020)
    assert found.action == "add"
    assert "Nothing is over" in found.advice


def test_nothing_to_mend():
    found = _mended({m: p * 10 for m, p in PARTS.items()}, planned_g=1020)
    assert found.action == "on-recipe"
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
        _mended(weighed, **options)


SPARS = {"potash feldspar": 40.0, "zirconium silicate": 10.0, "whiting": 20.0, "kaolin": 30.0}


def test_a_known_material_is_never_another_line(library: MaterialLibrary):
    # Over every material of the library that is not in the recipe: it is foreign, and no line of the recipe took its weight.
    own = {line.material for line in mend(SPARS, library, {"whiting": 1}).lines}
    foreign = [m for m in library.values() if m.id not in own]
    assert len(foreign) > 100
    for material in foreign:
        found = mend(SPARS, library, {"whiting": 200, material.name: 50})
        assert [(x.material, x.mass_g) for x in found.foreign] == [(material.id, 50)]
        assert found.weighed_g == pytest.approx(200)
        assert found.action == "start-over"


def test_a_loose_name_means_the_recipe_s_own_and_is_said_on_the_page(library: MaterialLibrary):
    found = mend(SPARS, library, {"feldspar": 400})
    assert not found.foreign
    assert [x.weighed_g for x in found.lines if x.material == "potash_feldspar"] == [400]
    assert "'feldspar' is read as" in str(found)


def test_two_long_names_are_told_apart_on_the_page(library: MaterialLibrary):
    spars = [m for m in library.values() if len(m.name) > 30][:2]
    text = str(mend({m.name: 10.0 for m in spars} | {"whiting": 10.0}, library, {"whiting": 100}))
    assert all(word in text for m in spars for word in m.name.split())
    assert all(len(line) <= 100 for line in text.splitlines())


def test_a_share_of_the_mix_was_used(library: MaterialLibrary):
    weighed = {"potash feldspar": 400, "zirconium silicate": 100, "whiting": 200}
    by_share = mend(SPARS, library, weighed, used_percent=25)
    assert by_share == mend(SPARS, library, weighed, used_g=175)
    assert pickle.loads(pickle.dumps(by_share)) == by_share


def test_a_batch_is_planned_once(library: MaterialLibrary):
    with pytest.raises(WorkshopError, match="once"):
        mend(SPARS, library, {"whiting": 5}, all_in_g=100, base_g=100)


@settings(max_examples=20)
@given(st.floats(2, 30), st.sampled_from([0.1, 1.0, 5.0]))
def test_a_moist_bag_is_weighed_with_its_water(moisture: float, step: float):
    # What the scale shows of a moist clay is more than its dry weight, in `scale` and back in `mend`.
    clay = replace(analysed("ridge clay", {"SiO2": 55, "Al2O3": 45}, 0.0), moisture_percent=moisture)
    own = library_of(clay, analysed("silica", {"SiO2": 100}, 0.0), analysed("whiting", {"CaO": 56}, 44.0))
    recipe = {"silica": 50.0, "whiting": 20.0, clay.name: 30.0}
    lines = gc.scale(recipe, own, all_in_g=3000, step_g=step).lines
    weighed = {line.name: line.weigh_g for line in lines}
    assert mend(recipe, own, weighed, all_in_g=3000, step_g=step).action == "on-recipe"
    found = mend(recipe, own, weighed | {clay.name: 0.0}, all_in_g=3000, step_g=step)
    assert [(x.material, x.mass_g) for x in found.additions] == [(clay.id, pytest.approx(lines[-1].weigh_g, abs=step))]
    assert found.dry_mass_g == pytest.approx(3000, abs=3 * step)
