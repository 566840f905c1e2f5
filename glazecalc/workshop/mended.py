"""How a batch that was weighed wrong comes back to its recipe: the values that `mend` returns."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from glazecalc.display import Tabular
from glazecalc.errors import Notice
from glazecalc.workshop.steps import at_the_scale

__all__ = ("Action", "Mend", "MendLine", "WeighedMaterial")

Action = Literal["on-recipe", "add", "start-over"]


@dataclass(frozen=True, slots=True)
class WeighedMaterial:
    """A material and a weight of it."""

    material: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MendLine:
    """One material: in the bucket now, in the batch as planned and as mended, by the recipe in the mended batch, to be added (unrounded) [g].

    `step_g` is the step of the scale; `is_over` is true where more is in the bucket than was planned, beyond what weighing may be
    off; `is_below_step` where less is to be added than a step; `moisture_percent` is the water in the bag [% of the dry weight].
    """

    JSON: ClassVar[tuple[str, ...]] = (
        "material", "name", "in_bucket_g=weighed_g", "planned_g", "final_g", "add_g", "over=is_over", "fine_scale",
    )  # fmt: skip
    material: str
    name: str
    weighed_g: float
    planned_g: float
    final_g: float
    due_g: float
    add_g: float
    step_g: float | None = None
    is_over: bool = False
    is_below_step: bool = False
    moisture_percent: float = 0.0

    @property
    def weigh_g(self) -> float:
        """What to weigh in [g]: `add_g` with the water of the bag, to the step of the scale or its true weight where it takes a fine scale."""
        return at_the_scale(self.add_g * (1 + self.moisture_percent / 100), self.step_g)[0]

    @property
    def then_g(self) -> float:
        """What is in the bucket once it is weighed in, dry [g]."""
        return self.weighed_g + self.weigh_g / (1 + self.moisture_percent / 100)

    @property
    def fine_scale(self) -> bool:
        """True where the step would lose the addition, or move it too far."""
        return at_the_scale(self.add_g * (1 + self.moisture_percent / 100), self.step_g)[1]


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Mend(Tabular):
    """How a batch comes back to its recipe.

    Attributes
    ----------
    action : str
        ``"on-recipe"`` (nothing to add), ``"add"`` or ``"start-over"``; `advice` says it in plain words.
    foreign : tuple of WeighedMaterial
        What went in and is not in the recipe; nothing brings such a batch back.
    scoop_off, then_weigh : tuple of WeighedMaterial
        Of a batch to start again: what is foreign or over, and what to weigh if that still lies unmixed and is scooped off.
    planned_g, restored_g : float or None
        Dry weight of the batch as planned, and as mended before rounding [g]; `restored_g` is None where nothing restores it.
    asked_g : float or None
        `planned_g` where it was given; else `planned_g` is the smallest batch that restores the recipe.
    step_g, step_from : float or None, str or None
        The step of the scale that the weights may be off by half of, ``"given"`` or read from them (``"weights"``): all are whole multiples.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "material": "", "name": "", "in_bucket_g=weighed_g": "g", "planned_g": "g", "final_g": "g", "add_g": "g", "weigh_g": "g", "over=is_over": "",
        "fine_scale": "",
    }  # fmt: skip
    PAGE: ClassVar[str] = "mend"
    JSON: ClassVar[tuple[str, ...]] = (
        "action", "advice", "add=additions", "dry_mass_g", "planned_g", "restored_g", "weighed_g", "lines", "foreign",
        "scoop_off", "then_weigh", "step_g", "step_from", "notices",
    )  # fmt: skip
    action: Action
    advice: str
    lines: tuple[MendLine, ...]
    foreign: tuple[WeighedMaterial, ...]
    planned_g: float
    asked_g: float | None
    restored_g: float | None
    scoop_off: tuple[WeighedMaterial, ...] = ()
    then_weigh: tuple[WeighedMaterial, ...] = ()
    recipe: str = ""
    step_g: float | None = None
    step_from: Literal["given", "weights"] | None = None
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        return f"<Mend {self.recipe!r}: {self.action}>"

    @property
    def additions(self) -> tuple[WeighedMaterial, ...]:
        """What to weigh in, to the step of the scale, largest first; nothing where the batch is to be started again."""
        adding = [x for x in self.lines if x.add_g > 0] if self.action == "add" else []
        return tuple(WeighedMaterial(x.material, x.name, x.weigh_g) for x in sorted(adding, key=lambda x: -x.weigh_g))

    @property
    def weighed_g(self) -> float:
        """What is in the bucket now of the recipe's materials, dry [g]."""
        return math.fsum(line.weighed_g for line in self.lines)

    @property
    def dry_mass_g(self) -> float | None:
        """Dry weight of the batch as it will be, with rounded additions [g]; None where it is to be started again."""
        if self.action == "start-over":
            return None
        return math.fsum(line.then_g for line in self.lines)
