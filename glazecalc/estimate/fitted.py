"""What the fitted composition models share: the terms they are made of, and the window they were tested in.

A term is an oxide, a group of oxides, ``other`` (whatever the model does not name), or a product such as
``R2O*Al2O3``; each stands for mole fractions (0-1).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import CompositionError, UnknownNameError
from glazecalc.oxides import AXIS, INDEX

__all__ = ("GROUPS", "Interval", "Window", "as_row", "check_level", "design_matrix", "outside_limits", "plain_number")

GROUPS: Mapping[str, tuple[str, ...]] = {
    "R2O": ("Li2O", "Na2O", "K2O"),
    "RO": ("MgO", "CaO", "SrO", "BaO", "ZnO"),
}
"""Groups as the models count them; narrower than the roles of the axis, because the data hold no more."""

LEVELS = (80, 90, 95)


def as_row(mole_percent: Mapping[str, float]) -> NDArray[np.float64]:
    """Return a composition in mol % as one row (1, len(AXIS))."""
    row = np.zeros((1, len(AXIS)))
    for oxide, value in mole_percent.items():
        row[0, INDEX[oxide]] = value
    return row


def design_matrix(mole_percent: NDArray[np.float64], terms: Sequence[str]) -> NDArray[np.float64]:
    """Return the terms of a model for each composition.

    Parameters
    ----------
    mole_percent : array, shape (n, len(AXIS))
        Compositions [mol %], iron as Fe2O3.
    terms : sequence of str
        Oxides, groups, ``other`` and products, in the model's order.

    Returns
    -------
    array, shape (n, len(terms))
        Mole fractions and their products [-].
    """
    fractions = mole_percent / 100.0
    unnamed = [column for oxide, column in INDEX.items() if oxide not in terms]

    def factor(name: str) -> NDArray[np.float64]:
        if name == "other":
            return np.asarray(fractions[:, unnamed].sum(axis=1), dtype=np.float64)
        if name in GROUPS:
            return np.asarray(fractions[:, [INDEX[oxide] for oxide in GROUPS[name]]].sum(axis=1), dtype=np.float64)
        return np.asarray(fractions[:, INDEX[name]], dtype=np.float64)

    columns = [np.prod([factor(name) for name in term.split("*")], axis=0) for term in terms]
    return np.stack(columns, axis=1)


def outside_limits(mole_percent: Mapping[str, float], limits: Mapping[str, Sequence[float]]) -> tuple[str, ...]:
    """Name what lies outside a window.

    Parameters
    ----------
    mole_percent : mapping
        Oxide -> mol %.
    limits : mapping
        Oxide, group or ``other`` -> (lowest, highest) [mol %]. An oxide on the axis that has no limit of its own counts
        under ``other``.

    Returns
    -------
    tuple of str
        One text each, e.g. ``"MgO 18.2 mol % (tested 0-15)"``; empty inside the window.
    """
    named = {oxide for name in limits for oxide in GROUPS.get(name, (name,))}
    found = []
    for name, (low, high) in limits.items():
        oxides = (
            [oxide for oxide in mole_percent if oxide not in named]
            if name == "other"
            else list(GROUPS.get(name, (name,)))
        )
        amount = sum(mole_percent.get(oxide, 0.0) for oxide in oxides)
        if not low - 1e-9 <= amount <= high + 1e-9:
            shown = name if name != "other" else " + ".join(oxide for oxide in oxides if mole_percent[oxide] > 0)
            found.append(f"{shown} {plain_number(amount)} mol % (tested {low:g}-{high:g})")
    return tuple(found)


def plain_number(value: float) -> str:
    """Return a number with one decimal, two where it is small."""
    return f"{value:.1f}" if abs(value) >= 1 else f"{value:.2f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The range of composition that a fitted model was tested in.

    Attributes
    ----------
    limits : mapping
        Oxide, group or ``other`` -> (lowest, highest) [mol %] of the tested window.
    wide : mapping
        The same for everything that was fitted on; beyond it no interval can be given.
    seen : tuple of str
        The oxides that occur in the data at all.
    iron_from_mole_percent : float
        Above this Fe2O3 [mol %] a glaze inside the window has an interval of its own.
    """

    limits: Mapping[str, tuple[float, float]]
    wide: Mapping[str, tuple[float, float]]
    seen: tuple[str, ...]
    iron_from_mole_percent: float

    @classmethod
    def from_data(cls, entry: Mapping[str, Any]) -> Window:
        """Read the entry that the calibration wrote."""
        return cls(
            limits=entry["window"],
            wide=entry["fitted_on"],
            seen=tuple(entry["oxides_in_the_data"]),
            iron_from_mole_percent=entry["iron_from_mole_percent"],
        )

    def place(self, mole_percent: Mapping[str, float]) -> tuple[str, tuple[str, ...]]:
        """Return the region (``inside``, ``iron``, ``outside`` or ``beyond``) and what lies outside, each with its number.

        Traces of oxides without data, up to 0.1 mol % together, do not move a glaze out of its region; `traces` names them.
        """
        unseen = {oxide: value for oxide, value in mole_percent.items() if value > 0 and oxide not in self.seen}
        known = {oxide: value for oxide, value in mole_percent.items() if oxide in self.seen}
        traces = sum(unseen.values()) <= _TRACE_MOLE_PERCENT
        strange = (
            ()
            if traces
            else tuple(
                f"{oxide} {plain_number(value)} mol % (no such glass in the data)" for oxide, value in unseen.items()
            )
        )
        outside = outside_limits(known, self.limits) + strange
        if not outside:
            return ("iron" if mole_percent.get("Fe2O3", 0.0) > self.iron_from_mole_percent else "inside"), ()
        beyond = sum(unseen.values()) > _UNSEEN_MOLE_PERCENT or outside_limits(known, self.wide)
        return ("beyond" if beyond else "outside"), outside

    def traces(self, mole_percent: Mapping[str, float]) -> str:
        """Return a sentence that names traces of oxides without data, or an empty text."""
        unseen = [oxide for oxide, value in mole_percent.items() if value > 0 and oxide not in self.seen]
        return f"Traces without data: {', '.join(unseen)}." if unseen else ""

    def refuse_strangers(self, mole_percent: Mapping[str, float], model: str) -> None:
        """Raise where a glaze holds too much of what the model has never seen: lead, and oxides without any glass.

        Raises
        ------
        CompositionError
            Naming the oxides.
        """
        strangers = {
            oxide: value
            for oxide, value in mole_percent.items()
            if value > 0 and (oxide not in self.seen or oxide == "PbO")
        }
        if sum(strangers.values()) > _STRANGERS_MOLE_PERCENT:
            named = ", ".join(f"{oxide} {plain_number(value)}" for oxide, value in strangers.items())
            raise CompositionError(f"{model} has seen no glass with {named} mol %.", "It is for glazes free of lead.")


# An oxide of which the data hold no glass is bearable as a trace; much of it makes any number a guess.
_UNSEEN_MOLE_PERCENT = 0.5
_TRACE_MOLE_PERCENT = 0.1
_STRANGERS_MOLE_PERCENT = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Half widths of a calibrated interval: one number a class of composition, or one a temperature.

    Attributes
    ----------
    knots_c : array or None
        Temperatures [deg C] that `inside` is given at; None where it does not depend on temperature.
    inside : mapping
        Level in per cent -> half width(s) inside the window.
    iron, outside : mapping
        Level in per cent -> factor on `inside` for iron-rich glazes and outside the window; None where too few sources exist.
    """

    knots_c: tuple[float, ...] | None
    inside: Mapping[int, tuple[float, ...]]
    iron: Mapping[int, float | None]
    outside: Mapping[int, float | None]

    @classmethod
    def from_data(cls, entry: Mapping[str, Any]) -> Interval:
        """Read the entry that the calibration wrote."""
        return cls(
            knots_c=tuple(entry["knots_c"]) if "knots_c" in entry else None,
            inside={int(level): tuple(np.atleast_1d(widths)) for level, widths in entry["inside"].items()},
            iron={int(level): factor for level, factor in entry["factor_iron"].items()},
            outside={int(level): factor for level, factor in entry["factor_outside"].items()},
        )

    def half_width(self, level: float, *, region: str, temperature_c: float | None = None) -> float | None:
        """Return the half width at `level` (0-1) for a region of `Window.place`; None where it is not known."""
        percent = check_level(level)
        widths = self.inside[percent]
        base = (
            float(widths[0])
            if self.knots_c is None or temperature_c is None
            else float(np.interp(temperature_c, self.knots_c, widths))
        )
        factor = self.factor(level, region=region)
        return None if factor is None else base * factor

    def factor(self, level: float, *, region: str) -> float | None:
        """Return the factor of a region on the width inside the window; None where it is not known."""
        percent = check_level(level)
        return {"inside": 1.0, "iron": self.iron[percent], "outside": self.outside[percent], "beyond": None}[region]


def check_level(level: float) -> int:
    """Return the level in whole per cent.

    Raises
    ------
    UnknownNameError
        If it is not one of the calibrated levels.
    """
    percent = round(level * 100)
    if percent not in LEVELS or abs(level * 100 - percent) > 1e-6:
        raise UnknownNameError(f"no interval is calibrated at a level of {level:g}.", "Choose 0.80, 0.90 or 0.95.")
    return percent
