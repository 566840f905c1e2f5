"""The seam to the solver: rows, whole numbers, no answer, and a clean standard output."""

from __future__ import annotations

import os

import numpy as np
import pytest

from glazecalc.errors import GlazeError
from glazecalc.optimise import linear as solver
from glazecalc.optimise.linear import Row, solve


def test_a_small_problem_by_hand():
    # least x + y with x + 2 y >= 4 and 3 x + y >= 6 meets at x = 1.6, y = 1.2
    rows = [Row(coefficients=np.array([1.0, 2.0]), low=4.0), Row(coefficients=np.array([3.0, 1.0]), low=6.0)]
    found = solve(np.ones(2), rows)
    assert found is not None
    assert found.x == pytest.approx([1.6, 1.2])
    assert found.value == pytest.approx(2.8)
    scaled = solve(np.ones(2), rows, unit=np.array([100.0, 0.01]))
    assert scaled is not None
    assert scaled.x == pytest.approx(found.x)


def test_whole_numbers():
    rows = [Row(coefficients=np.array([1.0, 2.0]), low=4.0), Row(coefficients=np.array([3.0, 1.0]), low=6.0)]
    found = solve(np.ones(2), rows, whole=np.array([True, True]))
    assert found is not None
    assert found.value == pytest.approx(3.0)
    assert found.gap == pytest.approx(0.0, abs=1e-6)


def test_no_answer_is_none():
    rows = [Row(coefficients=np.array([1.0]), low=2.0), Row(coefficients=np.array([1.0]), high=1.0)]
    assert solve(np.ones(1), rows) is None


def test_a_search_that_time_ends_says_its_gap_or_that_there_is_none():
    random = np.random.default_rng(3)
    size = 60
    rows = [Row(coefficients=random.integers(1, 100, size).astype(float), low=900.0, high=901.0) for _ in range(6)]
    cost = random.integers(1, 100, size).astype(float)
    refusal = ""
    found = None
    try:
        found = solve(cost, rows, whole=np.ones(size, dtype=bool), time_limit_s=0.3)
    except GlazeError as error:
        refusal = str(error)
    # a fast machine may finish; a stopped search has a gap, or says that it found nothing in its time
    assert (
        (found is not None and found.stopped and found.gap > 0)
        or "0.3 s" in refusal
        or (found is not None and not found.stopped)
    )


def test_what_the_compiled_solver_prints_does_not_reach_the_output(capfd):
    with solver._silence():
        os.write(1, b"chatter of a library\n")
    print("the answer")
    assert capfd.readouterr().out == "the answer\n"
