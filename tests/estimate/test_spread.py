"""Spread from tolerances: against linear error propagation by `uncertainties`, and its laws."""

from __future__ import annotations

import math
import tracemalloc

import numpy as np
import pytest
from uncertainties import ufloat

import glazecalc as gc
from glazecalc.convert import arrays
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.moles import folded, molar_mass_array, unity_moles
from glazecalc.errors import CompositionError
from glazecalc.estimate.all_models import on_arrays
from glazecalc.estimate.spread import Sampling, sample_moles, spread, spread_of_batch
from glazecalc.oxides import INDEX, molar_mass
from glazecalc.source import Source

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


def moles_of_samples(batch: Batch, **how: float) -> np.ndarray:
    return np.concatenate(list(sample_moles(batch, Sampling(**how))))


def sampled_fired(batch: Batch, *, samples: int = 2000, seed: int = 1, **how: float) -> np.ndarray:
    """Return the sampled fired analyses [wt %], (samples, k)."""
    moles = moles_of_samples(batch, samples=samples, seed=seed, **how)
    return arrays.shares_percent(folded(moles) * molar_mass_array())


def test_small_tolerances_agree_with_linear_propagation_within_5_per_cent():
    # the same sum in `uncertainties` (E. O. Lebigot), which propagates linearly through the closure and the division
    sampled = unity_moles(moles_of_samples(resolve(RECIPE, LIBRARY), samples=200_000, seed=3), gc.Convention())
    draws = {oxide: ufloat(SPAR.analysis[oxide], half / math.sqrt(3)) for oxide, half in SPAR.tolerance.items()}
    total = sum(draws.values())
    closed = {oxide: 100 * value / total for oxide, value in draws.items()}
    moles = {oxide: 0.6 * value / molar_mass(oxide) for oxide, value in closed.items()}
    moles["SiO2"] = moles["SiO2"] + 25 / molar_mass("SiO2")
    flux = moles["K2O"] + moles["Na2O"] + 0.001 * 0.56 / molar_mass("CaO")
    for oxide in ("K2O", "Na2O", "Al2O3", "SiO2"):
        assert sampled[:, INDEX[oxide]].std() == pytest.approx((moles[oxide] / flux).std_dev, rel=0.05)
    ratio = sampled[:, INDEX["SiO2"]] / sampled[:, INDEX["Al2O3"]]
    assert ratio.std() == pytest.approx((moles["SiO2"] / moles["Al2O3"]).std_dev, rel=0.05)


def test_low_and_high_hold_the_share_of_samples_that_was_asked_for():
    batch = resolve(RECIPE, LIBRARY)
    unity = unity_moles(moles_of_samples(batch, samples=4000, seed=7), gc.Convention())
    found = spread(RECIPE, LIBRARY, samples=4000, seed=7, level=0.80)
    for oxide, (low, high) in found.unity.items():
        inside = (unity[:, INDEX[oxide]] >= low) & (unity[:, INDEX[oxide]] <= high)
        assert inside.mean() == pytest.approx(0.80, abs=0.001), oxide
    ratio = unity[:, INDEX["SiO2"]] / unity[:, INDEX["Al2O3"]]
    assert found.silica_alumina_ratio == pytest.approx(np.quantile(ratio, [0.1, 0.9]))


def test_the_same_seed_gives_the_same_numbers_and_another_nearly():
    batch = resolve(RECIPE, LIBRARY)
    assert spread_of_batch(batch, Sampling(seed=5)).to_dict() == spread_of_batch(batch, Sampling(seed=5)).to_dict()
    assert spread_of_batch(batch, Sampling(seed=5)).unity["SiO2"].low == pytest.approx(
        spread_of_batch(batch, Sampling(seed=6)).unity["SiO2"].low, rel=0.01
    )


def test_the_value_lies_between_low_and_high(studio_library: gc.MaterialLibrary, studio):
    batch = resolve(gc.read_recipe(studio / "recipes/harbour-black.txt"), studio_library)
    unity = gc.unity_formula(batch.recipe, studio_library)
    for oxide, drawn in spread_of_batch(batch).unity.items():
        assert drawn.low <= unity[oxide] <= drawn.high, oxide


def test_a_pure_material_has_no_spread_of_batch_its_own():
    # one oxide and no loss: closed at 100, it cannot move
    batch = resolve(gc.Recipe.from_parts("", {"quartz": 50, "chalk": 50}), gc.MaterialLibrary([QUARTZ, CHALK]))
    assert sampled_fired(batch)[:, INDEX["SiO2"]].std() < 0.35
    alone = resolve(gc.Recipe.from_parts("", {"quartz": 50}), LIBRARY)
    assert sampled_fired(alone)[:, INDEX["SiO2"]].std() == pytest.approx(0, abs=1e-9)


def test_a_coarse_scale_matters_for_little_cobalt_and_not_for_much_silica():
    # 1 g steps on 300 g: 2.75 g of cobalt carbonate is off by up to 18 %
    library = gc.load_materials()
    batch = resolve(
        gc.Recipe.from_parts("", {"potash feldspar": 60, "whiting": 20, "silica": 20}, {"cobalt carbonate": 1}), library
    )
    fine, coarse = (sampled_fired(batch, step_g=step, batch_mass_g=303).std(axis=0) for step in (0.01, 1.0))
    cobalt, silica = INDEX["CoO"], INDEX["SiO2"]
    assert coarse[cobalt] > 5 * fine[cobalt]
    assert coarse[cobalt] / gc.fired_analysis(batch.recipe, library)["CoO"] == pytest.approx(
        1 / math.sqrt(12) / 3, rel=0.1
    )
    assert coarse[silica] == pytest.approx(fine[silica], rel=0.1)


def test_wet_clay_lowers_alumina():
    library = gc.load_materials()
    batch = resolve(gc.Recipe.from_parts("", {"kaolin": 50, "whiting": 50}), library)
    dry, wet = spread_of_batch(batch), spread_of_batch(batch, Sampling(moisture_percent=10.0))
    middle = [(s.unity["Al2O3"].low + s.unity["Al2O3"].high) / 2 for s in (dry, wet)]
    # the mean of 1 / (1 + w) for w anywhere from 0 to 0.1 is ln(1.1) / 0.1 = 0.953
    assert middle[1] / middle[0] == pytest.approx(math.log(1.1) / 0.1, abs=0.01)


def test_what_is_out_of_reason_is_refused():
    batch = resolve(RECIPE, LIBRARY)
    with pytest.raises(CompositionError, match="1000 to"):
        spread_of_batch(batch, Sampling(samples=10))
    with pytest.raises(CompositionError, match="weight of the batch"):
        spread_of_batch(batch, Sampling(step_g=1.0))
    with pytest.raises(CompositionError, match="nothing is left of the batch in .* of 2000 random draws"):
        spread_of_batch(batch, Sampling(step_g=1000.0, batch_mass_g=300.0))


def test_what_some_samples_lack_is_said_and_not_left_out_in_silence(library: gc.MaterialLibrary):
    batch = resolve({"whiting": 20, "kaolin": 20, "silica": 60}, library)
    found = spread_of_batch(batch, Sampling(step_g=60.0, batch_mass_g=100.0))
    assert found.unity == {}
    assert found.silica_alumina_ratio is None
    assert "unity formula: no spread, some draws have no flux" in found.basis
    assert "SiO2:Al2O3: no spread, some draws have no alumina" in found.basis
    assert found.fired["CaO"].low == 0


def test_an_oxide_that_the_first_sample_lacks_is_kept_in_the_others():
    # a tolerance as wide as the share: about half of the draws of such a trace end at zero
    bag = gc.Material(
        id="bag", name="bag", source=SOURCE, analysis={"SiO2": 90.0, "CaO": 9.9, "TiO2": 0.1}, loi_percent=0.0,
        tolerance={"TiO2": 10.0},
    )  # fmt: skip
    batch = resolve({"bag": 100}, gc.MaterialLibrary([bag]))
    assert all(spread_of_batch(batch, Sampling(seed=seed)).fired["TiO2"].high > 5 for seed in range(8))


def test_the_numbers_of_the_default_sample_count_are_those_printed(studio_library: gc.MaterialLibrary, studio):
    # worked with all samples at once, before they were drawn in blocks
    batch = resolve(gc.read_recipe(studio / "recipes/harbour-black.txt"), studio_library)
    found = spread_of_batch(batch, Sampling(step_g=1.0, batch_mass_g=300.0, moisture_percent=3.0))
    assert found.unity["SiO2"] == pytest.approx((3.504744453721655, 3.654567414177033), rel=1e-12)


def test_a_million_samples_need_little_memory(studio_library: gc.MaterialLibrary, studio):
    report = gc.check(gc.read_recipe(studio / "recipes/harbour-black.txt"), studio_library)
    functions = {e.name: function for e in report.estimates if (function := on_arrays(e)) is not None}

    def peak_mb(samples: int) -> float:
        tracemalloc.start()
        spread_of_batch(report.batch, Sampling(samples=samples), estimates=functions)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak / 1e6

    few, many = peak_mb(20_000), peak_mb(40_000)
    assert few + (many - few) * 49 < 250  # a straight line to a million


def test_estimates_of_the_glaze_are_drawn_by_their_own_models():
    clear = gc.Recipe.from_parts("clear", {"spar": 50, "quartz": 25, "chalk": 25})
    one = gc.check(clear, LIBRARY).estimate("expansion")
    drawn = spread(clear, LIBRARY, estimates=[one])
    assert drawn.estimates == spread(clear, LIBRARY, estimates={one.name: on_arrays(one)}).estimates
    bags, both = drawn.estimates[one.name], drawn.estimates_with_model_error[one.name]
    assert bags.low <= one.value <= bags.high
    assert both.high - both.low > max(bags.high - bags.low, one.high - one.low)
