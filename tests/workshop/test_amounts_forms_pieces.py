"""Amounts as said, forms of one material, and glaze for an order of pieces."""

from __future__ import annotations

import pytest

from glazecalc.amounts import parse_application, parse_material_amount, parse_percent, parse_sample
from glazecalc.errors import UnitError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.workshop.forms import dry_basis_percent, form_factor, swap_form
from glazecalc.workshop.pieces import need_from_area, need_from_gains


@pytest.mark.parametrize(
    ("text", "ml", "g"),
    [
        ("500 ml 735 g", 500, 735), ("735g 500ml", 500, 735), ("500ml, 735 g", 500, 735), ("0.5l 0.735kg", 500, 735), ("1 imp pt 30 oz", 568.26125, 850.48569375),
        ("1 us pt 1 lb 8 oz", 473.176473, 680.388555), ("100 cm3 147 g", 100, 147), ("½ l 1 1/2 lb", 500, 680.388555),
    ],
)  # fmt: skip
def test_samples(text: str, ml: float, g: float):
    assert parse_sample(text) == pytest.approx((ml, g), rel=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "500 ml",
        "735 g",
        "500 ml 735",
        "500 735",
        "1 pint 30 oz",
        "500 lm 735 g",
        "5 ml 6 ml 7 g",
        "500 ml 735 g 3 in",
    ],
)
def test_samples_that_cannot_be_read(text: str):
    with pytest.raises(UnitError):
        parse_sample(text)


@pytest.mark.parametrize(
    ("text", "value"), [("6.5g/dm2", 6.5), ("650 g/m2", 6.5), ("0.065 g/cm2", 6.5), ("1 oz/ft2", None)]
)
def test_coats(text: str, value: float | None):
    if value is None:
        with pytest.raises(UnitError):
            parse_application(text)
    else:
        assert parse_application(text) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "split"),
    [
        ("kaolin 800 g", ("kaolin", "800 g")),
        ("silica (325) 1.5kg", ("silica (325)", "1.5kg")),
        ("cobalt carbonate 1%", ("cobalt carbonate", "1%")),
        ("red iron 1 1/2 lb", ("red iron", "1 1/2 lb")),
    ],
)
def test_material_with_amount(text: str, split: tuple[str, str]):
    assert parse_material_amount(text) == split


@pytest.mark.parametrize("text", ["kaolin", "800 g", ""])
def test_material_without_amount(text: str):
    with pytest.raises(UnitError):
        parse_material_amount(text)


def test_a_text_without_end_is_refused_at_once_and_not_repeated():
    for text in ("kaolin 800 g" * 5000, "kaolin " * 9000 + "8", "k" * 60_000):
        with pytest.raises(UnitError) as refused:
            parse_material_amount(text)
        assert len(str(refused.value)) < 200
    for digits in ("9" * 60_000, "500 ml 735 g " * 4000):
        with pytest.raises(UnitError, match="too long"):
            parse_sample(digits)


def test_percent():
    assert parse_percent("8.7 %") == parse_percent("8.7%") == parse_percent("8.7") == 8.7


def test_wet_basis_is_not_dry_basis():
    # 7 % of the wet weight: weigh dry / 0.93, a factor of 1.0753, not 1.07.
    assert 1 + dry_basis_percent(7) / 100 == pytest.approx(1 / 0.93, rel=1e-12)
    with pytest.raises(WorkshopError):
        dry_basis_percent(100)


@pytest.mark.parametrize(
    ("wanted", "on_shelf", "factor"),
    [
        ("copper_oxide", "copper_carbonate", 1.390), ("cobalt_carbonate", "cobalt_oxide", 1.012 / 1.5), ("kaolin", "kaolin_calcined", 0.860),
        ("borax", "borax_anhydrous", 201.2 / 381.4), ("red_iron_oxide", "black_iron_oxide", 1 / 1.0345), ("yellow_iron_oxide", "red_iron_oxide", 0.8986),
    ],
)  # fmt: skip
def test_forms_by_molar_mass(wanted: str, on_shelf: str, factor: float, library: MaterialLibrary):
    # Stoichiometric factors; copper: a supplier's "40 per cent more" agrees.
    assert form_factor(library[wanted], library[on_shelf]) == pytest.approx(factor, rel=2e-3)


def test_a_substitute_is_not_a_form(library: MaterialLibrary):
    with pytest.raises(WorkshopError, match="another form"):
        form_factor(library["whiting"], library["wollastonite"])


def test_swapping_a_form_keeps_the_oxides(library: MaterialLibrary):
    from glazecalc.convert.unity import unity_formula

    recipe = Recipe(
        name="",
        ingredients=(
            Ingredient(material="borax", amount=30),
            Ingredient(material="kaolin", amount=40),
            Ingredient(material="silica", amount=30),
            Ingredient(material="tin oxide", amount=4, unit="%", addition=True),
        ),
    )
    swapped = swap_form(recipe, library, "borax", "borax anhydrous")
    before, after = unity_formula(recipe, library), unity_formula(swapped, library)
    for oxide in before:
        assert after[oxide] == pytest.approx(before[oxide], rel=1e-3, abs=1e-9)
    assert any("0.527" in notice.message for notice in swapped.notices)
    with pytest.raises(WorkshopError, match="not in the recipe"):
        swap_form(recipe, library, "copper oxide", "copper carbonate")


def test_sixty_plates_from_three():
    need = need_from_gains(60, [61, 66, 62], spare_percent=10)
    assert need.per_piece_g == pytest.approx(63.0)
    assert need.dry_g == pytest.approx(4158)
    assert (round(need.low_g / 1000, 1), round(need.high_g / 1000, 1)) == (4.0, 4.4)


@pytest.mark.parametrize(("gains", "few"), [([61, 66], True), ([61, 66, 62], False)])
def test_few_weighed_pieces_are_said(gains: list[float], few: bool):
    assert any(n.code == "few-pieces" for n in need_from_gains(60, gains).notices) is few


def test_area_and_coat():
    assert need_from_area(10, 8, coat_g_per_dm2=6.5).dry_g == pytest.approx(520)
    guess = need_from_area(10, 8)
    assert (guess.low_g, guess.dry_g, guess.high_g) == pytest.approx((4.5 * 80, 6.5 * 80, 9.0 * 80))  # 80 dm2 in all
    assert any(n.code == "typical-coat" and "weigh ten pieces" in n.message for n in guess.notices)


def test_orders_that_cannot_be():
    for call in (
        lambda: need_from_gains(60, []),
        lambda: need_from_gains(0, [61]),
        lambda: need_from_area(6, -1),
        lambda: need_from_area(6, 8, coat_g_per_dm2=0),
        lambda: need_from_gains(6, [61], spare_percent=-1),
    ):
        with pytest.raises(WorkshopError):
            call()
