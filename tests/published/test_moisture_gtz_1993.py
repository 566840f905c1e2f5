"""Moisture on the dry basis, as worked in H. Norsker and J. Danisch, Glazes - for the Self-reliant Potter, GTZ 1993, section 16.3.

100 g of damp kaolin dries to 92 g; the recipe asks for 3500 g. Printed: 8.7 %, 304.5 g more, weigh out 3804.5 g.
"""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc.workshop.forms import dry_basis_percent


def _weigh_g(moisture_percent: float) -> float:
    return gc.scale({"kaolin": 100}, all_in_g=3500, moisture_percent={"kaolin": moisture_percent}).lines[0].weigh_g


def test_moisture_as_printed():
    assert dry_basis_percent(100 - 92) == pytest.approx(8.7, abs=0.05)


def test_weight_from_the_printed_per_cent():
    assert _weigh_g(8.7) == pytest.approx(3804.5, abs=0.05)


def test_weight_without_rounding_between():
    # Unrounded 8.696 % gives 3804.35: the printed figure carries the rounding of its per cent.
    assert _weigh_g(dry_basis_percent(100 - 92)) == pytest.approx(3500 * 100 / 92, rel=1e-12)
