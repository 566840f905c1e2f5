"""Lines, triangles and rising series: points, weights, corners, wet volumes."""

from __future__ import annotations

import math

import pytest

import glazecalc as gc
from glazecalc.errors import CompositionError, GlazeError

CLEAR = gc.Recipe.from_parts("Clear", {"potash_feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30})
BLACK = gc.Recipe.from_parts(
    "Black",
    {"potash_feldspar": 33, "whiting": 22, "kaolin": 15, "silica": 30},
    {"red iron oxide": 8, "cobalt carbonate": 1},
)
MATT = gc.Recipe.from_parts("Matt", {"soda_feldspar": 30, "dolomite": 20, "kaolin": 25, "silica": 15}, {"zircon": 7})


@pytest.mark.parametrize(("side", "count"), [(2, 3), (4, 10), (5, 15), (6, 21)])
def test_points_of_a_triangle(library, side, count):
    # (n + 1)(n + 2) / 2 points for n intervals: 10, 15, 21
    series = gc.blend([CLEAR, BLACK, MATT], library, side=side)
    assert len(series.tiles) == count
    assert [tile.number for tile in series.tiles] == list(range(1, count + 1))
    assert len({tile.shares for tile in series.tiles}) == count
    for tile in series.tiles:
        assert sum(tile.shares) == pytest.approx(1)
        assert sum(tile.corners_g) == pytest.approx(100)


def test_the_corners_are_the_recipes(library):
    series = gc.blend([CLEAR, BLACK, MATT], library, side=5)
    corners = {tile.shares: tile for tile in series.tiles if max(tile.shares) == 1}
    for recipe, shares in zip((CLEAR, BLACK, MATT), ((1, 0, 0), (0, 1, 0), (0, 0, 1)), strict=True):
        tile = corners[shares]
        assert tile.unity.isclose(gc.unity_formula(recipe, library), rtol=1e-9)
        weights = {line.material: line.exact_g for line in tile.lines}
        for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
            material = library.find(item.material)[0].id
            assert weights[material] == pytest.approx(100 * amount / recipe.all_in_total)


def test_weights_add_up_and_keep_the_step(library):
    for step in (0.1, 0.5, 1.0):
        for tile in gc.blend([CLEAR, BLACK], library, side=7, tile_g=80, step_g=step).tiles:
            assert sum(line.exact_g for line in tile.lines) == pytest.approx(80)
            for line in tile.lines:
                assert abs(line.mass_g - line.exact_g) <= step / 2 + 1e-9
                if line.fine_scale:
                    assert line.mass_g == line.exact_g  # its step would lose it, or move it by more than a twentieth
                else:
                    assert line.mass_g / step == pytest.approx(round(line.mass_g / step))
                    assert line.mass_g == pytest.approx(line.exact_g, rel=0.05)


def test_a_blend_is_the_mixture_of_its_oxides(library):
    ends = [(recipe, gc.unity_formula(recipe, library)) for recipe in (CLEAR, BLACK)]
    for tile in gc.blend([CLEAR, BLACK], library, side=21).tiles:
        mixed: dict[str, float] = {}
        for weight, (recipe, unity) in zip(tile.corners_g, ends, strict=True):
            for oxide, moles in unity.moles.items():
                mixed[oxide] = mixed.get(oxide, 0.0) + weight / recipe.all_in_total * moles
        flux = sum(mixed.get(oxide, 0.0) for oxide in ("K2O", "Na2O", "CaO", "BaO", "Rb2O"))
        for oxide in ("SiO2", "Al2O3", "Fe2O3"):
            assert tile.unity[oxide] == pytest.approx(mixed.get(oxide, 0.0) / flux, rel=1e-9)


def test_wet_volumes_hold_equal_dry_weights(library):
    # 50:50 by volume of gravities 1.45 and 1.55 is 45:55 by dry weight, so 50:50 by dry weight takes 55:45 by volume (Brongniart, d 2.6)
    series = gc.blend([CLEAR, BLACK], library, side=3, specific_gravities=[1.45, 1.55], solids_density_g_cm3=2.6)
    middle = series.tiles[1]
    assert middle.corners_ml[0] / middle.corners_ml[1] == pytest.approx(55 / 45)
    # published table at d 2.6: 731 g of dry in a litre at 1.45, 894 at 1.55
    assert [1000 * content for content in series.dry_g_per_ml] == pytest.approx([731, 894], abs=0.5)
    assert middle.corners_ml[0] == pytest.approx(50 / 0.73125)
    assert any("45:55" in notice.message for notice in series.notices)
    assert sum(tile.corners_ml[0] for tile in series.tiles) == pytest.approx(series.needed_ml[0])


def test_the_density_comes_from_the_materials_and_is_said(library):
    series = gc.blend([CLEAR, BLACK], library, specific_gravities=[1.45, 1.45])
    assert any(notice.code == "density-assumed" for notice in series.notices)


def test_a_rising_addition_leaves_the_base(library):
    series = gc.blend(CLEAR, library, rising={"cobalt carbonate": (0, 2)}, side=5, tile_g=50)
    found = []
    for tile in series.tiles:
        base = {line.material: line.exact_g for line in tile.lines if not line.addition}
        assert base == pytest.approx({"potash_feldspar": 20, "whiting": 9, "kaolin": 6, "silica": 15})
        found.append(sum(line.exact_g for line in tile.lines if line.addition))
    assert found == pytest.approx([0, 0.25, 0.5, 0.75, 1.0])


def test_a_rising_addition_takes_the_place_of_the_recipe_s_own(library):
    series = gc.blend(BLACK, library, rising={"cobalt carbonate": (1, 3)}, side=3, tile_g=100)
    for tile, percent in zip(series.tiles, (1, 2, 3), strict=True):
        assert [line.exact_g for line in tile.lines if line.material == "cobalt_carbonate"] == pytest.approx([percent])
        assert [line.exact_g for line in tile.lines if line.material == "red_iron_oxide"] == pytest.approx([8])
    assert any(notice.code == "addition-replaced" for notice in series.notices)


def test_every_tile_has_estimates_and_cautions(library):
    for tile in gc.blend([CLEAR, BLACK], library, side=3).tiles:
        assert any(estimate.quantity == "expansion" for estimate in tile.estimates)
        assert tile.cautions
        value = gc.expansion(gc.mole_percent(tile.recipe, library))
        assert value.value == pytest.approx(
            next(e.value for e in tile.estimates if e.quantity == "expansion" and e.model == value.model)
        )


def test_a_coarse_step_is_named(library):
    series = gc.blend([CLEAR, BLACK], library, side=5, tile_g=50, step_g=1)
    assert any(
        notice.code == "step-is-coarse" and "Cobalt" in notice.message
        for tile in series.tiles
        for notice in tile.notices
    )


@pytest.mark.parametrize(
    ("call", "words"),
    [
        ({"recipes": [CLEAR]}, "two recipes"),
        ({"recipes": [CLEAR, BLACK, MATT, CLEAR]}, "two recipes"),
        ({"recipes": [CLEAR, BLACK], "side": 1}, "no series"),
        ({"recipes": [CLEAR, BLACK, MATT], "side": 50}, "more than one plan"),
        ({"recipes": [CLEAR, BLACK], "tile_g": 0}, "above zero"),
        ({"recipes": [CLEAR, BLACK], "tile_g": math.nan}, "above zero"),
        ({"recipes": [CLEAR, BLACK], "specific_gravities": [1.4]}, "1 gravity for 2 recipes: one for each slurry"),
        ({"recipes": [CLEAR, BLACK], "specific_gravities": [1.4, 0.9]}, "below water"),
        ({"recipes": [CLEAR, BLACK], "rising": {"rutile": (0, 2)}}, "varies one recipe"),
        ({"recipes": [CLEAR], "rising": {"rutile": (-1, 2)}}, "zero or more"),
        ({"recipes": [CLEAR], "rising": {"unobtainium": (1, 2)}}, "unobtainium"),
    ],
)
def test_what_makes_no_series_is_refused(library, call, words):
    with pytest.raises((CompositionError, GlazeError), match=words):
        gc.blend(materials=library, **call)


def test_a_tile_says_why_an_estimate_is_missing(library: gc.MaterialLibrary):
    plain = {"potash feldspar": 40, "whiting": 20, "kaolin": 10, "silica": 30}
    first, _, last = gc.blend([plain, {"litharge": 60, "silica": 40}], library, side=3).tiles
    assert "fitted" in [e.model for e in first.estimates if e.quantity == "expansion"]
    assert "fitted" not in [e.model for e in last.estimates if e.quantity == "expansion"]
    assert any(n.code == "no-estimate" and "PbO" in n.message for n in last.notices)
