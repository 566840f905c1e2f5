"""The oxide axis: which oxides there are, their roles, their order, their molar masses; and the conventions.

Molar masses are sums of the atomic masses of `periodictable` (which carries the values of the IUPAC commission on
isotopic abundances and atomic weights); none is typed in here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from glazecalc.errors import ConventionError, UnknownNameError, did_you_mean

__all__ = (
    "ALKALIS",
    "AXIS",
    "COLOURANTS",
    "COLOURANT_FLUXES",
    "CONVENTION_OPTIONS",
    "Convention",
    "FIXED",
    "FLUXES",
    "INDEX",
    "OPACIFIERS",
    "R2O",
    "RO",
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
COLOURANTS = (
    "Fe2O3", "FeO", "MnO", "CoO", "NiO", "CuO", "Cr2O3", "V2O5", "CdO", "Sb2O3", "SeO2", "U3O8", "Bi2O3", "WO3",
    "MoO3", "Nb2O5", *RARE_EARTHS,
)  # fmt: skip
VOLATILES = ("H2O", "CO2", "SO3", "F", "Cl", "N2O5", "organic")
FIXED = FLUXES + STABILIZERS + GLASS_FORMERS + OPACIFIERS + COLOURANTS
"""What stays in the fired glaze, in printing order: the columns of every array."""

AXIS = FIXED
INDEX: Mapping[str, int] = MappingProxyType({oxide: column for column, oxide in enumerate(AXIS)})
ALKALIS = ("Na2O", "K2O")
COLOURANT_FLUXES = ("FeO", "MnO", "CoO", "NiO", "CuO")

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
_LUMPED = {"KNAO", "K2O+NA2O", "NA2O+K2O", "K2O + NA2O", "NA2O + K2O", "R2O", "RO", "NAKO", "(K,NA)2O"}
_TERM = re.compile(r"([A-Z][a-z]?)(\d*)")


@cache
def atomic_mass(symbol: str) -> float:
    """Return the standard atomic mass [g/mol] of the element `symbol`, from `periodictable`.

    Raises
    ------
    UnknownNameError
        If there is no such element.
    """
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
    """Return the molar mass [g/mol] of an oxide of the axis, computed from atomic masses.

    Raises
    ------
    UnknownNameError
        If `oxide` is not on the axis or is the unspecified ``organic``.
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
    """Return the role of an oxide: flux, stabilizer, glass former, opacifier, colourant or volatile."""
    return _ROLES[check_oxide(oxide)]


def check_oxide(name: str) -> str:
    """Return `name` if it is an oxide of the axis (volatile ones included), else say what was meant.

    Raises
    ------
    UnknownNameError
        Naming the oxide, with the likely mend.
    """
    if name in _ROLES:
        return name
    if name.upper().replace("₂", "2") in _LUMPED:
        raise UnknownNameError(
            f"'{name}' lumps oxides together: how much of it is Na2O and how much K2O?",
            "Give Na2O and K2O apart; they melt and expand differently.",
        )
    if name in _REPORTED_AS:
        raise UnknownNameError(f"'{name}' is not on the oxide axis.", f"Report it as {_REPORTED_AS[name]} (convert the number, not only the name).")
    folded = {oxide.lower(): oxide for oxide in _ROLES}
    if name.lower() in folded:
        raise UnknownNameError(f"'{name}' is not on the oxide axis.", f"Did you mean '{folded[name.lower()]}'?")
    raise UnknownNameError(f"'{name}' is not on the oxide axis.", did_you_mean(name, _ROLES))


CONVENTION_OPTIONS: Mapping[str, str] = MappingProxyType(
    {
        "colourants-as-flux": "FeO, MnO, CoO, NiO and CuO count among the fluxes",
        "iron-as-feo": "all iron is shown as FeO",
        "alkalis-together": "K2O and Na2O are shown as one line, KNaO",
        "boron-with-silica": "B2O3 stands with SiO2 in the ratio to Al2O3",
        "boron-with-alumina": "B2O3 stands with Al2O3 in the ratio of SiO2",
        "unity-on-alumina": "moles are divided by the moles of Al2O3, not of the fluxes",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Convention:
    """How moles become a unity formula; the options are independent.

    Attributes
    ----------
    colourants_as_flux : bool
        Count FeO, MnO, CoO, NiO and CuO as fluxes.
    iron_as_feo : bool
        Show all iron as FeO; it enters the flux sum only together with `colourants_as_flux`.
    alkalis_together : bool
        Show Na2O and K2O as one entry, ``KNaO``.
    boron_with_silica, boron_with_alumina : bool
        Where B2O3 stands in the SiO2:Al2O3 ratio; by itself if neither is set.
    unity_on_alumina : bool
        Divide by the moles of Al2O3.
    """

    colourants_as_flux: bool = False
    iron_as_feo: bool = False
    alkalis_together: bool = False
    boron_with_silica: bool = False
    boron_with_alumina: bool = False
    unity_on_alumina: bool = False

    def __post_init__(self) -> None:
        if self.boron_with_silica and self.boron_with_alumina:
            raise ConventionError("boron-with-silica and boron-with-alumina cannot both hold.", "Choose one, or neither: boron on its own line.")

    @classmethod
    def from_names(cls, names: Iterable[str]) -> Convention:
        """Build a convention from option names such as ``"colourants-as-flux"``; ``"default"`` adds nothing.

        Raises
        ------
        ConventionError
            For an unknown name or options that exclude each other.
        """
        chosen: dict[str, bool] = {}
        for name in names:
            key = name.strip().lower().replace("_", "-")
            if key == "default":
                continue
            if key not in CONVENTION_OPTIONS:
                known = ", ".join(["default", *CONVENTION_OPTIONS])
                raise ConventionError(f"'{name}' is not a convention.", did_you_mean(key, CONVENTION_OPTIONS) or f"Known: {known}.")
            chosen[key.replace("-", "_")] = True
        return cls(**chosen)

    @property
    def names(self) -> tuple[str, ...]:
        """The options in force, by name; ``("default",)`` where there is none."""
        named = tuple(name for name in CONVENTION_OPTIONS if getattr(self, name.replace("-", "_")))
        return named or ("default",)

    @property
    def fluxes(self) -> tuple[str, ...]:
        """The oxides whose moles sum to one (or are the flux sum, on alumina)."""
        if not self.colourants_as_flux:
            return FLUXES
        return FLUXES + tuple(o for o in COLOURANT_FLUXES if o != "FeO" or self.iron_as_feo)

    def describe(self) -> str:
        """Return the convention in one sentence."""
        if self.unity_on_alumina:
            basis = "Moles per mole of Al2O3"
        else:
            coloured = " + FeO MnO CoO NiO CuO" if self.iron_as_feo else " + MnO CoO NiO CuO"
            basis = f"Moles per mole of flux (R2O + RO{coloured if self.colourants_as_flux else ''})"
        iron = "all iron as FeO" if self.iron_as_feo else "all iron as Fe2O3"
        if not (self.iron_as_feo and self.colourants_as_flux):
            iron += " outside the flux sum"
        boron = (
            "boron with silica in the ratio" if self.boron_with_silica
            else "boron with alumina in the ratio" if self.boron_with_alumina
            else "boron on its own"
        )  # fmt: skip
        alkali = "; K2O and Na2O together as KNaO" if self.alkalis_together else ""
        return f"{basis}; {iron}; {boron}{alkali}"

    def to_dict(self) -> dict[str, object]:
        """Return the options in force and the sentence, for JSON."""
        options = {name: bool(getattr(self, name.replace("-", "_"))) for name in CONVENTION_OPTIONS}
        return {"names": list(self.names), "description": self.describe(), **options}
