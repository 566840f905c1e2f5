"""A weighing mistake: the smallest additions that bring a started batch back to its recipe.

What is in the bucket can only grow. The batch must become large enough that no material stands above its share:
the new size is the largest of (weighed / share) over the materials, and never less than the batch that was planned.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from glazecalc.convert.batch import Batch, resolve
from glazecalc.display import Shown
from glazecalc.errors import AmbiguousNameError, Fault, FileFaultsError, Notice, UnknownNameError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe, as_recipe
from glazecalc.workshop.parts_lines import PartsLine
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import round_to_step
from glazecalc.workshop.studio_size import questioned_size

__all__ = ("Mend", "MendLine", "WeighedMaterial", "mend", "restore")

_ZERO = 1e-12  # relative; what is left of a subtraction of equal numbers


@dataclass(frozen=True, slots=True)
class WeighedMaterial:
    """A material and a weight of it."""

    material: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MendLine:
    """One material: in the bucket now, in the batch as planned and as mended, to be added (unrounded), step of the scale [g]."""

    JSON: ClassVar[tuple[str, ...]] = ("material", "name", "in_bucket_g=weighed_g", "planned_g", "final_g", "add_g")
    material: str
    name: str
    weighed_g: float
    planned_g: float
    final_g: float
    add_g: float
    step_g: float | None = None

    @property
    def weigh_g(self) -> float:
        """What to weigh in [g]: `add_g` to the step of the scale."""
        return self.add_g if self.step_g is None else round_to_step(self.add_g, self.step_g)

    @property
    def is_over(self) -> bool:
        """True where more is in the bucket than was planned."""
        return self.weighed_g > self.planned_g * (1 + 1e-9)


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Mend(Shown):
    """How a batch comes back to its recipe.

    Attributes
    ----------
    foreign : tuple of WeighedMaterial
        What went in and is not in the recipe; nothing brings such a batch back.
    planned_g, restored_g : float or None
        Dry weight of the batch as planned, and as mended before rounding [g]; `restored_g` is None where nothing restores it.
    asked_g : float or None
        `planned_g` where it was given; else `planned_g` is the smallest batch that restores the recipe.
    verdict, advice : str
        ``"finish"`` (nothing is over, weigh on), ``"enlarge"``, or ``"start again"``; and the same in plain words.
    """

    PAGE: ClassVar[str] = "mend"
    JSON: ClassVar[tuple[str, ...]] = (
        "add=additions", "dry_mass_g", "advice", "verdict", "planned_g", "weighed_g", "lines", "foreign", "notices",
    )  # fmt: skip
    lines: tuple[MendLine, ...]
    foreign: tuple[WeighedMaterial, ...]
    planned_g: float
    asked_g: float | None
    restored_g: float | None
    verdict: str
    advice: str
    recipe: str = ""
    step_g: float | None = None
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<Mend {self.recipe!r}: {self.verdict}>"

    @property
    def additions(self) -> tuple[WeighedMaterial, ...]:
        """What to weigh in, to the step of the scale."""
        lines = self.lines if self.restored_g is not None else ()
        return tuple(WeighedMaterial(x.material, x.name, x.weigh_g) for x in lines if x.add_g > 0)

    @property
    def weighed_g(self) -> float:
        """What is in the bucket now of the recipe's materials, dry [g]."""
        return math.fsum(line.weighed_g for line in self.lines)

    @property
    def dry_mass_g(self) -> float | None:
        """Dry weight of the batch as it will be, with rounded additions [g]; None where nothing restores it."""
        if self.restored_g is None or self.step_g is None:
            return self.restored_g
        return math.fsum([*(line.weighed_g for line in self.lines), *(x.mass_g for x in self.additions)])


def mend(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    weighed: Recipe | Mapping[str, float],
    *,
    all_in_g: float | None = None,
    base_g: float | None = None,
    used_g: float = 0.0,
    used_percent: float | None = None,
    step_g: float | None = None,
) -> Mend:
    """Return the smallest additions that bring a batch that was weighed wrong back to its recipe.

    Parameters
    ----------
    recipe : Recipe or Mapping
        As it should be.
    materials : MaterialLibrary
        Where names are looked up.
    weighed : Recipe or Mapping
        Everything that went in, the mistake included; grams where no unit stands. A material of the library that is not in the
        recipe is foreign.
    all_in_g, base_g : float, optional
        The batch as planned, with or without its additions [g]; left out, the smallest batch that restores the recipe.
    used_g, used_percent : float, optional
        What was already used up of the finished mix, taken as evenly mixed: dry weight [g], or share of what went in [%].
    step_g : float, optional
        Round the additions to this step of the scale [g].

    Returns
    -------
    Mend

    Raises
    ------
    FileFaultsError
        For what was weighed: names that are not known, shares in place of weights.
    WorkshopError
        For an empty bucket, a batch planned twice, or more used than was weighed.

    Examples
    --------
    >>> import glazecalc as gc
    >>> recipe = {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "silica": 25}
    >>> found = gc.mend(recipe, gc.load_materials(), {"potash feldspar": 400, "whiting": 220}, all_in_g=1000)
    >>> found.verdict, [(line.name, round(line.mass_g)) for line in found.additions]
    ('enlarge', [('Potash feldspar', 40), ('Kaolin', 165), ('Silica', 275)])
    """
    if all_in_g is not None and base_g is not None:
        raise WorkshopError(
            "the planned batch is given once: in total with its additions (all_in_g), or its base alone (base_g)."
        )
    batch = resolve(recipe, materials)
    went_in, notices = _went_in(weighed, materials, batch)
    if used_percent is not None:
        used_g = math.fsum(item.mass_g for item in went_in) * used_percent / 100
    shares = [PartsLine(material.id, material.name, parts) for material, parts in batch.by_material()]
    planned_g = base_g * batch.all_in_total / batch.base_total if base_g is not None else all_in_g
    found = restore(shares, went_in, planned_g=planned_g, used_g=used_g, step_g=step_g)
    notices += questioned_size(found.restored_g or math.fsum(item.mass_g for item in went_in))
    return replace(found, recipe=batch.recipe.name, notices=tuple(dict.fromkeys((*batch.notices, *notices))))


def _went_in(
    weighed: Recipe | Mapping[str, float], materials: MaterialLibrary, batch: Batch
) -> tuple[tuple[WeighedMaterial, ...], list[Notice]]:
    """Return what went in, one entry a material, and what was said."""
    listed = as_recipe(weighed)
    place = listed.path or "what was weighed"
    if not listed.ingredients:
        raise FileFaultsError(place, [Fault(None, "nothing is listed.", "One line a material: kaolin 400 g.")])
    went_in: dict[str, WeighedMaterial] = {}
    faults: list[Fault] = []
    notices = list(listed.notices)
    for item, amount in zip(listed.ingredients, listed.amounts(), strict=True):
        if item.unit == "%":
            text = f"{item.material} is given in %; a weight was expected."
            faults.append(Fault(item.line, text, "Write it like 400 g."))
            continue
        try:
            material, said = materials.find_in(item.material, batch.materials)
        except (UnknownNameError, AmbiguousNameError) as error:
            faults.append(Fault(item.line, error.message, error.hint))
            continue
        notices.extend(said)
        before = went_in.get(material.id)
        if before is not None:
            notices.append(Notice("weighed-twice", f"{item.material} was weighed twice; both count."))
        total = amount + (before.mass_g if before is not None else 0.0)
        went_in[material.id] = WeighedMaterial(material.id, material.name, total)
    if faults:
        raise FileFaultsError(place, faults)
    if isinstance(weighed, Recipe) and not weighed.has_mass_units:
        notices.append(Notice("read-as-grams", "weights without a unit are read as grams."))
    return tuple(went_in.values()), notices


def restore(
    shares: Sequence[PartsLine],
    went_in: Sequence[WeighedMaterial],
    *,
    planned_g: float | None = None,
    used_g: float = 0.0,
    step_g: float | None = None,
) -> Mend:
    """Return the smallest additions that restore the recipe; `shares` and `went_in` name each material once.

    `planned_g` is the dry weight of the whole batch, `used_g` what was already used up of the finished mix [g].
    """
    total_parts = math.fsum(share.parts for share in shares)
    if not total_parts > 0:
        raise WorkshopError("the recipe is empty.")
    in_all = math.fsum(item.mass_g for item in went_in)
    if any(not math.isfinite(item.mass_g) or item.mass_g < 0 for item in went_in) or not in_all > 0:
        hint = "List what went into the bucket, one line a material."
        raise WorkshopError("nothing was weighed yet, or a weight is negative.", hint)
    if planned_g is not None and not (math.isfinite(planned_g) and planned_g > 0):
        raise WorkshopError(f"a planned batch of {planned_g:g} g is not plausible.", "Write it like --all-in 2kg.")
    if not 0 <= used_g < in_all:
        said = f"{used_g:g} g of the mix were used, but only {in_all:g} g went in."
        raise WorkshopError(said, "Give the dry weight that was used.")
    left = {item.material: item.mass_g * (1 - used_g / in_all) for item in went_in}
    needed = max(left.get(x.material, 0.0) / x.parts * total_parts if x.parts > 0 else 0.0 for x in shares)
    plan = planned_g if planned_g is not None and used_g == 0 else needed
    size = max(plan, needed)
    lines = tuple(_line(x, x.parts / total_parts, left, plan, size, step_g) for x in shares)
    in_recipe = {share.material for share in shares if share.parts > 0}
    foreign = tuple(item for item in went_in if item.material not in in_recipe and item.mass_g > 0)
    if foreign:
        lines = tuple(replace(line, final_g=line.weighed_g, add_g=0.0) for line in lines)
        verdict, advice = _hopeless(foreign)
    else:
        verdict, advice = _advice(lines, planned_g, plan, size, used_g)
    return Mend(
        lines=lines,
        foreign=foreign,
        planned_g=plan,
        asked_g=planned_g,
        restored_g=None if foreign else size,
        verdict=verdict,
        advice=advice,
        step_g=step_g,
    )


def _line(
    named: PartsLine, share: float, left_g: Mapping[str, float], plan_g: float, size_g: float, step_g: float | None
) -> MendLine:
    here_g, final_g = left_g.get(named.material, 0.0), size_g * share
    add = final_g - here_g
    return MendLine(
        material=named.material,
        name=named.name,
        weighed_g=here_g,
        planned_g=plan_g * share,
        final_g=final_g,
        add_g=add if add > _ZERO * max(final_g, here_g) else 0.0,
        step_g=step_g,
    )


def _hopeless(foreign: Sequence[WeighedMaterial]) -> tuple[str, str]:
    return "start again", (
        f"Start again: {', '.join(item.name for item in foreign)} went in but is not in the recipe, and nothing you add takes it out. If it still lies "
        "unmixed on top, scoop it off and go on weighing. Otherwise label the bucket with what is in it and test it as a glaze of its own."
    )


def _advice(
    lines: Sequence[MendLine], asked_g: float | None, plan_g: float, size_g: float, used_g: float
) -> tuple[str, str]:
    """Return verdict and advice for a batch that can be restored."""
    add = math.fsum(line.add_g for line in lines)
    over = [line for line in lines if line.is_over]
    tail = ""
    if used_g > 0:
        tail = " The glaze already used was off-recipe: mark the pots made with it."
        plan_g = asked_g if asked_g is not None else size_g
    if add <= 1e-9 * size_g:
        return "finish", "The bucket is on recipe: nothing to add." + tail
    if not over and used_g == 0 and asked_g is not None:
        return "finish", f"Nothing is over: weigh the rest, and the batch comes to {size_g:.0f} g as planned."
    worst = max(lines, key=lambda x: x.weighed_g / x.final_g if x.final_g > 0 else 0.0)
    if asked_g is not None and add > plan_g:
        return "start again", (
            f"Start again: {worst.name} is so far over that mending takes {add:.0f} g of new material, a fresh batch only {plan_g:.0f} g. If "
            f"the surplus still lies unmixed on top, scoop it off and go on weighing. The mended batch would be {size_g:.0f} g; if you will "
            "need that much, label the bucket and keep it." + tail
        )
    if asked_g is None or used_g > 0:
        sets = f"{worst.name} sets the size, and the batch becomes {size_g:.0f} g."
        return "enlarge", f"Adding {add:.0f} g restores the recipe; {sets}{tail}"
    over_percent = 100 * (worst.weighed_g / worst.planned_g - 1) if worst.planned_g > 0 else math.inf
    grow = f"Weigh the amounts listed: the batch grows from {plan_g:.0f} g to {size_g:.0f} g and is back on recipe."
    if over_percent < choice("small_slip_percent"):
        grow += f" {worst.name} is only {over_percent:.2g} % over: you may also leave it and weigh the rest as planned."
    return "enlarge", grow
