"""The conventions: how moles become a unity formula. They are independent and may be combined."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from glazecalc.display import Shown
from glazecalc.errors import ConventionError, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import COLOURANT_FLUXES, FLUXES

__all__ = ("CONVENTION_OPTIONS", "Convention", "ConventionName")

ConventionName = Literal[
    "default",
    "colourants-as-flux",
    "iron-as-feo",
    "alkalis-together",
    "boron-with-silica",
    "boron-with-alumina",
    "unity-on-alumina",
]
CONVENTION_OPTIONS: Mapping[str, str] = FrozenDict(
    {
        "colourants-as-flux": "FeO, MnO, CoO, NiO and CuO count among the fluxes",
        "iron-as-feo": "all iron is shown as FeO",
        "alkalis-together": "K2O and Na2O are shown as one line, KNaO",
        "boron-with-silica": "B2O3 stands with SiO2 in the ratio to Al2O3",
        "boron-with-alumina": "B2O3 stands with Al2O3 in the ratio of SiO2",
        "unity-on-alumina": "moles are divided by the moles of Al2O3, not of the fluxes",
    }
)
_FIELDS = {name: name.replace("-", "_") for name in CONVENTION_OPTIONS}


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Convention(Shown):
    """How moles become a unity formula; the options are independent, see `CONVENTION_OPTIONS`.

    Attributes
    ----------
    iron_as_feo : bool
        Show all iron as FeO; it enters the flux sum only together with `colourants_as_flux`.
    boron_with_silica, boron_with_alumina : bool
        Where B2O3 stands in the SiO2:Al2O3 ratio; by itself if neither is set.
    """

    JSON: ClassVar[tuple[str, ...]] = ("names", "description", *(f"{name}={attr}" for name, attr in _FIELDS.items()))

    colourants_as_flux: bool = False
    iron_as_feo: bool = False
    alkalis_together: bool = False
    boron_with_silica: bool = False
    boron_with_alumina: bool = False
    unity_on_alumina: bool = False

    def __post_init__(self) -> None:
        checks = FieldChecks("Convention")
        for attribute in _FIELDS.values():
            checks.flag(attribute, getattr(self, attribute))
        checks.done()
        if self.boron_with_silica and self.boron_with_alumina:
            message = "boron-with-silica and boron-with-alumina cannot both hold."
            raise ConventionError(message, "Choose one, or neither: boron on its own line.")

    @classmethod
    def from_names(cls, names: ConventionName | Iterable[ConventionName]) -> Convention:
        """Build a convention from option names such as ``"colourants-as-flux"``; ``"default"`` adds nothing.

        An unknown name is a ConventionError.
        """
        checks = FieldChecks("Convention.from_names")
        given = checks.texts("names", names)
        checks.done()
        chosen: dict[str, bool] = {}
        for name in given:
            key = name.strip().lower().replace("_", "-")
            if key in _FIELDS:
                chosen[_FIELDS[key]] = True
            elif key != "default":
                hint = did_you_mean(key, _FIELDS) or f"Known: {', '.join(['default', *_FIELDS])}."
                raise ConventionError(f"'{name}' is not a convention.", hint)
        return cls(**chosen)

    @property
    def names(self) -> tuple[str, ...]:
        """The options in force, by name; ``("default",)`` where there is none."""
        return tuple(name for name, attribute in _FIELDS.items() if getattr(self, attribute)) or ("default",)

    def __str__(self) -> str:
        return self.description

    def __repr__(self) -> str:
        chosen = (f"{_FIELDS[name]}=True" for name in self.names if name != "default")
        return f"Convention({', '.join(chosen)})"

    @property
    def fluxes(self) -> tuple[str, ...]:
        """The oxides that count as fluxes."""
        if not self.colourants_as_flux:
            return FLUXES
        return FLUXES + tuple(o for o in COLOURANT_FLUXES if o != "FeO" or self.iron_as_feo)

    @property
    def basis(self) -> tuple[str, ...]:
        """The oxides whose moles sum to one in the formula: the fluxes, or alumina alone."""
        return ("Al2O3",) if self.unity_on_alumina else self.fluxes

    @property
    def unit(self) -> str:
        """The unit of the formula."""
        return f"mol per mol of {'Al2O3' if self.unity_on_alumina else 'flux'}"

    @property
    def description(self) -> str:
        """The convention in one sentence."""
        coloured = (" + FeO" if self.iron_as_feo else " +") + " MnO CoO NiO CuO" if self.colourants_as_flux else ""
        basis = "Al2O3" if self.unity_on_alumina else f"flux (R2O + RO{coloured})"
        iron = "all iron as FeO" if self.iron_as_feo else "all iron as Fe2O3"
        if not (self.iron_as_feo and self.colourants_as_flux):
            iron += ", not counted as flux"
        boron = "boron by itself"
        if self.boron_with_silica or self.boron_with_alumina:
            boron = f"boron counted with {'silica' if self.boron_with_silica else 'alumina'} in the ratio"
        alkali = "; K2O and Na2O together as KNaO" if self.alkalis_together else ""
        return f"Moles per mole of {basis}; {iron}; {boron}{alkali}"
