"""The one value that every estimate returns, and the words that every estimate may be asked with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import UnknownNameError, did_you_mean

__all__ = ("LEVELS", "Estimate", "check_level", "check_model")

LEVELS = (0.80, 0.90, 0.95)
"""Shares of new glasses that intervals were measured for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate(Shown):
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
    outside : tuple of str
        What lies outside the range the model was tested in, each with its number.
    note : str
        What the reader must know beside the number.
    source : str
        Where the model comes from.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        *("quantity", "model", "value", "low", "high", "level", "unit", "temperature_range_c"),
        *("in_window", "outside", "note", "source"),
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

    @property
    def name(self) -> str:
        """Quantity and model: the name by which it stands in a spread."""
        return f"{self.quantity}, {self.model}"

    @property
    def in_window(self) -> bool:
        """True where nothing lies outside the range the model was tested in."""
        return not self.outside

    @classmethod
    def around(
        cls,
        value: float,
        half_width: float | None,
        *,
        level: float,
        quantity: str,
        model: str,
        unit: str,
        temperature_range_c: tuple[float, float] | None = None,
        outside: tuple[str, ...],
        note: str,
        source: str,
    ) -> Estimate:
        """Return an estimate whose interval reaches `half_width` to both sides; None: without an interval."""
        return cls(
            quantity=quantity,
            model=model,
            value=value,
            low=None if half_width is None else value - half_width,
            high=None if half_width is None else value + half_width,
            level=None if half_width is None else level,
            unit=unit,
            temperature_range_c=temperature_range_c,
            outside=outside,
            note=note,
            source=source,
        )


def check_level(level: float) -> int:
    """Return the level in whole per cent.

    Raises
    ------
    UnknownNameError
        If it is not one of `LEVELS`.
    """
    for known in LEVELS:
        if isinstance(level, int | float) and abs(level - known) < 1e-9:
            return round(100 * known)
    raise UnknownNameError(f"no interval was measured at a level of {level}.", "Choose 0.80, 0.90 or 0.95.")


def check_model(model: str, known: Sequence[str], of: str) -> str:
    """Return `model` if it is one of the models `known`.

    Raises
    ------
    UnknownNameError
        Naming those that there are, e.g. `of` expansion.
    """
    if model in known:
        return model
    there_are = f"There are {', '.join(repr(name) for name in known)}."
    raise UnknownNameError(f"no model of {of} is called {model!r}.", did_you_mean(str(model), known) or there_are)
