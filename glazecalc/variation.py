"""What becomes of a recipe when its amounts move: a grid of amounts, and one part more of each ingredient."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from glazecalc.convention import Convention
from glazecalc.convert.batch import resolve
from glazecalc.convert.tables import unity_table
from glazecalc.errors import CompositionError
from glazecalc.estimate.tables import estimate_table
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("sensitivity", "vary")

_DEFAULT = Convention()
_MOST = 1_000_000  # recipes of a grid; this program's own choice


def vary(
    recipe: Recipe,
    amounts: Mapping[str, Iterable[float]],
    materials: MaterialLibrary,
    *,
    convention: Convention = _DEFAULT,
    cone: str = "",
) -> pd.DataFrame:
    """Work a recipe through a grid of amounts.

    Parameters
    ----------
    recipe : Recipe
        What is varied; its other lines keep their amounts.
    amounts : mapping
        Line of the recipe -> the amounts to try [parts, or grams where the recipe has units]; several lines make a grid of all of them.
    materials, convention
        As for `unity_formula`.
    cone : str
        Where the viscosity is wanted; by default the recipe's own, if it is one.

    Returns
    -------
    DataFrame
        One row a recipe. The amounts that vary stand in its index, by name; then come the unity formula, ``SiO2:Al2O3``, and the
        estimates with their ends, as in `estimate_table`.

    Raises
    ------
    ArgumentError, FileFaultsError, UnknownNameError, AmbiguousNameError, CompositionError
        As for `unity_table` and `Recipe.with_amount`; a grid of more than a million recipes is refused.

    Examples
    --------
    >>> import glazecalc as gc
    >>> clear = gc.Recipe.from_parts("Clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 10, "silica": 30})
    >>> gc.vary(clear, {"silica": range(20, 41, 10)}, gc.load_materials())["SiO2"].round(2).to_list()
    [3.21, 3.83, 4.45]
    """
    import pandas as pd

    tried = {name: [float(amount) for amount in given] for name, given in amounts.items()}
    if any(not values for values in tried.values()) or not tried:
        raise CompositionError(
            "no amounts to try were given.", "Write gc.vary(recipe, {'silica': range(18, 31, 2)}, materials)."
        )
    count = 1
    for values in tried.values():
        count *= len(values)
    if count > _MOST:
        raise CompositionError(
            f"the grid has {count} recipes; {_MOST} at most are worked through.", "Take wider steps."
        )
    parts = _parts(recipe, materials)
    columns = {name: _column(recipe.with_amount(name, 0.0), recipe, materials) for name in tried}
    index = pd.MultiIndex.from_tuples(list(product(*tried.values())), names=list(tried))
    grid = pd.DataFrame({material: [amount] * count for material, amount in parts.items()}, index=index)
    for name in tried:
        material, others = columns[name]
        grid[material] = others + index.get_level_values(name).to_numpy(dtype=float)
    if len(tried) == 1:
        grid.index = index.get_level_values(0)
    return _worked_out(grid, materials, convention, cone or _one_cone(recipe))


def sensitivity(
    recipe: Recipe,
    materials: MaterialLibrary,
    *,
    parts_more: float = 1.0,
    convention: Convention = _DEFAULT,
    cone: str = "",
) -> pd.DataFrame:
    """Work out what a little more of each material does.

    Parameters
    ----------
    recipe, materials, convention, cone
        As for `vary`.
    parts_more : float
        How much more of each [parts, or grams where the recipe has units]; the other lines stay.

    Returns
    -------
    DataFrame
        One row a material of the recipe, by name: the change of each oxide of the unity formula, of ``SiO2:Al2O3`` and of each
        estimate.

    Raises
    ------
    ArgumentError, FileFaultsError, CompositionError
        As for `vary`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> clear = gc.Recipe.from_parts("Clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 10, "silica": 30})
    >>> gc.sensitivity(clear, gc.load_materials())["SiO2"].round(3).to_dict()["Silica"]
    0.062
    """
    import pandas as pd

    parts = _parts(recipe, materials)
    more = np.vstack(
        [np.zeros(len(parts)), parts_more * np.eye(len(parts))]
    )  # the recipe as it is, then one row a material
    rows = pd.DataFrame(np.array(list(parts.values())) + more, columns=list(parts))
    found = _worked_out(rows, materials, convention, cone or _one_cone(recipe))
    numbers = found[[column for column in found.columns if not column.endswith((" low", " high", " tested"))]]
    changes = numbers.iloc[1:] - numbers.iloc[0]
    changes.index = pd.Index([materials[material].name for material in parts], name="material")
    changes.attrs = {**found.attrs, "parts_more": parts_more}
    return changes


def _parts(recipe: Recipe, materials: MaterialLibrary) -> dict[str, float]:
    """Return the id of each material of a recipe -> all of its parts, base and additions together."""
    return {material.id: amount for material, amount in resolve(recipe, materials).by_material()}


def _column(emptied: Recipe, recipe: Recipe, materials: MaterialLibrary) -> tuple[str, float]:
    """Return the material whose line was emptied, and what other lines of it keep."""
    before, after = _parts(recipe, materials), _parts(emptied, materials)
    changed = [material for material in before if after.get(material, 0.0) != before[material]]
    if changed:
        return changed[0], after.get(changed[0], 0.0)
    line = next(new for old, new in zip(recipe.ingredients, emptied.ingredients, strict=True) if new is not old)
    return materials.find(line.material)[0].id, 0.0


def _one_cone(recipe: Recipe) -> str:
    return recipe.cone if recipe.cone and "-" not in recipe.cone.lstrip("-") else ""


def _worked_out(parts: pd.DataFrame, materials: MaterialLibrary, convention: Convention, cone: str) -> pd.DataFrame:
    import pandas as pd

    unity = unity_table(parts, materials, convention=convention)
    silica, alumina, boron = (
        unity[oxide].to_numpy() if oxide in unity else np.zeros(len(unity)) for oxide in ("SiO2", "Al2O3", "B2O3")
    )
    over = silica + boron if convention.boron_with_silica else silica
    under = alumina + boron if convention.boron_with_alumina else alumina
    estimates = estimate_table(parts, materials, cone=cone)
    ratio = pd.Series(over / np.where(under > 0, under, np.nan), index=unity.index, name="SiO2:Al2O3")
    frame = pd.concat([unity, ratio, estimates], axis=1)
    frame.attrs = {"unit": unity.attrs["unit"], "convention": convention.description, "units": estimates.attrs["units"]}
    return frame
