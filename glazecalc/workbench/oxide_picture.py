"""A small picture of a unity formula: one bar an oxide, each always in its own place, so that glazes are told apart at a glance."""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.convert.unity import UnityFormula
from glazecalc.show.text import number

__all__ = ("Bar", "OxidePicture", "oxide_picture")

# The places from left to right; the groups stand apart. This program's own choice, as are the sizes [px].
_PLACES = (
    ("r2o", ("Li2O", "Na2O", "K2O")),
    ("ro", ("MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")),
    ("boron", ("B2O3",)),
    ("alumina", ("Al2O3",)),
    ("silica", ("SiO2",)),
)
_STEP, _GAP, _WIDE = 11.0, 5.0, 8.0
_TALLEST = 30.0
_SILICA_SHARE = 6.0  # moles of silica that are as tall as one mole of another oxide


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its group, the sign under it, and where it stands [px]."""

    group: str
    sign: str
    x: float
    y: float
    height: float


@dataclass(frozen=True, slots=True)
class OxidePicture:
    """The bars on a ground line, and the same in words."""

    bars: tuple[Bar, ...]
    width: float
    ground: float
    words: str


def oxide_picture(unity: UnityFormula) -> OxidePicture:
    """Return the picture of a formula; what is there in traces has no bar."""
    bars, x = [], 0.0
    for group, oxides in _PLACES:
        for oxide in oxides:
            moles = unity.get(oxide, 0.0) / (_SILICA_SHARE if oxide == "SiO2" else 1.0)
            if moles >= 0.005:
                height = round(max(1.0, min(1.0, moles) * _TALLEST), 1)
                bars.append(Bar(group, oxide.rstrip("O23"), x, round(_TALLEST - height, 1), height))
            x += _STEP
        x += _GAP
    told = (f"{oxide} {number(value, 2)}" for oxide, value in unity.items() if value >= 0.005)
    return OxidePicture(tuple(bars), x - _GAP - (_STEP - _WIDE), _TALLEST, "Unity formula: " + ", ".join(told))
