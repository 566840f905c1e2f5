"""The lines of a recipe by parts, whether or not it met a library, and the names that speak about them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from glazecalc.convert.batch import Batch
from glazecalc.errors import Notice, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe, misses_100
from glazecalc.spelling import name_key

__all__ = ("PartsLine", "by_line", "parts_lines")


@dataclass(frozen=True, slots=True)
class PartsLine:
    """One line of a recipe in parts or grams; `material` is the id, or the name as written where no library was used."""

    material: str
    name: str
    parts: float
    addition: bool = False


def parts_lines(recipe: Recipe | Batch) -> tuple[tuple[PartsLine, ...], tuple[Notice, ...]]:
    """Return the lines, those of one material and role summed, and what was said."""
    if isinstance(recipe, Batch):
        lines = (PartsLine(one.material.id, one.material.name, one.parts, one.addition) for one in recipe.lines)
        return tuple(lines), recipe.notices
    summed: dict[tuple[tuple[str, ...], bool], PartsLine] = {}
    notices = list(recipe.notices)
    for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
        key = (name_key(item.material), item.addition)
        line = PartsLine(item.material, item.material, amount, item.addition)
        if key in summed:
            line = replace(summed[key], parts=summed[key].parts + amount)
            notices.append(Notice("same-material-twice", f"{line.name} is listed twice; added up to {line.parts:g}."))
        summed[key] = line
    if summed and misses_100(recipe):
        said = f"the base totals {recipe.base_total:g}, not 100; scaled by parts as it stands."
        notices.append(Notice("base-total", said))
    return tuple(summed.values()), tuple(notices)


def by_line(
    amounts: Mapping[str, float], lines: Sequence[PartsLine], batch: Batch | None, materials: MaterialLibrary | None
) -> tuple[dict[str, float], tuple[Notice, ...]]:
    """Return `amounts` with each name replaced by the `material` of its line; a name that is none of them is refused."""
    known = {name_key(line.material): line.material for line in lines}
    found: dict[str, float] = {}
    notices: list[Notice] = []
    for name, amount in amounts.items():
        key = name_key(name)
        if batch is not None and materials is not None:
            material, said = materials.find_in(name, batch.materials)
            key = name_key(material.id)
            notices.extend(said)
        if key not in known:
            own = ", ".join(dict.fromkeys(line.name for line in lines))
            raise WorkshopError(f"{name} is not in the recipe.", f"It has {own}.")
        found[known[key]] = float(amount)
    return found, tuple(notices)
