"""The seam to the solver: blocks and rows, whole numbers, no answer, threads, and a clean standard output."""

from __future__ import annotations

import numpy as np
import pytest

from glazecalc.errors import GlazeError
from glazecalc.optimise.linear import Program


def two(unit: float = 1.0, *, whole: bool = False):
    # least x + y with x + 2 y >= 4 and 3 x + y >= 6 meets at x = 1.6, y = 1.2
    program = Program()
    x = program.block("x", 1, cost=1.0, unit=unit, whole=whole)
    y = program.block("y", 1, cost=1.0, whole=whole)
    program.rows("both", {x: [[1.0], [3.0]], y: [[2.0], [1.0]]}, low=[4.0, 6.0])
    return program, x, y


@pytest.mark.parametrize("unit", [1.0, 100.0])
def test_a_small_problem_by_hand(unit):
    program, x, y = two(unit)
    found = program.solve()
    assert found is not None
    assert (found[x][0], found[y][0]) == (pytest.approx(1.6), pytest.approx(1.2))
    assert found.value == pytest.approx(2.8)


def test_whole_numbers():
    program, _, _ = two(whole=True)
    found = program.solve()
    assert found is not None
    assert found.value == pytest.approx(3.0)
    assert found.gap == pytest.approx(0.0, abs=1e-6)


def test_no_answer_is_none():
    program = Program()
    x = program.block("x", 1, high=1.0)
    program.rows("too much", {x: [1.0]}, low=2.0)
    assert program.solve() is None


def test_a_second_aim_decides_between_equals():
    # x + y = 2 has many answers; of these the one with x nearest to 0.5
    program = Program()
    x, y = program.block("x", 1), program.block("y", 1)
    missed = program.block("missed", 1, cost=1.0)
    program.rows("sum", {x: [1.0], y: [1.0], missed: [1.0]}, equals=2.0)
    first = program.solve()
    assert first is not None
    program.settle(first, 1e-9)
    less, more = program.block("less", 1, cost=1.0), program.block("more", 1, cost=1.0)
    program.rows("from the start", {x: [1.0], less: [1.0], more: [-1.0]}, equals=0.5)
    second = program.solve()
    assert second is not None
    assert (second[x][0], second[y][0]) == (pytest.approx(0.5), pytest.approx(1.5))


def test_rows_of_another_width_are_a_mistake_of_the_writer():
    program = Program()
    x = program.block("x", 3)
    with pytest.raises(ValueError, match="'sum': x has"):
        program.rows("sum", {x: [1.0, 1.0]}, equals=1.0)


def knapsack(seed: int) -> Program:
    random = np.random.default_rng(seed)
    program = Program()
    x = program.block("x", 60, cost=random.integers(1, 100, 60).astype(float), whole=True)
    program.rows("six", {x: random.integers(1, 100, (6, 60)).astype(float)}, low=900.0, high=901.0)
    return program


def test_a_search_that_time_ends_says_its_gap_or_that_there_is_none():
    refusal = ""
    found = None
    try:
        found = knapsack(3).solve(time_limit_s=0.3)
    except GlazeError as error:
        refusal = str(error)
    # a fast machine may finish; a stopped search has a gap, or says that it found nothing in its time
    assert (
        (found is not None and found.stopped and found.gap > 0)
        or "0.3 s" in refusal
        or (found is not None and not found.stopped)
    )
