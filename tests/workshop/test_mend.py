"""Mending: what is added brings the recipe back, with the least, and never takes anything out."""

from __future__ import annotations

import math
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.errors import WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.workshop.mend import Mend, WeighedMaterial, mend, restore
from glazecalc.workshop.parts_lines import PartsLine

PARTS = {"spar": 40.0, "whiting": 20.0, "kaolin": 15.0, "silica": 25.0, "cobalt": 2.0}


def _mended(
    weighed_g: dict[str, float], parts: dict[str, float] = PARTS, *, planned_g: float | None = None, used_g: float = 0.0
) -> Mend:
    shares = [PartsLine(material=m, name=m.title(), parts=p) for m, p in parts.items()]
    went_in = [WeighedMaterial(material=m, name=m.title(), mass_g=g) for m, g in weighed_g.items()]
    return restore(shares, went_in, planned_g=planned_g, used_g=used_g)


def _proportional(found: Mend, parts: dict[str, float]) -> None:
    total = math.fsum(parts.values())
    assert found.dry_mass_g is not None
    for line in found.lines:
        assert line.weighed_g + line.add_g == pytest.approx(found.dry_mass_g * parts[line.material] / total, rel=1e-9)


@given(
    st.lists(st.tuples(st.floats(0.5, 60), st.floats(0, 1000)), min_size=2, max_size=8),
    st.one_of(st.none(), st.floats(1, 1e5)),
)
def test_restores_the_recipe_with_the_least(pairs: list[tuple[float, float]], planned: float | None):
    parts = {f"m{i}": p for i, (p, _) in enumerate(pairs)}
    weighed = {f"m{i}": w for i, (_, w) in enumerate(pairs)}
    if not math.fsum(weighed.values()) > 1e-6:
        return
    found = _mended(weighed, parts, planned_g=planned)
    _proportional(found, parts)
    assert all(line.add_g >= 0 for line in found.lines)
    assert math.fsum(line.weighed_g + line.add_g for line in found.lines) == pytest.approx(found.dry_mass_g, rel=1e-12)
    # The least: either the plan is met exactly, or some material gets nothing more.
    met = planned is not None and found.dry_mass_g == pytest.approx(planned, rel=1e-12)
    assert met or any(line.add_g == 0 for line in found.lines)


def test_one_forgotten_is_just_weighed():
    found = _mended({"spar": 400, "whiting": 200, "silica": 250, "cobalt": 20}, planned_g=1020)
    assert found.verdict == "finish"
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
    assert found.verdict == "enlarge"
    assert "grows from 1020 g to 2040 g" in found.advice


def test_400_for_40_starts_again():
    # 20 parts of 102 in a 204 g batch is 40 g; 400 went in: mending takes 2040 - 480 g, a fresh batch 204.
    found = _mended({"spar": 80, "whiting": 400}, planned_g=204)
    assert found.dry_mass_g == pytest.approx(2040)
    assert found.verdict == "start again"
    assert (
        "Start again: Whiting is so far over that mending takes 1560 g of new material, a fresh batch only 204 g."
        in found.advice
    )
    assert math.fsum(x.mass_g for x in found.additions) == pytest.approx(2040 - 480)


def test_starting_again_begins_where_mending_takes_more_than_a_fresh_batch():
    # Whiting alone in the bucket: w g make 5.1 w in all and need 4.1 w more; a fresh 1020 g batch is equal at w = 248.78.
    assert _mended({"whiting": 1020 / 4.1 - 0.1}, planned_g=1020).verdict == "enlarge"
    assert _mended({"whiting": 1020 / 4.1 + 0.1}, planned_g=1020).verdict == "start again"


def test_a_small_slip_may_be_left():
    found = _mended({"spar": 402}, planned_g=1020)
    assert "you may also leave it" in found.advice
    assert "leave it" not in _mended({"spar": 405}, planned_g=1020).advice


def test_foreign_material_cannot_be_taken_out():
    found = _mended({"spar": 400, "talc": 20}, planned_g=1020)
    assert [(x.material, x.name, x.mass_g) for x in found.foreign] == [("talc", "Talc", 20)]
    assert found.verdict == "start again"
    assert found.dry_mass_g is None
    assert not found.additions
    assert "Talc" in found.advice


def test_a_line_of_zero_in_the_recipe_cannot_take_a_weight():
    with_tin = PARTS | {"tin": 0.0}
    found = _mended({"spar": 400, "tin": 5}, with_tin, planned_g=1020)
    assert (found.verdict, found.dry_mass_g) == ("start again", None)
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
    assert found.verdict == "finish"
    assert "Nothing is over" in found.advice


def test_nothing_to_mend():
    found = _mended({m: p * 10 for m, p in PARTS.items()}, planned_g=1020)
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
        assert found.verdict == "start again"


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
