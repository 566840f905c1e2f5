"""How much work a block does, told apart from a busy or slow machine."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager


def _yardstick() -> float:
    """Processor time of a fixed piece of work: a twentieth of a second or so on a machine of 2024."""
    start, total = time.process_time(), 0
    for number in range(1_000_000):
        total += number
    return time.process_time() - start


@contextmanager
def work_of_at_most(yardsticks: float) -> Iterator[None]:
    """Fail where the block takes more processor time than so many yardsticks, measured before and after it: waiting does not count."""
    before, start = _yardstick(), time.process_time()
    yield
    taken = time.process_time() - start
    done = taken / max(before, _yardstick())
    assert done <= yardsticks, f"{done:.0f} yardsticks of work ({taken:.1f} s), {yardsticks:g} are allowed"
