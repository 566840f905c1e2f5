"""Melt and run: each code just reached and just not, the two low-fire glazes, what is said beside the figure, and laws."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from glazecalc.estimate.melted import fired_set, yardstick
from glazecalc.estimate.viscosity import temperature_at_viscosity, viscosity
from glazecalc.readings import melt, run
from tests.readings.pot import at, facts

CLEAR = {"potash feldspar": 30, "unity frit lime-soda boron": 22, "whiting": 10, "kaolin": 13, "silica": 25}
MELT, CONE = fired_set().viscosity.melt_upper_tenth, fired_set().stiff_as_a_cone.value
RUN, FLUID = fired_set().viscosity.run_lower_tenth, fired_set().very_fluid.value


FLUX = {**CLEAR, "unity frit lime-soda boron": 60}


def as_stiff_as(log10_pa_s: float):
    """A clear glaze at the temperature where its melt is so stiff."""
    clear = facts(CLEAR if log10_pa_s > 2.5 else FLUX)
    return at(clear, temperature_at_viscosity(clear.mole_percent, log10_pa_s=log10_pa_s).value)


@pytest.mark.parametrize(
    ("log10_pa_s", "code"),
    [(MELT - 0.01, "melt-among"), (MELT + 0.01, "melt-stiff"), (CONE - 0.01, "melt-stiff"), (CONE + 0.01, "melt-like-a-cone")],
)  # fmt: skip
def test_melt_looks_at_stiffness_alone(log10_pa_s: float, code: str):
    reading = melt.read(as_stiff_as(log10_pa_s))
    assert reading.code == code
    assert reading.evidence["log10_pa_s"] == pytest.approx(log10_pa_s, abs=1e-6)


@pytest.mark.parametrize(
    ("log10_pa_s", "code"),
    [(RUN + 0.01, "run-among"), (RUN - 0.01, "run-fluid"), (FLUID + 0.01, "run-fluid"), (FLUID - 0.01, "run-very-fluid")],
)  # fmt: skip
def test_run_looks_at_fluidity_alone(log10_pa_s: float, code: str):
    found = as_stiff_as(log10_pa_s)
    assert run.read(found).code == code
    assert melt.read(found).code == "melt-among"


def test_the_edges_are_those_of_the_fired_set():
    """The edges as the reference of the fired glazes has them: 10-90 % of the matured 1.94 to 3.10, a cone at 4.4, 1.5 by counting."""
    assert pytest.approx(3.10, abs=0.05) == MELT
    assert pytest.approx(1.98, abs=0.05) == RUN
    assert (CONE, FLUID) == (4.4, 1.5)
    assert all(4.3 < bend < 4.7 for bend in fired_set().viscosity.cone_bends.values())


# --- the two low-fire glazes --------------------------------------------------------------------------------------------
BORON_FRIT = {"unity frit lime-soda boron": 70, "kaolin": 15, "silica": 15}
RAW_SPAR = {"potash feldspar": 85, "whiting": 15}


def test_a_boron_frit_glaze_at_04_is_not_told_that_it_may_not_melt():
    reading = melt.read(facts(BORON_FRIT, "04"))
    assert reading.code == "melt-among"
    assert "Few observations at this cone: 4 of 83." in reading.says


def test_a_raw_feldspar_glaze_at_04_is_told():
    reading = melt.read(facts(RAW_SPAR, "04"))
    assert reading.code == "melt-like-a-cone"
    assert "as stiff as a cone when it bends, or stiffer" in reading.says
    assert "of 11 as stiff, 5 matured" in reading.because
    assert melt.read(facts(RAW_SPAR, "10")).code != "melt-like-a-cone"


def test_boron_counts():
    fritted, raw = (melt.read(facts(parts, "04")).evidence["log10_pa_s"] for parts in (BORON_FRIT, RAW_SPAR))
    assert fritted < raw - 2


# --- what is not judged, and what is said beside --------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("parts", "cone", "why"),
    [
        (CLEAR, "", "No cone is given"),
        (CLEAR, "42", "No temperature is known for cone 42"),
        ({"lead bisilicate frit": 80, "kaolin": 20}, "04", "no number for PbO"),
        ({"manganese dioxide": 60, "ball clay": 25, "silica": 15}, "6", "beyond every glass"),
        ({"titanium dioxide": 20, "potash feldspar": 50, "whiting": 30}, "6", "TiO2"),
    ],
)
def test_no_cone_and_far_outside_are_not_judged(parts: dict[str, float], cone: str, why: str):
    for answer, code in ((melt, "melt-not-judged"), (run, "run-not-judged")):
        reading = answer.read(facts(parts, cone))
        assert reading.code == code
        assert why in reading.says
        assert ("--cone" in reading.do) == (cone == "")


def test_outside_the_tested_range_but_within_the_data_is_judged_and_said():
    """Nepheline syenite and ball clay alone: next to no lime or magnesia."""
    reading = melt.read(facts({"nepheline syenite": 80, "ball clay": 20}, "6"))
    assert reading.code == "melt-like-a-cone"
    assert "Outside the model's tested range: RO" in reading.because


@pytest.mark.parametrize(("cone", "few"), [("3", "4 of 83"), ("4", ""), ("11", ""), ("12", "0 of 83")])
def test_few_observations_outside_cones_4_to_11(cone: str, few: str):
    for answer in (melt, run):
        says = answer.read(facts(CLEAR, cone)).says
        assert ("Few observations" in says) == bool(few)
        assert few in says


@pytest.mark.parametrize(
    "grain", ["magnesium carbonate light", "magnesium carbonate", "spodumene", "petalite", "lepidolite"]
)
@pytest.mark.parametrize("answer", [melt, run])
def test_grains_that_stay_are_said(grain: str, answer):
    much = answer.read(facts({**CLEAR, grain: 6}, "6"))
    assert "That is the clear melt" in much.says
    assert "may stay in it as unmelted grains" in much.says
    little = answer.read(facts({**CLEAR, grain: 5}, "6"))  # 4.8 % of the batch
    assert "unmelted" not in little.says
    assert little.evidence["may_stay_unmelted"] == ()


def test_no_line_says_that_it_will_or_will_not_melt():
    for value in (0.5, 1.8, 2.7, 3.5, 5.0):
        for answer in (melt, run):
            reading = answer.read(as_stiff_as(value))
            words = f"{reading.says} {reading.because} {reading.do}".lower()
            assert "will not melt" not in words
            assert "will melt" not in words
            assert "will run" not in words


def test_of_two_firings_melt_takes_the_cooler_and_run_the_hotter():
    clear = facts(CLEAR)
    both = at(clear, 1100, 1250)
    assert melt.read(both).evidence["temperature_c"] == 1100
    assert run.read(both).evidence["temperature_c"] == 1250


# --- laws -----------------------------------------------------------------------------------------------------------------
SHARES = st.fixed_dictionaries(
    {
        name: st.integers(2, 60)
        for name in ("potash feldspar", "whiting", "kaolin", "silica", "unity frit lime-soda boron")
    }
)
STIFFNESS = ("melt-among", "melt-stiff", "melt-like-a-cone")
FLUIDITY = ("run-among", "run-fluid", "run-very-fluid")


@settings(max_examples=40)
@given(SHARES, st.tuples(st.floats(950, 1300), st.floats(950, 1300)).map(sorted))
def test_more_heat_never_moves_melt_towards_stiff_nor_run_towards_stay(parts: dict[str, float], celsius: list[float]):
    glaze = facts(parts)
    cool, hot = (at(glaze, value) for value in celsius)
    codes = [(melt.read(found).code, run.read(found).code) for found in (cool, hot)]
    assume("melt-not-judged" not in (codes[0][0], codes[1][0]))
    assert STIFFNESS.index(codes[1][0]) <= STIFFNESS.index(codes[0][0])
    assert FLUIDITY.index(codes[1][1]) >= FLUIDITY.index(codes[0][1])
    both = at(glaze, *celsius)
    assert (melt.read(both).code, run.read(both).code) == (codes[0][0], codes[1][1])


def test_the_yardstick_grows_stiffer_with_the_melt():
    told = list(dict.fromkeys(yardstick(value / 20) for value in range(120)))
    assert told == [
        "very fluid: most such moved or ran",
        "more fluid than most that matured",
        "fluid side of glazes that matured",
        "middle of glazes that matured",
        "stiff side of glazes that matured",
        "stiffer than most that matured",
        "as stiff as a cone that bends, or stiffer",
    ]
    note = viscosity(facts(CLEAR).mole_percent, temperature_c=1222).note
    assert note.startswith("Beside fired glazes: stiff side of glazes that matured. ")


def test_the_figure_is_the_one_of_the_model():
    clear = facts(CLEAR, "6")
    assert melt.read(clear).evidence["log10_pa_s"] == pytest.approx(
        viscosity(clear.mole_percent, temperature_c=1222).value
    )
