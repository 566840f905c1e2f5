"""Money: decimal, summed as printed, a missing price never nothing; stock and what runs out first."""

from __future__ import annotations

import pickle
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.errors import WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.price import Price, Shelf
from glazecalc.recipe import Recipe
from glazecalc.workshop.cost import BatchCost, batch_cost, cost
from glazecalc.workshop.scale import scale
from glazecalc.workshop.weighing_list import ScaledBatch

BLACK = Recipe.from_parts(
    "", {"spar": 30, "frit": 24, "whiting": 8, "kaolin": 14, "silica": 22}, {"iron": 8, "cobalt": 1.5}
)
PER_KG = {
    "spar": "1.60",
    "frit": "6.40",
    "whiting": "1.20",
    "kaolin": "1.50",
    "silica": "1.10",
    "iron": "7.00",
    "cobalt": "95.00",
}


def _price(material: str, price: str, *, pack_g: str = "1000", currency: str = "EUR") -> Price:
    return Price(material=material, pack_g=Decimal(pack_g), price=Decimal(price), currency=currency)


def _prices(**changed: str) -> dict[str, tuple[Price, ...]]:
    return {m: (_price(m, p),) for m, p in (PER_KG | changed).items()}


def _cost(
    scaled: ScaledBatch, prices: dict[str, tuple[Price, ...]], stock_g: dict[str, Decimal | None] | None = None
) -> BatchCost:
    return batch_cost(scaled, Shelf(prices=prices, stock_g=stock_g or {}))


def test_sixty_plates():
    # By hand: 4158 g all-in of 107.5 parts; each line x its price a kilogram; 17.60 in all, 0.29 a plate, cobalt 5.51 or 31 %.
    found = _cost(scale(BLACK, all_in_g=4158), _prices())
    assert found.total == Decimal("17.60")
    assert found.each(60) == Decimal("0.29")
    assert next(x.cost for x in found.lines if x.material == "cobalt") == Decimal("5.51")


def test_prices_by_the_pound_cost_2_2046_times_as_much():
    by_pound = {m: (_price(m, p, pack_g="453.59237"),) for m, p in PER_KG.items()}
    kilo, pound = (_cost(scale(BLACK, all_in_g=4158), prices).total for prices in (_prices(), by_pound))
    assert kilo is not None
    assert pound is not None
    assert float(pound / kilo) == pytest.approx(2.2046, abs=0.001)


@given(st.lists(st.decimals("0.01", "500", places=2), min_size=7, max_size=7), st.floats(1, 1e5))
def test_printed_costs_add_to_the_printed_total(prices: list[Decimal], grams: float):
    found = _cost(scale(BLACK, all_in_g=grams), _prices(**dict(zip(PER_KG, map(str, prices), strict=True))))
    assert found.total == sum((x.cost for x in found.lines if x.cost is not None), Decimal(0))
    assert -int(found.total.as_tuple().exponent) == found.places  # type: ignore[union-attr]


def test_a_test_batch_shows_two_more_decimals():
    small = _cost(scale(BLACK, base_g=300), _prices())
    assert small.places == 4
    assert small.total == Decimal("1.3925")
    assert _cost(scale(BLACK, all_in_g=4158), _prices()).places == 2


def test_a_missing_price_leaves_the_total_open():
    prices = _prices()
    del prices["cobalt"]
    found = _cost(scale(BLACK, all_in_g=4158), prices)
    assert found.total is None
    assert found.each(60) is None
    assert found.unpriced == ("cobalt",)
    assert found.priced_total == Decimal("12.09")


def test_two_currencies_are_not_added():
    with pytest.raises(WorkshopError, match="EUR and GBP"):
        _cost(scale(BLACK, all_in_g=4158), {**_prices(), "cobalt": (_price("cobalt", "95", currency="GBP"),)})


def test_yen_have_no_decimals():
    prices = {m: (_price(m, str(Decimal(p) * 160), currency="JPY"),) for m, p in PER_KG.items()}
    total = _cost(scale(BLACK, all_in_g=4158), prices).total
    assert total == total.to_integral_value()  # type: ignore[union-attr]


def test_what_runs_out_first():
    stock = {"kaolin": Decimal(12_000), "cobalt": Decimal(100), "silica": Decimal(500)}
    found = _cost(scale(BLACK, all_in_g=1075), {"silica": (_price("silica", "27.5", pack_g="250"),)}, stock)
    assert found.runs_out_first is not None
    assert found.runs_out_first.material == "silica"
    assert float(found.runs_out_first.batches or 0) == pytest.approx(500 / 220)
    big = _cost(scale(BLACK, all_in_g=10_750), {"silica": (_price("silica", "27.5", pack_g="250"),)}, stock)
    silica = next(x for x in big.lines if x.material == "silica")
    assert (float(silica.short_g or 0), silica.packs_to_buy) == (pytest.approx(1700), 7)
    assert "spar" in big.without_stock


def test_a_price_is_its_own_material_s(library: MaterialLibrary):
    # Prices and stock of every material but the recipe's own: none is used for a line of the recipe.
    recipe = {"potash feldspar": 40, "zirconium silicate": 10, "whiting": 20, "kaolin": 30}
    own = {line.material for line in scale(recipe, library, all_in_g=100).lines}
    others = [m for m in library if m not in own]
    shelf = Shelf(prices={m: (_price(m, "5"),) for m in others}, stock_g={m: Decimal(1000) for m in others})
    found = cost(recipe, library, shelf=shelf, all_in_g=1000)
    assert all(line.cost is None and line.stock_g is None for line in found.lines)
    assert len(found.unpriced) == len(found.without_stock) == 4


def test_a_cost_prints_and_pickles(library: MaterialLibrary):
    shelf = Shelf(prices={"kaolin": (_price("kaolin", "1.5"),)}, stock_g={"kaolin": Decimal(9500), "silica": None})
    found = cost({"kaolin": 60, "silica": 40}, library, shelf=shelf, volume_l=5, specific_gravity=1.5)
    assert found.to_dict()["unpriced"] == [library["silica"].name]
    assert "no price is known" in str([n.message for n in found.notices])
    again = pickle.loads(pickle.dumps(found))
    assert str(again) == str(found)


def test_a_moist_material_is_bought_and_taken_from_the_shelf_with_its_water():
    # 1075 g dry hold 140 g of kaolin; of a bag with 10 % of water on it that is 154 g, at 1.50 a kilogram
    scaled = scale(BLACK, all_in_g=1075, moisture_percent={"kaolin": 10})
    found = _cost(scaled, _prices(), {"kaolin": Decimal(308)})
    (kaolin,) = (line for line in found.lines if line.material == "kaolin")
    assert kaolin.mass_g == pytest.approx(154)
    assert kaolin.cost == Decimal("0.2310")
    assert float(kaolin.batches or 0) == pytest.approx(2)
    dry = _cost(scale(BLACK, all_in_g=1075), _prices())
    assert (found.total or 0) - (dry.total or 0) == Decimal("0.0210")


def test_json_has_the_money_unrounded_beside_what_is_printed(library: MaterialLibrary):
    # by hand: 1000 g of kaolin at 1.234567 a kilogram, 5 l at 1.5
    shelf = Shelf(prices={"kaolin": (_price("kaolin", "1.234567", pack_g="1000"),)}, stock_g={})
    found = cost({"kaolin": 100}, library, shelf=shelf, all_in_g=1000, specific_gravity=1.5).to_dict()
    assert found["total"] == pytest.approx(1.2346, abs=1e-9)
    assert found["lines"][0]["cost_unrounded"] == found["total_unrounded"] == found["per_kg_unrounded"] == 1.234567
    assert found["per_litre_unrounded"] == pytest.approx(1.234567 / found["litres"], rel=1e-12)
