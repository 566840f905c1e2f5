"""Losses on ignition: a gain counts as less than nothing, and volatile parts of an analysis make the loss."""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc.convert.batch import resolve
from glazecalc.files.materials import read_material_text
from glazecalc.source import Source

SOURCE = Source(title="made for this test")


def test_a_gain_of_oxygen_is_set_against_the_losses(library: gc.MaterialLibrary):
    # ilmenite, FeTiO3, 151.71 g/mol, takes up half an oxygen, 8.00: a gain of 5.27 %; whiting loses 43.97 %
    assert library["ilmenite"].loi_percent == pytest.approx(-5.27, abs=0.01)
    assert resolve({"whiting": 50, "ilmenite": 50}, library).loss_percent() == pytest.approx(19.35, abs=0.01)
    alone = gc.check({"ilmenite": 100}, library)
    assert (alone.loi_percent_base, alone.loi_percent_all_in) == pytest.approx((-5.27, -5.27), abs=0.01)
    assert "loss on ignition -5.3 % of the base" in str(alone)


def test_oxides_and_loss_of_a_material_add_up_to_its_dry_weight(library: gc.MaterialLibrary):
    gains = [material for material in library.values() if material.formula and (material.loi_percent or 0) < 0]
    assert gains
    for material in gains:
        assert material.total_percent == pytest.approx(100, abs=0.01), material.id


def test_every_gram_of_a_batch_with_a_gain_is_accounted_for(library: gc.MaterialLibrary):
    batch = resolve({"silica": 50, "ilmenite": 50}, library)
    assert batch.oxide_masses().sum() + batch.loss_percent() == pytest.approx(100, abs=1e-6)


@pytest.mark.parametrize(
    ("analysis", "loss", "expected"),
    [
        ({"CaO": 56.0, "CO2": 44.0}, {}, 44.0),
        ({"SiO2": 46.5, "Al2O3": 39.5, "H2O": 14.0}, {}, 14.0),
        ({"CaO": 50.0, "SiO2": 6.0, "H2O": 3.0, "CO2": 41.0}, {}, 44.0),
        ({"CaO": 56.0}, {"H2O": 4.0, "CO2": 40.0}, 44.0),
        ({"CaO": 56.0, "H2O": 4.0}, {"CO2": 40.0}, 44.0),
    ],
)
def test_what_leaves_makes_the_loss_where_none_is_stated(
    analysis: dict[str, float], loss: dict[str, float], expected: float
):
    made = gc.Material(id="bag", name="bag", source=SOURCE, analysis=analysis, loss=loss)
    assert made.loi_percent == pytest.approx(expected)
    assert "loss-not-reported" not in [notice.code for notice in made.notices]
    assert made.total_percent == pytest.approx(100)
    batch = resolve({"bag": 100}, gc.MaterialLibrary([made]))
    assert batch.loss_percent() == pytest.approx(expected)


def test_water_and_carbon_dioxide_of_a_sheet_make_the_loss():
    text = "id: m\nname: Marl\nanalysis: {CaO: 30, SiO2: 40, H2O: 6, CO2: 24}\nsource: {title: sheet}\n"
    assert read_material_text(text).loi_percent == pytest.approx(30)


def test_a_stated_loss_stands_beside_volatile_parts():
    stated = gc.Material(id="b", name="b", source=SOURCE, analysis={"CaO": 56, "CO2": 43}, loi_percent=44.0)
    assert stated.loi_percent == 44.0


@pytest.mark.parametrize(
    ("loss", "raw"), [(14.0, True), (5.0, True), (4.0, True), (3.9, False), (0.3, False), (None, False)]
)
def test_a_clay_that_still_loses_4_per_cent_is_raw(loss: float | None, raw: bool):
    clay = gc.Material(
        id="c", name="c", source=SOURCE, kind="clay", analysis={"SiO2": 60, "Al2O3": 30}, loi_percent=loss
    )
    assert clay.is_raw_clay is raw
    report = gc.check({"c": 30, "whiting": 70}, gc.MaterialLibrary([*gc.load_materials().values(), clay]))
    assert report.raw_clay_percent == pytest.approx(30 if raw else 0)


def test_only_clay_is_raw_clay(library: gc.MaterialLibrary):
    assert not library["whiting"].is_raw_clay  # loses more than any clay
    assert library["kaolin"].is_raw_clay


def test_a_stated_gain_is_part_of_the_total():
    sand = gc.Material(id="s", name="s", source=SOURCE, analysis={"TiO2": 52.0, "Fe2O3": 53.0}, loi_percent=-5.0)
    assert sand.total_percent == pytest.approx(100)
    assert "analysis-total" not in [notice.code for notice in sand.notices]
