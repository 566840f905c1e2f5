"""The chemistry on bare float64 arrays: no names, no files, no defaults that choose chemistry.

Shapes: `n` recipes (or samples), `k` oxides in the order of `glazecalc.oxides.AXIS`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ("filled_up", "fold_iron", "iron_in_one_form", "products", "shares", "shares_percent", "unity")

Floats = NDArray[np.float64]
_ROWS_AT_ONCE = 1024  # some forty columns of them, in and out, fit a processor's second cache; measured


def fold_iron(moles: Floats, fe2o3: int, feo: int) -> Floats:
    """Return a copy of `moles` (n, k) with all iron as Fe2O3: two FeO make one Fe2O3."""
    folded = moles.copy()
    folded[..., fe2o3] += 0.5 * folded[..., feo]
    folded[..., feo] = 0.0
    return folded


def iron_in_one_form(moles: Floats, fe2o3: int, feo: int, *, as_feo: bool) -> Floats:
    """Return a copy of `moles` (n, k) with all iron as Fe2O3, or as FeO: one Fe2O3 makes two FeO."""
    counted = fold_iron(moles, fe2o3, feo)
    if as_feo:
        counted[..., feo] = 2.0 * counted[..., fe2o3]
        counted[..., fe2o3] = 0.0
    return counted


def unity(moles: Floats, fe2o3: int, feo: int, *, as_feo: bool, basis: NDArray[np.bool_]) -> Floats:
    """Return unity formulas (n, k) from `moles` (n, k): iron in one form, then divided by the sum over the `basis` (k,).

    A row without any basis oxide becomes NaN: the caller must name it.
    """
    counted = iron_in_one_form(moles, fe2o3, feo, as_feo=as_feo)
    return _divided(counted, counted[..., basis].sum(axis=-1, keepdims=True))


def products(amounts: Floats, matrix: Floats, divisor: Floats) -> Floats:
    """Return ``amounts @ matrix`` (n, k), each row divided by its ``amounts @ divisor``; NaN where that is not above zero.

    Worked through in blocks of rows that stay in the processor's cache, so that beside the result hardly any memory is needed. All
    blocks have one size: a row comes out the same to the last bit whatever rows stand around it. Where an amount is negative,
    missing or infinite, or a sum too large, it is a ValueError.
    """
    result, width = np.empty((len(amounts), matrix.shape[1])), matrix.shape[1]
    both = np.ascontiguousarray(np.hstack([matrix, divisor[:, None]]))
    room = np.empty((_ROWS_AT_ONCE, width + 1))
    with np.errstate(invalid="ignore", over="ignore"):
        for start in range(0, len(amounts), _ROWS_AT_ONCE):
            block = np.asarray(amounts[start : start + _ROWS_AT_ONCE], dtype=np.float64)
            count = len(block)
            brought = np.matmul(filled_up(block, _ROWS_AT_ONCE), both, out=room)[:count]
            total = brought[:, width:]
            if not (block.size == 0 or (block.min() >= 0.0 and np.isfinite(total).all())):
                raise ValueError("an amount is no amount")
            if not (total > 0.0).all():
                total = np.where(total > 0.0, total, np.nan)
            np.divide(brought[:, :width], total, out=result[start : start + count])
    return result


def filled_up(rows: Floats, count: int) -> Floats:
    """Return `rows` with rows of zeros below them, `count` in all: a product of another size is added up in another order."""
    spare = count - len(rows)
    return np.vstack([rows, np.zeros((spare, rows.shape[1]))]) if spare else rows


def shares(amounts: Floats) -> Floats:
    """Return `amounts` (n, k) as shares of their row sum; NaN for an empty row."""
    return _divided(amounts, amounts.sum(axis=-1, keepdims=True))


def shares_percent(amounts: Floats) -> Floats:
    """Return `amounts` (n, k) as per cent of their row sum; NaN for an empty row."""
    return 100.0 * shares(amounts)


def _divided(amounts: Floats, total: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        result: Floats = np.where(total > 0.0, amounts / total, np.nan)
    return result
