"""What becomes of a recipe when its amounts move: a grid of amounts, and one part more of each ingredient."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from glazecalc.cone_temperatures import heat_points
from glazecalc.convention import Convention
from glazecalc.convert.batch import resolve
from glazecalc.convert.tables import unity_table
from glazecalc.errors import AmbiguousNameError, CompositionError, GlazeError, UnknownNameError, warn_of
from glazecalc.estimate.tables import estimate_table
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
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
        Line of the recipe, by its own name or one that the library knows it by -> the amounts to try [parts, or grams where the recipe
        has units]; several lines make a grid of all of them.
        Additions in per cent follow the base, unless they are tried themselves.
    materials, convention
        As for `unity_formula`.
    cone : str
        Where the viscosity is wanted, as a card says it; by default the recipe's own. Between two cones there is none.

    Returns
    -------
    DataFrame
        One row a recipe. The amounts that vary stand in its index, by name; then come the unity formula, ``SiO2:Al2O3``, and the
        estimates with their ends, as in `estimate_table`. ``attrs["notices"]`` has what must be said of the names, which is a
        `GlazeWarning` too.

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
    chosen, notices = _materials(recipe, materials)
    places: list[int] = []
    for name in tried:
        place, said = _place(recipe, name, materials, chosen)
        if place in places:
            text = f"'{list(tried)[places.index(place)]}' and '{name}' are one line of the recipe."
            raise CompositionError(text, "Name each line once.")
        places.append(place)
        notices = list(dict.fromkeys([*notices, *said]))
    index = pd.MultiIndex.from_tuples(list(product(*tried.values())), names=list(tried))
    rows = np.tile(np.array(recipe.amounts()), (count, 1))
    rows[:, places] = np.array(list(product(*tried.values())))
    grid = _by_material(recipe, rows, chosen, held=places)
    grid.index = index if len(tried) > 1 else index.get_level_values(0)
    found = _worked_out(grid, materials, convention, cone or recipe.cone)
    return _with_notices(found, notices)


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

    chosen, notices = _materials(recipe, materials)
    at_first = {material.id: place for place, material in reversed(list(enumerate(chosen)))}
    ids = [material.id for material, _ in resolve(recipe, materials).by_material()]
    rows = np.tile(np.array(recipe.amounts()), (len(ids) + 1, 1))  # the recipe as it is, then one row a material
    for row, material in enumerate(ids, start=1):
        rows[row, at_first[material]] += parts_more
    found = _worked_out(_by_material(recipe, rows, chosen), materials, convention, cone or recipe.cone)
    numbers = found[[column for column in found.columns if not column.endswith((" low", " high", " tested"))]]
    changes = numbers.iloc[1:] - numbers.iloc[0]
    changes.index = pd.Index([materials[material].name for material in ids], name="material")
    units = {column: unit for column, unit in found.attrs["units"].items() if column in changes}
    changes.attrs = {
        **found.attrs,
        "units": units,
        "parts_more": parts_more,
        "counted_in": "g" if recipe.has_mass_units else "parts",
    }
    return _with_notices(changes, notices)


def _materials(recipe: Recipe, materials: MaterialLibrary) -> tuple[list[Material], list[str]]:
    """Return the material of each line, and what must be said of their names."""
    found = [materials.find(line.material) for line in recipe.ingredients]
    return [material for material, _ in found], list(dict.fromkeys(n.message for _, said in found for n in said))


def _with_notices(frame: pd.DataFrame, notices: list[str]) -> pd.DataFrame:
    """Return the frame with what must be said of the names, which is warned of too."""
    frame.attrs["notices"] = notices
    warn_of(notices)
    return frame


def _place(recipe: Recipe, name: str, materials: MaterialLibrary, chosen: Sequence[Material]) -> tuple[int, list[str]]:
    """Return which line of the recipe a name means, by the recipe's own names and then by the library's, and what must be said of it."""
    try:
        changed = recipe.with_amount(name, 0.0).ingredients
        return next(place for place, line in enumerate(recipe.ingredients) if changed[place] is not line), []
    except UnknownNameError as unknown:
        try:
            meant, said = materials.find_in(name, chosen, suggest=False)
        except GlazeError:
            raise unknown from None
        places = [place for place, material in enumerate(chosen) if material.id == meant.id]
        if not places:
            raise unknown from None
        if len(places) > 1:
            text = f"'{name}' stands on {len(places)} lines of the recipe."
            raise AmbiguousNameError(text, "Add them up first.") from None
        return places[0], [notice.message for notice in said]


def _by_material(
    recipe: Recipe, rows: NDArray[np.float64], chosen: Sequence[Material], held: Sequence[int] = ()
) -> pd.DataFrame:
    """Return the parts of each material in recipes whose lines have the amounts `rows` (n, lines) [parts or grams].

    An addition in per cent follows the base of its row, unless its line is `held`.
    """
    import pandas as pd

    lines, base = recipe.ingredients, [place for place, line in enumerate(recipe.ingredients) if not line.addition]
    follow = [place for place, line in enumerate(lines) if line.addition and line.unit == "%" and place not in held]
    worked = rows.copy()
    worked[:, follow] *= rows[:, base].sum(axis=1, keepdims=True) / recipe.base_total
    parts: dict[str, NDArray[np.float64]] = {}
    for place, material in enumerate(chosen):
        parts[material.id] = parts.get(material.id, 0.0) + worked[:, place]
    return pd.DataFrame(parts)


def _worked_out(parts: pd.DataFrame, materials: MaterialLibrary, convention: Convention, fired: str) -> pd.DataFrame:
    import pandas as pd

    unity = unity_table(parts, materials, convention=convention)
    silica, alumina, boron = (
        unity[oxide].to_numpy() if oxide in unity else np.zeros(len(unity)) for oxide in ("SiO2", "Al2O3", "B2O3")
    )
    over = silica + boron if convention.boron_with_silica else silica
    under = alumina + boron if convention.boron_with_alumina else alumina
    points = heat_points(fired) if fired else ()
    estimates = estimate_table(parts, materials, temperature_c=points[0].celsius if len(points) == 1 else None)
    ratio = pd.Series(over / np.where(under > 0, under, np.nan), index=unity.index, name="SiO2:Al2O3")
    frame = pd.concat([unity, ratio, estimates], axis=1)
    units = unity.attrs["units"] | {"SiO2:Al2O3": "mol per mol"} | estimates.attrs["units"]
    frame.attrs = {"unit": unity.attrs["unit"], "convention": convention.description, "units": units}
    return frame
