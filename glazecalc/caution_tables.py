"""Cautions on many recipes at once: a column a code, by the same rules as a check."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from glazecalc.arguments import the_names
from glazecalc.body import ClayBody
from glazecalc.caution.all_cautions import all_cautions
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import codes
from glazecalc.caution.formula_holds import formula_standing
from glazecalc.check_report import fired_as, unity_or_why_none
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, BatchLine, check_size, resolve
from glazecalc.convert.tables import amounts_of, refuse_amounts
from glazecalc.convert.unity import fired_analysis_of, mole_percent_of
from glazecalc.errors import CompositionError, FileFaultsError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import USES, Recipe, Use, unknown_use
from glazecalc.recipe_collection import RecipeCollection

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("caution_table",)

_Make = Callable[[], Batch]
_DEFAULT = Convention()  # cautions are written for it
_STEPS = tuple(reversed(Severity))  # the mildest first


def caution_table(
    parts: pd.DataFrame | RecipeCollection,
    materials: MaterialLibrary,
    *,
    cone: str = "",
    atmosphere: str = "",
    use: Use | Literal[""] = "",
    body: ClayBody | None = None,
    surfaces: str | Iterable[str] = (),
) -> pd.DataFrame:
    """Look at many recipes for cautions, by the rules of `check`.

    Parameters
    ----------
    parts : DataFrame or RecipeCollection
        As for `unity_table`; or what `read_recipes` returns: then names, notes, cones, atmospheres and uses are those of each
        recipe, as in `check`.
    materials : MaterialLibrary
        Where names are looked up.
    cone, atmosphere, use, body, surfaces
        As for `check` and `Recipe`; they hold for every row. Of a collection, a cone or use given here wins over that of a recipe; an
        atmosphere stands where a recipe says none.

    Returns
    -------
    DataFrame
        One row a recipe. The columns are all the codes that there are, in the order of their table, whatever the recipes: the
        gravest severity (``know`` < ``look`` < ``stop``, an ordered category) where a caution of that code is raised, missing where
        none is. Cautions are written for the default convention and do not follow another one. ``attrs["titles"]`` and
        ``attrs["about"]`` have what a code means and is about; ``attrs["not_checked"]`` label -> why of the rows of which nothing
        can be said; ``attrs["notices"]`` what must be said of the names, which is a `GlazeWarning` too.

    Raises
    ------
    ArgumentError
        For arguments of another kind, with the call to write.
    CompositionError, UnknownNameError, AmbiguousNameError
        As for `unity_table`; for a use or a surface that is none.
    ConeError
        For a cone that is none.

    Notes
    -----
    No caution is no verdict. Each row goes through the same rules as a check, one by one, without its estimates and answers: 0.8 to
    1.2 ms a recipe on one core, 5000 recipes in 4 to 6 s; the rows of a frame may be shared out among processes.

    Examples
    --------
    >>> import glazecalc as gc
    >>> import pandas as pd
    >>> parts = pd.DataFrame({"potash feldspar": [50, 40], "whiting": [20, 20], "silica": [30, 40], "copper carbonate": [0, 8]})
    >>> found = gc.caution_table(parts, gc.load_materials(), cone="6", use="cup")
    >>> found["copper-load"].to_list(), found.attrs["titles"]["copper-load"]
    ([nan, 'stop'], 'High copper')
    """
    import pandas as pd

    if use and use not in USES:
        raise unknown_use(use)
    said = tuple(the_names(surfaces))
    place = {code: column for column, code in enumerate(codes())}
    count = len(parts.recipes) if isinstance(parts, RecipeCollection) else len(parts)
    found, rank = np.full((count, len(place)), -1, dtype=np.int8), {step: at for at, step in enumerate(_STEPS)}
    if isinstance(parts, RecipeCollection):
        index, notices = parts.to_frame().index, [notice.message for notice in parts.notices]
        batches = _of_collection(parts, materials, cone, atmosphere)
    else:
        amounts, chosen, notices = amounts_of(parts, materials)
        refuse_amounts(amounts, parts)
        index, batches = parts.index, _of_parts(amounts, chosen, cone, atmosphere)
    not_checked: dict[Hashable, str] = {}
    for row, batch in enumerate(batches):
        try:
            cautions = _cautions(batch(), use, body, said)
        except (CompositionError, FileFaultsError) as error:
            not_checked[index[row]] = f"{error.message} {error.hint}".strip()
            continue
        for caution in cautions:
            column = place[caution.code]
            found[row, column] = max(found[row, column], rank[caution.severity])
    kind = pd.CategoricalDtype([step.value for step in _STEPS], ordered=True)
    table = {code: pd.Categorical.from_codes(found[:, column], dtype=kind) for code, column in place.items()}
    frame = pd.DataFrame(table, index=index)
    frame.attrs["titles"] = {code: entry.title for code, entry in codes().items()}
    frame.attrs["about"] = {code: entry.about for code, entry in codes().items()}
    frame.attrs["use"] = use or (
        "of each recipe" if isinstance(parts, RecipeCollection) else "not given, read as food ware"
    )
    frame.attrs["not_checked"] = not_checked
    frame.attrs["notices"] = notices
    return frame


def _of_collection(
    recipes: RecipeCollection, materials: MaterialLibrary, cone: str, atmosphere: str
) -> Iterator[_Make]:
    """Yield a way to make the batch of each recipe."""
    for recipe in recipes.recipes:
        fired, _ = fired_as(recipe, cone)
        yield partial(resolve, replace(fired, atmosphere=fired.atmosphere or atmosphere), materials)


def _of_parts(amounts: NDArray[np.float64], chosen: Sequence[Material], cone: str, atmosphere: str) -> Iterator[_Make]:
    """Yield a way to make the batch of each row: what is zero is not in it."""
    card, _ = fired_as(Recipe(atmosphere=atmosphere), cone)
    for row in amounts:
        lines = (BatchLine(material=chosen[int(place)], parts=float(row[place])) for place in np.flatnonzero(row))
        yield partial(Batch, recipe=card, lines=tuple(lines))


def _cautions(
    batch: Batch, use: Use | Literal[""], body: ClayBody | None, surfaces: tuple[str, ...]
) -> tuple[Caution, ...]:
    check_size(batch)
    unity, _ = unity_or_why_none(batch, _DEFAULT)
    return all_cautions(
        batch,
        unity=unity,
        formula=formula_standing(batch, unity),
        fired=fired_analysis_of(batch),
        mole_percent=mole_percent_of(batch),
        cone=batch.recipe.cone,
        use=next((known for known in USES if known == (use or batch.recipe.use)), None),
        body=body,
        surfaces=surfaces,
    )
