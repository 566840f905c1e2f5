"""Prices, shelves, firings, targets and release results check themselves, are read-only, and can be copied and pickled."""

from __future__ import annotations

import copy
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from glazecalc.errors import ArgumentError, CompositionError, UnknownNameError
from glazecalc.firing import Firing
from glazecalc.price import Price, Shelf
from glazecalc.release import ReleaseResult
from glazecalc.target import Target

PRICE = {"material": "kaolin", "pack_g": Decimal(25_000), "price": Decimal("37.50"), "currency": "EUR"}
SHELF = {"prices": {"kaolin": (Price(**PRICE),)}, "stock_g": {"kaolin": Decimal(9500), "talc": None}}
FIRING = {"recipe": "harbour-black", "body": "Osier Fold", "cone": "6", "result": "sound"}
RESULT = {"element": "Pb", "value": Fraction("0.03"), "unit": "mg/dm2"}
TARGET = {"unity": {"CaO": "0.6..0.7", "K2O+Na2O": 0.3, "SiO2:Al2O3": 8}, "colourants": {"red iron oxide": 9}}
SOUND: list[tuple[Any, dict[str, Any]]] = [
    (Price, PRICE), (Shelf, SHELF), (Firing, FIRING), (ReleaseResult, RESULT), (Target, TARGET),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "fields"), SOUND, ids=lambda x: getattr(x, "__name__", ""))
def test_copies_are_equal_and_the_value_is_frozen(kind: Any, fields: dict[str, Any]):
    value = kind(**fields)
    for twin in (pickle.loads(pickle.dumps(value)), copy.deepcopy(value), copy.copy(value), kind(**fields)):
        assert twin == value
    with pytest.raises(AttributeError):
        setattr(value, next(iter(fields)), None)


@pytest.mark.parametrize(
    ("kind", "fields", "field", "error"),
    [
        (Price, PRICE | {"pack_g": Decimal(0)}, "pack_g", CompositionError),
        (Price, PRICE | {"pack_g": Decimal(-1)}, "pack_g", CompositionError),
        (Price, PRICE | {"price": Decimal("NaN")}, "price", CompositionError),
        (Price, PRICE | {"price": "37.50"}, "price", ArgumentError),
        (Price, PRICE | {"currency": "euro"}, "currency", CompositionError),
        (Price, PRICE | {"material": " "}, "material", CompositionError),
        (Shelf, {"stock_g": {"kaolin": Decimal(-1)}}, "stock_g: kaolin", CompositionError),
        (Shelf, {"stock_g": ["kaolin"]}, "stock_g", ArgumentError),
        (Shelf, {"prices": {"kaolin": Decimal(1)}}, "prices: kaolin", ArgumentError),
        (Firing, FIRING | {"result": "cracked"}, "result", CompositionError),
        (Firing, FIRING | {"recipe": ""}, "recipe", CompositionError),
        (Firing, FIRING | {"cone": 6}, "cone", ArgumentError),
        (ReleaseResult, RESULT | {"element": "PbO"}, "element", CompositionError),
        (ReleaseResult, RESULT | {"unit": "mg"}, "unit", CompositionError),
        (ReleaseResult, RESULT | {"value": -1}, "value", CompositionError),
        (ReleaseResult, RESULT | {"value": 0, "below": True}, "value", CompositionError),
        (ReleaseResult, RESULT | {"value": "0.03"}, "value", ArgumentError),
        (ReleaseResult, RESULT | {"piece": ""}, "piece", CompositionError),
        (Target, TARGET | {"total": 0}, "total", CompositionError),
        (Target, TARGET | {"colourants": {"red iron oxide": -1}}, "colourants: red iron oxide", CompositionError),
        (Target, TARGET | {"fired_analysis_percent": {"SiO2": 60}}, "fired_analysis_percent", CompositionError),
        (Target, {"fired_analysis_percent": {"Ca0": 60}}, "fired_analysis_percent: Ca0", CompositionError),
        (Target, {"unity": "SiO2"}, "unity", ArgumentError),
        (Target, {"unity": {"Ca0": 1}}, "Ca0", UnknownNameError),
        (Target, {"unity": {"CaO": "much"}}, "CaO", CompositionError),
    ],
)
def test_what_cannot_be_names_its_field(kind: Any, fields: dict[str, Any], field: str, error: type[Exception]):
    with pytest.raises(error, match=field.replace("(", r"\(")):
        kind(**fields)


def test_packs_stand_cheapest_by_weight_first_and_mappings_are_copied():
    dear, cheap = Price(**PRICE | {"pack_g": 1000}), Price(**PRICE)
    prices = {"kaolin": [dear, cheap]}
    shelf = Shelf(prices=prices)
    prices.clear()
    assert shelf.prices["kaolin"] == (cheap, dear)
    assert cheap.per_kg == Decimal("1.5")


def test_a_plain_number_of_a_result_is_taken_as_written():
    result = ReleaseResult(element="Cd", value=0.005, unit="mg/dm2", below=True)
    assert (result.value, result.text) == (Fraction(5, 1000), "<0.005")
