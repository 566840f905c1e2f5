"""Shrinkage and sizes against printed examples.

Sources:

* ASTM C326: drying and total shrinkage on the plastic length (formulas from memory, high confidence).
* nickzom.org 28 Jul 2022: firing shrinkage on the dry length; dry 32, fired 12, 62.5 % (unreal lengths, exact arithmetic).
* D. Berg, Clayart 20 Dec 2006, potters.org/subject98083.htm: fired 10 at 12.5 % is thrown 11.43.
* Clay weight chart at marianwilliamspottery.com, 10 Mar 2014: plates as thrown, clay that shrinks 11 to 12 %.
* Common practice, no source: a plate of about nine inches fired takes about 2 lb 12 oz and loses about an inch of width.
"""

from __future__ import annotations

import pytest

from glazecalc.units import parse_quantity
from glazecalc.workshop.shrinkage import Bar, sizes_from_fired
from glazecalc.workshop.size import clay_mass_g

PLATES = {6.5: 0.60, 8.0: 0.99, 10.0: 1.36, 11.5: 1.81}  # thrown inches -> kg


def test_astm_c326_bar_on_the_plastic_length():
    # Reference marks of about 102 mm (4 in) as the method asks; the lengths are made up, the formulas are the standard's.
    bar = Bar(wet=102.0, dry=96.0, fired=88.0)
    assert bar.drying_percent == pytest.approx(5.88, abs=0.005)
    assert bar.total_percent == pytest.approx(13.73, abs=0.005)
    assert bar.firing_percent == pytest.approx(8.33, abs=0.005)


def test_firing_shrinkage_on_the_dry_length_as_printed():
    assert Bar(wet=32, dry=32, fired=12).firing_percent == pytest.approx(62.5, abs=1e-9)


def test_thrown_size_as_printed():
    assert sizes_from_fired(10, 12.5).wet_mm == pytest.approx(11.43, abs=0.005)


@pytest.mark.parametrize("small", sorted(PLATES))
@pytest.mark.parametrize("large", sorted(PLATES))
def test_plates_of_the_chart_go_with_the_square_of_the_width(small: float, large: float):
    # One potter's chart, rounded to 10 g and half inches: within 20 %; the cube would be off by up to 2.4 times.
    assert clay_mass_g(PLATES[small], small, large, power=2) == pytest.approx(PLATES[large], rel=0.20)


def test_common_practice_nine_inch_plate():
    wet_inches = sizes_from_fired(9 * 25.4, 11.5).wet_mm / 25.4
    assert 0.8 < wet_inches - 9 < 1.3  # about an inch from the wheel to the table
    clay_kg = clay_mass_g(PLATES[10.0], 10.0, wet_inches, power=2)
    assert clay_kg * 1000 == pytest.approx(parse_quantity("2 lb 12 oz", "mass").base, rel=0.2)
