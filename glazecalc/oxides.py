"""The oxide axis: which oxides there are, their roles, their order, their molar masses.

Molar masses are sums of the atomic masses of `periodictable` (which carries the values of the IUPAC commission on
isotopic abundances and atomic weights); none is typed in here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

from glazecalc.errors import ArgumentError, UnknownNameError, did_you_mean

__all__ = (
    "ALKALIS",
    "AXIS",
    "CHROMATE_PARTNERS",
    "COLOURANTS",
    "COLOURANT_FLUXES",
    "FLUXES",
    "INDEX",
    "METAL_COLOURANTS",
    "OPACIFIERS",
    "POISONS",
    "R2O",
    "RO",
    "STRONG_MELTERS",
    "VOLATILES",
    "atomic_mass",
    "check_oxide",
    "element_of",
    "elements_in_oxide",
    "molar_mass",
    "molar_masses",
    "role",
)

R2O = ("Li2O", "Na2O", "K2O", "Rb2O", "Cs2O")
RO = ("MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")
FLUXES = R2O + RO
STABILIZERS = ("Al2O3",)
GLASS_FORMERS = ("SiO2", "B2O3", "P2O5")
OPACIFIERS = ("TiO2", "ZrO2", "SnO2")
RARE_EARTHS = (
    "Sc2O3", "Y2O3", "La2O3", "CeO2", "Pr6O11", "Nd2O3", "Sm2O3", "Eu2O3", "Gd2O3", "Tb4O7", "Dy2O3", "Ho2O3",
    "Er2O3", "Tm2O3", "Yb2O3", "Lu2O3", "HfO2",
)  # fmt: skip
METAL_COLOURANTS = (
    "Fe2O3", "FeO", "MnO", "CoO", "NiO", "CuO", "Cr2O3", "V2O5", "CdO", "Sb2O3", "SeO2", "U3O8", "Bi2O3", "WO3", "MoO3",
    "Nb2O5",
)  # fmt: skip
"""What colours and may leave the glass; rare earths stand apart, for no figure was found for them."""
COLOURANTS = METAL_COLOURANTS + RARE_EARTHS
VOLATILES = ("H2O", "CO2", "SO3", "F", "Cl", "N2O5", "organic")
AXIS = FLUXES + STABILIZERS + GLASS_FORMERS + OPACIFIERS + COLOURANTS
"""What stays in the fired glaze, in printing order: the columns of every array."""

INDEX: Mapping[str, int] = MappingProxyType({oxide: column for column, oxide in enumerate(AXIS)})

# Groups for one use each.
ALKALIS = ("Na2O", "K2O")
"""What stands together as KNaO."""
COLOURANT_FLUXES = ("FeO", "MnO", "CoO", "NiO", "CuO")
"""What the convention ``colourants-as-flux`` counts among the fluxes."""
POISONS = ("PbO", "CdO", "Sb2O3", "U3O8", "SeO2")
"""What is never taken into a glaze unasked."""
STRONG_MELTERS = ("ZnO", "Li2O", "PbO")
"""What can stand in for boron as a melter."""
CHROMATE_PARTNERS = ("CaO", "BaO", "SrO", "Li2O", "Na2O", "K2O")
"""With these chromium can become chromate in oxidation."""

_ROLES: dict[str, str] = {
    **dict.fromkeys(FLUXES, "flux"),
    **dict.fromkeys(STABILIZERS, "stabilizer"),
    **dict.fromkeys(GLASS_FORMERS, "glass former"),
    **dict.fromkeys(OPACIFIERS, "opacifier"),
    **dict.fromkeys(COLOURANTS, "colourant"),
    **dict.fromkeys(VOLATILES, "volatile"),
}
# Forms that analyses name but that the axis reports as another oxide of the same element.
_REPORTED_AS = {
    "MnO2": "MnO", "Mn2O3": "MnO", "Mn3O4": "MnO", "Co3O4": "CoO", "Co2O3": "CoO", "Cu2O": "CuO", "Fe3O4": "Fe2O3",
    "Pb3O4": "PbO", "PbO2": "PbO", "Ni2O3": "NiO", "CrO3": "Cr2O3", "Ti2O3": "TiO2", "SnO": "SnO2", "Sb2O5": "Sb2O3",
    "UO2": "U3O8", "UO3": "U3O8", "Pr2O3": "Pr6O11", "Ce2O3": "CeO2", "Tb2O3": "Tb4O7", "SO2": "SO3", "S": "SO3",
    "C": "CO2", "V2O3": "V2O5",
}  # fmt: skip
_LUMPED = {"KNAO", "K2O+NA2O", "NA2O+K2O", "R2O", "RO", "NAKO", "(K,NA)2O"}
_TERM = re.compile(r"([A-Z][a-z]?)(\d*)")


@cache
def atomic_mass(symbol: str) -> float:
    """Return the standard atomic mass [g/mol] of the element `symbol`."""
    import periodictable  # 20 ms: only where a mass is needed

    try:
        return float(periodictable.elements.symbol(symbol).mass)
    except ValueError:
        raise UnknownNameError(f"'{symbol}' is not a chemical element.") from None


def elements_in_oxide(oxide: str) -> dict[str, int]:
    """Return the atoms of one simple oxide of the axis, e.g. ``{'Al': 2, 'O': 3}``."""
    return {symbol: int(count or 1) for symbol, count in _TERM.findall(oxide)}


@cache
def element_of(oxide: str) -> tuple[str, int]:
    """Return the element that `oxide` reports and how many of its atoms one formula holds."""
    ((symbol, count),) = [(s, n) for s, n in elements_in_oxide(oxide).items() if s != "O"]
    return symbol, count


@cache
def molar_mass(oxide: str) -> float:
    """Return the molar mass of an oxide, computed from atomic masses.

    Parameters
    ----------
    oxide : str
        An oxide of the axis, or a volatile one.

    Returns
    -------
    float
        [g/mol].

    Raises
    ------
    UnknownNameError
        If `oxide` is not on the axis or is the unspecified ``organic``.

    Examples
    --------
    >>> import glazecalc as gc
    >>> round(gc.molar_mass("SiO2"), 2)
    60.08
    """
    check_oxide(oxide)
    if oxide == "organic":
        raise UnknownNameError("'organic' has no molar mass: it stands for whatever burns away.")
    return sum(atomic_mass(symbol) * count for symbol, count in elements_in_oxide(oxide).items())


@cache
def molar_masses() -> tuple[float, ...]:
    """Return the molar masses [g/mol] of `AXIS`, in its order."""
    return tuple(molar_mass(oxide) for oxide in AXIS)


def role(oxide: str) -> str:
    """Return the role that an oxide has in a glaze.

    Parameters
    ----------
    oxide : str
        An oxide of the axis, or a volatile one.

    Returns
    -------
    str
        ``flux``, ``stabilizer``, ``glass former``, ``opacifier``, ``colourant`` or ``volatile``.

    Raises
    ------
    UnknownNameError
        If `oxide` is not on the axis.

    Examples
    --------
    >>> import glazecalc as gc
    >>> [gc.role(oxide) for oxide in ("CaO", "B2O3", "SnO2")]
    ['flux', 'glass former', 'opacifier']
    """
    return _ROLES[check_oxide(oxide)]


def check_oxide(name: str, mend: Callable[[str], str] = lambda _: "") -> str:
    """Return `name` if it is an oxide of the axis (volatile ones included), else raise an error with the likely mend.

    `mend` is asked for it where the name is neither another spelling nor another form of an oxide.
    """
    if not isinstance(name, str):
        raise ArgumentError(f"{name!r} is not text; an oxide such as 'SiO2' was expected.")
    if name in _ROLES:
        return name
    if name.upper().replace("₂", "2").replace(" ", "") in _LUMPED:
        raise UnknownNameError(
            f"'{name}' lumps oxides together: how much of it is Na2O and how much K2O?",
            "Give Na2O and K2O separately; they melt and expand differently.",
        )
    off_axis = f"'{name}' is not an oxide that this program knows."
    if name in _REPORTED_AS:
        raise UnknownNameError(off_axis, f"Report it as {_REPORTED_AS[name]} (convert the number, not only the name).")
    folded = {oxide.lower(): oxide for oxide in _ROLES}
    if name.lower() in folded:
        raise UnknownNameError(off_axis, f"Did you mean '{folded[name.lower()]}'?")
    raise UnknownNameError(off_axis, mend(name) or did_you_mean(name, _ROLES))
