"""Many recipes at once: a table of recipes by materials becomes a table of recipes by oxides, in bounded memory.

Which columns a table has depends on its materials and the convention alone, never on its rows: parts of one table can be
converted apart, by other processes too, and put together again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.moles import basis_of, molar_mass_array, moles_of
from glazecalc.display import Shown
from glazecalc.errors import ArgumentError, CompositionError, warn_of
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import ALKALIS, AXIS

if TYPE_CHECKING:
    import pandas as pd

__all__ = (
    "OxideMatrix",
    "amounts_of",
    "fired_table",
    "mole_percent_table",
    "refuse_amounts",
    "unity_array",
    "unity_matrix",
    "unity_table",
)

Floats = NDArray[np.float64]
Per = Literal["unity", "fired analysis", "mole percent"]
_DEFAULT = Convention()
_UNITS: dict[Per, str] = {"unity": "mol per mol of {of}", "fired analysis": "wt %", "mole percent": "mol %"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OxideMatrix(Shown):
    """What one part of each material brings, made ready for `unity_array`.

    Attributes
    ----------
    materials : tuple of str
        Ids: the columns of the parts.
    oxides : tuple of str
        The columns of the result: what the materials can carry, in the order of the axis; ``KNaO`` where the convention says so.
    brought : array
        Moles, or masses, of each oxide in one part of each material, (m, k), iron in the convention's form.
    divisor : array
        What a part of each material adds to what a row is divided by, (m,).
    unit : str
        Of the result.
    """

    materials: tuple[str, ...]
    oxides: tuple[str, ...]
    brought: Floats
    divisor: Floats
    convention: Convention
    unit: str

    def to_frame(self) -> pd.DataFrame:
        """Return what a part of each material brings, one row a material, and `divisor` in the column of that name."""
        import pandas as pd

        frame = pd.DataFrame(self.brought, index=pd.Index(self.materials, name="material"), columns=list(self.oxides))
        frame["divisor"] = self.divisor
        frame.attrs["units"] = dict.fromkeys(frame.columns, "mol per part")
        frame.attrs["convention"] = self.convention.description
        return frame


def unity_matrix(columns: Sequence[Material], *, convention: Convention = _DEFAULT) -> OxideMatrix:
    """Make materials ready for `unity_array`.

    Parameters
    ----------
    columns : sequence of Material
        One a column of the parts, in their order.
    convention : Convention
        What counts as flux.

    Returns
    -------
    OxideMatrix
        Iron and molar masses are folded in.

    Raises
    ------
    ArgumentError
        For what are no materials.

    Examples
    --------
    >>> import glazecalc as gc
    >>> library = gc.load_materials()
    >>> gc.unity_matrix([library["whiting"], library["silica"]]).oxides
    ('CaO', 'SiO2')
    """
    return _matrix(columns, convention, "unity")


def unity_array(parts: Floats, matrix: OxideMatrix) -> Floats:
    """Convert many recipes to unity formulas, on bare arrays.

    Parameters
    ----------
    parts : array
        One recipe a row, one material a column, (n, m), in the order that the matrix was made for.
    matrix : OxideMatrix
        From `unity_matrix`.

    Returns
    -------
    array
        (n, k), the oxides in the order of ``matrix.oxides`` [mol per mol of flux]; a row without flux is NaN.

    Raises
    ------
    ArgumentError
        For another number of columns.
    CompositionError
        For a negative, missing or non-finite amount, naming the first row and column.

    Examples
    --------
    >>> import numpy as np
    >>> import glazecalc as gc
    >>> library = gc.load_materials()
    >>> matrix = gc.unity_matrix([library["whiting"], library["silica"]])
    >>> gc.unity_array(np.array([[50.0, 50.0], [40.0, 60.0]]), matrix).round(2).tolist()
    [[1.0, 1.67], [1.0, 2.5]]
    """
    if parts.ndim != 2 or parts.shape[1] != len(matrix.materials):
        text = f"the parts have the shape {parts.shape}; (recipes, {len(matrix.materials)} materials) was expected."
        raise ArgumentError(text, f"The columns are {', '.join(matrix.materials)}.")
    try:
        return arrays.products(parts, matrix.brought, matrix.divisor)
    except ValueError:
        _refuse(parts, range(len(parts)), matrix.materials)
        raise


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
        Same index, one column an oxide that the materials can carry (K2O and Na2O as ``KNaO`` where the convention says so). A
        recipe without flux is a row of NaN, named in ``attrs["no_unity"]``; ``attrs["unit"]`` and ``attrs["convention"]`` tell
        how it is counted, ``attrs["notices"]`` what must be said of the column names, which is a `GlazeWarning` too.

    Raises
    ------
    ArgumentError
        For arguments of another kind, with the call to write.
    CompositionError
        For negative, missing or non-finite amounts, naming the first row and column, or columns of one material.
    UnknownNameError, AmbiguousNameError
        For a column name.

    Notes
    -----
    A piece of a table gives, to the last bit, the piece of the result: by a process pool, or under dask with
    ``parts.map_partitions(gc.unity_table, materials, meta=gc.unity_table(parts.head(0), materials))``. A piece has its own `attrs`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40]})
    >>> gc.unity_table(parts, gc.load_materials())["SiO2"].round(2).to_list()
    [3.72, 4.16]
    """
    return _table(parts, materials, convention, "unity")


def fired_table(parts: pd.DataFrame, materials: MaterialLibrary, *, convention: Convention = _DEFAULT) -> pd.DataFrame:
    """Convert many recipes to fired analyses.

    Parameters
    ----------
    parts, materials, convention
        As for `unity_table`.

    Returns
    -------
    DataFrame
        As `unity_table`, in wt % of the fired glaze; rows of NaN where nothing stays in the fire.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError, AmbiguousNameError
        As for `unity_table`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40]})
    >>> gc.fired_table(parts, gc.load_materials())["CaO"].round(1).to_list()
    [12.4, 12.4]
    """
    return _table(parts, materials, convention, "fired analysis")


def mole_percent_table(
    parts: pd.DataFrame, materials: MaterialLibrary, *, convention: Convention = _DEFAULT
) -> pd.DataFrame:
    """Convert many recipes to mole per cent.

    Parameters
    ----------
    parts, materials, convention
        As for `unity_table`.

    Returns
    -------
    DataFrame
        As `unity_table`, in mol % of the fired glaze; rows of NaN where nothing stays in the fire.

    Raises
    ------
    ArgumentError, CompositionError, UnknownNameError, AmbiguousNameError
        As for `unity_table`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40]})
    >>> gc.mole_percent_table(parts, gc.load_materials())["SiO2"].round(1).to_list()
    [74.0, 76.7]
    """
    return _table(parts, materials, convention, "mole percent")


def amounts_of(parts: pd.DataFrame, materials: MaterialLibrary) -> tuple[Floats, list[Material], list[str]]:
    """Return the amounts (n, m), the materials of the columns, and what must be said of their names, which is warned of too."""
    found = [materials.find(str(column)) for column in parts.columns]
    chosen = [material for material, _ in found]
    ids = [material.id for material in chosen]
    twice = next((i for i in ids if ids.count(i) > 1), None)
    if twice is not None:
        columns = ", ".join(str(c) for c, i in zip(parts.columns, ids, strict=True) if i == twice)
        raise CompositionError(f"the columns {columns} are one material, {twice}.", "Add them up into one column.")
    notices = [notice.message for _, said in found for notice in said]
    warn_of(notices)
    return _numbers(parts), chosen, notices


def _table(parts: pd.DataFrame, materials: MaterialLibrary, convention: Convention, per: Per) -> pd.DataFrame:
    import pandas as pd

    amounts, chosen, notices = amounts_of(parts, materials)
    matrix = _matrix(chosen, convention, per)
    try:
        result = arrays.products(amounts, matrix.brought, matrix.divisor)
    except ValueError:
        _refuse(amounts, parts.index, [str(column) for column in parts.columns])
        raise
    frame = pd.DataFrame(result, index=parts.index, columns=list(matrix.oxides), copy=False)
    empty = np.flatnonzero(np.isnan(result[:, 0])) if len(matrix.oxides) else range(len(parts))
    frame.attrs["unit"] = matrix.unit
    frame.attrs["units"] = dict.fromkeys(matrix.oxides, matrix.unit)
    frame.attrs["convention"] = convention.description
    frame.attrs["no_unity" if per == "unity" else "nothing_left"] = [parts.index[int(row)] for row in empty]
    frame.attrs["notices"] = notices
    return frame


def _matrix(materials: Sequence[Material], convention: Convention, per: Per) -> OxideMatrix:
    moles = moles_of(materials, convention)
    brought = moles * molar_mass_array() if per == "fired analysis" else moles
    basis = moles[:, basis_of(convention)] if per == "unity" else brought
    divisor = basis.sum(axis=1) * (1.0 if per == "unity" else 0.01)
    held = np.flatnonzero(moles.any(axis=0))
    oxides, columns = [AXIS[column] for column in held], brought[:, held]
    together = [oxide for oxide in ALKALIS if oxide in oxides] if convention.alkalis_together else []
    if together:
        apart = [place for place, oxide in enumerate(oxides) if oxide not in together]
        both = columns[:, [oxides.index(oxide) for oxide in together]].sum(axis=1, keepdims=True)
        oxides, columns = ["KNaO", *(oxides[place] for place in apart)], np.hstack([both, columns[:, apart]])
    of = "alumina" if convention.unity_on_alumina else "flux"
    return OxideMatrix(
        materials=tuple(material.id for material in materials),
        oxides=tuple(oxides),
        brought=np.ascontiguousarray(columns),
        divisor=divisor,
        convention=convention,
        unit=_UNITS[per].format(of=of),
    )


def _numbers(parts: pd.DataFrame) -> Floats:
    import pandas as pd

    try:
        return parts.to_numpy(dtype=np.float64)
    except (TypeError, ValueError):
        texts = ", ".join(str(name) for name in parts.columns if not pd.api.types.is_numeric_dtype(parts[name]))
        raise CompositionError(f"the table holds what is no number: column {texts}.", "Give amounts alone.") from None


def refuse_amounts(amounts: Floats, parts: pd.DataFrame) -> None:
    """Raise for the first amount of a table that is negative, missing or without end."""
    if amounts.size and not (amounts.min() >= 0 and np.isfinite(amounts.max())):
        _refuse(amounts, parts.index, [str(column) for column in parts.columns])


def _refuse(amounts: Floats, index: Sequence[Any] | Iterable[Any], columns: Sequence[str]) -> None:
    """Raise for the first amount that is none; a sum beyond all numbers is another matter."""
    bad = ~(np.isfinite(amounts) & (amounts >= 0))
    if bad.any():
        row, column = (int(i) for i in np.argwhere(bad)[0])
        place = f"row {list(index)[row]!r}, column '{columns[column]}'"
        raise CompositionError(
            f"{place} holds {amounts[row, column]}; a finite amount of zero or more was expected.",
            "Write 0 where a recipe lacks a material.",
        )
    raise CompositionError("the amounts of a row are too large to be added up.", "Give parts, or grams.")
