"""Checking a YAML mapping against the fields it may have; every fault is gathered with its line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from glazecalc.errors import Fault, FileFaultsError, GlazeError, did_you_mean
from glazecalc.files.yaml_events import YamlValue

__all__ = ("FieldReader", "make", "shape")

T = TypeVar("T")


class FieldReader:
    """Takes fields out of one YAML mapping and gathers what is wrong with them.

    `what` is the mapping in a message ("a material"), `known` the fields it may have; `faults` is the list of the
    mapping around it, where there is one. `meant` gives the mend for a field that is not known, where it can tell.
    """

    def __init__(
        self,
        node: YamlValue,
        what: str,
        known: Iterable[str],
        faults: list[Fault] | None = None,
        meant: Callable[[str], str] = lambda _: "",
    ) -> None:
        self.faults = [] if faults is None else faults
        self.line = node.line
        self.fields: dict[str, YamlValue] = {}
        self.key_lines: Mapping[str, int] = node.key_lines
        known = tuple(known)
        if not isinstance(node.value, dict):
            said = f"{what} is a mapping of 'field: value' lines; {shape(node)} was found."
            self.faults.append(Fault(node.line, said))
            return
        listed = False  # the known fields, once
        for key, value in node.value.items():
            if key in known:
                self.fields[key] = value
                continue
            hint = meant(key) or did_you_mean(key, known)
            if not hint and not listed:
                hint, listed = f"Known: {', '.join(known)}.", True
            self.fault(key, f"'{key[:60]}' is not a field of {what}.", hint)

    def fault(self, key: str, message: str, hint: str = "") -> None:
        """Note a fault at the line of `key`."""
        self.faults.append(Fault(self.key_lines.get(key, self.line), message, hint))

    def build(self, kind: Callable[..., T], path: str, /, **fields: Any) -> T:
        """Return the value that a whole file holds; raise FileFaultsError with every fault that was gathered."""
        made = self.make(kind, **fields)
        if made is None or self.faults:
            raise FileFaultsError(path, self.faults)
        return made

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

    def given(self, texts: Iterable[str], others: Iterable[str] = ()) -> dict[str, Any]:
        """Return the fields that are there, for `make`: those of `texts` as written, the others as YAML means them."""
        found = {key: self.as_written(key) for key in texts}
        found |= {key: self.fields[key].plain() for key in others if key in self.fields}
        return {key: value for key, value in found.items() if value is not None}

    def as_written(self, key: str) -> Any:
        """Return a text or list of texts as written (a name ``06`` keeps its zero), or None where it is absent."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            return None
        if isinstance(item.value, list) and not any(
            isinstance(entry.value, list | dict | None) for entry in item.value
        ):
            return [entry.raw.strip() for entry in item.value]
        return item.plain() if isinstance(item.value, list | dict) else item.raw.strip()

    def text(self, key: str) -> str:
        """Return a text as it is written; absent means empty."""
        found = self.as_written(key)
        if found is None or isinstance(found, str):
            return found or ""
        self.fault(key, f"'{key}' is a text; {shape(self.fields[key])} was found.")
        return ""

    def lines(self, key: str) -> str:
        """Return a text, or a list of texts as lines of one."""
        found = self.as_written(key)
        lines = found if isinstance(found, list) else [found or ""]
        if all(isinstance(line, str) for line in lines):
            return "\n".join(lines)
        self.fault(key, f"'{key}' is neither a text nor a list of texts.")
        return ""

    def flag(self, key: str) -> bool:
        """Return a yes/no field; absent means no."""
        item = self.fields.get(key)
        if item is None or item.value is None:
            return False
        if not isinstance(item.value, bool):
            self.fault(key, f"'{key}' is true or false; {shape(item)} was found.")
        return item.value is True


def make(kind: Callable[..., T], faults: list[Fault], at: int | None, /, **fields: Any) -> T | None:
    """Return ``kind(**fields)``; the faults that it finds in itself are noted at line `at`, and None returned."""
    try:
        return kind(**fields)
    except GlazeError as error:
        faults += [replace(fault, line=at) for fault in error.faults]
        return None


def shape(item: YamlValue) -> str:
    """Return what a YAML value is, in a word or two."""
    if isinstance(item.value, dict):
        return "a mapping"
    if isinstance(item.value, list):
        return "a list"
    return "nothing" if item.value is None else f"'{item.raw[:40]}'"
