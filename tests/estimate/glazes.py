"""Plain glazes of the usual studio ranges, in mol %, for the tests of estimates."""

from __future__ import annotations

from collections.abc import Mapping

from hypothesis import strategies as st

from glazecalc.convert.unity import MolePercent

__all__ = ("BLACK", "BORON", "GLAZES", "LIME", "ZINC", "mole_percent", "swapped")


def mole_percent(unity: Mapping[str, float]) -> MolePercent:
    total = sum(unity.values())
    return MolePercent({oxide: 100 * moles / total for oxide, moles in unity.items()})


LIME = mole_percent({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0})
BORON = mole_percent({"K2O": 0.11, "Na2O": 0.25, "CaO": 0.47, "MgO": 0.17, "Al2O3": 0.24, "B2O3": 0.40, "SiO2": 3.74})
BLACK = mole_percent(
    {"K2O": 0.15, "Na2O": 0.07, "CaO": 0.68, "MgO": 0.10, "Fe2O3": 0.25, "Al2O3": 0.5, "SiO2": 4.0, "CoO": 0.04}
)
ZINC = mole_percent({"K2O": 0.15, "Na2O": 0.1, "CaO": 0.4, "ZnO": 0.35, "Al2O3": 0.3, "SiO2": 3.0})

GLAZES = st.builds(
    lambda na, k, li, mg, ca, zn, ba, al, b, si: mole_percent(
        {
            "Na2O": na,
            "K2O": k,
            "Li2O": li,
            "MgO": mg,
            "CaO": ca,
            "ZnO": zn,
            "BaO": ba,
            "Al2O3": al,
            "B2O3": b,
            "SiO2": si,
        }
    ),
    *(st.floats(0.0, 0.3), st.floats(0.05, 0.3), st.floats(0.0, 0.15), st.floats(0.0, 0.4), st.floats(0.2, 0.7)),
    *(st.floats(0.0, 0.3), st.floats(0.0, 0.2), st.floats(0.2, 0.6), st.floats(0.0, 0.6), st.floats(2.2, 4.5)),
)
"""Glazes of the usual ranges in the studio, as moles before division by the fluxes."""


def swapped(glaze: MolePercent, oxide: str, by: float = 1.0) -> MolePercent:
    """Put `by` mol % of an oxide in the place of silica."""
    return MolePercent({**glaze, "SiO2": glaze["SiO2"] - by, oxide: glaze[oxide] + by})
