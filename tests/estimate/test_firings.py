"""One's own firings: what came out sound, and where a calculated glaze lies among them."""

from __future__ import annotations

import dataclasses
import itertools

import pytest

from glazecalc.errors import CompositionError
from glazecalc.estimate.firings import FiredResult, fit_range, place
from glazecalc.firing import Firing


def fired(expansion: float, result: str, body: str = "Tarn", model: str = "fitted") -> FiredResult:
    return FiredResult(recipe=f"g{expansion}", body=body, cone="6", result=result, model=model, expansion=expansion)


TARN = [
    fired(5.7, "shivered"),
    fired(6.1, "sound"),
    fired(6.5, "sound"),
    fired(6.8, "sound"),
    fired(7.1, "crazed"),
    fired(7.4, "crazed"),
]


def test_ranges_and_places_on_an_invented_clay():
    fit = fit_range(TARN)
    assert fit.good == (6.1, 6.8)
    assert fit.unknown == ((5.7, 6.1), (6.8, 7.1))
    assert not fit.contradictions
    assert place(6.4, fit) == "inside what came out sound"
    assert place(6.95, fit).startswith("unknown")
    assert place(5.9, fit).startswith("unknown")
    assert place(6.84, fit) == place(6.06, fit) == "unknown: at the edge of what came out sound"
    assert place(6.86, fit) == place(6.04, fit) == "unknown: no firing close enough to say"
    assert place(5.0, fit) == "where glazes shivered"
    assert place(7.2, fit) == "where glazes crazed"


def test_a_contradiction_is_shown_and_not_fitted_away():
    fit = fit_range([*TARN, fired(6.6, "crazed")])
    assert fit.good == (6.1, 6.8)
    assert fit.crazed_from == 6.6
    assert len(fit.contradictions) == 1
    assert "6.6" in fit.contradictions[0]
    assert place(6.7, fit).startswith("contradicted")
    assert place(6.3, fit) == "inside what came out sound"


def test_other_bodies_and_models_are_refused_not_averaged():
    with pytest.raises(CompositionError, match="several bodies"):
        fit_range([*TARN, fired(6.0, "sound", body="Slate")])
    with pytest.raises(CompositionError, match="several models"):
        fit_range([*TARN, fired(6.0, "sound", model="appen")])
    with pytest.raises(CompositionError, match="several cones: 06, 6"):
        fit_range([*TARN, dataclasses.replace(TARN[0], cone="06")])
    with pytest.raises(CompositionError, match="several cones: 6, none given"):
        fit_range([*TARN, dataclasses.replace(TARN[0], cone="")])
    with pytest.raises(CompositionError, match="no firings"):
        fit_range([])


@pytest.mark.parametrize("off", [0.0, 1e-12, -1e-12])
@pytest.mark.parametrize(("one", "other"), list(itertools.permutations(("shivered", "sound", "crazed"), 2)))
def test_two_equal_estimates_with_two_results_contradict(one: str, other: str, off: float):
    (said,) = fit_range([fired(6.5, one), fired(6.5 + off, other)]).contradictions
    assert "expands the same" in said
    assert "more" not in said
    assert one in said
    assert other in said


def test_contradictions_without_end_are_not_all_told():
    clash = [*(fired(6.0, "crazed") for _ in range(300)), *(fired(6.5, "shivered") for _ in range(300))]
    assert len(fit_range(clash).contradictions) == 200


def test_a_firing_names_a_cone_that_there_is():
    assert Firing(recipe="r", body="b", cone="cone 6", result="sound").cone == "6"
    with pytest.raises(CompositionError, match="no cone is called '77'"):
        Firing(recipe="r", body="b", cone="77", result="sound")
