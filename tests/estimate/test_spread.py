"""Spread from tolerances: against linear error propagation by `uncertainties`, and its laws."""

from __future__ import annotations

import math

import pytest
from uncertainties import ufloat

import glazecalc as gc
from glazecalc.convert.batch import resolve
from glazecalc.errors import CompositionError
from glazecalc.estimate.spread import spread
from glazecalc.material import Source
from glazecalc.oxides import molar_mass

SOURCE = Source(title="made for this test")
SPAR = gc.Material(
    id="spar", name="spar", source=SOURCE, kind="feldspar", loi_percent=0.0,
    analysis={"K2O": 11.0, "Na2O": 3.0, "Al2O3": 18.0, "SiO2": 68.0}, tolerance={"K2O": 0.20, "Na2O": 0.10, "Al2O3": 0.15, "SiO2": 0.30},
)  # fmt: skip
CHALK = gc.Material(
    id="chalk",
    name="chalk",
    source=SOURCE,
    kind="alkaline_earth",
    analysis={"CaO": 56.0},
    loi_percent=44.0,
    tolerance={"CaO": 0.0},
)
QUARTZ = gc.Material(
    id="quartz", name="quartz", source=SOURCE, kind="silica", analysis={"SiO2": 100.0}, loi_percent=0.0
)
LIBRARY = gc.MaterialLibrary([SPAR, CHALK, QUARTZ])
RECIPE = gc.Recipe.from_parts("test", {"spar": 60, "quartz": 25, "chalk": 0.001})


def test_small_tolerances_agree_with_linear_propagation_within_5_per_cent():
    # the same sum in `uncertainties` (E. O. Lebigot), which propagates linearly through the closure and the division
    sampled = spread(resolve(RECIPE, LIBRARY), samples=200_000, seed=3)
    draws = {oxide: ufloat(SPAR.analysis[oxide], half / math.sqrt(3)) for oxide, half in SPAR.tolerance.items()}
    total = sum(draws.values())
    closed = {oxide: 100 * value / total for oxide, value in draws.items()}
    moles = {oxide: 0.6 * value / molar_mass(oxide) for oxide, value in closed.items()}
    moles["SiO2"] = moles["SiO2"] + 25 / molar_mass("SiO2")
    flux = moles["K2O"] + moles["Na2O"] + 0.001 * 0.56 / molar_mass("CaO")
    for oxide in ("K2O", "Na2O", "Al2O3", "SiO2"):
        assert sampled.unity[oxide].sd == pytest.approx((moles[oxide] / flux).std_dev, rel=0.05)
    assert sampled.silica_alumina_ratio is not None
    assert sampled.silica_alumina_ratio.sd == pytest.approx((moles["SiO2"] / moles["Al2O3"]).std_dev, rel=0.05)


def test_the_same_seed_gives_the_same_numbers_and_another_nearly():
    batch = resolve(RECIPE, LIBRARY)
    assert spread(batch, seed=5).to_dict() == spread(batch, seed=5).to_dict()
    assert spread(batch, seed=5).unity["SiO2"].low == pytest.approx(spread(batch, seed=6).unity["SiO2"].low, rel=0.01)


def test_the_value_lies_between_low_and_high(studio_library: gc.MaterialLibrary, studio):
    batch = resolve(gc.read_recipe(studio / "recipes/harbour-black.txt"), studio_library)
    unity = gc.unity_formula(batch.recipe, studio_library)
    for oxide, drawn in spread(batch).unity.items():
        assert drawn.low <= unity[oxide] <= drawn.high, oxide


def test_a_pure_material_has_no_spread_of_its_own():
    # one oxide and no loss: closed at 100, it cannot move
    batch = resolve(gc.Recipe.from_parts("", {"quartz": 50, "chalk": 50}), gc.MaterialLibrary([QUARTZ, CHALK]))
    assert spread(batch).fired["SiO2"].sd < 0.35
    alone = resolve(gc.Recipe.from_parts("", {"quartz": 50}), LIBRARY)
    assert spread(alone).fired["SiO2"].sd == pytest.approx(0, abs=1e-9)


def test_a_coarse_scale_matters_for_little_cobalt_and_not_for_much_silica():
    # 1 g steps on 300 g: 2.75 g of cobalt carbonate is off by up to 18 %
    library = gc.load_materials()
    batch = resolve(
        gc.Recipe.from_parts("", {"potash feldspar": 60, "whiting": 20, "silica": 20}, {"cobalt carbonate": 1}), library
    )
    fine = spread(batch, step_g=0.01, batch_g=303)
    coarse = spread(batch, step_g=1.0, batch_g=303)
    assert coarse.fired["CoO"].sd > 5 * fine.fired["CoO"].sd
    assert coarse.fired["CoO"].sd / gc.fired_analysis(batch.recipe, library)["CoO"] == pytest.approx(
        1 / math.sqrt(12) / 3, rel=0.1
    )
    assert coarse.fired["SiO2"].sd == pytest.approx(fine.fired["SiO2"].sd, rel=0.1)


def test_wet_clay_lowers_alumina():
    library = gc.load_materials()
    batch = resolve(gc.Recipe.from_parts("", {"kaolin": 50, "whiting": 50}), library)
    dry, wet = spread(batch), spread(batch, moisture_percent=10.0)
    middle = [(s.unity["Al2O3"].low + s.unity["Al2O3"].high) / 2 for s in (dry, wet)]
    # the mean of 1 / (1 + w) for w anywhere from 0 to 0.1 is ln(1.1) / 0.1 = 0.953
    assert middle[1] / middle[0] == pytest.approx(math.log(1.1) / 0.1, abs=0.01)


def test_what_is_out_of_reason_is_refused():
    batch = resolve(RECIPE, LIBRARY)
    with pytest.raises(CompositionError, match="1000 to"):
        spread(batch, samples=10)
    with pytest.raises(CompositionError, match="size of the batch"):
        spread(batch, step_g=1.0)
