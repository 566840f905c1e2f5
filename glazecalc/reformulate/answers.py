"""What a reformulation returns: answers with their lines, deviations, and what could not be met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from glazecalc.convention import Convention
from glazecalc.convert.unity import UnityFormula
from glazecalc.errors import Notice
from glazecalc.recipe import Recipe

__all__ = ("Answer", "Effect", "Help", "Kept", "Line", "Outcome", "Unmet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line to weigh: `parts` on the recipe's own scale (its base total, or grams); `before` is what the recipe had."""

    material: str
    name: str
    parts: float
    addition: bool = False
    before: float = 0.0

    def to_dict(self) -> dict[str, Any]:
        """Return the line for JSON."""
        role = "addition" if self.addition else "base"
        return {
            "material": self.material,
            "name": self.name,
            "parts": self.parts,
            "role": role,
            "parts_before": self.before,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was to be held: `label`, the wanted ends, what is reached, and by how much it misses [mol per mol of flux]."""

    label: str
    low: float
    high: float
    reached: float
    deviation: float

    def to_dict(self) -> dict[str, Any]:
        """Return the figures for JSON."""
        ends = self.low if self.low == self.high else [self.low, self.high]
        return {"oxides": self.label, "target": ends, "reached": self.reached, "deviation": self.deviation}


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """A calculated property before and after; `before` is None where the target has no batch."""

    quantity: str
    model: str
    unit: str
    before: float | None
    after: float
    in_window: bool

    def to_dict(self) -> dict[str, Any]:
        """Return the figures for JSON."""
        change = None if self.before is None else self.after - self.before
        return {
            "quantity": self.quantity, "model": self.model, "unit": self.unit, "before": self.before, "after": self.after, "change": change,
            "in_window": self.in_window,
        }  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One batch.

    Attributes
    ----------
    recipe : Recipe
        The batch as a recipe.
    lines : tuple of Line
    unity : UnityFormula
        Its unity formula, computed from `recipe` afresh.
    deviation : Mapping
        Oxide -> moles by which it misses the target, negative when short; 0 inside a range.
    kept : tuple of Kept
        The held terms.
    score : float
        Weighted deviation [tolerances].
    within_tolerance : bool
        True where every term misses by no more than its tolerance.
    within_spread : bool or None
        True where the unity formula lies within what the analyses of the old batch leave open; None without an old batch.
    beyond_spread : tuple of str
        The oxides that do not.
    base_total, additions_total, total : float
        Sums of the lines; `total` is all-in.
    loss_percent : float
        Loss on ignition, wt % of the base.
    raw_clay_percent : float
        Clay that still holds its combined water, wt % all-in.
    cost, cost_before : float or None
        Price of one kilogram of the dry batch, where prices are known for all of it.
    effects : tuple of Effect
        Estimates, before and after.
    new_cautions, vanished_cautions : tuple of str
        What a check says now and did not, and the other way round.
    gap : float
        By how much a better batch is not excluded [tolerances].
    stopped : bool
        True where the time limit ended the search.
    notices : tuple of Notice
    """

    recipe: Recipe
    lines: tuple[Line, ...]
    unity: UnityFormula
    deviation: Mapping[str, float]
    kept: tuple[Kept, ...] = ()
    score: float
    within_tolerance: bool
    base_total: float
    additions_total: float
    loss_percent: float
    raw_clay_percent: float
    within_spread: bool | None = None
    beyond_spread: tuple[str, ...] = ()
    cost: float | None = None
    cost_before: float | None = None
    effects: tuple[Effect, ...] = ()
    new_cautions: tuple[str, ...] = ()
    vanished_cautions: tuple[str, ...] = ()
    gap: float = 0.0
    stopped: bool = False
    notices: tuple[Notice, ...] = ()

    @property
    def total(self) -> float:
        """All lines together."""
        return self.base_total + self.additions_total

    def to_dict(self) -> dict[str, Any]:
        """Return the answer with the keys of the JSON contract."""
        return {
            "lines": [line.to_dict() for line in self.lines],
            "unity": dict(self.unity),
            "deviation": dict(self.deviation),
            "kept": [kept.to_dict() for kept in self.kept],
            "score": self.score,
            "within_tolerance": self.within_tolerance,
            "within_spread": self.within_spread,
            "beyond_spread": list(self.beyond_spread),
            "total": self.total,
            "base_total": self.base_total,
            "additions_total": self.additions_total,
            "loi_percent_base": self.loss_percent,
            "raw_clay_percent": self.raw_clay_percent,
            "cost": self.cost,
            "cost_before": self.cost_before,
            "effects": [effect.to_dict() for effect in self.effects],
            "new_cautions": list(self.new_cautions),
            "vanished_cautions": list(self.vanished_cautions),
            "gap": self.gap,
            "stopped": self.stopped,
            "notices": [{"code": notice.code, "message": notice.message} for notice in self.notices],
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmet:
    """An oxide (or sum) that the best batch misses.

    Attributes
    ----------
    oxide : str
    shortfall : float
        Target less what is reached [mol per mol of flux]: positive when short, negative when there is too much.
    why : str
    """

    oxide: str
    shortfall: float
    why: str

    def to_dict(self) -> dict[str, Any]:
        """Return it with the keys of the JSON contract."""
        return {"oxide": self.oxide, "shortfall": self.shortfall, "why": self.why}


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """A material that is not at hand, and what the deviation would be with it [tolerances]."""

    material: str
    name: str
    score_before: float
    score_after: float

    def to_dict(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {
            "material": self.material,
            "name": self.name,
            "score_before": self.score_before,
            "score_after": self.score_after,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Answers, best first, and what the best one cannot meet.

    Attributes
    ----------
    answers : tuple of Answer
        Empty where no batch has a unity formula or meets the conditions.
    unmet : tuple of Unmet
        For the best answer; empty where all that was asked for is met.
    helps : tuple of Help
        Single materials that would help most, best first.
    target : Mapping
        Oxide -> moles wanted, where that is one number.
    wanted : Mapping
        All that the target names: oxide, sum or ratio -> lowest and highest.
    convention : Convention
    notices : tuple of Notice
    """

    answers: tuple[Answer, ...]
    unmet: tuple[Unmet, ...] = ()
    helps: tuple[Help, ...] = ()
    target: Mapping[str, float] = field(default_factory=dict)
    wanted: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    convention: Convention
    notices: tuple[Notice, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the outcome with the keys of the JSON contract."""
        return {
            "answers": [answer.to_dict() for answer in self.answers],
            "unmet": [unmet.to_dict() for unmet in self.unmet],
            "helps": [entry.to_dict() for entry in self.helps],
            "target": {label: low if low == high else [low, high] for label, (low, high) in self.wanted.items()},
            "convention": self.convention.to_dict(),
            "notices": [{"code": notice.code, "message": notice.message} for notice in self.notices],
        }
