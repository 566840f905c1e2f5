"""The pictures: each draws on the axes it is given and returns them; what is drawn is what the report says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import matplotlib as mpl
import numpy as np
import pytest

import glazecalc as gc

mpl.use("Agg")
import matplotlib.pyplot as plt
from matplotlib.axes import Axes
from matplotlib.patches import Ellipse, Rectangle

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"


@cache
def library() -> gc.MaterialLibrary:
    return gc.load_materials(STUDIO / "materials")


@cache
def recipe(name: str) -> gc.Recipe:
    return gc.read_recipe(STUDIO / "recipes" / f"{name}.txt")


@cache
def report(name: str) -> gc.CheckReport:
    return gc.check(recipe(name), library(), cone="6")


@pytest.fixture
def ax() -> Iterator[Axes]:
    figure, axes = plt.subplots()
    yield axes
    plt.close(figure)


def fit() -> gc.FitRange:
    fired = {"body": "Slate", "cone": "6", "model": "fitted"}
    came_out = {"crazed": 7.4, "sound": 6.0, "shivered": 4.1}
    return gc.fit_range(
        gc.FiredResult(recipe=name, result=name, expansion=at, **fired) for name, at in came_out.items()
    )


def written(ax: Axes) -> set[str]:
    return {text.get_text() for text in ax.texts}


def points(ax: Axes, label: str) -> list[tuple[float, float]]:
    (line,) = (line for line in ax.lines if str(line.get_label()).startswith(label))
    return [(float(x), float(y)) for x, y in np.asarray(line.get_xydata())]


@cache
def series(*names: str) -> gc.Series:
    return gc.blend([recipe(name) for name in names], library(), side=4)


@cache
def lab() -> gc.LabReport:
    lead = gc.ReleaseResult(element="Pb", value=0.9, unit="mg/L")
    cadmium = gc.ReleaseResult(element="Cd", value=0.005, unit="mg/L", below=True)
    return gc.lab_report([lead, cadmium], gc.Ware(kind="bowl", depth_mm=60, volume_l=1))


TRIAXIAL, LINE = ("rill-clear", "chalk-satin", "harbour-black"), ("rill-clear", "harbour-black")
DRAWN: dict[str, tuple[Callable[..., Axes], str]] = {
    "silica_alumina": (lambda **said: gc.plot.silica_alumina(report("harbour-black"), **said), "mol per mol of flux"),
    "oxides": (lambda **said: gc.plot.oxides(report("harbour-black"), **said), "mol per mol of flux"),
    "contributions": (lambda **said: gc.plot.contributions(report("harbour-black"), **said), "by weight"),
    "expansion": (lambda **said: gc.plot.expansion(report("harbour-black"), **said), "1e-6 per K"),
    "viscosity": (lambda **said: gc.plot.viscosity(report("harbour-black"), **said), "Pa s"),
    "line_blend": (lambda **said: gc.plot.line_blend(series(*LINE), of="expansion, fitted", **said), "1e-6 per K"),
    "triaxial": (lambda **said: gc.plot.triaxial(series(*TRIAXIAL), **said), "by moles"),
    "sensitivity": (
        lambda **said: gc.plot.sensitivity(gc.sensitivity(recipe("harbour-black"), library()), **said),
        "by moles",
    ),
    "spread": (
        lambda **said: gc.plot.spread(gc.spread(recipe("harbour-black"), library()), **said),
        "% of it",
    ),
    "release": (lambda **said: gc.plot.release(lab(), **said), "times the limit"),
}


@pytest.mark.parametrize("name", gc.plot.__all__)
def test_a_picture_is_drawn_on_the_axes_given_and_names_its_unit(name: str, ax: Axes):
    draw, unit = DRAWN[name]
    before = dict(mpl.rcParams)
    assert draw(ax=ax) is ax
    bars = [axes.get_ylabel() for axes in ax.get_figure().axes if axes is not ax]  # type: ignore[union-attr]  # of shades
    assert unit in " ".join([ax.get_xlabel(), ax.get_ylabel(), *bars])
    assert ax.get_title(loc="left")
    assert dict(mpl.rcParams) == before  # the user's own settings stay


LONG = "A glaze whose name goes on and on until nobody at the bench can say it in one breath, second version"


@pytest.mark.filterwarnings("error")  # matplotlib warns where nothing is left for the picture itself
@pytest.mark.parametrize("draw", [gc.plot.silica_alumina, gc.plot.oxides, gc.plot.expansion, gc.plot.viscosity])
def test_a_long_name_leaves_the_picture_its_room_and_is_whole(draw: Callable[..., Axes]):
    drawn = draw({LONG: report("harbour-black"), "Rill Clear": report("rill-clear")})
    drawn.figure.canvas.draw()
    across = drawn.get_position().width
    plt.close(drawn.figure)
    assert across > 0.4
    legend = drawn.get_legend()
    names = [text.get_text() for text in (legend.get_texts() if legend else drawn.get_yticklabels())]
    assert LONG in [name.replace("\n", " ") for name in names]


@pytest.mark.filterwarnings("error")
def test_a_batch_of_two_oxides_has_its_picture():
    drawn = gc.plot.contributions(gc.resolve(gc.Recipe.from_parts(LONG, {"silica": 50, "kaolin": 50}), library()))
    drawn.figure.canvas.draw()
    plt.close(drawn.figure)
    assert drawn.get_title(loc="left").replace("\n", " ") == f"What brings what: {LONG}"


def test_ten_glazes_look_different_each(ax: Axes):
    gc.plot.viscosity({f"Tile {n}": report("rill-clear") for n in range(10)}, ax=ax)
    looks = [(line.get_color(), str(line.get_linestyle())) for line in ax.lines if "Tile" in str(line.get_label())]
    assert len(set(looks)) == 10


@pytest.mark.parametrize("name", gc.plot.__all__)
def test_a_picture_takes_a_title_of_ones_own(name: str, ax: Axes):
    DRAWN[name][0](ax=ax, title="Before and after")
    assert ax.get_title(loc="left") == "Before and after"


def test_a_glaze_stands_at_its_silica_and_alumina(ax: Axes):
    gc.plot.silica_alumina([report("harbour-black"), report("rill-clear")], ax=ax)
    for name, of in (("Harbour Black", "harbour-black"), ("Rill Clear", "rill-clear")):
        unity = report(of).unity
        assert unity is not None
        assert points(ax, name) == [(unity["Al2O3"], unity["SiO2"])]
    assert any("R2O + RO" in text for text in written(ax))  # the convention


def test_published_glazes_stand_apart_by_their_outcome(ax: Axes):
    """83 rows of fired_glazes.csv, 10 of which did not melt."""
    gc.plot.silica_alumina(report("harbour-black"), ax=ax)
    named = [str(line.get_label()) for line in ax.lines if str(line.get_label()).startswith("fired: ")]
    counts = {label: int(re.search(r"\((\d+)\)", label).group(1)) for label in named}  # type: ignore[union-attr]
    (outside,) = (
        int(found.group(1)) for text in written(ax) if (found := re.search(r"(\d+)\s+more\s+lie\s+outside", text))
    )
    assert sum(counts.values()) + outside == 83
    assert counts["fired: did not melt (3)"] == 3
    assert max(y for label in counts for _, y in points(ax, label)) <= ax.get_ylim()[1]
    markers = [line.get_marker() for line in ax.lines if str(line.get_label()) in counts]
    assert len(set(markers)) == len(markers)  # told apart without a colour


def test_the_ellipse_holds_nine_tenths_of_the_draws(ax: Axes):
    from glazecalc.convert.moles import basis_of, counted
    from glazecalc.estimate.spread import Sampling, sample_moles
    from glazecalc.oxides import INDEX

    found = report("harbour-black")
    gc.plot.silica_alumina(found, ax=ax)
    (ellipse,) = (patch for patch in ax.patches if isinstance(patch, Ellipse))
    moles = np.concatenate(list(sample_moles(found.batch, Sampling())))
    basis = counted(moles, found.convention)[:, basis_of(found.convention)].sum(axis=1)
    drawn = moles[:, [INDEX["Al2O3"], INDEX["SiO2"]]] / basis[:, None]
    inside = ellipse.get_patch_transform().inverted().transform(drawn)
    assert np.mean(np.hypot(*inside.T) <= 1) == pytest.approx(0.9, abs=0.002)


def test_no_place_by_silica_and_alumina_where_all_is_divided_by_alumina():
    by_alumina = gc.unity_formula(recipe("rill-clear"), library(), convention=gc.Convention(unity_on_alumina=True))
    with pytest.raises(gc.ConventionError, match="alumina"):
        gc.plot.silica_alumina(by_alumina)


def test_formulas_of_two_conventions_are_not_set_side_by_side():
    other = gc.unity_formula(recipe("rill-clear"), library(), convention=gc.Convention(colourants_as_flux=True))
    with pytest.raises(gc.ConventionError, match="several conventions"):
        gc.plot.oxides([report("harbour-black"), other])


@pytest.mark.parametrize("counted", ["unity", "mole percent", "weight percent"])
def test_the_bars_are_the_amounts(counted: Any, ax: Axes):
    found = report("harbour-black")
    amounts = {"unity": found.unity, "mole percent": found.mole_percent, "weight percent": found.fired}[counted]
    gc.plot.oxides(found, counted=counted, ax=ax)
    widths = [bar.get_width() for bar in ax.patches if isinstance(bar, Rectangle)]
    least = 0.005 if counted == "unity" else 0.05
    assert widths == [amount for amount in dict(amounts).values() if amount >= least]
    assert any("left out: Rb₂O, BaO" in " ".join(text.split()) for text in written(ax))
    assert next(label.get_text() for label in ax.get_yticklabels()) == "Na₂O"


def test_two_glazes_are_told_apart_in_grey(ax: Axes):
    gc.plot.oxides(gc.compare(recipe("harbour-black"), recipe("rill-clear"), library()), ax=ax)
    assert len({bar.get_hatch() for bar in ax.patches}) == 2
    legend = ax.get_legend()
    assert legend is not None
    assert [text.get_text() for text in legend.get_texts()] == ["Harbour Black", "Rill Clear"]


def test_each_oxide_is_shared_out_to_the_last_per_cent(ax: Axes):
    gc.plot.contributions(report("harbour-black"), ax=ax)
    columns: dict[int, float] = {}
    for square in ax.patches:
        assert isinstance(square, Rectangle)
        column = round(square.get_x() + square.get_width() / 2)
        columns[column] = columns.get(column, 0.0) + (square.get_width() / 0.92) ** 2
    assert len(columns) == len(ax.get_xticklabels())
    assert list(columns.values()) == pytest.approx([1.0] * len(columns))
    assert "Rb₂O" not in [label.get_text() for label in ax.get_xticklabels()]  # a trace fills no square
    assert any("left out: Rb₂O, BaO, TiO₂" in " ".join(text.split()) for text in written(ax))


def test_the_interval_of_an_expansion_is_that_of_the_estimate(ax: Axes):
    gc.plot.expansion([report("harbour-black"), report("rill-clear")], firings=fit(), ax=ax)
    for at, name in enumerate(("harbour-black", "rill-clear")):
        one = next(e for e in report(name).estimates if e.name == "expansion, fitted")
        bars = [line.get_xdata() for line in ax.lines if list(line.get_ydata()) == [at, at]]
        assert [list(ends) for ends in bars] == [[one.low, one.high]] * 2
    assert points(ax, "crazed (1)") == [(7.4, 2.0)]
    assert points(ax, "shivered (1)") == [(4.1, 2.0)]


def test_firings_by_another_model_are_not_drawn_beside():
    with pytest.raises(gc.CompositionError, match="appen"):
        gc.plot.expansion(
            report("rill-clear"),
            firings=gc.fit_range(
                [gc.FiredResult(recipe="a", body="b", cone="6", result="sound", model="appen", expansion=6.0)]
            ),
        )


def test_a_melt_is_marked_at_its_cone(ax: Axes):
    gc.plot.viscosity(report("harbour-black"), observations=True, ax=ax)
    one = next(e for e in report("harbour-black").estimates if e.name == "viscosity at 1222 C, fitted")
    marks = [tuple(line.get_xydata()[0]) for line in ax.lines if len(line.get_xdata()) == 1]
    assert (1222.0, one.value) in marks
    for celsius, value in points(ax, "Harbour Black")[::12]:
        assert value == gc.viscosity(report("harbour-black").mole_percent, temperature_c=celsius).value
    assert "6" in [label.get_text() for label in ax.child_axes[0].get_xticklabels()]


def test_what_is_no_glaze_is_refused_by_name():
    with pytest.raises(gc.ArgumentError, match="glazes"):
        gc.plot.oxides(recipe("harbour-black"))  # type: ignore[arg-type]
    with pytest.raises(gc.CompositionError, match="no glaze"):
        gc.plot.oxides([])


def test_without_matplotlib_the_extra_is_named(monkeypatch: pytest.MonkeyPatch):
    import sys

    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(gc.GlazeError, match=r"glazecalc\[plot\]"):
        gc.plot.oxides(report("harbour-black"))


def test_the_tiles_of_a_triangle_are_numbered_and_hold_their_value(ax: Axes):
    drawn = series(*TRIAXIAL)
    gc.plot.triaxial(drawn, of="SiO2", ax=ax)
    for tile in drawn.tiles:
        assert tile.unity is not None
        assert f"{tile.number}\n{tile.unity['SiO2']:.2f}" in written(ax)
    assert set(drawn.corners) <= written(ax)


def test_what_was_seen_on_a_tile_stands_with_it(ax: Axes):
    gc.plot.triaxial(series(*TRIAXIAL), of="SiO2", seen={2: "satin"}, ax=ax)
    (told,) = (text for text in written(ax) if text.endswith("\nsatin"))
    assert told.startswith("2\n")
    line = gc.plot.line_blend(series(*LINE), seen={4: "gloss"})
    assert line.get_xticklabels()[3].get_text().splitlines()[-1] == "gloss"
    plt.close("all")
    with pytest.raises(gc.UnknownNameError, match="no tile 11"):
        gc.plot.triaxial(series(*TRIAXIAL), seen={11: "satin"})


def test_a_line_blend_has_a_point_a_tile(ax: Axes):
    drawn = series(*LINE)
    gc.plot.line_blend(drawn, of="expansion", ax=ax)  # by the fitted model
    values = [next(e.value for e in tile.estimates if e.name == "expansion, fitted") for tile in drawn.tiles]
    assert list(ax.lines[0].get_ydata()) == values
    assert list(ax.lines[0].get_xdata()) == [1, 2, 3, 4]


def test_each_kind_of_series_has_its_picture():
    with pytest.raises(gc.CompositionError, match="line_blend"):
        gc.plot.triaxial(series(*LINE))
    with pytest.raises(gc.CompositionError, match="triaxial"):
        gc.plot.line_blend(series(*TRIAXIAL))
    with pytest.raises(gc.UnknownNameError, match="SiO3"):
        gc.plot.triaxial(series(*TRIAXIAL), of="SiO3")


def test_what_a_little_more_does_is_drawn_largest_first(ax: Axes):
    changes = gc.sensitivity(recipe("harbour-black"), library())
    gc.plot.sensitivity(changes, of="expansion", ax=ax)
    drawn = [bar.get_width() for bar in ax.patches if isinstance(bar, Rectangle)]
    assert sorted(drawn) == sorted(changes["expansion"].to_list())
    assert [abs(value) for value in drawn] == sorted(map(abs, drawn), reverse=True)
    lowers = {bar.get_hatch() for bar, value in zip(ax.patches, drawn, strict=True) if value < 0}
    raises = {bar.get_hatch() for bar, value in zip(ax.patches, drawn, strict=True) if value > 0}
    assert lowers.isdisjoint(raises)
    with pytest.raises(gc.UnknownNameError, match="expansion"):
        gc.plot.sensitivity(changes, of="expansions")


def test_a_spread_is_drawn_as_per_cent_of_the_middle_of_each_with_its_ends_beside_it(ax: Axes):
    found = gc.spread(recipe("harbour-black"), library())
    gc.plot.spread(found, ax=ax)
    shown = [ends for ends in found.unity.values() if ends.high >= 0.005]
    bars = [tuple(line.get_xdata()) for line in ax.lines[: 2 * len(shown) : 2]]
    for (left, right), ends in zip(bars, shown, strict=True):
        assert left == pytest.approx(-right)
        assert (100 + right) / (100 + left) == pytest.approx(ends.high / ends.low)
    low, high = found.unity["SiO2"]
    assert f"{low:.2f} to {high:.2f}" in written(ax)
    assert "left out: Rb₂O, BaO, TiO₂." in " ".join(written(ax)).replace("\n", " ")  # traces, by name


def test_of_an_estimate_the_bags_and_the_model_stand_apart(ax: Axes):
    one = gc.expansion(report("rill-clear").mole_percent)
    found = gc.spread(recipe("rill-clear"), library(), estimates=[one])
    gc.plot.spread(found, of=one, ax=ax)
    assert [label.get_text() for label in ax.get_yticklabels()] == ["bags alone", "model alone", "bags and model"]
    assert ax.get_xlabel() == "expansion [1e-6 per K]"
    with pytest.raises(gc.UnknownNameError, match="expansion, fitted"):
        gc.plot.spread(gc.spread(recipe("rill-clear"), library()), of=one)


def test_what_cannot_be_shown_is_drawn_as_a_question(ax: Axes):
    """Lead below 10 ug/dm2 says nothing of the 2 ug/dm2 of the German advice (BfR Opinion 043/2020)."""
    lead = gc.ReleaseResult(element="Pb", value=0.01, unit="mg/dm2", below=True)
    gc.plot.release(gc.lab_report([lead], gc.Ware(kind="plate", depth_mm=18), where="germany"), ax=ax)
    assert {line.get_marker() for line in ax.lines if str(line.get_label()) == "cannot show"} == {"$?$"}
    assert any("<10, limit 2 ug/dm2" in text for text in written(ax))


def test_results_stand_at_their_share_of_the_limit(ax: Axes):
    """Lead 0.9 mg/L against 2 mg/L (ISO 6486-2, small hollow ware) and 0.1 ug/mL (California, Proposition 65)."""
    gc.plot.release(lab(), ax=ax)
    names = [label.get_text() for label in ax.get_yticklabels()]
    at = {
        name: float(line.get_xdata()[0])
        for name, line in zip(names, [one for one in ax.lines if len(one.get_xdata()) == 1], strict=True)
    }
    assert at["lead: ISO"] == pytest.approx(0.9 / 2)
    assert at["lead: California (Proposition 65)"] == pytest.approx(0.9 / 0.1)
    assert ax.get_xscale() == "log"
    assert {line.get_marker() for line in ax.lines if len(line.get_xdata()) == 1} == {"o", "X"}
    assert any("No row is a verdict" in text for text in written(ax))
    assert any(text.endswith("limit 2 mg/L*") for text in written(ax))  # the sampling rule of ISO is recalled
    assert any("Star: recalled, not checked against the print." in " ".join(text.split()) for text in written(ax))


def test_where_nothing_was_compared_there_is_no_picture():
    with pytest.raises(gc.CompositionError, match="no result above zero"):
        gc.plot.release(gc.lab_report([], gc.Ware(kind="cup")))
