"""Two recipes as a value: differences, the page, plain values."""

from __future__ import annotations

import copy
import pickle

import pytest

from glazecalc import load_materials
from glazecalc.comparison import compare

FIRST = {"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30}
SECOND = {"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 25, "talc": 5}


def test_differences_are_second_minus_first():
    both = compare(FIRST, SECOND, load_materials())
    lines = {line.material: line for line in both.difference.lines}
    assert lines["silica"].percent_of_base == -5
    assert (lines["talc"].first, lines["talc"].second) == (None, 5)
    for oxide, moved in both.difference.unity.items():
        assert moved == pytest.approx(both.b.unity[oxide] - both.a.unity[oxide])
    assert "log viscosity" not in {one.quantity for one in both.differences}  # no cone


def test_it_prints_pickles_and_gives_plain_values():
    both = compare(FIRST, SECOND, load_materials())
    assert str(both).startswith("A  first")
    assert set(both.to_dict()) == {"a", "b", "difference", "differences", "differences_without_colourants", "notices"}
    assert pickle.loads(pickle.dumps(both)).to_dict() == copy.deepcopy(both).to_dict() == both.to_dict()


def test_a_batch_without_flux_has_no_difference_of_unity():
    both = compare({"kaolin": 50, "silica": 50}, FIRST, load_materials())
    assert both.difference.unity == {}
    assert both.difference.silica_alumina_ratio is None


def test_a_change_that_the_printed_digits_show_is_no_equals_sign():
    """Of two amounts such as 1.2504 and 1.2496 one prints as 1.3, the other as 1.2: less than the last digit, but no ``=``."""
    library, seen = load_materials(), 0
    for step in range(12):
        talc = 3.90 + 0.02 * step
        page = str(compare({**FIRST, "talc": talc}, {**FIRST, "talc": talc + 0.02}, library))
        for row in page.partition("ESTIMATES")[0].splitlines():
            cells = row.split()[-3:]
            if len(cells) == 3 and cells[2] == "=":
                assert cells[0] == cells[1], row
            seen += (
                len(cells) == 3
                and cells[0] != cells[1]
                and cells[2] in ("+0.01", "-0.01", "+0.02", "-0.02", "+0.001", "-0.001")
            )
    assert seen >= 5
