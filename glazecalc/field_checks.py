"""What the fields of a value may hold: each is checked as it is set, and every fault is told at once.

The file readers turn the same faults into lines of the file; here they name the value and the field.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from numbers import Real

from glazecalc.errors import ArgumentError, CompositionError, Fault, UnknownNameError
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import check_oxide
from glazecalc.plain_text import code_point, forbidden

__all__ = ("LARGEST", "FieldChecks")

_LONGEST_TEXT = 20_000
LARGEST = 1e15
"""No number of any unit is meant to be larger; sums and products of such numbers stay finite."""


class FieldChecks:
    """Gathers the faults in the fields of one value, which messages call `what`: ``"Material 'whiting'"``."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.faults: list[Fault] = []
        self._wrong_type = False

    def fault(self, field: str, message: str, hint: str = "") -> None:
        """Note a fault of `field` (``"loi_percent"``, ``"analysis: SiO2"``); the message begins with its quoted name."""
        self.faults.append(Fault(None, message, hint, field))

    def wrong_type(self, field: str, value: object, expected: str, hint: str = "") -> None:
        """Note that `field` holds something of another kind than `expected`."""
        self._wrong_type = True
        shown = "nothing" if value is None else repr(value)
        shown = shown if len(shown) <= 40 else shown[:37] + "..."
        self.fault(field, f"'{field}' is {shown}; {expected} was expected.", hint)

    def text(self, field: str, value: object, *, required: bool = False, lines: bool = False) -> str:
        """Return a text; one that is required holds a letter or a figure, and only one of `lines` has line ends."""
        if not isinstance(value, str):
            self.wrong_type(field, value, "a text")
            return ""
        if not value and not required:
            return value
        if required and not any(map(str.isalnum, value)):
            wrong = f"is '{value}'; it holds no letter or figure" if value.strip() else "is missing or empty"
            self.fault(field, f"'{field}' {wrong}.")
        if bad := forbidden(value, lines=lines):
            self.fault(
                field, f"'{field}' holds the character {code_point(bad[0])}, which no text may carry.", "Take it out."
            )
        if len(value) > _LONGEST_TEXT:
            self.fault(field, f"'{field}' is longer than {_LONGEST_TEXT} characters.")
        return value

    def texts(self, field: str, value: object) -> tuple[str, ...]:
        """Return a list of texts; one bare text counts as a list of one."""
        items: object = (value,) if isinstance(value, str) else value
        listed = tuple(items) if isinstance(items, Iterable) and not isinstance(items, Mapping | bytes) else (None,)
        if not all(isinstance(item, str) for item in listed):
            self.wrong_type(field, value, "a list of texts")
            return ()
        return tuple(self.text(field, item, required=True) for item in listed)

    def flag(self, field: str, value: object) -> None:
        """Check that a field is true or false."""
        if not isinstance(value, bool):
            self.wrong_type(field, value, "True or False")

    def number(self, field: str, value: object, low: float, high: float) -> float | None:
        """Return a finite number from `low` to `high`, or None where it is not known."""
        if value is None:
            return None
        if type(value) is not float and (isinstance(value, bool) or not isinstance(value, Real)):
            hint = "Write a decimal point." if isinstance(value, str) and "," in value else ""
            self.wrong_type(field, value, "a number", hint)
            return None
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            self.fault(field, f"'{field}' is {number}; a finite number was expected.")
        elif not low <= number <= high:
            expected = f"{low:g} or more" if high == math.inf else f"{low:g} to {high:g}"
            self.fault(field, f"'{field}' is {number:.12g}; {expected} was expected.")
        elif abs(number) > LARGEST:
            self.fault(field, f"'{field}' is {number:.12g}; that is too large to be plausible.")
        return number

    def mapping(self, field: str, value: object) -> Mapping[str, object]:
        """Return a mapping, or an empty one where it is none."""
        if isinstance(value, Mapping):
            return value
        self.wrong_type(field, value, "a mapping of oxides to numbers")
        return {}

    def numbers(self, field: str, value: object, low: float, high: float) -> FrozenDict[str, float]:
        """Return a read-only copy of a mapping of text to finite number from `low` to `high`."""
        found: dict[str, float] = {}
        least, most = max(low, -LARGEST), min(high, LARGEST)
        for key, entry in self.mapping(field, value).items():
            if type(key) is str and type(entry) is float and least <= entry <= most:  # as nearly all are
                found[key] = entry
                continue
            if not isinstance(key, str):
                self.wrong_type(field, key, "a text for each key")
                continue
            if entry is None:
                self.wrong_type(f"{field}: {key}", entry, "a number")
            number = self.number(f"{field}: {key}", entry, low, high)
            if number is not None:
                found[key] = number
        return FrozenDict(found)

    def oxides(self, field: str, names: Iterable[str], *, mend: Callable[[str], str] = lambda _: "") -> None:
        """Check that each name is an oxide of the axis, or one that leaves in the fire; `mend` as for `check_oxide`."""
        for oxide in names:
            try:
                check_oxide(oxide, mend)
            except UnknownNameError as error:
                self.fault(f"{field}: {oxide}", f"'{field}: {oxide}': {error.message}", error.hint)

    def done(self) -> None:
        """Raise where anything was found: ArgumentError for things of another kind, else CompositionError."""
        if not self.faults:
            return
        error = (ArgumentError if self._wrong_type else CompositionError)(
            f"{self.what}: the field " + " The field ".join(fault.message for fault in self.faults),
            " ".join(dict.fromkeys(fault.hint for fault in self.faults if fault.hint)),
        )
        error.faults = tuple(self.faults)
        raise error
