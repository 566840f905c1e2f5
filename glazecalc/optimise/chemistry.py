"""From materials to the moles that one part brings, on the convention's own axis."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.batch import analysis_matrix, molar_mass_array
from glazecalc.convert.unity import UnityFormula
from glazecalc.material import Material
from glazecalc.oxides import AXIS, INDEX

__all__ = ("basis_of", "moles_of", "unity_array_of")

Floats = NDArray[np.float64]


def moles_of(materials: Sequence[Material], convention: Convention) -> Floats:
    """Return the moles (m, k) that one part of each material brings, iron in the convention's form."""
    if not materials:
        return np.zeros((0, len(AXIS)))
    moles = arrays.moles_from_mass(analysis_matrix(materials) * 0.01, molar_mass_array())
    moles = arrays.fold_iron(moles, INDEX["Fe2O3"], INDEX["FeO"])
    return arrays.split_iron(moles, INDEX["Fe2O3"], INDEX["FeO"]) if convention.iron_as_feo else moles


def basis_of(convention: Convention) -> NDArray[np.bool_]:
    """Return which oxides (k,) sum to one."""
    names = ("Al2O3",) if convention.unity_on_alumina else convention.fluxes
    return np.array([oxide in names for oxide in AXIS], dtype=np.bool_)


def unity_array_of(unity: UnityFormula) -> Floats:
    """Return a unity formula as an array (k,) on its own scale, alkalis apart and iron in the convention's form."""
    moles = np.zeros(len(AXIS))
    for oxide, value in unity.moles.items():
        moles[INDEX[oxide]] = value
    if unity.convention.iron_as_feo:
        moles = arrays.split_iron(moles, INDEX["Fe2O3"], INDEX["FeO"])
    result: Floats = moles / moles[basis_of(unity.convention)].sum()
    return result
