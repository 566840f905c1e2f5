"""Release results as a laboratory gives them: reading the file, units, and values below detection."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError, UnknownNameError, did_you_mean
from glazecalc.files.text_file import read_text
from glazecalc.units import parse_number

__all__ = ("ELEMENTS", "RELEASE_UNITS", "WARES", "Result", "Ware", "convert", "read_results", "release_unit")

# unit -> (per what, how many base units one of it is); bases: mg/L, mg/dm2, mg/article.
# 1 ppm of a dilute leachate is 1 mg/L; food of density 1 is read against leachate (mg/kg as mg/L).
RELEASE_UNITS: Mapping[str, tuple[str, Fraction]] = MappingProxyType(
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
ELEMENTS: Mapping[str, str] = MappingProxyType(
    {
        "Pb": "lead", "Cd": "cadmium", "Ba": "barium", "Co": "cobalt", "Cu": "copper", "Mn": "manganese", "Cr": "chromium", "Ni": "nickel",
        "V": "vanadium", "Sb": "antimony", "Li": "lithium", "Zn": "zinc", "Se": "selenium", "U": "uranium", "As": "arsenic", "Al": "aluminium",
        "Fe": "iron", "B": "boron", "Sr": "strontium", "Sn": "tin", "Zr": "zirconium", "Ti": "titanium", "Mo": "molybdenum", "Ag": "silver",
        "Be": "beryllium", "Hg": "mercury", "Tl": "thallium", "F": "fluorine", "Bi": "bismuth", "W": "tungsten", "Mg": "magnesium",
        "Ca": "calcium", "Na": "sodium", "K": "potassium", "Si": "silicon", "P": "phosphorus",
    }
)  # fmt: skip
_SPELLED = (
    {name: symbol for symbol, name in ELEMENTS.items()}
    | {"aluminum": "Al"}
    | {symbol.lower(): symbol for symbol in ELEMENTS}
)
WARES = ("plate", "bowl", "cup", "pitcher", "storage", "cooking")
_HEADER = ("element", "value", "unit", "piece")
_LARGEST = Fraction(10) ** 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """The piece that was tested.

    Attributes
    ----------
    kind : str
        plate, bowl, cup, pitcher, storage or cooking.
    depth_mm : Fraction or None
        From the lowest inner point to the plane of the overflow [mm]; None where not given.
    area_dm2 : Fraction or None
        Surface that the acid wetted [dm2].
    volume_l : Fraction or None
        Filling volume [l].

    Raises
    ------
    UnknownNameError
        For a kind that is not known.
    UnitError
        For a size that is not above zero.

    Notes
    -----
    A plain number is taken as it is written: 2.8 as 28/10.
    """

    kind: str
    depth_mm: Fraction | None = None
    area_dm2: Fraction | None = None
    volume_l: Fraction | None = None

    def __post_init__(self) -> None:
        if self.kind not in WARES:
            raise UnknownNameError(
                f"'{self.kind}' is not a kind of ware.", did_you_mean(self.kind, WARES) or f"Known: {', '.join(WARES)}."
            )
        for name in ("depth_mm", "area_dm2", "volume_l"):
            value = getattr(self, name)
            if value is None:
                continue
            if not 0 < value < _LARGEST:
                raise UnitError(f"{name} is {value}; more than zero was expected.")
            object.__setattr__(self, name, Fraction(str(value)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One released amount from one piece.

    Attributes
    ----------
    element : str
        Symbol, e.g. ``"Pb"``.
    value : Fraction
        As written, in `unit`; the bound where `below`.
    unit : str
        A key of `RELEASE_UNITS`.
    below : bool
        True where the laboratory found less than `value`.
    text : str
        As written, e.g. ``"<0.005"``.
    piece : str
        Which piece; numbered by the order of the lines where the file does not say.
    line : int
        Line of the file.
    """

    element: str
    value: Fraction
    unit: str
    below: bool = False
    text: str = ""
    piece: str = "1"
    line: int = 0

    @property
    def per(self) -> str:
        """What the amount is counted on: volume, area or article."""
        return RELEASE_UNITS[self.unit][0]


def release_unit(text: str) -> str:
    """Return the plain name of a release unit.

    Raises
    ------
    UnitError
        If it is not known.
    """
    tidy = (
        text.strip()
        .replace("µ", "u")
        .replace("μ", "u")
        .replace("²", "2")
        .replace("^", "")
        .replace(" per ", "/")
        .replace(" ", "")
    )
    table = {name.lower(): name for name in RELEASE_UNITS}
    table |= {
        "mg/piece": "mg/article",
        "ug/piece": "ug/article",
        "mcg/ml": "ug/mL",
        "mcg/l": "ug/L",
        "mg/sqdm": "mg/dm2",
    }
    found = table.get(tidy.lower())
    if found is None:
        hint = did_you_mean(tidy, table) or f"Known: {', '.join(RELEASE_UNITS)}."
        raise UnitError(f"'{text[:40]}' is not a unit of release." if text.strip() else "the unit is missing.", hint)
    return found


def convert(value: Fraction, unit: str, to: str, ware: Ware) -> Fraction | None:
    """Return an amount in another release unit, or None where the ware's area or volume would be needed and was not given.

    Parameters
    ----------
    value : Fraction
        Amount in `unit`.
    unit, to : str
        Keys of `RELEASE_UNITS`.
    ware : Ware
        Its wetted area [dm2] and filling volume [l] join the three kinds of unit: mg per article = mg/L x l = mg/dm2 x dm2.
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


def read_results(path: str | Path) -> tuple[list[Result], list[Notice]]:
    """Read a CSV file of release results: ``element,value,unit[,piece]``, one line an element and piece.

    Parameters
    ----------
    path : str or Path
        The file; ``;`` and tab are accepted between fields, ``#`` starts a comment.

    Returns
    -------
    results : list of Result
        In the order of the file. ``<0.005`` stays a bound.
    notices : list of Notice
        What was read with care.

    Raises
    ------
    FileFaultsError
        With every fault and its line: unknown element or unit, a value that is no number, a line given twice.
    """
    text = read_text(path).removeprefix("\ufeff")
    rows = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.split("#", 1)[0].strip()]
    if not rows:
        raise FileFaultsError(
            str(path),
            [Fault(None, "the file holds no results.", "Write a header 'element,value,unit' and a line a result.")],
        )
    separator = next((mark for mark in ("\t", ";") if mark in rows[0][1]), ",")
    header = [cell.strip().lower() for cell in rows[0][1].split("#", 1)[0].split(separator)]
    faults = _header_faults(header, rows[0][0])
    if faults:
        raise FileFaultsError(str(path), faults)
    results: list[Result] = []
    notices: list[Notice] = []
    seen: dict[tuple[str, str, str], int] = {}
    for number, line in rows[1:]:
        cells = next(csv.reader([line.split("#", 1)[0]], delimiter=separator, skipinitialspace=True))
        if len(cells) != len(header):
            hint = (
                "A decimal comma? Put ';' between the fields." if separator == "," and len(cells) > len(header) else ""
            )
            faults.append(
                Fault(
                    number, f"{len(cells)} fields were found; {len(header)} were expected ({', '.join(header)}).", hint
                )
            )
            continue
        fields = dict(zip(header, (cell.strip() for cell in cells), strict=True))
        result = _read_line(fields, number, faults, notices)
        if result is None:
            continue
        if "piece" not in header:
            count = sum(1 for other in results if other.element == result.element and other.per == result.per)
            result = Result(
                element=result.element,
                value=result.value,
                unit=result.unit,
                below=result.below,
                text=result.text,
                piece=str(count + 1),
                line=number,
            )
            if count:
                notices.append(
                    Notice(
                        "pieces-numbered",
                        f"{result.element} stands {count + 1} times without a piece: each line is read as one more piece.",
                    )
                )
        key = (result.element, result.piece, result.per)
        if key in seen:
            faults.append(
                Fault(number, f"{result.element} of piece '{result.piece}' was given on line {seen[key]} already.")
            )
        seen[key] = number
        results.append(result)
    if not results and not faults:
        faults.append(Fault(None, "the file holds a header and no results."))
    if faults:
        raise FileFaultsError(str(path), faults)
    last = {notice.message.split(" stands ")[0]: notice for notice in notices if notice.code == "pieces-numbered"}
    kept = [
        notice
        for notice in notices
        if notice.code != "pieces-numbered" or last[notice.message.split(" stands ")[0]] is notice
    ]
    return results, kept


def _header_faults(header: list[str], line: int) -> list[Fault]:
    faults = [
        Fault(
            line,
            f"'{name[:40]}' is not a column of a results file.",
            did_you_mean(name, _HEADER) or f"Known: {', '.join(_HEADER)}.",
        )
        for name in header
        if name not in _HEADER
    ]
    missing = [name for name in _HEADER[:3] if name not in header]
    if missing:
        faults.append(
            Fault(
                line,
                f"the first line must name the columns; missing: {', '.join(missing)}.",
                "Write: element,value,unit or element,value,unit,piece.",
            )
        )
    if len(set(header)) != len(header):
        faults.append(Fault(line, "a column is named twice."))
    return faults


def _read_line(fields: Mapping[str, str], line: int, faults: list[Fault], notices: list[Notice]) -> Result | None:
    before = len(faults)
    name = fields["element"]
    element = _SPELLED.get(name.lower())
    if element is None:
        oxide = ("O" in name and any(character.isdigit() for character in name)) or name in (
            "PbO",
            "CdO",
            "BaO",
            "CoO",
            "CuO",
            "MnO",
            "NiO",
            "ZnO",
        )
        hint = "Release is given as the element, not as its oxide." if oxide else did_you_mean(name, _SPELLED)
        faults.append(
            Fault(line, f"'{name[:40]}' is not an element known here.", hint or f"Known: {', '.join(ELEMENTS)}.")
        )
    unit = ""
    try:
        unit = release_unit(fields["unit"])
    except UnitError as error:
        faults.append(Fault(line, error.message, error.hint))
    text = fields["value"]
    below = text.startswith(("<", "≤"))
    value: Fraction | None = None
    if text.lower().strip(" .") in ("nd", "n.d", "bdl", "bld", "not detected", "none", "trace", "-", ""):
        faults.append(
            Fault(
                line,
                f"'{text}' does not say how little: a bound was expected.",
                "Write the laboratory's detection bound, e.g. <0.005.",
            )
        )
    elif text.startswith(">"):
        faults.append(Fault(line, f"'{text[:40]}' has no upper end.", "Ask the laboratory for a diluted reading."))
    else:
        try:
            value, comma = parse_number(text.lstrip("<≤= "))
        except UnitError as error:
            faults.append(Fault(line, error.message, error.hint))
        else:
            if value < 0 or value > _LARGEST or (below and value == 0):
                faults.append(Fault(line, f"'{text[:40]}' cannot be a released amount; zero or more was expected."))
            if comma:
                notices.append(
                    Notice("decimal-comma", f"line {line}: '{text}' is read with a decimal comma, {float(value):g}.")
                )
            if value == 0 and not below:
                notices.append(
                    Notice(
                        "zero-release",
                        f"line {line}: {name} is 0; a laboratory gives a detection bound. Write it as <bound if you have it.",
                    )
                )
    if unit in ("mg/kg", "ug/kg", "ppm", "ppb"):
        notices.append(
            Notice(
                "unit-of-leachate",
                f"line {line}: {unit} is read as an amount in the leachate at density 1 (1 ppm = 1 mg/kg = 1 mg/L).",
            )
        )
    if "piece" in fields and not fields["piece"]:
        faults.append(Fault(line, "the piece is missing.", "Name the piece, or leave the column out."))
    if len(faults) > before or element is None or value is None:
        return None
    return Result(
        element=element,
        value=value,
        unit=unit,
        below=below,
        text=text.replace(" ", ""),
        piece=fields.get("piece", "1"),
        line=line,
    )
