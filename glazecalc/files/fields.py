"""Checking a YAML mapping against the fields it may have; every fault is gathered with its line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from glazecalc.errors import Fault, GlazeError, did_you_mean
from glazecalc.files.yaml_events import YamlValue

__all__ = ("FieldReader", "check_number", "make")

T = TypeVar("T")


class FieldReader:
    """Takes fields out of one YAML mapping and notes what is wrong with them.

    Parameters
    ----------
    node : YamlValue
        The mapping.
    faults : list of Fault
        Faults are appended here.
    what : str
        What the mapping is, for messages ("a material").
    known : iterable of str
        The fields it may have.
    """

    def __init__(self, node: YamlValue, faults: list[Fault], what: str, known: Iterable[str]) -> None:
        self.faults = faults
        self.line = node.line
        self.fields: dict[str, YamlValue] = {}
        self.key_lines: Mapping[str, int] = node.key_lines
        known = tuple(known)
        if not isinstance(node.value, dict):
            faults.append(Fault(node.line, f"{what} is a mapping of 'field: value' lines; {_shape(node)} was found."))
            return
        for key, value in node.value.items():
            if key in known:
                self.fields[key] = value
            else:
                hint = did_you_mean(key, known) or f"Known: {', '.join(known)}."
                faults.append(Fault(node.key_lines[key], f"'{key[:60]}' is not a field of {what}.", hint))

    def fault(self, key: str, message: str, hint: str = "") -> None:
        """Note a fault at the line of `key`."""
        self.faults.append(Fault(self.key_lines.get(key, self.line), message, hint))

    def make(self, kind: Callable[..., T], /, **fields: Any) -> T | None:
        """Return ``kind(**fields)``; the faults that it finds in itself are noted at their lines, and None returned."""
        try:
            return kind(**fields)
        except GlazeError as error:
            self.faults += [replace(fault, line=self.line_of(fault.field)) for fault in error.faults]
            return None

    def line_of(self, field: str) -> int:
        """Return the line of a field, or of an entry within it (``"analysis: SiO2"``)."""
        key, _, entry = field.partition(": ")
        item = self.fields.get(key)
        within = item.key_lines.get(entry) if item is not None and entry else None
        return within or self.key_lines.get(key, self.line)

    def given(self, texts: Iterable[str], others: Iterable[str]) -> dict[str, Any]:
        """Return the fields that are there, for `make`: those of `texts` as written, the others as YAML means them."""
        found = {key: self.as_written(key) for key in texts} | {key: self.plain(key) for key in others}
        return {key: value for key, value in found.items() if value is not None}

    def plain(self, key: str) -> Any:
        """Return a field as YAML means it, or None where it is absent."""
        item = self.fields.get(key)
        return None if item is None else item.plain()

    def as_written(self, key: str) -> Any:
        """Return a text or list of texts as it is written (a name ``06`` keeps its zero), or None where it is absent."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            return None
        if isinstance(item.value, list) and not any(isinstance(entry.value, list | dict) for entry in item.value):
            return [entry.raw.strip() for entry in item.value]
        return item.plain() if isinstance(item.value, list | dict) else item.raw.strip()

    def text(self, key: str, *, required: bool = False, default: str = "") -> str:
        """Return a one-value field as text, as written (a cone ``06`` keeps its zero)."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            if required:
                self.fault(key, f"the field '{key}' is missing.")
            return default
        if isinstance(item.value, (list, dict)):
            self.fault(key, f"'{key}' is a text; {_shape(item)} was found.")
            return default
        text = item.raw.strip()
        if required and not text:
            self.fault(key, f"the field '{key}' is empty.")
        if len(text) > 20_000:
            self.fault(key, f"'{key}' is longer than 20 000 characters.")
            return default
        return text

    def flag(self, key: str) -> bool:
        """Return a yes/no field; absent means no."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            return False
        if not isinstance(item.value, bool):
            self.fault(key, f"'{key}' is true or false; '{item.raw[:40]}' was found.")
            return False
        return item.value

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts; one bare text counts as a list of one."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            return ()
        items = item.value if isinstance(item.value, list) else [item]
        found = []
        for entry in items:
            if isinstance(entry.value, (list, dict)) or entry.value is None:
                self.faults.append(Fault(entry.line, f"'{key}' is a list of texts; {_shape(entry)} was found in it."))
            else:
                found.append(entry.raw.strip())
        return tuple(found)


def make(kind: Callable[..., T], faults: list[Fault], at: int | None, /, **fields: Any) -> T | None:
    """Return ``kind(**fields)``; the faults that it finds in itself are noted at line `at`, and None returned."""
    try:
        return kind(**fields)
    except GlazeError as error:
        faults += [replace(fault, line=at) for fault in error.faults]
        return None


def check_number(item: YamlValue, what: str, faults: list[Fault], *, low: float, high: float) -> float | None:
    """Return the finite number of `item`, or note a fault and return None."""
    value: Any = item.value
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        shown = _shape(item) if isinstance(value, (list, dict)) or value is None else f"'{item.raw[:40]}'"
        hint = ""
        if isinstance(value, str) and "," in value:
            hint = "Write a decimal point in YAML."
        faults.append(Fault(item.line, f"'{what}' is a number; {shown} was found.", hint))
        return None
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        faults.append(Fault(item.line, f"'{what}' is a finite number; '{item.raw[:40]}' was found."))
        return None
    if not low <= number <= high:
        faults.append(Fault(item.line, f"'{what}' is {item.raw[:40]}; {_range(low, high)} was expected."))
        return None
    return number


def _range(low: float, high: float) -> str:
    if high == math.inf:
        return f"{low:g} or more"
    return f"{low:g} to {high:g}"


def _shape(item: YamlValue) -> str:
    if isinstance(item.value, dict):
        return "a mapping"
    if isinstance(item.value, list):
        return "a list"
    if item.value is None:
        return "nothing"
    return f"'{item.raw[:40]}'"
