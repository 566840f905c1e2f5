"""The one value that every estimate returns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = ("Estimate",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A calculated property, with what it is worth.

    Attributes
    ----------
    quantity : str
        What was estimated, e.g. ``"expansion"`` or ``"viscosity"``.
    model : str
        Short name of the model.
    value : float
        The central value, in `unit`.
    low, high : float or None
        Ends of the interval at `level`, in `unit`; None where no interval can be given.
    level : float or None
        Share of new glasses that the interval is meant to hold, 0-1; None without an interval.
    unit : str
        Unit of `value`, `low` and `high`.
    temperature_range_c : tuple of float or None
        Temperatures [deg C] that the value stands for.
    in_window : bool
        True where the composition lies inside the range the model was tested on.
    outside : tuple of str
        What lies outside that range, each with its number.
    note : str
        What the reader must know beside the number.
    source : str
        Where the model comes from.
    """

    quantity: str
    model: str
    value: float
    low: float | None = None
    high: float | None = None
    level: float | None = None
    unit: str
    temperature_range_c: tuple[float, float] | None = None
    in_window: bool
    outside: tuple[str, ...] = ()
    note: str = ""
    source: str = ""

    @property
    def name(self) -> str:
        """Quantity and model: the name by which it stands in a spread."""
        return f"{self.quantity}, {self.model}"

    def to_dict(self) -> dict[str, Any]:
        """Return the estimate with the keys of the JSON contract."""
        return {
            "quantity": self.quantity,
            "model": self.model,
            "value": self.value,
            "low": self.low,
            "high": self.high,
            "level": self.level,
            "unit": self.unit,
            "temperature_range_c": list(self.temperature_range_c) if self.temperature_range_c else None,
            "in_window": self.in_window,
            "outside": list(self.outside),
            "note": self.note,
            "source": self.source,
        }
