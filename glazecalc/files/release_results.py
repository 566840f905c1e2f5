"""Release results of a laboratory from CSV: ``element,value,unit[,piece]``, one line an element and piece."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError, did_you_mean
from glazecalc.files.text_file import read_text
from glazecalc.release import ELEMENTS, ReleaseResult, release_unit
from glazecalc.units import parse_number

__all__ = ("read_release_results",)

_HEADER = ("element", "value", "unit", "piece")
_SPELLED = (
    {name: symbol for symbol, name in ELEMENTS.items()}
    | {"aluminum": "Al"}
    | {symbol.lower(): symbol for symbol in ELEMENTS}
)
_LARGEST = Fraction(10) ** 9


def read_release_results(path: str | Path) -> tuple[list[ReleaseResult], list[Notice]]:
    """Read a CSV file of release results: ``element,value,unit[,piece]``, one line an element and piece.

    Parameters
    ----------
    path : str or Path
        The file; ``;`` and tab are accepted between fields, ``#`` starts a comment.

    Returns
    -------
    results : list of ReleaseResult
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
    results: list[ReleaseResult] = []
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
            result = ReleaseResult(
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


def _read_line(
    fields: Mapping[str, str], line: int, faults: list[Fault], notices: list[Notice]
) -> ReleaseResult | None:
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
    return ReleaseResult(
        element=element,
        value=value,
        unit=unit,
        below=below,
        text=text.replace(" ", ""),
        piece=fields.get("piece", "1"),
        line=line,
    )
