"""The one seam to scipy's HiGHS: linear problems with some whole-number columns, solved the same way every time."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import GlazeError, OutOfTimeError

__all__ = ("Row", "Solution", "solve")

Floats = NDArray[np.float64]
_SHARE = 0.1  # of the objective


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One linear condition: ``low <= coefficients . x <= high``."""

    coefficients: Floats
    low: float = -np.inf
    high: float = np.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """What the solver found.

    Attributes
    ----------
    x : array (n,)
    value : float
        The objective.
    gap : float
        By how much the objective may still lie above the best; 0 where it is proven.
    stopped : bool
        True where the time limit ended the search.
    """

    x: Floats
    value: float
    gap: float = 0.0
    stopped: bool = False


@contextmanager
def _silence() -> Iterator[None]:
    """Keep the compiled solver from writing to standard output, which it does now and then whatever it is told."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError, AttributeError):  # no standard output: nothing to keep clean
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        _flush_compiled()
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _flush_compiled() -> None:
    try:
        ctypes.CDLL(None).fflush(None)
    except (OSError, AttributeError, TypeError):  # a system without that way in
        return


def solve(
    cost: Floats,
    rows: Sequence[Row],
    *,
    upper: Floats | None = None,
    whole: NDArray[np.bool_] | None = None,
    time_limit_s: float = 5.0,
    slack: float = 0.0,
    unit: Floats | None = None,
) -> Solution | None:
    """Minimise ``cost . x`` over ``0 <= x <= upper`` under `rows`.

    Parameters
    ----------
    cost : array (n,)
    rows : sequence of Row
    upper : array (n,), optional
        Upper bounds; none by default.
    whole : boolean array (n,), optional
        Columns that take whole numbers only.
    time_limit_s : float
        Search no longer than this [s]. Only a search that is stopped by it depends on the machine.
    slack : float
        End the search when nothing better by more than this, and a tenth of the objective, can exist; 0 searches to the end.
    unit : array (n,), optional
        A usual size of each column, so that the solver works with numbers near one; 1 by default.

    Returns
    -------
    Solution or None
        None where no `x` meets the rows.

    Raises
    ------
    OutOfTimeError
        If the time is up before any answer is found.
    GlazeError
        If the solver gives up for another reason.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # a quarter of a second: only where it is needed

    sizes = np.append(np.ones(len(cost)) if unit is None else unit, 1.0)
    # the solver knows a relative gap only: a column fixed at one, with a cost, adds an absolute part to it
    offset = slack / _SHARE
    cost = np.append(cost, offset)
    low = np.append(np.zeros(len(cost) - 1), 1.0)
    high = np.append(np.full(len(cost) - 1, np.inf) if upper is None else upper, 1.0)
    bounds = Bounds(low / sizes, high / sizes)
    matrix = np.array([np.append(row.coefficients, 0.0) for row in rows]) * sizes
    conditions = LinearConstraint(matrix, np.array([row.low for row in rows]), np.array([row.high for row in rows]))
    with _silence():
        result = milp(
            cost * sizes,
            integrality=None if whole is None else np.append(whole, False).astype(np.int64),
            bounds=bounds,
            constraints=conditions,
            options={"time_limit": time_limit_s, "mip_rel_gap": _SHARE if slack > 0 else 0.0},
        )
    status = int(result.status)
    if status == 2:
        return None
    if result.x is None:
        if status == 1:
            raise OutOfTimeError(
                f"no batch was found within {time_limit_s:g} s.", "Name fewer materials, or allow more time."
            )
        raise GlazeError(f"the solver gave no answer: {result.message}")
    bound = getattr(result, "mip_dual_bound", None)
    gap = max(0.0, float(result.fun) - float(bound)) if bound is not None else 0.0
    return Solution(
        x=(np.asarray(result.x) * sizes)[:-1], value=float(result.fun) - offset, gap=gap, stopped=status == 1
    )
