"""A search keeps nothing of the process: nothing is written by itself, and searches in threads are those done one by one."""

from __future__ import annotations

import os
import pickle
import random
from concurrent.futures import ThreadPoolExecutor

import pytest

import glazecalc as gc
from glazecalc.errors import GlazeError
from glazecalc.reformulate.at_hand import general_use

RECIPES = (
    {"potash_feldspar": 40, "whiting": 10, "talc": 10, "kaolin": 10, "silica": 30},
    {"potash_feldspar_ideal": 30, "unity_frit_lime_soda_boron": 24, "whiting": 8, "kaolin": 14, "silica": 22},
    {"potash_feldspar": 40, "whiting": 15, "lithium_carbonate": 3, "kaolin": 12, "silica": 30},
    {"soda_feldspar": 35, "whiting": 8, "colemanite": 14, "kaolin": 12, "silica": 28, "zinc_oxide": 3},
)
GONE = ("talc", "unity_frit_lime_soda_boron", "lithium_carbonate", "colemanite")
SHELF = ("dolomite", "spodumene", "ulexite", "soda_feldspar", "wollastonite", "nepheline_syenite", "ball_clay")


def test_nothing_is_written_by_itself(library, capfd):
    # seeds whose problems made an earlier release of the solver write a line
    shelf = [m.id for m in general_use(library, {"TiO2", "Fe2O3", "P2O5"})[0] if m.kind != "colourant"]
    draw = random.Random(1)
    for _ in range(10):
        recipe = {name: draw.randint(2, 40) for name in draw.sample(shelf, draw.randint(3, 7))}
        gone = draw.choice(list(recipe))
        stock = [*(name for name in recipe if name != gone), *draw.sample(shelf, draw.choice((4, 8, 15)))]
        try:
            gc.substitute(recipe, library, without=gone, stock=stock, keep="SiO2,Al2O3", answers=2, time_limit_s=2)
        except GlazeError:  # a recipe of materials drawn by lot may have no flux
            continue
    for recipe in RECIPES:
        gc.nudge(recipe, library, "expansion down 0.3, ratio kept")
    written = capfd.readouterr()
    assert (written.out, written.err) == ("", "")


def searched(number: int):
    library = gc.load_materials()
    return gc.substitute(
        RECIPES[number], library, without=GONE[number], also=SHELF, answers=3, time_limit_s=60
    ).to_dict()


def test_four_threads_search_while_another_prints(capfd):
    alone = [searched(number) for number in range(len(RECIPES))]
    capfd.readouterr()
    with ThreadPoolExecutor(len(RECIPES) + 1) as pool:
        found = [pool.submit(searched, number) for number in range(len(RECIPES))]
        lines = 0
        while not all(one.done() for one in found):
            pool.submit(os.write, 1, b"a line of its own\n").result()
            lines += 1
        together = [one.result() for one in found]
    assert together == alone
    assert capfd.readouterr().out == "a line of its own\n" * lines


@pytest.mark.parametrize("number", range(len(RECIPES)))
def test_an_outcome_travels_between_processes(library, number):
    outcome = gc.substitute(RECIPES[number], library, without=GONE[number], also=SHELF[:3], answers=1)
    again = pickle.loads(pickle.dumps(outcome))
    assert again == outcome
    assert again.to_dict() == outcome.to_dict()


def test_a_nudge_and_a_series_travel_too(library):
    for value in (gc.nudge(RECIPES[0], library, "alumina +0.02"), gc.blend(RECIPES[:2], library, side=3)):
        assert pickle.loads(pickle.dumps(value)) == value
