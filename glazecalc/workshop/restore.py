"""A slip at the scale: the smallest additions that bring a started batch back to its recipe.

What is in the bucket can only grow. The batch must become large enough that no material stands above its share:
the new size is the largest of (weighed / share) over the materials, and never less than the batch that was planned.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import Notice, WorkshopError
from glazecalc.workshop.parts_lines import PartsLine
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import round_to_step

__all__ = ("Mend", "MendLine", "WeighedMaterial", "restore")

_ZERO = 1e-12  # relative; what is left of a subtraction of equal numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedMaterial:
    """A material and a weight of it.

    Attributes
    ----------
    material, name : str
    mass_g : float
        [g].
    """

    material: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MendLine:
    """One material of a batch that is to be mended.

    Attributes
    ----------
    material, name : str
    weighed_g, planned_g, final_g : float
        In the bucket now, in the batch as planned, in the batch as mended [g].
    add_g : float
        To be added, unrounded [g].
    step_g : float or None
        Step of the scale [g].
    """

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
    recipe : str
        Name of the recipe.
    lines : tuple of MendLine
        Every material of the recipe.
    foreign : tuple of WeighedMaterial
        What went in and is not in the recipe; nothing brings such a batch back.
    planned_g : float
        Dry weight of the batch as planned [g].
    asked_g : float or None
        The same where it was given; else `planned_g` is the smallest batch that restores the recipe.
    restored_g : float or None
        Dry weight of the mended batch before rounding [g]; None where nothing restores it.
    verdict : str
        ``"finish"`` (nothing is over, weigh on), ``"enlarge"``, or ``"start again"``.
    advice : str
        The same in plain words.
    step_g : float or None
        Step of the scale [g].
    notices : tuple of Notice
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
        if self.restored_g is None:
            return ()
        return tuple(
            WeighedMaterial(material=x.material, name=x.name, mass_g=x.weigh_g) for x in self.lines if x.add_g > 0
        )

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


def restore(
    shares: Sequence[PartsLine],
    went_in: Sequence[WeighedMaterial],
    *,
    planned_g: float | None = None,
    used_g: float = 0.0,
) -> Mend:
    """Return the smallest additions that restore the recipe.

    Parameters
    ----------
    shares : sequence of PartsLine
        The recipe, one entry a material.
    went_in : sequence of WeighedMaterial
        Everything that went in, one entry a material.
    planned_g : float, optional
        Dry weight of the whole batch as planned [g]; left out, the smallest batch that restores the recipe.
    used_g : float
        Dry weight of the finished mix that was already used up [g].

    Raises
    ------
    WorkshopError
        For negative weights, an empty bucket, or more used than was weighed.
    """
    total_parts = math.fsum(share.parts for share in shares)
    if not total_parts > 0:
        raise WorkshopError("the recipe is empty.")
    in_all = math.fsum(item.mass_g for item in went_in)
    if any(not math.isfinite(item.mass_g) or item.mass_g < 0 for item in went_in) or not in_all > 0:
        raise WorkshopError(
            "nothing was weighed yet, or a weight is negative.", "List what went into the bucket, one line a material."
        )
    if planned_g is not None and not (math.isfinite(planned_g) and planned_g > 0):
        raise WorkshopError(f"a planned batch of {planned_g:g} g cannot be meant.", "Write it like --all-in 2kg.")
    if not 0 <= used_g < in_all:
        raise WorkshopError(
            f"{used_g:g} g of the mix were used, but only {in_all:g} g went in.", "Give the dry weight that was used."
        )
    left = {item.material: item.mass_g * (1 - used_g / in_all) for item in went_in}
    needed = max(left.get(x.material, 0.0) / x.parts * total_parts if x.parts > 0 else 0.0 for x in shares)
    plan = planned_g if planned_g is not None and used_g == 0 else needed
    size = max(plan, needed)
    in_recipe = {share.material for share in shares if share.parts > 0}
    foreign = tuple(item for item in went_in if item.material not in in_recipe and item.mass_g > 0)
    if foreign:
        return _hopeless(shares, left, foreign, plan_g=plan, asked_g=planned_g)
    lines = tuple(_line(share, share.parts / total_parts, left, plan, size) for share in shares)
    verdict, advice = _advice(lines, planned_g, plan, size, used_g)
    return Mend(
        lines=lines, foreign=(), planned_g=plan, asked_g=planned_g, restored_g=size, verdict=verdict, advice=advice
    )


def _line(share_of: PartsLine, share: float, left: Mapping[str, float], plan_g: float, size_g: float) -> MendLine:
    left_g, final = left.get(share_of.material, 0.0), size_g * share
    add = final - left_g
    if abs(add) <= _ZERO * max(final, left_g):
        add = 0.0
    return MendLine(
        material=share_of.material,
        name=share_of.name,
        weighed_g=left_g,
        planned_g=plan_g * share,
        final_g=final,
        add_g=max(add, 0.0),
    )


def _hopeless(
    shares: Sequence[PartsLine],
    left: Mapping[str, float],
    foreign: tuple[WeighedMaterial, ...],
    *,
    plan_g: float,
    asked_g: float | None,
) -> Mend:
    total = math.fsum(share.parts for share in shares)
    lines = tuple(
        MendLine(
            material=share.material,
            name=share.name,
            weighed_g=left.get(share.material, 0.0),
            planned_g=plan_g * share.parts / total,
            final_g=left.get(share.material, 0.0),
            add_g=0.0,
        )
        for share in shares
    )
    advice = (
        f"Start again: {', '.join(item.name for item in foreign)} went in and is not in the recipe, and no addition takes it out. If it still lies unmixed on "
        "top, lift it off and weigh on. Otherwise label the bucket with what is in it and test it as a glaze of its own."
    )
    return Mend(
        lines=lines,
        foreign=foreign,
        planned_g=plan_g,
        asked_g=asked_g,
        restored_g=None,
        verdict="start again",
        advice=advice,
    )


def _advice(
    lines: Sequence[MendLine], asked_g: float | None, plan_g: float, size_g: float, used_g: float
) -> tuple[str, str]:
    add = math.fsum(line.add_g for line in lines)
    over = [line for line in lines if line.is_over]
    tail = ""
    if used_g > 0:
        tail = " What was used is off the recipe and stays so: mark the ware made with it."
        plan_g = asked_g if asked_g is not None else size_g
    if add <= 1e-9 * size_g:
        return "finish", "What is in the bucket is the recipe: nothing to add." + tail
    if not over and used_g == 0 and asked_g is not None:
        return (
            "finish",
            f"Nothing is over its share: weigh the rest and the batch comes to {size_g:.0f} g as planned." + tail,
        )
    worst = max(lines, key=lambda x: x.weighed_g / x.final_g if x.final_g > 0 else 0.0)
    if asked_g is not None and add > plan_g:
        return "start again", (
            f"Start again: {worst.name} is so far over that mending takes {add:.0f} g of new material, and a fresh batch only {plan_g:.0f} g. If "
            f"the surplus still lies unmixed on top, lift it off and weigh on. The mended batch would be {size_g:.0f} g; keep the bucket, "
            "labelled, if that much will be needed." + tail
        )
    if asked_g is None or used_g > 0:
        return (
            "enlarge",
            f"Adding {add:.0f} g restores the recipe; {worst.name} sets the size, and the batch becomes {size_g:.0f} g."
            + tail,
        )
    over_percent = 100 * (worst.weighed_g / worst.planned_g - 1) if worst.planned_g > 0 else math.inf
    grow = f"Weigh the amounts listed: the batch grows from {plan_g:.0f} g to {size_g:.0f} g and is the recipe again."
    if over_percent < choice("small_slip_percent"):
        grow += f" {worst.name} is only {over_percent:.2g} % over: weighing the rest as planned and leaving it is a fair choice too."
    return "enlarge", grow + tail
