"""Every value that is shown by itself: a short repr, the page as str and in a notebook, plain values, pickles."""

from __future__ import annotations

import copy
import json
import math
import pickle
from collections.abc import Callable
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any

import pytest

import glazecalc as gc
from glazecalc.calibration import calibrate
from glazecalc.comparison import compare
from glazecalc.files.firings import read_firings
from glazecalc.files.recipes import parse_recipe
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
    "label": lambda m, _: gc.bucket_label(gc.scale(RECIPE, m, all_in_g=500), date="3 May"),
    "batch": lambda m, _: gc.resolve(
        gc.Recipe.from_parts("A long name of a clear " * 9, {**RECIPE, "tin oxide": 0.001}), m
    ),
    "answer": lambda m, _: gc.substitute(RECIPE, m, without="whiting", also="wollastonite").answers[0],
    "cones": lambda _, __: gc.cones_for_temperature(1230),
    "spread": lambda m, _: gc.spread(RECIPE, m),
    "caution": lambda m, _: gc.check(RECIPE, m).cautions[0],
    "reading": lambda m, _: gc.check(RECIPE, m, cone="9").readings[0],
    "tile": lambda m, _: gc.blend([RECIPE, {**RECIPE, "silica": 20.0}], m, side=3).tiles[1],
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


STUDIO = Path(__file__).parents[2] / "notebooks/studio"


def one_of_each() -> dict[type, Any]:
    """Return a value of each public class, as large as they come in the tests."""
    materials = gc.load_materials()
    own = gc.load_materials(STUDIO / "materials")
    name = "<script>Rill & Clear</script> " * 3
    recipe = gc.Recipe.from_parts(name, RECIPE, {"red iron oxide": 8.0}, cone="9")
    report, series = (
        gc.check(recipe, materials),
        gc.blend([recipe, recipe.with_amount("silica", 20.0)], materials, side=2),
    )
    fired = {"body": "Slate" * 30, "cone": "6", "model": "fitted"}
    result = gc.FiredResult(recipe=name, result="sound", expansion=6.1, **fired)
    release = gc.ReleaseResult(element="Pb", value=0.03, unit="mg/L")
    shelf = gc.Shelf(stock_g={"kaolin": Decimal(500)}, prices={"kaolin": (price(),)})
    scaled, comparison = gc.scale(recipe, materials, all_in_g=500), gc.compare(RECIPE, recipe, materials)
    outcome = gc.substitute(RECIPE, materials, without="whiting", also="wollastonite")
    sample = gc.SlurrySample(volume_ml=500, mass_g=735)
    bar = gc.Bar(wet=100, dry=93.5, fired=87.6)
    values = [
        outcome, outcome.answers[0], bar, report.batch, report.batch.lines[0], gc.cost(recipe, materials, shelf=shelf, all_in_g=500),
        report.cautions[0], report, gc.ClayBody(name="Slate"), comparison, gc.Composition(dict.fromkeys(gc.AXIS, 1.234567)), gc.Cone("6"),
        gc.cone_temperature_c("6"), gc.cones_for_temperature(1230), report.convention, report.estimates[0], comparison.differences[0],
        gc.Fault(3, "a long message " * 30), gc.FiredAnalysis(report.fired.amounts), result,
        gc.Firing(recipe=name, body="Slate", result="sound"), gc.fit_range([result]), gc.need_from_gains(60, [61, 66, 62]),
        recipe.ingredients[0], gc.lab_report([release], gc.Ware(kind="cup")), materials["kaolin"], materials,
        gc.mend(RECIPE, materials, {"whiting": 30}, all_in_g=100), mismatch(), report.mole_percent, gc.Notice("a-code", "a\nlong message " * 30),
        gc.nudge(RECIPE, materials, "SiO2 +0.1"), gc.unity_matrix(report.batch.materials), gc.plan_tests(report.cautions)[0], price(),
        report.readings[0], recipe, gc.read_recipes(STUDIO / "recipes", own), gc.check_folder(STUDIO / "recipes", own), release, scaled, scaled.lines[0], series, series.tiles[0], shelf,
        gc.size(bars=[bar], want_mm=100), gc.slurry(RECIPE, materials, sample=sample), sample, materials["kaolin"].source,
        gc.spread(RECIPE, materials), gc.Target(name=name, unity={"SiO2": 3.5}), report.unity, report.unity - report.unity, gc.Ware(kind="cup"),
        gc.bucket_label(scaled),
    ]  # fmt: skip
    return {type(value): value for value in values}


def price() -> gc.Price:
    return gc.Price(material="kaolin", pack_g=Decimal(1000), price=Decimal("4.20"), currency="EUR")


def mismatch() -> gc.Mismatch:
    ranges = {"glaze_range_c": (20, 500), "body_range_c": (20, 500)}
    return gc.measured_mismatch(glaze_1e6_per_k=6.0, body_1e6_per_k=6.5, **ranges)  # type: ignore[arg-type]


def test_every_public_value_is_one_short_line_and_a_safe_page():
    values = one_of_each()
    classes = {value for name in gc.__all__ if isinstance(value := getattr(gc, name), type)}
    assert {one.__name__ for one in classes if not issubclass(one, Exception | Enum)} == {
        one.__name__ for one in values
    }
    for kind, value in values.items():
        line = repr(value)
        assert "\n" not in line, kind
        assert len(line) < 200, kind
        assert kind.__name__ in line
        assert str(value) != line, kind
        assert "object at 0x" not in str(value), kind
        if kind in (gc.Notice, gc.Fault):  # they stand below the pages
            continue
        assert max(map(len, str(value).splitlines()), default=0) <= 100 or "cite" in vars(kind), kind
        page = value._repr_html_()
        assert page.startswith("<pre>"), kind
        assert "<script" not in page, kind
        assert "color" not in page, kind  # the notebook's own, light or dark


ONE_THING = {
    gc.Bar, gc.BatchLine, gc.BucketLabel, gc.Caution, gc.ClayBody, gc.Cone, gc.ConeTemperature, gc.Convention, gc.Estimate, gc.EstimateDifference, gc.Fault,
    gc.FiredResult, gc.Firing, gc.GlazeNeed, gc.Ingredient, gc.Mismatch, gc.Notice, gc.PlannedTest, gc.Price, gc.Reading, gc.ReleaseResult,
    gc.SlurrySample, gc.Source, gc.Ware, gc.WeighLine,
}  # fmt: skip
"""Values that are one thing, and no table."""
BARE = {"level", "odds", "answer", "SiO2:Al2O3", "amount", "extraction"}
"""Columns of numbers without a unit: shares, places in a row, and what a bare composition holds."""


def test_every_other_public_value_is_a_frame_whose_units_are_those_of_its_columns():
    for kind, value in one_of_each().items():
        assert hasattr(value, "to_frame") == (kind not in ONE_THING), kind
        if kind in ONE_THING:
            continue
        frame = value.to_frame()
        units = frame.attrs["units"]
        assert units.keys() <= set(frame.columns), kind
        assert all(isinstance(unit, str) and unit for unit in units.values()), kind
        numbers = set(frame.select_dtypes("number").columns) - BARE
        assert {name for name in numbers if not str(name).startswith("share ")} <= units.keys(), kind
        if notices := getattr(value, "notices", None):
            assert frame.attrs["notices"] == [notice.message for notice in notices], kind


def test_the_frames_hold_what_the_values_say():
    values = one_of_each()
    mend, cost = values[gc.Mend].to_frame(), values[gc.BatchCost].to_frame()
    assert mend["add_g"].sum() == pytest.approx(sum(line.add_g for line in values[gc.Mend].lines))
    assert (cost.attrs["units"]["cost"], cost.attrs["units"]["mass_g"]) == ("EUR", "g")
    assert values[gc.Batch].to_frame()["parts"].sum() == pytest.approx(108)
    outcome = values[gc.Outcome]
    best = outcome.to_frame().query("answer == 1")
    assert dict(zip(best["name"], best["parts"], strict=True)) == {x.name: x.parts for x in outcome.answers[0].lines}
    nudged = values[gc.Nudge].to_frame().set_index("name")
    assert nudged.loc["Silica", "parts_before"] == 30
    sizes = values[gc.SizeReport].to_frame().set_index("what")
    assert sizes.loc["fired size", "value"] == 100
    assert sizes.loc["total shrinkage", "value"] == pytest.approx(12.4)
    library = values[gc.MaterialLibrary]
    table = library.to_frame()
    assert list(table.index) == list(library)
    assert table.loc["kaolin", "Al2O3"] == library["kaolin"].analysis["Al2O3"]
    assert math.isnan(table.loc["kaolin", "CuO"])
    assert list(values[gc.Recipe].to_frame()["amount"]) == [40, 18, 12, 30, 8]


def test_what_no_command_prints_is_still_told_with_its_units():
    body = gc.ClayBody(
        name="Slate", cone="6", absorption_percent=1.4, expansion_1e6_per_k=6.2, expansion_range_c=(20, 500)
    )
    told = [line.split() for line in str(body).splitlines()]
    assert told[:3] == [["Slate"], ["cone", "6"], ["absorption", "1.4", "%"]]
    assert ["expansion", "6.2", "1e-6", "per", "K"] in told
    assert ["expansion", "range", "20,", "500", "C"] in told
    assert str(gc.Convention()) == gc.Convention().description
    assert str(gc.Ingredient(material="Tin oxide", amount=5, unit="%", addition=True)) == "+ Tin oxide 5 %"
    shelf = str(gc.Shelf(stock_g={"kaolin": Decimal(500), "silica": None}, prices={"kaolin": (price(),)}))
    assert "stock [g]" in shelf
    assert [row.split() for row in shelf.splitlines()[-2:]] == [
        ["kaolin", "500", "1000", "4.2", "EUR", "4.2"],
        ["silica", "-", "-", "-", "-"],
    ]


def test_a_spread_says_its_convention():
    convention = gc.Convention(colourants_as_flux=True)
    spread = gc.spread({**RECIPE, "copper oxide": 4}, gc.load_materials(), convention=convention)
    assert spread.convention == convention
    assert convention.description[:40] in " ".join(str(spread).split())
    assert spread.to_frame().attrs["convention"] == convention.description
    assert spread.to_dict()["convention"]


def test_what_is_a_table_is_a_frame_with_its_units():
    values = one_of_each()
    tables: dict[type, tuple[str, str, str]] = {
        gc.CheckReport: ("estimates", "value", "by row, in the column unit"),
        gc.Comparison: ("differences", "value", "by row, in the column unit"),
        gc.LabReport: ("rows", "ratio", "times the limit"),
        gc.FitRange: ("results", "expansion", "1e-6 per K"),
        gc.ScaledBatch: ("lines", "mass_g", "g"),
        gc.Series: ("tiles", "expansion, fitted", "1e-6 per K"),
    }
    for kind, (rows, column, unit) in tables.items():
        frame = values[kind].to_frame()
        assert len(frame) == len(getattr(values[kind], rows)), kind
        assert frame.attrs["units"][column] == unit, kind
        assert column in frame.columns
    assert values[gc.ScaledBatch].to_frame()["mass_g"].sum() == pytest.approx(500)
    for kind, unit in ((gc.FiredAnalysis, "wt %"), (gc.MolePercent, "mol %")):
        frame = values[kind].to_frame()
        assert frame["percent"].sum() == pytest.approx(100)
        assert frame.attrs["units"] == {"percent": unit}
    assert values[gc.UnityFormula].to_frame().attrs["units"] == {"moles": "mol per mol of flux"}
    assert set(values[gc.Spread].to_frame()["of"]) == {"unity", "ratio", "fired"}


def test_an_estimate_reads_as_it_is_said():
    one = gc.Estimate(
        quantity="expansion", model="fitted", value=5.68, low=4.21, high=7.15, level=0.9, unit="1e-6 per K"
    )
    assert str(one) == "5.7 ± 1.5 (90 %) 1e-6 per K"
    assert repr(one) == "<Estimate expansion, fitted: 5.7 ± 1.5 (90 %) 1e-6 per K>"
    assert one.half_width == pytest.approx(1.47)
    assert float(one) == 5.68
    bare = gc.Estimate(quantity="surface tension", model="kucuk", value=331.4, unit="mN/m")
    assert (str(bare), bare.half_width) == ("331 mN/m", None)
    glass = gc.expansion(
        {"SiO2": 60, "Na2O": 40}, basis="weight percent"
    )  # no glaze: more alkali than any glass of the model
    assert str(glass).endswith(" 1e-6 per K, outside the tested range")


def test_a_recipe_is_printed_as_it_is_typed():
    card = gc.Recipe.from_parts("Clear", {"silica": 30, "whiting": 20}, cone="6")
    assert parse_recipe(str(card), "card.txt").base == card.base
    assert "30" in str(card)
