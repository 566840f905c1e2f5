"""Many recipes at once, in bounded memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.moles import analysis_matrix, molar_mass_array, unity_moles
from glazecalc.errors import CompositionError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import AXIS

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("unity_array", "unity_chunks", "unity_table")

_DEFAULT = Convention()
_CHUNK = 100_000


def unity_array(
    parts: NDArray[np.float64], materials: Sequence[Material], *, convention: Convention = _DEFAULT
) -> NDArray[np.float64]:
    """Return the unity formulas of `parts` (n, m) as an array (n, k); rows without flux are NaN."""
    masses = arrays.oxide_masses(parts, analysis_matrix(materials))
    return unity_moles(arrays.moles_from_mass(masses, molar_mass_array()), convention)


def unity_chunks(
    parts: NDArray[np.float64], materials: Sequence[Material], *, convention: Convention = _DEFAULT, rows: int = _CHUNK
) -> Iterator[NDArray[np.float64]]:
    """Yield `unity_array` for `rows` recipes at a time, so that a million need little memory."""
    for start in range(0, len(parts), rows):
        yield unity_array(parts[start : start + rows], materials, convention=convention)


def unity_table(parts: pd.DataFrame, materials: MaterialLibrary, *, convention: Convention = _DEFAULT) -> pd.DataFrame:
    """Convert many recipes to unity formulas.

    Parameters
    ----------
    parts : DataFrame
        One recipe a row, one material a column (any name that the library knows), in parts.
    materials : MaterialLibrary
        Where the column names are looked up.
    convention : Convention
        What counts as flux.

    Returns
    -------
    DataFrame
        Same index, one column an oxide that occurs. A recipe without flux is a row of NaN, and is named in ``attrs["no_unity"]``;
        the convention stands in ``attrs["convention"]``.

    Raises
    ------
    CompositionError
        For negative, missing or non-finite amounts, naming the first row and column, or columns of one material.
    UnknownNameError, AmbiguousNameError
        For a column name.
    """
    import pandas as pd

    found = [materials.find(str(column))[0] for column in parts.columns]
    ids = [material.id for material in found]
    twice = next((i for i in ids if ids.count(i) > 1), None)
    if twice is not None:
        columns = [str(c) for c, i in zip(parts.columns, ids, strict=True) if i == twice]
        raise CompositionError(
            f"the columns {', '.join(columns)} are one material, {twice}.", "Add them up into one column."
        )
    try:
        values = parts.to_numpy(dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise CompositionError(f"the table 'parts' holds what is no number: {error}.", "Write plain numbers.") from None
    bad = ~(np.isfinite(values) & (values >= 0))
    if bad.any():
        row, column = (int(i) for i in np.argwhere(bad)[0])
        raise CompositionError(
            f"row {parts.index[row]!r}, column '{parts.columns[column]}' holds {values[row, column]}; a finite amount of zero or more was expected.",
            "Write 0 where a recipe lacks a material.",
        )
    chunks = list(unity_chunks(values, found, convention=convention))
    result = np.concatenate(chunks) if chunks else np.zeros((0, len(AXIS)))
    occurs = np.flatnonzero(np.nan_to_num(result).any(axis=0))
    frame = pd.DataFrame(result[:, occurs], index=parts.index, columns=[AXIS[int(column)] for column in occurs])
    frame.attrs["convention"] = convention.describe()
    frame.attrs["no_unity"] = [parts.index[int(i)] for i in np.flatnonzero(np.isnan(result).any(axis=1))]
    return frame
