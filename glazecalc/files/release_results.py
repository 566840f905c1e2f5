"""Release results of a laboratory from CSV: ``element,value,unit[,piece][,extraction]``, one line a result."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError, did_you_mean
from glazecalc.files.csv_table import Row, read_table
from glazecalc.files.text_file import read_text
from glazecalc.oxides import AXIS
from glazecalc.release import ELEMENTS, EXTRACTIONS, ReleaseResult, release_unit
from glazecalc.units import Mark, Written, parse_number, two_readings

__all__ = ("read_release_results",)

_SPELLED = (
    {name: symbol for symbol, name in ELEMENTS.items()}
    | {"aluminum": "Al"}
    | {symbol.lower(): symbol for symbol in ELEMENTS}
)
_EXTRACTIONS = {str(number): number for number in EXTRACTIONS}
_ASSUMED = (
    "there is no column 'extraction': every result is read as the first extraction. ISO 6486-1:2019 reports the third of three; "
    "ask the laboratory which this is."
)
_WITHOUT_LIMIT = ("nd", "n.d", "bdl", "bld", "not detected", "none", "trace", "-", "")


def read_release_results(path: str | Path) -> tuple[tuple[ReleaseResult, ...], tuple[Notice, ...]]:
    """Read a laboratory's release results; no row is dropped.

    Parameters
    ----------
    path : str or Path
        A CSV file: ``element,value,unit[,piece][,extraction]``, one line an element, piece and extraction (1, 2 or 3). Without
        the last column every result is read as the first extraction, and a notice says so.

    Returns
    -------
    results : tuple of ReleaseResult
        In the order of the file. ``<0.005`` stays a detection limit.
    notices : tuple of Notice
        What was read with care.

    Raises
    ------
    FileFaultsError
        With every fault and its line: unknown element or unit, a value that is no number, an extraction other than 1, 2 or 3, a
        line given twice.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> import glazecalc as gc
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder, "results.csv")
    ...     _ = path.write_text("element,value,unit\\nPb,0.03,mg/dm2\\nCd,<0.005,mg/dm2\\n")
    ...     results, notices = gc.read_release_results(path)
    >>> [(result.element, result.text, result.unit) for result in results]
    [('Pb', '0.03', 'mg/dm2'), ('Cd', '<0.005', 'mg/dm2')]
    """
    faults: list[Fault] = []
    notices: list[Notice] = []
    rows = read_table(
        read_text(path), faults, notices, "results", ("element", "value", "unit"), ("piece", "extraction")
    )
    numbers: list[Written] = []
    found = [result for row in rows if (result := _result(row, numbers)) is not None]
    faults += two_readings(numbers)
    if rows and "piece" not in rows[0].cells:
        found = _numbered(found, notices)
    if rows and "extraction" not in rows[0].cells:
        notices.append(Notice("extraction-assumed", _ASSUMED))
    seen: dict[tuple[str, str, str, int], int] = {}
    for result in found:
        key = (result.element, result.piece, result.per, result.extraction)
        if key in seen:
            said = f"{result.element} of piece '{result.piece}' was given on line {seen[key]} already."
            hint = "Where the piece was filled with acid more than once, say which time in a column 'extraction': 1, 2 or 3."
            faults.append(Fault(result.line, said, "" if "extraction" in rows[0].cells else hint))
        seen[key] = result.line
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(found), tuple(notices)


def _numbered(results: list[ReleaseResult], notices: list[Notice]) -> list[ReleaseResult]:
    """Return the results with their pieces numbered in the order of the lines; where several were found, that is said."""
    count: Counter[tuple[str, str, int]] = Counter()
    numbered = []
    for result in results:
        alike = (result.element, result.per, result.extraction)
        count[alike] += 1
        numbered.append(replace(result, piece=str(count[alike])))
    for (element, _, _), times in count.items():
        if times > 1:
            said = f"{element} stands {times} times without a piece: each line is read as one more piece."
            notices.append(Notice("pieces-numbered", said))
    return numbered


def _result(row: Row, numbers: list[Written]) -> ReleaseResult | None:
    before = len(row.faults)
    name, text, piece = row.cells["element"], row.cells["value"], row.cells.get("piece", "1")
    element = _SPELLED.get(name.lower(), "")
    if not element:
        oxide = name in AXIS or ("O" in name and any(character.isdigit() for character in name))
        hint = "Release is given as the element, not as its oxide." if oxide else did_you_mean(name, _SPELLED)
        row.fault(f"'{name[:40]}' is not an element known here.", hint or f"Known: {', '.join(ELEMENTS)}.")
    value, unit = Fraction(0), ""
    try:
        unit = release_unit(row.cells["unit"])
    except UnitError as error:
        row.refuse(error)
    try:
        value, mark = _value(text)
        numbers.append(Written(row.line, text, value, mark, row.cells["unit"]))
        if mark == ",":
            row.notice("decimal-comma", f"'{text}' is read with a decimal comma, {float(value):g}.")
    except UnitError as error:
        row.refuse(error)
    fill = row.cells.get("extraction", "1")
    if fill not in _EXTRACTIONS:
        said = f"the extraction is '{fill[:40]}'; 1, 2 or 3 was expected." if fill else "the extraction is missing."
        row.fault(said, "It counts the fillings with fresh acid; leave the column out where there was one.")
    if not piece:
        row.fault("the piece is missing.", "Name the piece, or leave the column out.")
    if len(row.faults) > before:
        return None
    if value == 0:
        said = f"{name} is 0; a laboratory gives a detection limit. Write it as <limit if you have it."
        row.notice("zero-release", said)
    if unit in ("mg/kg", "ug/kg", "ppm", "ppb"):
        said = f"{unit} is read as an amount in the leachate at density 1 (1 ppm = 1 mg/kg = 1 mg/L)."
        row.notice("unit-of-leachate", said)
    below, written = text.startswith(("<", "≤")), text.replace(" ", "")
    fields = {"element": element, "value": value, "unit": unit, "below": below, "text": written, "piece": piece}
    return row.make(ReleaseResult, **fields, extraction=_EXTRACTIONS[fill], line=row.line)


def _value(text: str) -> tuple[Fraction, Mark]:
    """Return the number of ``0.03`` or ``<0.005``, and how its decimals were marked."""
    if text.lower().strip(" .") in _WITHOUT_LIMIT:
        mend = "Write the laboratory's detection limit, e.g. <0.005."
        raise UnitError(f"'{text}' does not say how little: a detection limit was expected.", mend)
    if text.startswith(">"):
        raise UnitError(f"'{text[:40]}' has no upper end.", "Ask the laboratory for a diluted reading.")
    return parse_number(text.lstrip("<≤= "))
