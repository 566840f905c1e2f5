"""Every value that is shown by itself: a short repr, the page as str and in a notebook, plain values, pickles."""

from __future__ import annotations

import copy
import json
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import glazecalc as gc
from glazecalc.calibration import calibrate
from glazecalc.comparison import compare
from glazecalc.files.firings import read_firings
from glazecalc.files.release_results import read_release_results

RECIPE = {"potash feldspar": 40.0, "whiting": 18.0, "kaolin": 12.0, "silica": 30.0}
Make = Callable[[gc.MaterialLibrary, Path], Any]


def firings(materials: gc.MaterialLibrary, folder: Path) -> Any:
    (folder / "clear.txt").write_text("Clear\nsilica 30\nwhiting 18\nkaolin 12\npotash feldspar 40\n", encoding="utf-8")
    path = folder / "firings.csv"
    path.write_text("recipe,body,cone,result\nclear,Slate,9,sound\n", encoding="utf-8")
    rows, _ = read_firings(path)
    return calibrate(rows, materials, path=path)


def release(materials: gc.MaterialLibrary, folder: Path) -> Any:
    path = folder / "lab.csv"
    path.write_text("element,value,unit\nPb,0.03,mg/L\n", encoding="utf-8")
    results, _ = read_release_results(path)
    return gc.lab_report(results, gc.Ware(kind="cup"))


VALUES: dict[str, Make] = {
    "check": lambda m, _: gc.check(RECIPE, m, cone="9"),
    "unity": lambda m, _: gc.unity_formula(RECIPE, m),
    "fired": lambda m, _: gc.fired_analysis(RECIPE, m),
    "mole per cent": lambda m, _: gc.mole_percent(RECIPE, m),
    "compare": lambda m, _: compare(RECIPE, {**RECIPE, "silica": 20.0}, m),
    "materials": lambda m, _: m,
    "material": lambda m, _: m["kaolin"],
    "substitute": lambda m, _: gc.substitute(RECIPE, m, without="whiting", also="wollastonite"),
    "match": lambda m, _: gc.match(gc.unity_formula(RECIPE, m), m, only=list(RECIPE)),
    "nudge": lambda m, _: gc.nudge(RECIPE, m, "SiO2 +0.1"),
    "blend": lambda m, _: gc.blend([RECIPE, {**RECIPE, "silica": 20.0}], m, side=3),
    "calibrate": firings,
    "lab": release,
}


@pytest.mark.parametrize("name", VALUES)
def test_a_value_shows_itself(name: str, tmp_path: Path):
    value = VALUES[name](gc.load_materials(), tmp_path)
    page = str(value)
    assert page != repr(value)
    assert max(map(len, page.splitlines())) <= 100
    assert value._repr_html_().startswith("<pre>")
    assert len(repr(value)) < 200
    kept = json.dumps(value.to_dict(), allow_nan=False)
    for again in (pickle.loads(pickle.dumps(value)), copy.deepcopy(value)):
        assert str(again) == page
        assert json.dumps(again.to_dict()) == kept
