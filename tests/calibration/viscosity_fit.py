"""The arithmetic of the viscosity calibration: robust fits, folds by source, conformal half widths. No files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ("VogelFit", "conformal_quantile", "fit_isotherms", "fit_linear", "fit_vogel", "folds", "isotherm_values")

Array = NDArray[np.float64]
LOG_REFERENCE = 3.0
"""The isokom [log10 Pa s] whose temperature is one of the two composition functions of the Vogel form."""

_KELVIN = 273.15


def folds(groups: NDArray[np.int64], count: int = 8, seed: int = 20) -> NDArray[np.int64]:
    """Number each row's fold: whole groups, largest first to the emptiest fold, ties in seeded order."""
    names, sizes = np.unique(groups, return_counts=True)
    shuffled = np.random.default_rng(seed).permutation(len(names))
    load = np.zeros(count)
    fold_of = {}
    for place in sorted(shuffled, key=lambda k: -sizes[k]):
        emptiest = int(np.argmin(load))
        fold_of[names[place]] = emptiest
        load[emptiest] += sizes[place]
    return np.array([fold_of[name] for name in groups], dtype=np.int64)


def _huber(residual: Array, scale: float) -> Array:
    size = np.abs(residual)
    return np.asarray(np.where(size <= scale, 1.0, scale / np.maximum(size, 1e-12)))


def fit_linear(terms: Array, y: Array, weight: Array, *, scale: float, rounds: int = 60) -> Array:
    """Fit ``y = terms @ b`` with Huber weights; `scale` is where the square turns into a straight line."""
    b = np.zeros(terms.shape[1])
    w = weight
    small = 1e-8 * weight.sum() * np.eye(terms.shape[1])
    for _ in range(rounds):
        new = np.linalg.solve(terms.T @ (terms * w[:, None]) + small, terms.T @ (w * y))
        done = np.abs(new - b).max() < 1e-9 * np.abs(new).max()
        b = new
        if done:
            break
        w = weight * _huber(y - terms @ b, scale)
    return np.asarray(b)


def _powers(terms: Array, temperature: Array, degree: int) -> Array:
    u = (1e3 / (temperature + _KELVIN) - 1e3 / (1100 + _KELVIN)) / 0.15
    return np.concatenate([terms * (u**k)[:, None] for k in range(degree + 1)], axis=1)


def fit_isotherms(
    terms: Array, temperature: Array, y: Array, weight: Array, *, degree: int, scale: float = 0.2
) -> Array:
    """Fit isotherms linear in the terms, tied by a polynomial in 1/T; degree 0 is one isotherm."""
    return fit_linear(_powers(terms, temperature, degree), y, weight, scale=scale)


def isotherm_values(coefficients: Array, terms: Array, temperature: Array, *, degree: int) -> Array:
    """Return what `fit_isotherms` predicts."""
    return np.asarray(_powers(terms, temperature, degree) @ coefficients)


@dataclass(frozen=True)
class VogelFit:
    """``log10 viscosity = a + (3 - a)(isokom - offset)/(T - offset)``: Vogel's form, both functions linear in terms."""

    a: float
    isokom: Array
    offset: Array

    def values(self, isokom_terms: Array, offset_terms: Array, temperature: Array) -> Array:
        """Return log10 viscosity [Pa s]."""
        offset = offset_terms @ self.offset
        return np.asarray(
            self.a + (LOG_REFERENCE - self.a) * (isokom_terms @ self.isokom - offset) / (temperature - offset)
        )


def fit_vogel(
    isokom_terms: Array,
    offset_terms: Array,
    temperature: Array,
    y: Array,
    weight: Array,
    *,
    oxides: int,
    scale: float = 0.2,
    rounds: int = 400,
) -> VogelFit:
    """Fit Vogel's form by Levenberg-Marquardt with a Huber loss and a slight pull of every term to its start.

    The first `oxides` columns of both matrices are plain oxides; the rest are products.
    """
    p, q = isokom_terms.shape[1], offset_terms.shape[1]
    start = np.concatenate(
        [[-3.0], np.full(oxides, 1100.0), np.zeros(p - oxides), np.full(oxides, 350.0), np.zeros(q - oxides)]
    )
    size = np.concatenate([[1.0], np.full(p + q, 1000.0)])
    pull = (
        1e-6
        * weight.sum()
        * np.concatenate([[0.0], np.full(oxides, 0.1), np.ones(p - oxides), np.full(oxides, 0.1), np.ones(q - oxides)])
        / size**2
    )

    def model(x: Array) -> tuple[Array, Array]:
        offset = offset_terms @ x[1 + p :]
        above = np.maximum(temperature - offset, 30.0)
        share = (isokom_terms @ x[1 : 1 + p] - offset) / above
        rise = LOG_REFERENCE - x[0]
        jacobian = np.concatenate(
            [
                (1 - share)[:, None],
                (rise / above)[:, None] * isokom_terms,
                (rise * (share - 1) / above)[:, None] * offset_terms,
            ],
            axis=1,
        )
        return np.asarray(x[0] + rise * share), jacobian

    def loss(x: Array, residual: Array) -> float:
        far = np.abs(residual)
        each = np.where(far <= scale, 0.5 * far**2, scale * far - 0.5 * scale**2)
        return float(weight @ each + 0.5 * pull @ (x - start) ** 2)

    x = start.copy()
    value, jacobian = model(x)
    current, damping = loss(x, y - value), 1e-3
    for _ in range(rounds):
        residual = y - value
        w = weight * _huber(residual, scale)
        hessian = jacobian.T @ (jacobian * w[:, None]) + np.diag(pull)
        gradient = jacobian.T @ (w * residual) - pull * (x - start)
        for _ in range(12):
            step = np.linalg.solve(hessian + damping * np.diag(np.diag(hessian) + 1e-12), gradient)
            next_value, next_jacobian = model(x + step)
            found = loss(x + step, y - next_value)
            if found < current:
                break
            damping *= 5
        else:
            break
        gain, x, value, jacobian, current = current - found, x + step, next_value, next_jacobian, found
        damping = max(damping / 5, 1e-10)
        if gain < 1e-11 * current:
            break
    return VogelFit(a=float(x[0]), isokom=x[1 : 1 + p], offset=x[1 + p :])


def conformal_quantile(error: Array, groups: NDArray[np.int64], level: float) -> float | None:
    """Return the half width that holds a new glass of a new source at `level`, each source counting the same.

    The errors of one source share the weight 1/(sources + 1); the missing weight stands for a source that may be worse
    than all seen. None where there are too few sources for the level. After Dunn, Wasserman and Ramdas, Distribution-free
    prediction sets for two-layer hierarchical models, JASA 118 (2023) 2491-2502 (from memory, confidence medium).
    """
    if len(error) == 0:
        return None
    _, place, sizes = np.unique(groups, return_inverse=True, return_counts=True)
    weight = 1.0 / (sizes[place] * (len(sizes) + 1))
    order = np.argsort(error, kind="stable")
    reached = np.cumsum(weight[order])
    hit = np.searchsorted(reached, level - 1e-12)
    return float(error[order[hit]]) if hit < len(error) else None


def coverage(error: Array, groups: NDArray[np.int64], half: Sequence[float] | Array) -> tuple[float, float]:
    """Return the share of errors within `half`, by row and with each source counting the same."""
    inside = (error <= np.asarray(half)).astype(np.float64)
    _, place, sizes = np.unique(groups, return_inverse=True, return_counts=True)
    by_source = np.bincount(place, inside) / sizes
    return float(inside.mean()), float(by_source.mean())
