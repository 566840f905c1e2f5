"""The reading for crawling: raised by raw causes, graver with a high surface tension, silent just short of them."""

from __future__ import annotations

import dataclasses

import pytest

import glazecalc as gc
from glazecalc.caution.caution import Severity
from glazecalc.caution.crawling import crawling_cautions
from glazecalc.convert.batch import resolve
from glazecalc.convert.unity import mole_percent_of
from glazecalc.estimate.surface_tension import surface_tension
from glazecalc.files.shipped import load_data

LIBRARY = gc.load_materials()
CAUSES = {
    "magnesium_carbonate_light": 5,
    "magnesium_carbonate": 5,
    "kaolin": 25,
    "zinc_oxide": 10,
    "tin_oxide": 10,
    "zircon": 10,
}


def batch_with(material: str, percent: float):
    return resolve(gc.Recipe.from_parts("", {"soda_feldspar": 60, "silica": 40 - percent, material: percent}), LIBRARY)


@pytest.mark.parametrize(("material", "percent"), CAUSES.items())
def test_each_raw_cause_is_raised_above_its_figure_and_not_at_it(material: str, percent: float):
    assert crawling_cautions(batch_with(material, percent), None) == []
    (caution,) = crawling_cautions(batch_with(material, percent + 0.1), None)
    assert (caution.code, caution.about, caution.severity) == ("crawling-raw-cause", "surface", Severity.KNOW)
    name = "raw clay" if material == "kaolin" else LIBRARY[material].name
    assert f"may crack and crawl, by {name} {percent + 0.1:.1f} %" in caution.message


def own(id_: str, formula: str, name: str = "", **fields) -> gc.Material:
    return gc.Material(id=id_, name=name or id_, source=gc.Source(title="a bag"), formula=formula, **fields)


@pytest.mark.parametrize(
    ("material", "crawls"),
    [
        (own("zinc_of_may", "ZnO"), True),
        (own("zinc_of_june", "ZnO", "Zinc oxide of June, calcined"), False),
        (LIBRARY["zinc_oxide_calcined"], False),
        (own("opaque", "SnO2"), True),
        (own("magnesite", "MgCO3"), True),
        (own("chalk", "CaCO3"), False),
    ],
)
def test_a_bag_of_ones_own_crawls_by_what_it_holds_and_calcined_zinc_does_not(material: gc.Material, crawls: bool):
    recipe = gc.Recipe.from_parts("", {"soda_feldspar": 60, "silica": 20, material.id: 20})
    cautions = crawling_cautions(resolve(recipe, gc.MaterialLibrary([*LIBRARY.values(), material])), None)
    assert bool(cautions) is crawls


def test_a_high_surface_tension_makes_it_graver_and_alone_says_nothing():
    batch = batch_with("magnesium_carbonate_light", 20)
    tension = surface_tension(mole_percent_of(batch))
    limit = load_data("crawling.yaml")["surface_tension_rank_mn_m"]["value"]
    at = dataclasses.replace(tension, value=float(limit))
    above = dataclasses.replace(tension, value=limit + 0.1)
    assert crawling_cautions(batch, at)[0].severity is Severity.KNOW
    assert crawling_cautions(batch, above)[0].severity is Severity.LOOK
    assert crawling_cautions(batch, above)[0].code == "crawling-likely"
    assert crawling_cautions(batch_with("whiting", 20), above) == []


def test_every_figure_has_its_source():
    data = load_data("crawling.yaml")
    assert data["surface_tension_rank_mn_m"]["source"]
    for cause in data["raw_causes"]:
        assert cause["source"]
        assert cause["why"]
        assert all(name in LIBRARY for name in cause.get("materials", []))


def test_the_studios_crawl_is_named(studio_library: gc.MaterialLibrary, studio):
    report = gc.check(gc.read_recipe(studio / "recipes/lichen-crawl.txt"), studio_library)
    assert "crawling-likely" in [c.code for c in report.cautions] or "crawling-raw-cause" in [
        c.code for c in report.cautions
    ]
