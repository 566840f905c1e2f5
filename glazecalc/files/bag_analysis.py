"""An analysis as bags and makers' sheets print it: how oxides, iron, the loss, blanks and numbers are written there, read without guessing."""

from __future__ import annotations

import re
from typing import Any

from glazecalc.errors import Fault, Notice
from glazecalc.files.fields import FieldReader
from glazecalc.files.yaml_events import NO_VALUE
from glazecalc.oxides import AXIS

__all__ = ("NOT_FILLED_IN", "as_printed", "field_meant")

NOT_FILLED_IN = "'analysis' is not filled in."
_MEND_ANALYSIS = "Write the wt % of each oxide that the bag's sheet names, or give a 'formula' in its place."
_LOWERED = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_LOSS = re.compile(
    r"(?:l\.?\s?o\.?\s?i\b\.?.*|loss(?:\s+on\s+ignition\b.*)?|loss_on_ignition|ignition\s+loss)", re.IGNORECASE
)
_UNIT_BEHIND = re.compile(r"\s*(?:\(\s*)?(?:wt\.?\s*%|mass\s*%|weight\s*%|%)(?:\s*\))?\s*\Z", re.IGNORECASE)
_TOTAL_IRON = re.compile(r"(?:total\s+)?(Fe2O3|FeO)\s*(?:\(?\s*(?:T|tot\.?|total)\s*\)?)?", re.IGNORECASE)
_IRON = {"fe2o3": "Fe2O3", "feo": "FeO"}
_NUMBER = re.compile(r"([-+]?(?:\d+\.?\d*|\.\d+))\s*%")
_RANGE = re.compile(r"\s*\d+(?:\.\d+)?\s*(?:[-–]|to)\s*\d+(?:\.\d+)?\s*%?\s*")
_NOT_READ = re.compile(r"\s*(?:[-–—]+|~\s*\d.*|.*±.*|.*\+/-.*)\s*")
_LONGEST_OXIDE = 60  # letters; no pattern sees a longer one
_TOTALS = ("total", "sum", "totals")
_ELSEWHERE = {
    "price": "Prices and stock stand in your shelf file.", "cost": "Prices and stock stand in your shelf file.",
    "stock": "Prices and stock stand in your shelf file.", "type": "Did you mean 'kind'?", "category": "Did you mean 'kind'?",
    "maker": "Did you mean 'supplier'?", "brand": "Did you mean 'supplier'?", "batch": "Did you mean 'lot'?", "alias": "Did you mean 'aliases'?",
    "chemistry": "Did you mean 'analysis'?", "oxides": "Did you mean 'analysis'?", "density": "Did you mean 'density_g_cm3'?",
    "moisture": "Did you mean 'moisture_percent'?", "water": "Did you mean 'moisture_percent'?",
}  # fmt: skip


def field_meant(key: str) -> str:
    """Return the mend for a field that a material does not have, where it is known what was meant; empty elsewhere."""
    if _LOSS.fullmatch(key.strip()):
        return "Did you mean 'loi_percent'?"
    if _oxide(key) in AXIS:
        return "An oxide stands under 'analysis:', indented by two spaces."
    return _ELSEWHERE.get(key.strip().lower(), "")


def as_printed(fields: dict[str, Any], reader: FieldReader) -> None:
    """Put `analysis` and `loi_percent` of `fields` into the form of a material; what is at fault is noted at its line and left out."""
    if isinstance(fields.get("loi_percent"), str):
        fields["loi_percent"] = _number(fields["loi_percent"])
    given = fields.get("analysis")
    if not isinstance(given, dict):
        if given is None and "analysis" in fields:
            del fields["analysis"]
            _ask_for_analysis(fields, reader)
        return
    read = _Sheet(fields, reader)
    for name, value in given.items():
        read.entry(name, value)
    fields["analysis"] = read.analysis
    if read.blank:
        said = f"{fields.get('name') or 'the material'}: left blank, so not reported: {', '.join(read.blank)}."
        fields["notices"] = (Notice("oxides-left-blank", said),)
    if read.blank and not read.analysis and not read.at_fault:
        _ask_for_analysis(fields, reader)


def _ask_for_analysis(fields: dict[str, Any], reader: FieldReader) -> None:
    if not fields.get("formula"):
        reader.fault("analysis", NOT_FILLED_IN, _MEND_ANALYSIS)
        fields["analysis"] = {"SiO2": 100.0}  # so that what else is wrong is found as well; the fault stands


class _Sheet:
    """The entries of one analysis, read one after the other."""

    def __init__(self, fields: dict[str, Any], reader: FieldReader) -> None:
        self.fields, self.reader = fields, reader
        self.lines = reader.fields["analysis"].key_lines
        self.analysis: dict[str, object] = {}
        self.blank: list[str] = []
        self.at_fault = False
        self.written: dict[str, str] = {}  # oxide -> how the sheet writes it

    def entry(self, name: str, value: object) -> None:
        """Read one line of the analysis."""
        number = _number(value)
        if _LOSS.fullmatch(name.strip()):
            self._loss(name, number)
            return
        if name.strip().lower() in _TOTALS:
            self._fault(name, f"'{name}' is no oxide.", "Leave it out: the sum is worked out.")
            return
        oxide = _oxide(name)
        if number is None:
            self.blank.append(oxide)
            return
        if isinstance(number, str) and (mend := _unreadable(number)):
            self._fault(name, f"'analysis: {name}' is '{number.strip()[:40]}', which is not one number.", mend)
            return
        if (other := self._same_iron(oxide, name)) or (other := self.written.get(oxide, "")):
            twice = "all the iron already" if oxide in _IRON.values() and other != oxide else "there already"
            self._fault(name, f"'{name}' stands beside '{other}', which is {twice}.", "Keep one of them.")
            return
        self.written[oxide] = name
        self.lines.setdefault(oxide, self.lines.get(name, self.reader.line))  # faults found later name the oxide
        self.analysis[oxide] = number

    def _same_iron(self, oxide: str, name: str) -> str:
        """Return the other form of iron where one of the two is marked as all of it."""
        if oxide not in _IRON.values():
            return ""
        other = self.written.get("FeO" if oxide == "Fe2O3" else "Fe2O3", "")
        marked = other and (name != oxide or other != _oxide(other))
        return other if marked else ""

    def _loss(self, name: str, number: object) -> None:
        if number is None:
            return
        known = self.fields.get("loi_percent")
        if known is not None and known != number:
            self._fault(name, f"'{name}' is {number}, and loi_percent {known}.", "Keep one.")
            return
        self.fields["loi_percent"] = number
        self.reader.key_lines = {**self.reader.key_lines}
        self.reader.key_lines.setdefault("loi_percent", self.lines.get(name, self.reader.line))

    def _fault(self, name: str, message: str, mend: str) -> None:
        self.at_fault = True
        self.reader.faults.append(Fault(self.lines.get(name, self.reader.line), message, mend))


def _oxide(name: str) -> str:
    """Return an oxide as the axis writes it: without a unit behind it, with plain figures, all iron under its oxide."""
    if len(name) > _LONGEST_OXIDE:
        return name
    plain = _UNIT_BEHIND.sub("", name.strip().translate(_LOWERED)).strip()
    iron = _TOTAL_IRON.fullmatch(plain)
    return _IRON[iron[1].lower()] if iron and iron[1] in ("Fe2O3", "FeO") else plain


def _number(value: object) -> object:
    """Return the number of ``60.1 %``; anything else as it is, a blank text as nothing."""
    if not isinstance(value, str):
        return value
    if not value.strip():
        return None
    number = _NUMBER.fullmatch(value.strip())
    return float(number[1]) if number else value


def _unreadable(text: str) -> str:
    """Return the mend for a text that stands for no one number; empty where it may be one, or says that it lies below detection."""
    if _RANGE.fullmatch(text):
        return "Write the middle, and half the width of the range under 'tolerance'."
    if _NOT_READ.fullmatch(text):
        return NO_VALUE
    return ""
