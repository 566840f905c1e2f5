"""The stress from a measured mismatch of glaze and body."""

from __future__ import annotations

import pytest

from glazecalc.errors import CompositionError
from glazecalc.estimate.stress import measured_mismatch


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
