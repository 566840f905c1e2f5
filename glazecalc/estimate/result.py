"""The one value that every estimate returns, and the words that every estimate may be asked with."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar, Literal, TypeAlias

from glazecalc.display import BY_ROW, Shown
from glazecalc.errors import CompositionError, UnknownNameError, did_you_mean
from glazecalc.frozen import FrozenDict

__all__ = ("ESTIMATE_COLUMNS", "Estimate", "Region", "check_level", "check_model", "decimals", "with_interval")

Region: TypeAlias = Literal["inside", "dark", "outside", "beyond"]
"""Where a glaze lies to a model: tested; dark with colouring oxides; outside what was tested; beyond all that was fitted to."""

ESTIMATE_COLUMNS: Mapping[str, str] = FrozenDict(
    {"quantity": "", "model": "", "value": BY_ROW, "low": BY_ROW, "high": BY_ROW, "level": "", "unit": ""}
)
"""The columns of a frame of estimates, or of their differences, with their units."""

_LEVELS = (0.80, 0.90, 0.95)  # shares of new glasses that intervals were measured for


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate(Shown):
    """A calculated property, with what it is worth.

    Attributes
    ----------
    quantity, model : str
        What was estimated, and by which model: ``"viscosity"``, ``"fitted"``.
    low, high : float or None
        Ends of the interval at `level`, in `unit`; None where no interval can be given.
    level : float or None
        Share of new glasses that the interval is meant to hold, 0-1.
    temperature_range_c : tuple of float or None
        Temperatures [deg C] that the value stands for.
    outside : tuple of str
        What lies outside the range the model was tested in, each with its number.
    note : str
        What the reader must know beside the number.
    corrected : float or None
        The value with its usual error against measured glasses taken off, where a published method has one.
    region : str
        Where the glaze lies to the model, for the error of a difference.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        *("quantity", "model", "value", "low", "high", "level", "unit", "temperature_range_c"),
        *("in_window", "outside", "note", "source", "corrected"),
    )

    quantity: str
    model: str
    value: float
    low: float | None = None
    high: float | None = None
    level: float | None = None
    unit: str
    temperature_range_c: tuple[float, float] | None = None
    outside: tuple[str, ...] = ()
    note: str = ""
    source: str = ""
    corrected: float | None = None
    region: Region = "inside"

    def __post_init__(self) -> None:
        if not all(math.isfinite(number) for number in (self.value, self.low, self.high) if number is not None):
            raise CompositionError(f"the model '{self.model}' gives no {self.quantity} for this glaze.")

    @property
    def name(self) -> str:
        """Quantity and model, a viscosity with its temperature: the name by which it stands in a spread."""
        ends = self.temperature_range_c if self.quantity == "viscosity" else None
        at = f" at {ends[0]:.0f} C" if ends is not None else ""
        return f"{self.quantity}{at}, {self.model}"

    @property
    def half_width(self) -> float | None:
        """Half of the interval, in `unit`; None where no interval can be given."""
        return None if self.low is None or self.high is None else (self.high - self.low) / 2

    def __float__(self) -> float:
        return self.value

    def __str__(self) -> str:
        """Return value, half width, level and unit: ``5.7 ± 1.5 (90 %) 1e-6 per K``; without an interval that it is beyond the tests."""
        digits = decimals(self.unit)
        half = "" if self.half_width is None else f" ± {self.half_width:.{digits}f}"
        level = "" if self.level is None else f" ({100 * self.level:.0f} %)"
        beyond = ", outside the tested range" if self.outside and self.half_width is None else ""
        return f"{self.value:.{digits}f}{half}{level} {self.unit}{beyond}"

    def __repr__(self) -> str:
        return f"<Estimate {self.name}: {self}>"

    @property
    def in_window(self) -> bool:
        """True where nothing lies outside the range the model was tested in."""
        return not self.outside


def decimals(unit: str) -> int:
    """Return the decimals that an estimate in `unit` deserves: none for deg C and mN/m, one otherwise."""
    return 0 if "deg C" in unit or "mN" in unit else 1


def with_interval(estimate: Estimate, half_width: float | None, level: float) -> Estimate:
    """Return an estimate whose interval reaches `half_width` to both sides; None: without an interval."""
    if half_width is None:
        return estimate
    return replace(estimate, low=estimate.value - half_width, high=estimate.value + half_width, level=level)


def check_level(level: float) -> int:
    """Return the level in whole per cent; UnknownNameError for one that no interval was measured at."""
    for known in _LEVELS:
        if isinstance(level, int | float) and abs(level - known) < 1e-9:
            return round(100 * known)
    raise UnknownNameError(f"no error range was measured at a level of {level}.", "Choose 0.80, 0.90 or 0.95.")


def check_model(model: str, known: Sequence[str], of: str) -> None:
    """Raise UnknownNameError if `model` is not one of the models `known`, e.g. `of` expansion."""
    if model not in known:
        there_are = f"There are {', '.join(repr(name) for name in known)}."
        raise UnknownNameError(f"no model of {of} is called {model!r}.", did_you_mean(str(model), known) or there_are)
