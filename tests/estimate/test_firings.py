"""One's own firings, and the stress from a measured mismatch."""

from __future__ import annotations

import pytest

from glazecalc.errors import CompositionError
from glazecalc.estimate.firings import FiredResult, fit_range, measured_mismatch, place


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
    with pytest.raises(CompositionError, match="no results"):
        fit_range([])


@pytest.mark.parametrize(("difference", "stress"), [(-1.0, 44.9), (0.5, -22.4), (1.0, -44.9), (2.0, -89.7)])
def test_stress_worked_by_hand(difference: float, stress: float):
    # E 70 GPa, nu 0.22, 500 K: 70000 / 0.78 x 1e-6 x 500 = 44.87 MPa per 1e-6 per K (thin-film formula, from memory)
    found = measured_mismatch(
        glaze_1e6_per_k=6.0,
        body_1e6_per_k=6.0 + difference,
        glaze_range_c=(20, 500),
        body_range_c=(20, 500),
        set_point_c=520,
    )
    assert found.stress_mpa == pytest.approx(stress, abs=0.05)
    assert found.state == ("tension" if stress > 0 else "compression")
    thick = measured_mismatch(
        glaze_1e6_per_k=6.0,
        body_1e6_per_k=6.0 + difference,
        glaze_range_c=(20, 500),
        body_range_c=(20, 500),
        set_point_c=520,
        glaze_to_body_thickness=0.1,
    )
    assert thick.stress_mpa == pytest.approx(found.stress_mpa / 1.1)


def test_two_ranges_of_temperature_give_no_stress():
    with pytest.raises(CompositionError, match="both on one range"):
        measured_mismatch(glaze_1e6_per_k=6.0, body_1e6_per_k=6.5, glaze_range_c=(20, 300), body_range_c=(20, 500))
