"""Every public value can be pickled and copied, and public functions run in processes and threads as they do alone."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from fractions import Fraction
from multiprocessing import get_context
from typing import Any

import pytest

import glazecalc as gc
from glazecalc.comparison import compare
from glazecalc.cones import Cone
from glazecalc.convert.batch import resolve
from glazecalc.release import ReleaseResult
from glazecalc.target import Target
from glazecalc.workshop.bucket import slurry
from glazecalc.workshop.mend import mend
from glazecalc.workshop.size import size

PLATE = gc.Ware(kind="plate", area_dm2=Fraction(2), depth_mm=Fraction(20))
BATCHES = {
    "Harbour": {"potash feldspar": 38, "whiting": 14.5, "kaolin": 12, "silica": 28, "wollastonite": 7.5},
    "Quay": {"soda feldspar": 40, "dolomite": 15, "ball clay": 20, "silica": 25},
    "Mole": {"nepheline syenite": 45, "whiting": 20, "kaolin": 15, "silica": 20},
}


def recipes() -> list[gc.Recipe]:
    return [gc.Recipe.from_parts(name, parts, {"red iron oxide": 4}, cone="6") for name, parts in BATCHES.items()]


MAKERS: dict[str, Callable[[gc.Recipe, gc.MaterialLibrary], Any]] = {
    "Source": lambda _, lib: lib["silica"].source,
    "Material": lambda _, lib: lib["silica"],
    "MaterialLibrary": lambda _, lib: lib,
    "Ingredient": lambda recipe, _: recipe.ingredients[0],
    "Recipe": lambda recipe, _: recipe,
    "ClayBody": lambda _, __: gc.ClayBody(name="Slate", expansion_1e6_per_k=6, expansion_range_c=(20, 500)),
    "Convention": lambda _, __: gc.Convention(iron_as_feo=True),
    "Cone": lambda _, __: Cone("06"),
    "Target": lambda _, __: Target(name="t", unity={"SiO2": 3.0, "Al2O3": 0.4}),
    "Ware": lambda _, __: PLATE,
    "Batch": resolve,
    "UnityFormula": gc.unity_formula,
    "FiredAnalysis": gc.fired_analysis,
    "MolePercent": gc.mole_percent,
    "Estimate": lambda recipe, lib: gc.expansion(gc.unity_formula(recipe, lib)),
    "EstimateDifference": lambda recipe, lib: gc.estimate_differences(
        gc.unity_formula(recipe, lib), gc.unity_formula(recipes()[1], lib)
    )[0],
    "Spread": lambda recipe, lib: gc.spread(recipe, lib, samples=1000),
    "CheckReport": lambda recipe, lib: gc.check(recipe, lib, use="plate", body=gc.ClayBody(name="Slate")),
    "Reading": lambda recipe, lib: gc.check(recipe, lib).readings[0],
    "Comparison": lambda recipe, lib: compare(recipe, recipes()[1], lib),
    "ScaledBatch": lambda recipe, lib: gc.scale(recipe, lib, all_in_g=1000, step_g=1),
    "ScaledBatch by volume": lambda recipe, lib: gc.fill(recipe, lib, volume_l=2, specific_gravity=1.45),
    "Mend": lambda recipe, lib: mend(recipe, lib, recipe, all_in_g=1000),
    "SlurryReport": lambda recipe, lib: slurry(
        recipe, lib, specific_gravity_now=1.5, volume_l=5, specific_gravity=1.45
    ),
    "SizeReport": lambda _, __: size(shrinkage_percent=12, want_mm=100),
    "Outcome of substitute": lambda recipe, lib: gc.substitute(recipe, lib, without=["wollastonite"], answers=1),
    "Outcome of match": lambda recipe, lib: gc.match(recipe, lib, answers=1),
    "Nudge": lambda recipe, lib: gc.nudge(recipe, lib, "alumina +0.05"),
    "Series": lambda recipe, lib: gc.blend([recipe, recipes()[1]], lib),
    "PlannedTest": lambda recipe, lib: gc.plan_tests(gc.check(recipe, lib).cautions)[0],
    "ConeTemperature": lambda _, __: gc.cone_temperature_c("6"),
    "Mismatch": lambda _, __: gc.measured_mismatch(
        glaze_1e6_per_k=6, body_1e6_per_k=6.5, glaze_range_c=(20, 300), body_range_c=(20, 300)
    ),
    "LabReport": lambda _, __: gc.lab_report([ReleaseResult(element="Pb", value=Fraction(1, 10), unit="mg/L")], PLATE),
}


@pytest.mark.parametrize("name", MAKERS)
def test_a_value_comes_back_equal_from_pickle_and_copy(library: gc.MaterialLibrary, name: str):
    value = MAKERS[name](recipes()[0], library)
    for twin in (pickle.loads(pickle.dumps(value)), copy.deepcopy(value), copy.copy(value)):
        assert type(twin) is type(value)
        assert repr(twin) == repr(value)
        assert str(twin) == str(value)


def test_a_process_pool_gives_the_same_formulas(library: gc.MaterialLibrary):
    alone = [gc.unity_formula(recipe, library) for recipe in recipes()]
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        assert list(pool.map(gc.unity_formula, recipes(), [library] * 3)) == alone


JOBS: dict[str, Callable[[gc.Recipe, gc.MaterialLibrary], str]] = {
    "unity_formula": lambda recipe, lib: repr(gc.unity_formula(recipe, lib)),
    "expansion": lambda recipe, lib: repr(gc.expansion(gc.unity_formula(recipe, lib))),
    "check": lambda recipe, lib: str(gc.check(recipe, lib, use="plate")),
    "scale": lambda recipe, lib: str(gc.scale(recipe, lib, all_in_g=1000, step_g=1)),
    "substitute": lambda recipe, lib: str(
        gc.substitute(recipe, lib, without=[recipe.ingredients[0].material], answers=1)
    ),
}


def test_four_threads_give_what_one_gives(capfd: pytest.CaptureFixture[str]):
    one_search = [("substitute", recipes()[0])] * 2  # the slow one: two threads at it are enough to meet
    jobs = [(job, recipe) for job in JOBS for recipe in recipes() if job != "substitute"] + one_search

    def run(job: tuple[str, gc.Recipe], library: gc.MaterialLibrary) -> str:
        return JOBS[job[0]](job[1], library)

    alone = [run(job, gc.load_materials()) for job in jobs]
    fresh = gc.load_materials()  # nothing looked up yet: the threads meet where a library builds what it keeps
    with ThreadPoolExecutor(max_workers=4) as pool:
        together = list(pool.map(lambda job: run(job, fresh), jobs))
    assert together == alone
    print("still here")
    assert capfd.readouterr().out == "still here\n"
