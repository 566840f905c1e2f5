"""The chemistry on bare float64 arrays: no names, no files, no defaults that choose chemistry.

Shapes: `n` recipes (or samples), `m` materials, `k` oxides in the order of `glazecalc.oxides.AXIS`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ("fold_iron", "iron_in_one_form", "moles_from_mass", "oxide_masses", "per_basis", "shares_percent", "unity")

Floats = NDArray[np.float64]


def oxide_masses(parts: Floats, analyses_percent: Floats) -> Floats:
    """Return the mass of each oxide that each batch brings.

    Parameters
    ----------
    parts : (n, m) array
        Amount of each material [g or parts].
    analyses_percent : (m, k) array
        Oxides of each material [wt % of the raw material].

    Returns
    -------
    (n, k) array
        Oxide masses in the unit of `parts`.
    """
    return parts @ (analyses_percent * 0.01)


def moles_from_mass(masses: Floats, molar_masses: Floats) -> Floats:
    """Return moles: `masses` (n, k) [g] over `molar_masses` (k,) [g/mol]."""
    return masses / molar_masses


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
    """Return unity formulas (n, k) from `moles` (n, k): iron in one form, then divided by the sum over the `basis` (k,)."""
    return per_basis(iron_in_one_form(moles, fe2o3, feo, as_feo=as_feo), basis)


def per_basis(moles: Floats, basis: NDArray[np.bool_]) -> Floats:
    """Return `moles` (n, k) divided by their sum over the oxides of the `basis` (k,).

    A row without any basis oxide becomes NaN: the caller must name it.
    """
    total = moles[..., basis].sum(axis=-1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        result: Floats = np.where(total > 0.0, moles / total, np.nan)
    return result


def shares_percent(amounts: Floats) -> Floats:
    """Return `amounts` (n, k) as per cent of their row sum; NaN for an empty row."""
    total = amounts.sum(axis=-1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        result: Floats = np.where(total > 0.0, 100.0 * (amounts / total), np.nan)
    return result
