"""A weighing mistake: the smallest additions that bring a started batch back to its recipe.

What is in the bucket can only grow. The batch must become large enough that no material stands above its share, and it is never
less than the batch that was planned. A weight may be off by what the scale cannot show (`restoring.InBucket`).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from glazecalc.convert.batch import Batch, resolve
from glazecalc.errors import AmbiguousNameError, Fault, FileFaultsError, Notice, UnknownNameError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe, as_recipe
from glazecalc.workshop.mend_words import advice
from glazecalc.workshop.mended import Action, Mend, MendLine, WeighedMaterial
from glazecalc.workshop.parts_lines import PartsLine
from glazecalc.workshop.restoring import InBucket, mended_size, read_step
from glazecalc.workshop.studio_size import questioned_size

__all__ = ("Mend", "MendLine", "WeighedMaterial", "mend", "restore")


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
        Step of the scale [g]: a weight may be off by half of it, and the additions are rounded to it. Left out, it is read from the weights where
        they are whole multiples of a usual step (`step_from`), and nothing is rounded.

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
    >>> found.action, [(line.name, round(line.mass_g)) for line in found.additions]
    ('add', [('Silica', 275), ('Kaolin', 165), ('Potash feldspar', 40)])
    """
    if all_in_g is not None and base_g is not None:
        raise WorkshopError(
            "the planned batch is given once: in total with its additions (all_in_g), or its base alone (base_g)."
        )
    batch = resolve(recipe, materials)
    went_in, went, notices = _went_in(weighed, materials, batch)
    moist = {m.id: m.moisture_percent for m in batch.materials if m.moisture_percent}
    if used_percent is not None:
        used_g = math.fsum(_dry_g(item, moist) for item in went_in) * used_percent / 100
    shares = [PartsLine(material.id, material.name, parts) for material, parts in batch.by_material()]
    planned_g = base_g * batch.all_in_total / batch.base_total if base_g is not None else all_in_g
    in_recipe = Counter(line.material.id for line in batch.lines)
    weighings = {material: max(in_recipe[material], went[material]) for material in in_recipe}
    found = restore(
        shares, went_in, planned_g=planned_g, used_g=used_g, step_g=step_g, weighings=weighings, moist=moist
    )
    if wet := [f"{m.name} ({m.moisture_percent:g} % of water)" for m in batch.materials if m.id in moist]:
        said = f"{', '.join(wet)}: what is weighed is moist, what is in the bucket is shown dry."
        notices.append(Notice("weighed-moist", said))
    notices += questioned_size(found.restored_g or math.fsum(item.mass_g for item in went_in))
    return replace(found, recipe=batch.recipe.name, notices=tuple(dict.fromkeys((*batch.notices, *notices))))


def _went_in(
    weighed: Recipe | Mapping[str, float], materials: MaterialLibrary, batch: Batch
) -> tuple[tuple[WeighedMaterial, ...], Counter[str], list[Notice]]:
    """Return what went in, one entry a material, in how many weighings each, and what was said."""
    listed = as_recipe(weighed)
    place = listed.path or "what was weighed"
    if not listed.ingredients:
        raise FileFaultsError(place, [Fault(None, "nothing is listed.", "One line a material: kaolin 400 g.")])
    went_in: dict[str, WeighedMaterial] = {}
    times: Counter[str] = Counter()
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
        times[material.id] += 1
        went_in[material.id] = WeighedMaterial(material.id, material.name, total)
    if faults:
        raise FileFaultsError(place, faults)
    if isinstance(weighed, Recipe) and not weighed.has_mass_units:
        notices.append(Notice("read-as-grams", "weights without a unit are read as grams."))
    return tuple(went_in.values()), times, notices


def restore(
    shares: Sequence[PartsLine],
    went_in: Sequence[WeighedMaterial],
    *,
    planned_g: float | None = None,
    used_g: float = 0.0,
    step_g: float | None = None,
    weighings: Mapping[str, int] | None = None,
    moist: Mapping[str, float] | None = None,
) -> Mend:
    """Return the smallest additions that restore the recipe; `shares` and `went_in` name each material once.

    `planned_g` is the dry weight of the whole batch, `used_g` what was already used up of the finished mix [g], `weighings` in how many
    weighings a material goes in where that is not one, `moist` the water in its bag [% of the dry weight]: it is weighed with it.
    """
    total_parts = math.fsum(share.parts for share in shares)
    if not total_parts > 0:
        raise WorkshopError("the recipe is empty.")
    moist = moist or {}
    in_all = math.fsum(_dry_g(item, moist) for item in went_in)
    if any(not math.isfinite(item.mass_g) or item.mass_g < 0 for item in went_in) or not in_all > 0:
        hint = "List what went into the bucket, one line a material."
        raise WorkshopError("nothing was weighed yet, or a weight is negative.", hint)
    if planned_g is not None and not (math.isfinite(planned_g) and planned_g > 0):
        raise WorkshopError(f"a planned batch of {planned_g:g} g is not plausible.", "Write it like --all-in 2kg.")
    if not 0 <= used_g < in_all:
        said = f"{used_g:g} g of the mix were used, but only {in_all:g} g went in."
        raise WorkshopError(said, "Give the dry weight that was used.")
    seen = step_g if step_g is not None else read_step([item.mass_g for item in went_in])
    left = {item.material: _dry_g(item, moist) * (1 - used_g / in_all) for item in went_in}
    bucket = [
        InBucket(x.parts / total_parts, left.get(x.material, 0.0), seen, (weighings or {}).get(x.material, 1))
        for x in shares
    ]
    plan = planned_g if used_g == 0 else None
    size = mended_size(bucket, plan)
    wanted = size if plan is None else plan
    lines = tuple(_line(x, one, wanted, size, step_g, moist) for x, one in zip(shares, bucket, strict=True))
    in_recipe = {share.material for share in shares if share.parts > 0}
    foreign = tuple(item for item in went_in if item.material not in in_recipe and item.mass_g > 0)
    add_g = math.fsum(line.add_g for line in lines)
    is_far = add_g > (math.inf if planned_g is None else planned_g)
    action: Action = "start-over" if foreign or is_far else "add" if add_g > 0 else "on-recipe"
    off: tuple[WeighedMaterial, ...] = ()
    then: tuple[WeighedMaterial, ...] = ()
    if action == "start-over" and used_g == 0:
        scooped = (
            [_line(x, one, wanted, wanted, step_g, moist) for x, one in zip(shares, bucket, strict=True)]
            if is_far
            else lines
        )
        off, then = _scooped(scooped, foreign, surplus_too=is_far)
    said = advice(
        action, lines, foreign, asked_g=planned_g, size_g=size, used_g=used_g, step_g=seen, weigh_on=bool(then)
    )
    if action == "start-over":
        lines = tuple(replace(line, final_g=line.weighed_g, add_g=0.0, is_below_step=False) for line in lines)
    return Mend(
        action=action,
        advice=said,
        lines=lines,
        foreign=foreign,
        planned_g=wanted,
        asked_g=planned_g,
        restored_g=None if foreign else size,
        scoop_off=off,
        then_weigh=then,
        step_g=seen,
        step_from=None if seen is None else "weights" if step_g is None else "given",
    )


def _dry_g(item: WeighedMaterial, moist: Mapping[str, float]) -> float:
    return item.mass_g / (1 + moist.get(item.material, 0.0) / 100)


def _line(
    named: PartsLine, one: InBucket, plan_g: float, size_g: float, step_g: float | None, moist: Mapping[str, float]
) -> MendLine:
    planned_g, due_g, here_g = plan_g * one.share, size_g * one.share, one.weighed_g
    add_g = 0.0 if one.is_right_in(size_g) else max(due_g - here_g, 0.0)
    return MendLine(
        material=named.material,
        name=named.name,
        weighed_g=here_g,
        planned_g=planned_g,
        final_g=here_g + add_g,
        due_g=due_g,
        add_g=add_g,
        step_g=step_g,
        is_over=here_g > planned_g and not one.is_right_in(plan_g),
        is_below_step=0 < add_g < (one.step_g or 0.0),
        moisture_percent=moist.get(named.material, 0.0),
    )


def _scooped(
    lines: Sequence[MendLine], foreign: Sequence[WeighedMaterial], *, surplus_too: bool
) -> tuple[tuple[WeighedMaterial, ...], tuple[WeighedMaterial, ...]]:
    """Return what to scoop off while it lies on top, and what to weigh then, largest first."""
    over = [line for line in lines if surplus_too and line.is_over]
    surplus = (
        WeighedMaterial(x.material, x.name, (x.weighed_g - x.planned_g) * (1 + x.moisture_percent / 100)) for x in over
    )
    then = (WeighedMaterial(x.material, x.name, x.weigh_g) for x in lines if x.add_g > 0)
    return (*foreign, *surplus), tuple(sorted(then, key=lambda one: -one.mass_g))
