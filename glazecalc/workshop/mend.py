"""A slip at the scale: the smallest additions that bring a started batch back to its recipe.

What is in the bucket can only grow. The batch must become large enough that no material stands above its share:
the new size is the largest of (weighed / share) over the materials, and never less than the batch that was planned.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from glazecalc.errors import WorkshopError

__all__ = ("Mend", "MendLine", "mend")

_ZERO = 1e-12  # relative; what is left of a subtraction of equal numbers
_SMALL_PERCENT = 1.0  # an overshoot that a scale of 1 % error hardly sees; the project's own choice


@dataclass(frozen=True, slots=True, kw_only=True)
class MendLine:
    """One material of a batch that is to be mended.

    Attributes
    ----------
    material, name : str
    weighed_g, planned_g, final_g : float
        In the bucket now, in the batch as planned, in the batch as mended [g].
    add_g : float
        To be added [g].
    """

    material: str
    name: str
    weighed_g: float
    planned_g: float
    final_g: float
    add_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """How a batch comes back to its recipe.

    Attributes
    ----------
    lines : tuple of MendLine
        Every material of the recipe.
    foreign : tuple of str
        Names of what went in and is not in the recipe; nothing brings such a batch back.
    planned_g : float
        Dry weight of the batch as planned [g].
    dry_mass_g : float or None
        Dry weight of the mended batch [g]; None where nothing restores it.
    verdict : str
        ``"finish"`` (nothing is over, weigh on), ``"enlarge"``, or ``"start again"``.
    advice : str
        The same in plain words.
    """

    lines: tuple[MendLine, ...]
    foreign: tuple[str, ...]
    planned_g: float
    dry_mass_g: float | None
    verdict: str
    advice: str

    @property
    def additions(self) -> tuple[MendLine, ...]:
        """The lines of which something is to be added."""
        return tuple(line for line in self.lines if line.add_g > 0) if self.dry_mass_g is not None else ()


def mend(
    shares: Sequence[tuple[str, str, float]],
    weighed_g: Mapping[str, float],
    *,
    planned_g: float | None = None,
    used_g: float = 0.0,
    foreign: Sequence[str] = (),
) -> Mend:
    """Return the smallest additions that restore the recipe.

    Parameters
    ----------
    shares : sequence of (material, name, parts)
        The recipe, one entry a material.
    weighed_g : Mapping
        Material -> what is in the bucket, everything that went in [g].
    planned_g : float, optional
        Dry weight of the whole batch as planned [g]; left out, the smallest batch that restores the recipe.
    used_g : float
        Dry weight of the finished mix that was already used up [g]; it is taken as evenly mixed.
    foreign : sequence of str
        Names of what went in and is not in the recipe.

    Returns
    -------
    Mend

    Raises
    ------
    WorkshopError
        For negative weights, an empty bucket, or more used than was weighed.
    """
    total_parts = math.fsum(p for _, _, p in shares)
    if not total_parts > 0:
        raise WorkshopError("the recipe is empty.")
    in_all = math.fsum(weighed_g.values())
    if any(not math.isfinite(w) or w < 0 for w in weighed_g.values()) or not in_all > 0:
        raise WorkshopError(
            "nothing was weighed yet, or a weight is negative.", "List what went into the bucket, one line a material."
        )
    if planned_g is not None and not (math.isfinite(planned_g) and planned_g > 0):
        raise WorkshopError(f"a planned batch of {planned_g:g} g cannot be meant.", "Write it like --all-in 2kg.")
    if not 0 <= used_g < in_all:
        raise WorkshopError(
            f"{used_g:g} g of the mix were used, but only {in_all:g} g went in.", "Give the dry weight that was used."
        )
    left = {m: w * (1 - used_g / in_all) for m, w in weighed_g.items()}
    needed = max(
        (left.get(m, 0.0) / p * total_parts if p > 0 else math.inf if left.get(m, 0.0) > 0 else 0.0)
        for m, _, p in shares
    )
    plan = planned_g if planned_g is not None and used_g == 0 else needed
    size = max(plan, needed)
    if foreign or not math.isfinite(size):
        extra = list(foreign) + [n for m, n, p in shares if p == 0 and left.get(m, 0.0) > 0]
        return _hopeless(shares, left, plan if math.isfinite(plan) else planned_g or in_all, extra)
    lines = tuple(_line(m, n, p / total_parts, left.get(m, 0.0), plan, size) for m, n, p in shares)
    verdict, advice = _advice(lines, planned_g, plan, size, used_g)
    return Mend(lines=lines, foreign=(), planned_g=plan, dry_mass_g=size, verdict=verdict, advice=advice)


def _line(material: str, name: str, share: float, left_g: float, plan_g: float, size_g: float) -> MendLine:
    final = size_g * share
    add = final - left_g
    if abs(add) <= _ZERO * max(final, left_g):
        add = 0.0
    return MendLine(
        material=material, name=name, weighed_g=left_g, planned_g=plan_g * share, final_g=final, add_g=max(add, 0.0)
    )


def _hopeless(
    shares: Sequence[tuple[str, str, float]], left: Mapping[str, float], plan_g: float, foreign: Sequence[str]
) -> Mend:
    total = math.fsum(p for _, _, p in shares)
    lines = tuple(
        MendLine(
            material=m,
            name=n,
            weighed_g=left.get(m, 0.0),
            planned_g=plan_g * p / total,
            final_g=left.get(m, 0.0),
            add_g=0.0,
        )
        for m, n, p in shares
    )
    advice = (
        f"Start again: {', '.join(foreign)} went in and is not in the recipe, and no addition takes it out. If it still lies unmixed on "
        "top, lift it off and weigh on. Otherwise label the bucket with what is in it and test it as a glaze of its own."
    )
    return Mend(
        lines=lines, foreign=tuple(foreign), planned_g=plan_g, dry_mass_g=None, verdict="start again", advice=advice
    )


def _advice(
    lines: Sequence[MendLine], asked_g: float | None, plan_g: float, size_g: float, used_g: float
) -> tuple[str, str]:
    add = math.fsum(line.add_g for line in lines)
    over = [line for line in lines if line.weighed_g > line.planned_g * (1 + 1e-9)]
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
    if over_percent < _SMALL_PERCENT:
        grow += f" {worst.name} is only {over_percent:.2g} % over: weighing the rest as planned and leaving it is a fair choice too."
    return "enlarge", grow + tail
