"""Release results of a laboratory from CSV: ``element,value,unit[,piece]``, one line an element and piece."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, UnitError, did_you_mean
from glazecalc.files.csv_table import Row, read_table
from glazecalc.files.fields import make
from glazecalc.files.text_file import read_text
from glazecalc.oxides import AXIS
from glazecalc.release import ELEMENTS, ReleaseResult, release_unit
from glazecalc.units import parse_number

__all__ = ("read_release_results",)

_SPELLED = (
    {name: symbol for symbol, name in ELEMENTS.items()}
    | {"aluminum": "Al"}
    | {symbol.lower(): symbol for symbol in ELEMENTS}
)
_WITHOUT_BOUND = ("nd", "n.d", "bdl", "bld", "not detected", "none", "trace", "-", "")


def read_release_results(path: str | Path) -> tuple[tuple[ReleaseResult, ...], tuple[Notice, ...]]:
    """Read a CSV file of release results: ``element,value,unit[,piece]``, one line an element and piece.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    results : tuple of ReleaseResult
        In the order of the file. ``<0.005`` stays a bound.
    notices : tuple of Notice
        What was read with care.

    Raises
    ------
    FileFaultsError
        With every fault and its line: unknown element or unit, a value that is no number, a line given twice.

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
    table = read_table(
        read_text(path), faults, what="results", required=("element", "value", "unit"), optional=("piece",)
    )
    notices = list(table.notices)
    found = [result for row in table.rows if (result := _result(row, faults, notices)) is not None]
    if "piece" not in table.columns:
        found = _numbered(found, notices)
    seen: dict[tuple[str, str, str], int] = {}
    for result in found:
        key = (result.element, result.piece, result.per)
        if key in seen:
            said = f"{result.element} of piece '{result.piece}' was given on line {seen[key]} already."
            faults.append(Fault(result.line, said))
        seen[key] = result.line
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(found), tuple(notices)


def _numbered(results: list[ReleaseResult], notices: list[Notice]) -> list[ReleaseResult]:
    """Return the results with their pieces numbered in the order of the lines; where several were found, that is said."""
    count: Counter[tuple[str, str]] = Counter()
    numbered = []
    for result in results:
        count[result.element, result.per] += 1
        numbered.append(replace(result, piece=str(count[result.element, result.per])))
    for (element, _), times in count.items():
        if times > 1:
            said = f"{element} stands {times} times without a piece: each line is read as one more piece."
            notices.append(Notice("pieces-numbered", said))
    return numbered


def _result(row: Row, faults: list[Fault], notices: list[Notice]) -> ReleaseResult | None:
    before = len(faults)
    name, text = row.cells["element"], row.cells["value"]
    element = _SPELLED.get(name.lower(), "")
    if not element:
        oxide = name in AXIS or ("O" in name and any(character.isdigit() for character in name))
        hint = "Release is given as the element, not as its oxide." if oxide else did_you_mean(name, _SPELLED)
        hint = hint or f"Known: {', '.join(ELEMENTS)}."
        faults.append(Fault(row.line, f"'{name[:40]}' is not an element known here.", hint))
    value, unit = Fraction(0), ""
    try:
        unit = release_unit(row.cells["unit"])
    except UnitError as error:
        faults.append(Fault(row.line, error.message, error.hint))
    try:
        value, comma = _value(text)
        if comma:
            said = f"line {row.line}: '{text}' is read with a decimal comma, {float(value):g}."
            notices.append(Notice("decimal-comma", said))
    except UnitError as error:
        faults.append(Fault(row.line, error.message, error.hint))
    if not row.cells.get("piece", "1"):
        faults.append(Fault(row.line, "the piece is missing.", "Name the piece, or leave the column out."))
    if len(faults) > before:
        return None
    if value == 0:
        said = f"line {row.line}: {name} is 0; a laboratory gives a detection bound. Write it as <bound if you have it."
        notices.append(Notice("zero-release", said))
    if unit in ("mg/kg", "ug/kg", "ppm", "ppb"):
        said = f"{unit} is read as an amount in the leachate at density 1 (1 ppm = 1 mg/kg = 1 mg/L)."
        notices.append(Notice("unit-of-leachate", f"line {row.line}: {said}"))
    return make(
        ReleaseResult,
        faults,
        row.line,
        element=element,
        value=value,
        unit=unit,
        below=_is_bound(text),
        text=text.replace(" ", ""),
        piece=row.cells.get("piece", "1"),
        line=row.line,
    )


def _is_bound(text: str) -> bool:
    return text.startswith(("<", "≤"))


def _value(text: str) -> tuple[Fraction, bool]:
    """Return the number of ``0.03`` or ``<0.005``, and whether a comma was read as a decimal sign."""
    if text.lower().strip(" .") in _WITHOUT_BOUND:
        mend = "Write the laboratory's detection bound, e.g. <0.005."
        raise UnitError(f"'{text}' does not say how little: a bound was expected.", mend)
    if text.startswith(">"):
        raise UnitError(f"'{text[:40]}' has no upper end.", "Ask the laboratory for a diluted reading.")
    return parse_number(text.lstrip("<≤= "))
