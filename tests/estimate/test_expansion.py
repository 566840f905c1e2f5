"""Expansion: check cases worked by hand, windows, intervals, refusals, and the laws of a sum over oxides."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

import glazecalc
from glazecalc.convert.unity import FiredAnalysis, MolePercent
from glazecalc.errors import CompositionError, GlazeError, UnknownNameError
from glazecalc.estimate.expansion import expansion, expansions
from glazecalc.oxides import AXIS, INDEX, molar_mass

DATA = Path(glazecalc.__file__).parent / "data"
SODA_LIME = MolePercent({"SiO2": 70, "Na2O": 14, "CaO": 11, "MgO": 4, "Al2O3": 1})
GLAZE = MolePercent({"SiO2": 63, "Al2O3": 8, "B2O3": 6, "Na2O": 4, "K2O": 3, "CaO": 12, "MgO": 2, "ZnO": 2})
TITANIA = MolePercent({"SiO2": 68, "Al2O3": 7, "K2O": 6, "CaO": 14, "TiO2": 5})
IRON_BLACK = MolePercent({"SiO2": 61.7, "Al2O3": 9, "Fe2O3": 4.3, "Na2O": 4, "K2O": 3, "CaO": 14, "MgO": 4})


def shipped() -> dict:
    return yaml.safe_load((DATA / "expansion_fitted.yaml").read_text(encoding="utf-8"))


def row(composition: MolePercent) -> np.ndarray:
    amounts = np.zeros((1, len(AXIS)))
    for oxide, amount in composition.items():
        amounts[0, INDEX[oxide]] = amount
    return amounts


# Appen's rules worked by hand, [1e-7 per K]:
#   SODA_LIME: SiO2 105-70=35: 2450; Na2O 5530; CaO 1430; MgO 240; Al2O3 -30; sum 9620
#   GLAZE: SiO2 38: 2394; Al2O3 -240; psi (7+16-8)/6=2.5, B2O3 -31.25: -187.5; 1580+1395+1560+120+100; sum 6721.5
#   TITANIA: SiO2 37: 2516; -210; no soda, K2O 425: 2550; 1820; TiO2 105-102=3: 15; sum 6691
@pytest.mark.parametrize(("composition", "by_hand"), [(SODA_LIME, 96.20), (GLAZE, 67.215), (TITANIA, 66.91)])
def test_appen_gives_the_sums_worked_by_hand(composition: MolePercent, by_hand: float) -> None:
    estimate = expansion(composition, model="appen")
    assert estimate.value == pytest.approx(by_hand / 10, abs=1e-9)
    assert estimate.temperature_range_c == (20, 400)
    assert estimate.low is None


@pytest.mark.parametrize(
    ("composition", "by_hand"),
    [
        # 2 mol % soda: lead's number is 115 + 5 x R2O only where R2O >= 3 and the other RO is at most 0.33 of it
        ({"SiO2": 60, "Na2O": 2, "PbO": 38}, 38 * 60 + 395 * 2 + 130 * 38),
        ({"SiO2": 60, "Na2O": 10, "PbO": 30}, 38 * 60 + 395 * 10 + (115 + 50) * 30),
        ({"SiO2": 55, "Na2O": 20, "PbO": 25}, 38 * 55 + 395 * 20 + 190 * 25),
        ({"SiO2": 60, "Na2O": 10, "CaO": 5, "PbO": 25}, 38 * 60 + 395 * 10 + 130 * 5 + 130 * 25),
        # boron: psi below 0 counts as 0, above 4 as 4
        ({"SiO2": 60, "Al2O3": 20, "B2O3": 10, "Na2O": 10}, 38 * 60 - 30 * 20 + 395 * 10),
        ({"SiO2": 60, "B2O3": 5, "Na2O": 35}, 38 * 60 - 12.5 * 4 * 5 + 395 * 35),
        # titania held at 30 below 50 mol % silica and at -15 above 80
        ({"SiO2": 40, "Na2O": 50, "TiO2": 10}, 38 * 40 + 395 * 50 + 30 * 10),
        ({"SiO2": 85, "Na2O": 10, "TiO2": 5}, (105 - 85) * 85 + 395 * 10 - 15 * 5),
    ],
)
def test_appen_keeps_to_the_limits_of_its_rules(composition: MolePercent, by_hand: float) -> None:
    assert expansions(row(composition), model="appen")[0] == pytest.approx(by_hand / 1000, abs=1e-12)


@pytest.mark.parametrize("composition", [SODA_LIME, GLAZE, TITANIA, IRON_BLACK])
def test_fitted_is_the_sum_of_the_shipped_coefficients(composition: MolePercent) -> None:
    data = shipped()
    alpha = sum(data["coefficients"][oxide] * amount for oxide, amount in composition.items())
    lime = sum(composition.get(oxide, 0) for oxide in ("CaO", "SrO", "BaO"))
    alkali = sum(composition.get(oxide, 0) for oxide in ("Li2O", "Na2O", "K2O"))
    lime_term, boron_term, mixed_term = (product["coefficient"] for product in data["products"])
    alpha += lime_term * alkali * lime / 100
    alpha += boron_term * alkali * composition.get("B2O3", 0) / 100
    alpha += mixed_term * composition.get("Na2O", 0) * composition.get("K2O", 0) / 100
    assert expansion(composition).value == pytest.approx(alpha / 10, abs=1e-9)
    higher = expansion(composition, temperature_range_c=(20, 400)).value
    assert higher == pytest.approx((alpha + data["add_for_20_400_c"]) / 10, abs=1e-9)


def test_a_tested_glaze_lies_in_the_window_with_the_shipped_half_width() -> None:
    estimate = expansion(GLAZE)
    assert estimate.in_window
    assert estimate.outside == ()
    assert (estimate.unit, estimate.level, estimate.temperature_range_c) == ("1e-6 per K", 0.90, (20, 300))
    half = shipped()["interval"]["half_width"]["inside"]["90"]
    assert estimate.high - estimate.value == pytest.approx(half)
    assert estimate.value - estimate.low == pytest.approx(half)


def test_each_oxide_outside_is_named_with_its_number() -> None:
    estimate = expansion(IRON_BLACK)
    assert not estimate.in_window
    assert estimate.outside == ("Fe2O3 4.3 mol % (tested 0 to 1)",)
    both = expansion(MolePercent({"SiO2": 60, "Al2O3": 2, "MgO": 17, "CaO": 12, "Na2O": 5, "K2O": 4}))
    assert both.outside == ("Al2O3 2.0 mol % (tested 3 to 16)", "MgO 17.0 mol % (tested 0 to 15)")


def test_an_amount_just_beyond_its_limit_is_not_printed_as_the_limit() -> None:
    estimate = expansion(MolePercent({"SiO2": 66.98, "Al2O3": 8, "Na2O": 8, "CaO": 16, "Fe2O3": 1.02}))
    assert estimate.outside == ("Fe2O3 1.02 mol % (tested 0 to 1)",)


def test_an_amount_at_its_limit_is_inside() -> None:
    assert expansion(MolePercent({"SiO2": 67, "Al2O3": 8, "Na2O": 8, "CaO": 16, "Fe2O3": 1})).in_window


def test_intervals_widen_with_the_level_and_away_from_the_window() -> None:
    magnesia = MolePercent({"SiO2": 60, "Al2O3": 8, "MgO": 17, "Na2O": 4, "K2O": 3, "CaO": 8})

    def width(composition: MolePercent, level: float) -> float:
        estimate = expansion(composition, level=level)
        assert estimate.level == level
        return estimate.high - estimate.low

    for composition in (GLAZE, IRON_BLACK, magnesia):
        assert width(composition, 0.80) < width(composition, 0.90) < width(composition, 0.95)
    for level in (0.80, 0.90, 0.95):
        assert width(GLAZE, level) < width(magnesia, level)
        assert width(GLAZE, level) < width(IRON_BLACK, level)


def test_iron_blacks_have_an_interval_of_their_own_that_says_on_how_little_it_stands() -> None:
    estimate = expansion(IRON_BLACK)
    assert estimate.high - estimate.value == pytest.approx(shipped()["interval"]["half_width"]["dark"]["90"])
    assert "125 from 44 sources" in estimate.note
    dry = expansion(
        MolePercent({**IRON_BLACK, "SiO2": 59.7, "MgO": 6, "Al2O3": 2, "CaO": 21})
    )  # alumina out as well: no longer that interval
    assert dry.high - dry.value == pytest.approx(shipped()["interval"]["half_width"]["outside"]["90"])


@pytest.mark.parametrize(
    ("composition", "named"),
    [
        (
            MolePercent({"SiO2": 60, "Al2O3": 8, "PbO": 0.8, "Na2O": 4, "K2O": 3, "CaO": 24.2}),
            "PbO 0.80 mol % (data 0 to 0.5)",
        ),
        (MolePercent({"SiO2": 85, "Al2O3": 5, "Na2O": 5, "CaO": 5}), "SiO2 85.0 mol % (data 45 to 82)"),
        (MolePercent({"SiO2": 59, "Al2O3": 8, "V2O5": 1, "Na2O": 4, "K2O": 3, "CaO": 25}), "V2O5 1.0 mol % (no number"),
    ],
)
def test_beyond_the_data_there_is_a_number_but_no_interval(composition: MolePercent, named: str) -> None:
    estimate = expansion(composition)
    assert (estimate.low, estimate.high, estimate.level) == (None, None, None)
    assert not estimate.in_window
    assert named in estimate.note


def test_a_trace_without_a_number_is_left_out_and_named() -> None:
    trace = MolePercent({**GLAZE, "SiO2": 62.7, "V2O5": 0.3})
    estimate = expansion(trace)
    assert estimate.in_window
    assert estimate.note.endswith("Left out: V2O5.")
    rest = MolePercent({oxide: amount * 100 / 99.7 for oxide, amount in trace.items() if oxide != "V2O5"})
    assert estimate.value == pytest.approx(expansion(rest).value)


def test_iron_counts_the_same_in_either_form() -> None:
    as_feo = {**IRON_BLACK, "FeO": 8.6}
    del as_feo["Fe2O3"]
    assert expansions(row(as_feo))[0] == pytest.approx(expansions(row(IRON_BLACK))[0])


def test_every_form_of_a_composition_gives_the_same_number() -> None:
    mass = {oxide: amount * molar_mass(oxide) for oxide, amount in GLAZE.items()}
    wt = {oxide: 100 * grams / sum(mass.values()) for oxide, grams in mass.items()}
    assert expansion(FiredAnalysis(wt)).value == pytest.approx(expansion(GLAZE).value)
    assert expansion(wt, basis="weight percent").value == pytest.approx(expansion(GLAZE).value)
    assert expansion(dict(GLAZE), basis="mole percent").value == expansion(GLAZE).value


@pytest.mark.parametrize("asked", [(20, 500), (0, 300), (20, 300, 400), (300, 20)])
def test_other_temperature_ranges_are_refused(asked: tuple[float, ...]) -> None:
    with pytest.raises(GlazeError, match=r"\(20, 300\) and \(20, 400\)"):
        expansion(GLAZE, temperature_range_c=asked)  # type: ignore[arg-type]


def test_other_models_and_levels_are_refused_with_what_there_is() -> None:
    with pytest.raises(UnknownNameError, match="Did you mean 'appen'"):
        expansion(GLAZE, model="apen")
    with pytest.raises(UnknownNameError, match=r"0\.80, 0\.90 or 0\.95"):
        expansion(GLAZE, level=0.5)
    with pytest.raises(CompositionError, match="98 to 102"):
        expansion({"SiO2": 3.0, "Al2O3": 0.3, "CaO": 1.0}, basis="mole percent")


def test_appen_says_its_constant_and_that_it_is_from_memory() -> None:
    note = expansion(GLAZE, model="appen").note
    shift = shipped()["appen_constant_correction"]["20-300"] / 10
    assert f"reads {-shift:.2f} too high at 20-300 C" in note
    assert "recalled, not checked against the print" in note


def test_the_array_core_agrees_with_the_single_answer() -> None:
    many = np.vstack([row(SODA_LIME), row(GLAZE), row(IRON_BLACK)])
    for model in ("fitted", "appen"):
        expected = [expansion(c, model=model).value for c in (SODA_LIME, GLAZE, IRON_BLACK)]
        np.testing.assert_allclose(expansions(many, model=model), expected, rtol=1e-12)


# --- laws -----------------------------------------------------------------------------------------------------------

_AMOUNTS = st.lists(st.floats(0.1, 100), min_size=6, max_size=6)


@given(_AMOUNTS, _AMOUNTS, st.floats(0, 1))
def test_without_alkalis_a_mixture_lies_on_the_line_between_its_parts(
    first: list[float], second: list[float], share: float
) -> None:
    oxides = ("SiO2", "Al2O3", "B2O3", "CaO", "MgO", "Fe2O3")
    ends = np.vstack([row(dict(zip(oxides, amounts, strict=True))) for amounts in (first, second)])
    ends *= 100 / ends.sum(axis=1, keepdims=True)
    mixed = share * ends[:1] + (1 - share) * ends[1:]
    low, high = expansions(ends)
    assert expansions(mixed)[0] == pytest.approx(share * low + (1 - share) * high, abs=1e-9)


@given(_AMOUNTS, st.permutations(range(6)), st.floats(0.01, 100))
def test_order_and_scale_do_not_count(amounts: list[float], order: list[int], factor: float) -> None:
    oxides = ("SiO2", "Al2O3", "B2O3", "CaO", "Na2O", "K2O")
    total = sum(amounts)
    composition = MolePercent({oxide: 100 * amount / total for oxide, amount in zip(oxides, amounts, strict=True)})
    turned = MolePercent({oxides[i]: composition[oxides[i]] for i in order})
    for model in ("fitted", "appen"):
        assert expansion(turned, model=model).value == pytest.approx(
            expansion(composition, model=model).value, rel=1e-12
        )
        assert expansions(factor * row(composition), model=model)[0] == pytest.approx(
            expansions(row(composition), model=model)[0], rel=1e-9
        )
