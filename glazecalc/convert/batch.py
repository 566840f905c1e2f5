"""From a recipe and a library to a batch: every name resolved, every assumption said."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from glazecalc.cones import parse_cone
from glazecalc.convert.moles import analysis_matrix, folded, molar_mass_array
from glazecalc.display import Shown, Tabular
from glazecalc.errors import (
    MOST_FAULTS,
    AmbiguousNameError,
    CompositionError,
    ConeError,
    Fault,
    FileFaultsError,
    Notice,
    UnknownNameError,
)
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Ingredient, Recipe, as_recipe, misses_100
from glazecalc.source import BASES, Basis

__all__ = ("Batch", "BatchLine", "check_size", "folded_moles", "resolve")

_LARGEST = 1e12  # parts or grams; beyond this a number is a slip of the pen
_SMALLEST_TOTAL = 1e-9
_SAID_BASES: dict[Basis, str] = {  # what is no analysis of a bag, and the code of its notice
    "ideal-formula": "ideal-formula", "recalled": "analysis-from-memory", "as-batched": "analysis-as-batched",
    "worked-out": "analysis-worked-out", "invented": "analysis-invented",
}  # fmt: skip
# From such a base on, additions this small may be per cent; this program's own choice.
_LARGE_BASE, _MOST_PERCENT = 500.0, 15.0
_MOST_LETTERS = 80  # of a name, in a command that is offered


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLine(Shown):
    """One material of a batch, in one role.

    Attributes
    ----------
    parts : float
        In parts or grams; an addition in per cent is worked out.
    addition : bool
        True for a line on top of the base.
    """

    material: Material
    parts: float
    addition: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch(Tabular):
    """A recipe whose lines have met their materials; lines of one material and role are summed.

    Attributes
    ----------
    notices : tuple of Notice
        Everything worth saying about names, totals and analyses.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "material=material.id": "",
        "name=material.name": "",
        "parts": "parts",
        "addition": "",
        "loi_percent=material.loi_percent": "wt %",
    }

    recipe: Recipe
    lines: tuple[BatchLine, ...]
    notices: tuple[Notice, ...] = ()

    @property
    def _units(self) -> Mapping[str, str]:
        return {"parts": "g"} if self.recipe.has_mass_units else {}

    @property
    def materials(self) -> tuple[Material, ...]:
        """The material of each line; one that stands in the base and on top of it comes twice."""
        return tuple(line.material for line in self.lines)

    @property
    def base(self) -> tuple[BatchLine, ...]:
        """The lines of the base."""
        return tuple(line for line in self.lines if not line.addition)

    @property
    def additions(self) -> tuple[BatchLine, ...]:
        """The lines on top of the base."""
        return tuple(line for line in self.lines if line.addition)

    @property
    def base_total(self) -> float:
        """Sum of the base lines."""
        return math.fsum(line.parts for line in self.base)

    @property
    def additions_total(self) -> float:
        """Sum of the additions."""
        return math.fsum(line.parts for line in self.additions)

    @property
    def all_in_total(self) -> float:
        """Sum of all lines."""
        return math.fsum(line.parts for line in self.lines)

    def by_material(self) -> tuple[tuple[Material, float], ...]:
        """Return each material once with all its parts, base and additions together, in the order of the lines."""
        summed: dict[str, tuple[Material, float]] = {}
        for line in self.lines:
            _, before = summed.get(line.material.id, (line.material, 0.0))
            summed[line.material.id] = (line.material, before + line.parts)
        return tuple(summed.values())

    def oxide_masses(self, *, base_only: bool = False) -> NDArray[np.float64]:
        """Return the mass of each oxide of the axis (k,), in the unit of `parts`; FeO and Fe2O3 as analysed."""
        summed: NDArray[np.float64] = self.contributions(base_only=base_only).sum(axis=0)
        return summed

    def contributions(self, *, base_only: bool = False) -> NDArray[np.float64]:
        """Return the oxide masses that each line brings, shape (lines, k), in the unit of `parts`."""
        weights = np.array([0.0 if base_only and line.addition else line.parts for line in self.lines])
        brought: NDArray[np.float64] = weights[:, None] * (analysis_matrix(self.materials) * 0.01)
        return brought

    def loss_percent(self, *, base_only: bool = False) -> float:
        """Return the loss on ignition [wt % of the batch or of its base]; a loss not reported counts as nothing (see `notices`)."""
        lines = self.base if base_only else self.lines
        total = math.fsum(line.parts for line in lines)
        lost = math.fsum(line.parts * (line.material.loi_percent or 0.0) for line in lines)
        return lost / total if total > 0 else 0.0

    def share_percent(self, chosen: Callable[[Material], bool]) -> float:
        """Return the share [wt % of the all-in batch] of the materials that `chosen` picks."""
        return 100.0 * math.fsum(line.parts for line in self.lines if chosen(line.material)) / self.all_in_total


def resolve(recipe: Recipe | Mapping[str, float], materials: MaterialLibrary) -> Batch:
    """Find the material of every line.

    Parameters
    ----------
    recipe, materials
        As for `unity_formula`.

    Returns
    -------
    Batch
        Its lines with their materials, and what must be said of them.

    Raises
    ------
    ArgumentError
        For a recipe or materials of another kind, with the call to write.
    FileFaultsError
        Where names are unknown or fit several materials: all such lines at once.
    CompositionError
        For an empty recipe, or amounts too large or too small to calculate with.

    Examples
    --------
    >>> import glazecalc as gc
    >>> batch = gc.resolve({"whiting": 20, "silica": 30}, gc.load_materials())
    >>> [(line.material.id, line.parts) for line in batch.lines]
    [('whiting', 20.0), ('silica', 30.0)]
    """
    recipe = as_recipe(recipe)
    if not recipe.ingredients:
        raise CompositionError("the recipe has no ingredients.", where=recipe.path)
    notices = list(recipe.notices)
    faults: list[Fault] = []
    unknown: dict[int, str] = {}  # place of the fault -> name that no material has
    found: dict[tuple[str, bool], BatchLine] = {}
    for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
        try:
            material, said = materials.find(item.material, suggest=len(faults) < MOST_FAULTS)
        except (UnknownNameError, AmbiguousNameError) as error:
            is_first = item is recipe.ingredients[0] and bool(recipe.text) and not recipe.name
            or_title = f" {_as_title(recipe, item)}" if is_first else ""
            if isinstance(error, UnknownNameError) and not is_first:
                unknown[len(faults)] = item.material[:_MOST_LETTERS]
            faults.append(Fault(item.line, error.message, f"{error.hint}{or_title}"))
            continue
        notices += [replace(notice, line=item.line) for notice in said]
        key = (material.id, item.addition)
        line = BatchLine(material=material, parts=amount, addition=item.addition)
        if key in found:
            line = replace(line, parts=found[key].parts + amount)
            where = "additions" if item.addition else "base"
            text = f"{material.name} is listed twice in the {where}; added up to {line.parts:g}."
            notices.append(Notice("same-material-twice", text, item.line))
        found[key] = line
    if faults:
        raise FileFaultsError(recipe.path or recipe.name or "the recipe", _with_sheets(faults, unknown))
    batch = Batch(recipe=recipe, lines=tuple(found.values()))
    check_size(batch)
    title = materials.exact(recipe.name) if recipe.name else None
    if title is not None:
        text = f"the title '{recipe.name}' is also the name of {title.name}: is its amount missing?"
        notices.append(Notice("title-is-a-material", text))
    notices += [*_material_notices(batch.materials), *_total_notices(batch), *materials.notices]
    return Batch(recipe=recipe, lines=batch.lines, notices=tuple(dict.fromkeys(notices)))


def _as_title(recipe: Recipe, first: Ingredient) -> str:
    """Return how to write a first line that is no material but the title: with the cone that its number may be."""
    line = recipe.text.splitlines()[first.line - 1].split() if first.line else [""]
    try:
        cone = f", and below it 'cone {parse_cone(line[-1])}'" if line and not first.unit else ""
    except ConeError:
        cone = ""
    return f"If this line is the title, write it as 'name: {first.material if cone else '...'}'{cone}."


def _with_sheets(faults: list[Fault], unknown: Mapping[int, str]) -> list[Fault]:
    """Return the faults, the last one that is told of an unknown name with the commands that print sheets for all of them."""
    told = [place for place in unknown if place < MOST_FAULTS]
    if told:
        from glazecalc.files.material_sheet import sheet_commands  # only where it is needed: a start costs

        last = faults[told[-1]]
        faults[told[-1]] = replace(last, hint=f"{last.hint} {sheet_commands(list(unknown.values()))}".strip())
    return faults


def check_size(batch: Batch) -> None:
    """Raise CompositionError for a batch that nothing can be calculated of: nothing in it, no base, or amounts beyond reason."""
    where, largest = batch.recipe.path, max((line.parts for line in batch.lines), default=0.0)
    if not math.isfinite(batch.all_in_total) or largest > _LARGEST:
        hint = f"Amounts up to {_LARGEST:.0e} are read."
        raise CompositionError(f"an amount of {largest:.3g} is too large to be plausible.", hint, where)
    if batch.all_in_total < _SMALLEST_TOTAL:
        raise CompositionError("all amounts of the recipe are zero.", "Give each line its amount.", where)
    if batch.base_total < _SMALLEST_TOTAL:
        raise CompositionError("the recipe has additions but no base.", "Lines without '+' make the base.", where)


def _material_notices(materials: Sequence[Material]) -> list[Notice]:
    once = list({material.id: material for material in materials}.values())
    standing: dict[Basis, list[str]] = {basis: [] for basis in _SAID_BASES}
    for m in once:
        if m.basis in standing and m.analysis and (m.formula is None or m.kind != "colourant"):
            standing[m.basis].append(m.name)
    hardly_there = "; ".join(
        f"{m.name} ({', '.join(f'{oxide} {text}' for oxide, text in m.below_detection.items())})"
        for m in once
        if m.below_detection
    )
    grouped = (
        *((code, BASES[basis], ", ".join(standing[basis])) for basis, code in _SAID_BASES.items()),
        ("below-detection", "below detection, counted as nothing", hardly_there),
    )
    notices = [Notice(code, f"{text}: {names}.") for code, text, names in grouped if names]
    for found in once:
        notices.extend(found.notices)
        colours_or_bulky = found.kind == "colourant" or found.id == "magnesium_carbonate"
        if colours_or_bulky and found.formula and "carbonate" in found.name.lower():
            text = f"{found.name} is taken as {found.formula}; grades differ, use the assay on the label."
            notices.append(Notice("carbonate-form", text))
        if found.moisture_percent:
            text = f"{found.name} holds {found.moisture_percent:g} % water on the dry weight; recipe amounts are taken as dry."
            notices.append(Notice("moist-material", text))
    return notices


def _total_notices(batch: Batch) -> list[Notice]:
    notices = []
    zero = [item for item in batch.recipe.ingredients if item.amount == 0]
    if zero:
        names = ", ".join(item.material for item in zero)
        notices.append(Notice("zero-amount", f"the amount is zero: {names}.", zero[0].line))
    if misses_100(batch.recipe):
        notices.append(Notice("base-total", f"the base totals {batch.base_total:g}, not 100; kept as it is."))
    return notices + _percent_asked(batch)


def _percent_asked(batch: Batch) -> list[Notice]:
    """Return the question of a base near 1000 with additions near 1 to 10: are they parts, as they are read, or per cent."""
    bare = [item for item in batch.recipe.additions if item.unit == "" and item.amount > 0]
    base = batch.base_total if bare else 0.0
    if base < _LARGE_BASE or max(item.amount for item in bare) > _MOST_PERCENT:
        return []
    one = bare[0]
    read = f"{one.material} {one.amount:g} counts as {one.amount:g} parts, {100 * one.amount / base:.2g} % of the base"
    mend = f"if {one.amount:g} % was meant ({one.amount / 100 * base:g} parts), write '{one.amount:g} %'"
    more = f"; so too for {', '.join(item.material for item in bare[1:])}" if bare[1:] else ""
    return [Notice("additions-or-percent", f"the base totals {base:g}: {read}; {mend}{more}.", one.line)]


def folded_moles(batch: Batch, *, base_only: bool = False) -> NDArray[np.float64]:
    """Return the moles of each oxide (k,) with all iron as Fe2O3."""
    return folded(batch.oxide_masses(base_only=base_only) / molar_mass_array())
