"""Any composition as mole per cent; one that does not say what it is counted in must be told."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, TypeAlias, Union, get_args

from glazecalc.convert import arrays
from glazecalc.convert.moles import as_row, folded, molar_mass_array
from glazecalc.convert.unity import Composition, FiredAnalysis, MolePercent, UnityFormula, named
from glazecalc.errors import ArgumentError, CompositionError, UnknownNameError, did_you_mean
from glazecalc.oxides import INDEX, check_oxide

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("AnyComposition", "Basis", "to_mole_percent")

Basis: TypeAlias = Literal["mole percent", "weight percent"]
AnyComposition: TypeAlias = Union[Composition, Mapping[str, float], "pd.Series[float]"]
"""UnityFormula, FiredAnalysis or MolePercent, which know their basis; or a mapping, Series or row, which does not."""

# A composition typed from a paper seldom totals 100 to the last digit; moles per unity or a raw analysis miss this by far.
_TOTAL_LOW, _TOTAL_HIGH = 98.0, 102.0


def to_mole_percent(x: AnyComposition, basis: Basis | None = None) -> MolePercent:
    """Return any composition as mol % of the fixed oxides, total 100, all iron as Fe2O3.

    Parameters
    ----------
    x : UnityFormula, FiredAnalysis, MolePercent, mapping or Series
        Per cents must total 98 to 102; they are then brought to 100.
    basis : str, optional
        What the numbers of a mapping, a Series or a row of a table are: ``"mole percent"`` or ``"weight percent"``. They
        cannot tell it themselves. With a FiredAnalysis or MolePercent it may be given where it agrees; a UnityFormula takes none.

    Returns
    -------
    MolePercent
        Oxide -> mol %.

    Raises
    ------
    ArgumentError
        For a mapping or Series without `basis`, a basis that contradicts `x`, or an `x` of another kind; with the call to write.
    CompositionError
        For per cents of another total, or negative or non-finite numbers.
    UnknownNameError
        For names that are no oxides of the axis, or another basis.

    Examples
    --------
    >>> import glazecalc as gc
    >>> gc.to_mole_percent({"SiO2": 70.0, "CaO": 15.0, "K2O": 15.0}, basis="mole percent")["SiO2"]
    70.0
    """
    if basis is not None and basis not in get_args(Basis):
        hint = did_you_mean(str(basis), get_args(Basis)) or "Say 'mole percent' or 'weight percent'."
        raise UnknownNameError(f"no basis is called {basis!r}.", hint)
    if not hasattr(x, "items"):
        raise ArgumentError(
            f"the composition is of type {type(x).__name__}; a MolePercent, or a mapping of oxide to per cent, was expected.",
            "Write gc.mole_percent(recipe, materials).",
        )
    counted_in = _basis_of(x, basis)
    amounts = _amounts(x)
    total = math.fsum(amounts.values())
    if counted_in is not None and not _TOTAL_LOW <= total <= _TOTAL_HIGH:
        raise CompositionError(
            f"the composition totals {total:g} {counted_in}; {_TOTAL_LOW:g} to {_TOTAL_HIGH:g} was expected.",
            "Give per cents of the fired glaze, not moles per unity or a raw analysis with its loss.",
        )
    if not total > 0:
        raise CompositionError("the composition holds nothing.", "Give it the oxides of a fired glaze.")
    row = as_row(amounts)[0]
    if counted_in == "weight percent":
        row /= molar_mass_array()
    return MolePercent(named(arrays.shares_percent(folded(row))))


def _basis_of(x: object, told: Basis | None) -> Basis | None:
    """Return what the numbers of `x` are; None for a unity formula, which is moles of any total."""
    if isinstance(x, UnityFormula):
        if told is not None:
            raise ArgumentError(f"a unity formula is no {told}; it knows what it is.", "Leave basis out.")
        return None
    if not isinstance(x, FiredAnalysis | MolePercent):
        if told is None:
            hint = 'Say it: basis="mole percent" or basis="weight percent"; the one read as the other is badly off.'
            raise ArgumentError("are these mole per cent or weight per cent?", hint)
        return told
    own: Basis = "weight percent" if isinstance(x, FiredAnalysis) else "mole percent"
    if told not in (None, own):
        raise ArgumentError(f"a {type(x).__name__} is {own}; basis={told!r} contradicts it.", "Leave basis out.")
    return own


def _amounts(x: AnyComposition) -> Mapping[str, float]:
    """Return the oxides that stay in a fired glaze, checked."""
    if isinstance(x, UnityFormula):
        x = x.moles or x.amounts
    strangers = [str(name) for name in x.keys() if name not in INDEX]  # noqa: SIM118  a Series iterates over its numbers
    if len(strangers) == 1:
        check_oxide(strangers[0])  # says which oxide is meant
    if strangers:
        raise UnknownNameError(
            f"{', '.join(repr(name) for name in strangers)}: no oxide of a fired glaze.",
            "Give the oxides alone; what leaves in the fire is left out.",
        )
    return Composition({str(oxide): amount for oxide, amount in x.items()})
