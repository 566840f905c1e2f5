"""Estimates of many recipes at once: value, error range and whether it lies in the tested range, in bounded memory."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.moles import folded, moles_of
from glazecalc.convert.tables import amounts_of, refuse_amounts
from glazecalc.errors import ArgumentError
from glazecalc.estimate.expansion import expansion_of_many
from glazecalc.estimate.fitted import ManyGlazes
from glazecalc.estimate.glass_points import glass_points_of_many
from glazecalc.estimate.result import check_level
from glazecalc.estimate.surface_tension import surface_tension_of_many
from glazecalc.estimate.viscosity import viscosity_of_many
from glazecalc.library import MaterialLibrary

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("estimate_table",)

Floats = NDArray[np.float64]
_ROWS = 2048  # of a block; all blocks have one size


def estimate_table(
    parts: pd.DataFrame,
    materials: MaterialLibrary,
    *,
    cone: str = "",
    temperature_c: float | None = None,
    level: float = 0.90,
) -> pd.DataFrame:
    """Estimate the properties of many recipes.

    Parameters
    ----------
    parts, materials
        As for `unity_table`.
    cone, temperature_c : str, float
        Where the viscosity is wanted, one of them [deg C]; without either there is none.
    level : float
        Share of new glasses the intervals are meant to hold: 0.80, 0.90 or 0.95.

    Returns
    -------
    DataFrame
        Same index. For each property ``<property>``, ``<property> low``, ``<property> high`` and ``<property> tested`` (whether
        the glaze lies in the range that the model was tested in): expansion (20-300 deg C), glass transition, softening
        temperature, surface tension (Kucuk, 1400 deg C) and viscosity, by the fitted models. NaN where a model has no answer or
        no interval. ``attrs["units"]`` has the unit of each column that has one.

    Raises
    ------
    ArgumentError
        For both a cone and a temperature.
    CompositionError, UnknownNameError, AmbiguousNameError, ConeError
        As for `unity_table` and `cone_temperature_c`.

    Notes
    -----
    Worked through in blocks, in bounded memory; in pieces as `unity_table` is.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40]})
    >>> found = gc.estimate_table(parts, gc.load_materials(), cone="10")
    >>> found["expansion"].round(1).to_list(), found.attrs["units"]["viscosity"]
    ([6.3, 5.8], 'log10 Pa s')
    """
    import pandas as pd

    check_level(level)
    if cone and temperature_c is not None:
        raise ArgumentError("a cone and a temperature were given.", "Give one of them.")
    models: list[ManyGlazes] = [expansion_of_many(), *glass_points_of_many(), surface_tension_of_many()]
    if cone or temperature_c is not None:
        models.append(viscosity_of_many(cone_temperature_c(cone).celsius if temperature_c is None else temperature_c))
    amounts, chosen, notices = amounts_of(parts, materials)
    refuse_amounts(amounts, parts)
    moles = folded(moles_of(chosen, Convention()))
    columns = {model.quantity: tuple(np.empty(len(parts)) for _ in range(3)) for model in models}
    tested = {model.quantity: np.empty(len(parts), dtype=np.bool_) for model in models}
    for start in range(0, len(parts), _ROWS):
        rows = slice(start, start + _ROWS)
        given = amounts[rows]
        block = arrays.filled_up(given, _ROWS) @ moles  # so that a row comes out the same whatever rows stand around it
        total = block.sum(axis=1)
        block *= (100.0 / np.where(total > 0, total, np.nan))[:, None]
        for model in models:
            *numbers, inside = model.of(block, level)
            for into, found in zip(columns[model.quantity], numbers, strict=True):
                into[rows] = found[: len(given)]
            tested[model.quantity][rows] = inside[: len(given)]
    table: dict[str, NDArray[Any]] = {}
    for model in models:
        name = model.quantity
        table.update(zip((name, f"{name} low", f"{name} high"), columns[name], strict=True))
        table[f"{name} tested"] = tested[name]
    frame = pd.DataFrame(table, index=parts.index)
    ends = ("", " low", " high")
    frame.attrs["units"] = {f"{model.quantity}{end}": model.unit for model in models for end in ends}
    frame.attrs["level"] = level
    frame.attrs["notices"] = notices
    return frame
