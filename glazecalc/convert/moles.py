"""Moles of the oxides of the axis: from materials, by a convention. The array core with its columns named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.material import Material
from glazecalc.oxides import AXIS, INDEX, molar_masses

__all__ = ("analysis_matrix", "as_row", "basis_of", "counted", "folded", "molar_mass_array", "moles_of", "unity_moles")

Floats = NDArray[np.float64]

_FE2O3, _FEO = INDEX["Fe2O3"], INDEX["FeO"]


@cache
def molar_mass_array() -> Floats:
    """Return the molar masses [g/mol] of the axis as an array (k,)."""
    masses = np.array(molar_masses(), dtype=np.float64)
    masses.flags.writeable = False
    return masses


def as_row(amounts: Mapping[str, float]) -> Floats:
    """Return oxide -> amount as one row (1, k)."""
    row = np.zeros((1, len(AXIS)))
    for oxide, value in amounts.items():
        row[0, INDEX[oxide]] = value
    return row


def analysis_matrix(materials: Sequence[Material]) -> Floats:
    """Return the analyses [wt %] as an array (m, k).

    This is the named step in which an oxide that was not reported, or lies below detection, becomes zero.
    """
    return np.array([_analysis_row(material) for material in materials]).reshape(len(materials), len(AXIS))


@lru_cache(maxsize=1024)  # more than a library holds; in a table of recipes the same materials come again and again
def _analysis_row(material: Material) -> Floats:
    row = np.zeros(len(AXIS))
    for oxide, value in material.analysis.items():
        if oxide in INDEX:  # what leaves in the fire is no column
            row[INDEX[oxide]] = value
    row.flags.writeable = False
    return row


def folded(moles: Floats) -> Floats:
    """Return `moles` (n, k) with all iron as Fe2O3."""
    return arrays.fold_iron(moles, _FE2O3, _FEO)


def counted(moles: Floats, convention: Convention) -> Floats:
    """Return `moles` (n, k) with all iron in the convention's form."""
    return arrays.iron_in_one_form(moles, _FE2O3, _FEO, as_feo=convention.iron_as_feo)


@cache
def basis_of(convention: Convention) -> NDArray[np.bool_]:
    """Return which oxides of the axis (k,) sum to one."""
    chosen = np.array([oxide in convention.basis for oxide in AXIS], dtype=np.bool_)
    chosen.flags.writeable = False
    return chosen


def unity_moles(moles: Floats, convention: Convention) -> Floats:
    """Return `moles` (n, k), iron in any form, divided by their sum over the convention's basis; a row without it is NaN."""
    return arrays.unity(moles, _FE2O3, _FEO, as_feo=convention.iron_as_feo, basis=basis_of(convention))


def moles_of(materials: Sequence[Material], convention: Convention) -> Floats:
    """Return the moles (m, k) that one part of each material brings, iron in the convention's form."""
    return counted(analysis_matrix(materials) * 0.01 / molar_mass_array(), convention)
