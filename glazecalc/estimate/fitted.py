"""What the composition models share: terms, the range they were tested in, and their intervals.

A term is an oxide, a group of oxides, ``other`` (whatever the model does not name), or a product such as
``R2O*Al2O3``; each stands for mole fractions (0-1).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import CompositionError
from glazecalc.estimate.result import check_level
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import AXIS, INDEX, R2O, RO

__all__ = ("MODEL_GROUPS", "Interval", "Place", "Region", "TestedRange", "as_row", "design_matrix", "plain_number")

Floats = NDArray[np.float64]
Limits: TypeAlias = Mapping[str, Sequence[float]]
Region: TypeAlias = Literal["inside", "dark", "outside", "beyond"]

_ALKALIS = tuple(oxide for oxide in R2O if oxide not in ("Rb2O", "Cs2O"))
_EARTHS = tuple(oxide for oxide in RO if oxide != "PbO")
MODEL_GROUPS: Mapping[str, tuple[str, ...]] = FrozenDict(
    {"R2O": _ALKALIS, "RO": _EARTHS, "R2O+RO": (*_ALKALIS, *_EARTHS, "PbO")}
)
"""The groups of the axis as the models count them: their glasses hold no Rb2O or Cs2O, and of lead a trace at most."""


def as_row(mole_percent: Mapping[str, float]) -> Floats:
    """Return a composition in mol % as one row (1, len(AXIS))."""
    row = np.zeros((1, len(AXIS)))
    for oxide, value in mole_percent.items():
        row[0, INDEX[oxide]] = value
    return row


def design_matrix(mole_percent: Floats, terms: Sequence[str]) -> Floats:
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

    def factor(name: str) -> Floats:
        if name == "other":
            return np.asarray(fractions[:, unnamed].sum(axis=1), dtype=np.float64)
        if name in MODEL_GROUPS:
            return np.asarray(
                fractions[:, [INDEX[oxide] for oxide in MODEL_GROUPS[name]]].sum(axis=1), dtype=np.float64
            )
        return np.asarray(fractions[:, INDEX[name]], dtype=np.float64)

    columns = [np.prod([factor(name) for name in term.split("*")], axis=0) for term in terms]
    return np.stack(columns, axis=1)


def plain_number(value: float) -> str:
    """Return a number with one decimal, two where it is small."""
    return f"{value:.1f}" if abs(value) >= 1 else f"{value:.2f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a glaze lies in the range that a model was tested in.

    Attributes
    ----------
    region : str
        ``"inside"``; ``"dark"`` with colouring oxides but inside in all else; ``"outside"`` the tested range; or ``"beyond"``
        everything the model was fitted to, where no interval is known.
    outside : tuple of str
        What lies outside the tested range, each with its number.
    beyond : tuple of str
        What lies beyond the data, likewise.
    unseen : mapping
        Oxides of which the model knows nothing [mol %].
    """

    region: Region
    outside: tuple[str, ...]
    beyond: tuple[str, ...]
    unseen: Mapping[str, float]

    @property
    def notes(self) -> tuple[str, ...]:
        """A sentence that names the oxides without data, or nothing."""
        return (f"Traces without data: {', '.join(self.unseen)}.",) if self.unseen else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TestedRange:
    """The range of composition that a model was tested in. Limits: oxide, group or ``other`` -> lowest and highest [mol %].

    Attributes
    ----------
    limits : mapping
        Where the model is called tested.
    dark : mapping
        The limits that replace these for glazes dark with colouring oxides, which have an interval of their own.
    dark_is_tested : bool
        True where such glazes count as tested.
    wide : mapping
        Limits of all that was fitted to; beyond them no interval is known.
    seen : frozenset of str
        The oxides that the model knows.
    trace_mole_percent : float
        Up to this, oxides that it does not know move a glaze out of no region.
    unseen_mole_percent : float
        Above this, such oxides put it beyond the data.
    refused_mole_percent : float
        Above this, such oxides and lead together are refused.
    tested, unseen_is : str
        How to say that an amount lies outside: ``tested``, ``published for``; and what is done with an oxide not known.
    """

    limits: Limits
    dark: Limits
    dark_is_tested: bool
    wide: Limits
    seen: frozenset[str]
    trace_mole_percent: float
    unseen_mole_percent: float
    refused_mole_percent: float = math.inf
    tested: str = "tested"
    unseen_is: str = "no such glass in the data"

    @classmethod
    def from_data(cls, entry: Mapping[str, Any], *, seen: Sequence[str] = (), **words: str) -> TestedRange:
        """Read the entry ``tested_range`` of a data file; `seen` where the entry has none."""
        return cls(
            limits=entry["limits"],
            dark=entry.get("dark", {}),
            dark_is_tested=entry.get("dark_is_tested", False),
            wide=entry.get("wide", {}),
            seen=frozenset(entry.get("seen", seen)),
            trace_mole_percent=entry["trace_mole_percent"],
            unseen_mole_percent=entry["unseen_mole_percent"],
            refused_mole_percent=entry.get("refused_mole_percent", math.inf),
            **words,
        )

    def place(self, mole_percent: Mapping[str, float]) -> Place:
        """Return where a glaze [mol %] lies."""
        unseen = {oxide: value for oxide, value in mole_percent.items() if value > 0 and oxide not in self.seen}
        without = sum(unseen.values())
        with_dark = {**self.limits, **self.dark}
        strange = self.say_unseen({oxide: value for oxide, value in unseen.items() if oxide not in self.limits})
        strange = strange if without > self.trace_mole_percent else ()
        beyond = self._outside(mole_percent, self.wide, "data")
        clear = self._outside(mole_percent, self.limits, self.tested)
        dark = self._outside(mole_percent, with_dark, self.tested)
        region: Region = "outside"
        if beyond or without > self.unseen_mole_percent:
            region = "beyond"
        elif not clear and not strange:
            region = "inside"
        elif not dark and not strange:
            region = "dark"
        return Place(
            region=region,
            outside=(dark if self.dark_is_tested else clear) + strange,
            beyond=beyond,
            unseen=unseen,
        )

    def say_unseen(self, unseen: Mapping[str, float]) -> tuple[str, ...]:
        """Name oxides that the model does not know, each with its number."""
        return tuple(f"{oxide} {plain_number(value)} mol % ({self.unseen_is})" for oxide, value in unseen.items())

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
        if sum(strangers.values()) > self.refused_mole_percent:
            named = ", ".join(f"{oxide} {plain_number(value)}" for oxide, value in strangers.items())
            raise CompositionError(f"{model} has seen no glass with {named} mol %.", "It is for glazes free of lead.")

    def _outside(self, mole_percent: Mapping[str, float], limits: Limits, tested: str) -> tuple[str, ...]:
        """Name each amount outside its limits, e.g. ``MgO 18.2 mol % (tested 0 to 15)``; `other` is all without a limit."""
        named = {oxide for name in limits for oxide in MODEL_GROUPS.get(name, (name,))}
        others = [oxide for oxide in mole_percent if oxide in self.seen and oxide not in named]
        found = []
        for name, (low, high) in limits.items():
            oxides = others if name == "other" else MODEL_GROUPS.get(name, (name,))
            amount = sum(mole_percent.get(oxide, 0.0) for oxide in oxides)
            if not low - 1e-9 <= amount <= high + 1e-9:
                shown = name if name != "other" else " + ".join(oxide for oxide in oxides if mole_percent[oxide] > 0)
                found.append(f"{shown} {_unlike(amount, low, high)} mol % ({tested} {low:g} to {high:g})")
        return tuple(found)


def _unlike(amount: float, low: float, high: float) -> str:
    """Return an amount with as many decimals as tell it from its limits."""
    shown = (plain_number(amount), f"{amount:.2f}", f"{amount:.3f}")
    return next((text for text in shown if float(text) not in (low, high)), f"{amount:.3g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Half widths of a calibrated interval: by region, by level, and where `knots_c` are given by temperature.

    Attributes
    ----------
    half_width : mapping
        Region -> level in per cent -> half width at each knot.
    factor : mapping
        Region -> level in per cent -> factor on the half width inside, for a region without widths of its own; None where too
        few sources exist.
    knots_c : tuple of float
        Temperatures [deg C] of the widths; empty where they do not depend on temperature.
    """

    half_width: Mapping[str, Mapping[str, Any]]
    factor: Mapping[str, Mapping[str, float | None]]
    knots_c: tuple[float, ...]

    @classmethod
    def from_data(cls, entry: Mapping[str, Any]) -> Interval:
        """Read the entry that the calibration wrote."""
        return cls(
            half_width=entry["half_width"],
            factor=entry.get("factor", {}),
            knots_c=tuple(entry.get("knots_c", ())),
        )

    def at(self, level: float, *, region: Region, temperature_c: float | None = None) -> float | None:
        """Return the half width at `level` (0-1) in a region; None where it is not known."""
        factor = self.factor_of(level, region=region)
        if factor is None:
            return None
        widths = self.half_width.get(region, self.half_width["inside"])[str(check_level(level))]
        if not self.knots_c:
            return factor * float(widths)
        assert temperature_c is not None  # such a model asks at a temperature
        return factor * float(np.interp(temperature_c, self.knots_c, widths))

    def factor_of(self, level: float, *, region: Region) -> float | None:
        """Return the factor of a region on the width that holds for it; None where it is not known."""
        if region in self.half_width:
            return 1.0
        return self.factor.get(region, {}).get(str(check_level(level)))
