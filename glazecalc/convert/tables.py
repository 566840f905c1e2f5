"""Many recipes at once, in bounded memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert.moles import analysis_matrix, molar_mass_array, moles_of, unity_moles
from glazecalc.errors import CompositionError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import ALKALIS, AXIS

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("unity_chunks", "unity_table")

_DEFAULT = Convention()
_CHUNK = 100_000


def unity_chunks(
    parts: NDArray[np.float64], materials: Sequence[Material], *, convention: Convention = _DEFAULT
) -> Iterator[NDArray[np.float64]]:
    """Yield the unity formulas (n, k) of `parts` (n, m), some recipes at a time so that a million need little memory.

    Rows without flux are NaN.
    """
    analyses = analysis_matrix(materials) * 0.01
    for start in range(0, len(parts), _CHUNK):
        yield unity_moles(parts[start : start + _CHUNK] @ analyses / molar_mass_array(), convention)


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
        Same index, one column an oxide that the materials hold (K2O and Na2O as ``KNaO`` where the convention says so). A recipe
        without flux is a row of NaN, named in ``attrs["no_unity"]``; ``attrs["convention"]`` tells the convention and
        ``attrs["notices"]`` what must be said of the column names.

    Raises
    ------
    ArgumentError
        For arguments of another kind, with the call to write.
    CompositionError
        For negative, missing or non-finite amounts, naming the first row and column, or columns of one material.
    UnknownNameError, AmbiguousNameError
        For a column name.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40]})
    >>> gc.unity_table(parts, gc.load_materials())["SiO2"].round(2).to_list()
    [3.72, 4.16]
    """
    import pandas as pd

    found = [materials.find(str(column)) for column in parts.columns]
    chosen = [material for material, _ in found]
    amounts = _amounts(parts, [material.id for material in chosen])
    chunks = list(unity_chunks(amounts, chosen, convention=convention))
    result = np.concatenate(chunks) if chunks else np.zeros((0, len(AXIS)))
    held = np.flatnonzero(moles_of(chosen, convention).any(axis=0))
    frame = pd.DataFrame(result[:, held], index=parts.index, columns=[AXIS[column] for column in held])
    together = [oxide for oxide in ALKALIS if oxide in frame] if convention.alkalis_together else []
    if together:
        frame.insert(0, "KNaO", frame[together].sum(axis=1, skipna=False))
        frame = frame.drop(columns=together)
    frame.attrs["convention"] = convention.description
    frame.attrs["no_unity"] = [parts.index[int(row)] for row in np.flatnonzero(np.isnan(result).any(axis=1))]
    frame.attrs["notices"] = [notice.message for _, said in found for notice in said]
    return frame


def _amounts(parts: pd.DataFrame, ids: Sequence[str]) -> NDArray[np.float64]:
    """Return the amounts (n, m), checked; `ids` are the materials of the columns."""
    import pandas as pd

    twice = next((i for i in ids if ids.count(i) > 1), None)
    if twice is not None:
        columns = ", ".join(str(c) for c, i in zip(parts.columns, ids, strict=True) if i == twice)
        raise CompositionError(f"the columns {columns} are one material, {twice}.", "Add them up into one column.")
    try:
        amounts = parts.to_numpy(dtype=np.float64)
    except (TypeError, ValueError):
        texts = ", ".join(str(name) for name in parts.columns if not pd.api.types.is_numeric_dtype(parts[name]))
        raise CompositionError(f"the table holds what is no number: column {texts}.", "Give amounts alone.") from None
    bad = ~(np.isfinite(amounts) & (amounts >= 0))
    if bad.any():
        row, column = (int(i) for i in np.argwhere(bad)[0])
        place = f"row {parts.index[row]!r}, column '{parts.columns[column]}'"
        raise CompositionError(
            f"{place} holds {amounts[row, column]}; a finite amount of zero or more was expected.",
            "Write 0 where a recipe lacks a material.",
        )
    return amounts
