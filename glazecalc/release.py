"""Release results as a laboratory gives them: the ware, one measured amount, the units and how they convert."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, TypeAlias, get_args

from glazecalc.display import Shown
from glazecalc.errors import UnitError, UnknownNameError, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.frozen import FrozenDict

__all__ = (
    "ELEMENTS",
    "EXTRACTIONS",
    "RELEASE_UNITS",
    "WARES",
    "Extraction",
    "ReleaseResult",
    "Ware",
    "WareKind",
    "convert",
    "release_unit",
)

# unit -> (per what, how many base units one of it is); bases: mg/L, mg/dm2, mg/article.
# 1 ppm of a dilute leachate is 1 mg/L; food of density 1 is read against leachate (mg/kg as mg/L).
RELEASE_UNITS: Mapping[str, tuple[str, Fraction]] = FrozenDict(
    {
        "mg/L": ("volume", Fraction(1)),
        "ug/mL": ("volume", Fraction(1)),
        "ug/L": ("volume", Fraction(1, 1000)),
        "mg/kg": ("volume", Fraction(1)),
        "ug/kg": ("volume", Fraction(1, 1000)),
        "ppm": ("volume", Fraction(1)),
        "ppb": ("volume", Fraction(1, 1000)),
        "mg/dm2": ("area", Fraction(1)),
        "ug/dm2": ("area", Fraction(1, 1000)),
        "mg/cm2": ("area", Fraction(100)),
        "ug/cm2": ("area", Fraction(1, 10)),
        "mg/m2": ("area", Fraction(1, 100)),
        "mg/article": ("article", Fraction(1)),
        "ug/article": ("article", Fraction(1, 1000)),
    }
)
ELEMENTS: Mapping[str, str] = FrozenDict(
    {
        "Pb": "lead", "Cd": "cadmium", "Ba": "barium", "Co": "cobalt", "Cu": "copper", "Mn": "manganese", "Cr": "chromium", "Ni": "nickel",
        "V": "vanadium", "Sb": "antimony", "Li": "lithium", "Zn": "zinc", "Se": "selenium", "U": "uranium", "As": "arsenic", "Al": "aluminium",
        "Fe": "iron", "B": "boron", "Sr": "strontium", "Sn": "tin", "Zr": "zirconium", "Ti": "titanium", "Mo": "molybdenum", "Ag": "silver",
        "Be": "beryllium", "Hg": "mercury", "Tl": "thallium", "F": "fluorine", "Bi": "bismuth", "W": "tungsten", "Mg": "magnesium",
        "Ca": "calcium", "Na": "sodium", "K": "potassium", "Si": "silicon", "P": "phosphorus",
    }
)  # fmt: skip
Number: TypeAlias = Fraction | float
WareKind = Literal["plate", "bowl", "cup", "pitcher", "storage", "cooking"]
WARES: tuple[WareKind, ...] = get_args(WareKind)
Extraction = Literal[1, 2, 3]
EXTRACTIONS: Mapping[int, str] = FrozenDict({1: "first", 2: "second", 3: "third"})
"""Which fill of the same piece with fresh acid a result comes from; most texts read the first, ISO 6486-1:2019 the third."""
_LARGEST = Fraction(10) ** 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware(Shown):
    """The piece that was tested; a plain number is taken as it is written, 2.8 as 28/10.

    Attributes
    ----------
    kind : str
        plate, bowl, cup, pitcher, storage or cooking.
    depth_mm : Fraction or None
        From the lowest inner point to the plane of the overflow; None where not given.
    area_dm2, volume_l : Fraction or None
        The surface that the acid wetted, and the filling volume.
    """

    kind: WareKind
    depth_mm: Fraction | None = None
    area_dm2: Fraction | None = None
    volume_l: Fraction | None = None

    if TYPE_CHECKING:  # plain numbers are taken too

        def __init__(
            self,
            *,
            kind: WareKind,
            depth_mm: Number | None = None,
            area_dm2: Number | None = None,
            volume_l: Number | None = None,
        ) -> None: ...

    def __post_init__(self) -> None:
        if self.kind not in WARES:
            hint = did_you_mean(self.kind, WARES) or f"Known: {', '.join(WARES)}."
            raise UnknownNameError(f"'{self.kind}' is not a kind of ware.", hint)
        for name in ("depth_mm", "area_dm2", "volume_l"):
            value = getattr(self, name)
            if value is None:
                continue
            if not 0 < value < _LARGEST:
                raise UnitError(f"{name} is {value}; more than zero was expected.")
            object.__setattr__(self, name, Fraction(str(value)))


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseResult(Shown):
    """One released amount from one piece.

    Attributes
    ----------
    element : str
        Symbol, e.g. ``"Pb"``.
    value : Fraction
        As written, in `unit`, e.g. ``"mg/dm2"``; the detection limit where the laboratory found less than that: `below`.
    text : str
        As written, e.g. ``"<0.005"``; without it the value itself.
    piece : str
        Which piece; numbered by the order of the lines where the file does not say.
    line : int
        Line of the file.
    extraction : int
        1, 2 or 3: which filling of the same piece with fresh acid was measured.
    """

    element: str
    value: Fraction
    unit: str
    below: bool = False
    text: str = ""
    piece: str = "1"
    line: int = 0
    extraction: Extraction = 1

    if TYPE_CHECKING:  # a plain number is taken too

        def __init__(
            self,
            *,
            element: str,
            value: Number,
            unit: str,
            below: bool = False,
            text: str = "",
            piece: str = "1",
            line: int = 0,
            extraction: Extraction = 1,
        ) -> None: ...

    def __post_init__(self) -> None:
        checks = FieldChecks(f"ReleaseResult of {self.element}")
        if self.element not in ELEMENTS:
            hint = did_you_mean(str(self.element), ELEMENTS) or f"Known: {', '.join(ELEMENTS)}."
            checks.fault("element", f"'element' is '{self.element}', which is not known here.", hint)
        if self.unit not in RELEASE_UNITS:
            hint = did_you_mean(str(self.unit), RELEASE_UNITS) or f"Known: {', '.join(RELEASE_UNITS)}."
            checks.fault("unit", f"'unit' is '{self.unit}', which is no unit of release.", hint)
        if type(self.extraction) is not int or self.extraction not in EXTRACTIONS:
            said = f"'extraction' is {self.extraction!r}; 1, 2 or 3 was expected."
            checks.fault("extraction", said, "It counts the fillings with fresh acid; most tests make one.")
        checks.flag("below", self.below)
        checks.text("piece", self.piece, required=True)
        number = checks.number("value", self.value, -math.inf, math.inf)
        if number is None or not 0 <= number <= _LARGEST or (self.below and number == 0):
            said = f"'value' is {self.value}, which cannot be a released amount; zero or more was expected."
            checks.fault("value", said)
        checks.done()
        object.__setattr__(self, "value", Fraction(str(self.value)))
        object.__setattr__(self, "text", self.text or f"{'<' if self.below else ''}{number:g}")

    @property
    def per(self) -> str:
        """What the amount is counted on: volume, area or article."""
        return RELEASE_UNITS[self.unit][0]


def release_unit(text: str) -> str:
    """Return the plain name of a release unit as laboratories write it: ``µg/mL``, ``mg per dm²``."""
    tidy = text.strip().replace(" per ", "/")
    for written, plain in (("µ", "u"), ("μ", "u"), ("²", "2"), ("^", ""), (" ", "")):
        tidy = tidy.replace(written, plain)
    table = {name.lower(): name for name in RELEASE_UNITS}
    table |= {
        "mg/piece": "mg/article",
        "ug/piece": "ug/article",
        "mg/sqdm": "mg/dm2",
        "mcg/ml": "ug/mL",
        "mcg/l": "ug/L",
    }
    found = table.get(tidy.lower())
    if found is None:
        hint = did_you_mean(tidy, table) or f"Known: {', '.join(RELEASE_UNITS)}."
        raise UnitError(f"'{text[:40]}' is not a unit of release." if text.strip() else "the unit is missing.", hint)
    return found


def convert(value: Fraction, unit: str, to: str, ware: Ware) -> Fraction | None:
    """Return an amount in another release unit, or None where the ware's area or volume would be needed and was not given.

    mg per article = mg/L x filling volume [l] = mg/dm2 x wetted area [dm2].
    """
    per, factor = RELEASE_UNITS[unit]
    wanted, divisor = RELEASE_UNITS[to]
    amount = value * factor
    if per != wanted:
        sizes = {"volume": ware.volume_l, "area": ware.area_dm2, "article": Fraction(1)}
        size, target = sizes[per], sizes[wanted]
        if not size or not target:
            return None
        amount = amount * size / target
    return amount / divisor
