"""What a reformulation returns: answers with their lines, deviations, and what could not be met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from glazecalc.caution.caution import Caution
from glazecalc.convention import Convention
from glazecalc.convert.batch import BatchLine
from glazecalc.convert.unity import UnityFormula
from glazecalc.display import Tabular
from glazecalc.errors import Notice
from glazecalc.estimate.difference import EstimateDifference
from glazecalc.estimate.result import Estimate
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.optimise.why import Help, Unmet
from glazecalc.recipe import Recipe

__all__ = (
    "LINE_COLUMNS", "Answer", "Effect", "Help", "Kept", "Kind", "Line", "MoreLines", "NumberedLine", "Outcome", "Unmet",
)  # fmt: skip

Kind = Literal["one-for-one", "reworked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line to weigh: `parts` on the recipe's own scale (its base total, or grams); `before` is what the recipe had."""

    JSON: ClassVar[tuple[str, ...]] = ("material", "name", "parts", "addition", "role", "parts_before=before")

    material: str
    name: str
    parts: float
    addition: bool = False
    before: float = 0.0

    @property
    def role(self) -> str:
        """``base`` or ``addition``."""
        return "addition" if self.addition else "base"


LINE_COLUMNS: Mapping[str, str] = FrozenDict(
    {"material": "", "name": "", "role": "", "parts_before=before": "parts", "parts": "parts"}
)
"""The columns of a frame of lines, with their units."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberedLine:
    """A line of an answer, by the place of the answer among the others, the best one first."""

    answer: int
    score: float
    line: Line


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was to be held: `label`, the wanted ends, what is reached, and by how much it misses [mol per mol of flux]."""

    JSON: ClassVar[tuple[str, ...]] = ("oxides=label", "target", "reached", "deviation")

    label: str
    low: float
    high: float
    reached: float
    deviation: float

    @property
    def target(self) -> float | tuple[float, float]:
        """The number that was wanted, or both ends."""
        return self.low if self.low == self.high else (self.low, self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """An estimate after a change, and how it differs from that before; `difference` is None where there is none before."""

    JSON: ClassVar[tuple[str, ...]] = (
        "quantity", "model", "unit", "before", "after", "change", "in_window",
        "low=difference.low", "high=difference.high", "level=difference.level", "direction=difference.direction", "odds=difference.odds",
        "corrected=now.corrected",
    )  # fmt: skip

    now: Estimate
    difference: EstimateDifference | None

    @property
    def quantity(self) -> str:
        """What was estimated."""
        return self.now.quantity

    @property
    def model(self) -> str:
        """By which model."""
        return self.now.model

    @property
    def unit(self) -> str:
        """Of its numbers."""
        return self.now.unit

    @property
    def in_window(self) -> bool:
        """True where the glaze after the change lies in what the model was tested on."""
        return self.now.in_window

    @property
    def after(self) -> float:
        """The value after the change, in the unit of the estimate."""
        return self.now.value

    @property
    def before(self) -> float | None:
        """The value before the change, in the unit of the estimate."""
        return None if self.difference is None else self.difference.first.value

    @property
    def change(self) -> float | None:
        """After minus before."""
        return None if self.difference is None else self.difference.value


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreLines:
    """What a batch of more `lines` than allowed would come to [tolerances], and the ids of the materials that would join."""

    lines: int
    materials: tuple[str, ...]
    score_before: float
    score_after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Tabular):
    """One batch.

    Attributes
    ----------
    kind : str
        ``one-for-one``: one new material enters, none but the named ones leave; else ``reworked``.
    alternatives : tuple of str
        Ids of the new material and of those that serve like it, where there is a choice.
    deviation : Mapping
        Oxide -> moles by which the unity formula misses the target, negative when short; 0 inside a range.
    kept : tuple of Kept
        The held oxides, sums and ratios.
    score, within_tolerance : float, bool
        Weighted deviation [tolerances], and whether nothing misses by more than its own.
    within_spread, beyond_spread : bool or None, tuple of str
        Whether the unity formula lies within what the analyses of the old batch leave open (None without an old batch), and
        the oxides that do not.
    loss_percent, raw_clay_percent : float
        Loss on ignition, wt % of the base; clay that still holds its combined water, wt % all-in.
    cost, cost_before : float or None
        Price of one kilogram of the dry batch, where prices are known for all of it.
    short_g : Mapping
        Material id -> what the shelf lacks for the batch that is to be mixed [g].
    gap, stopped : float, bool
        By how much a closer batch of its kind is not excluded [tolerances], 0 where it is proven that none is; whether the
        time limit ended the search.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = LINE_COLUMNS
    JSON: ClassVar[tuple[str, ...]] = (
        "kind", "lines", "alternatives", "unity", "deviation", "kept", "score", "proven", "within_tolerance", "within_spread", "beyond_spread", "total", "base_total",
        "additions_total", "loi_percent_base=loss_percent", "raw_clay_percent", "cost", "cost_before", "short_g", "effects", "new_cautions",
        "vanished_cautions", "standing_cautions", "gap", "stopped", "notices",
    )  # fmt: skip

    recipe: Recipe
    kind: Kind = "reworked"
    lines: tuple[Line, ...]
    alternatives: tuple[str, ...] = ()
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
    short_g: Mapping[str, float] = field(default_factory=FrozenDict)
    effects: tuple[Effect, ...] = ()
    new_cautions: tuple[Caution, ...] = ()
    vanished_cautions: tuple[Caution, ...] = ()
    standing_cautions: tuple[Caution, ...] = ()
    gap: float = 0.0
    stopped: bool = False
    notices: tuple[Notice, ...] = ()

    @property
    def new(self) -> frozenset[str]:
        """Ids of the materials that the recipe did not have."""
        return frozenset(line.material for line in self.lines if not line.before)

    @property
    def proven(self) -> bool:
        """True where no closer batch of its kind is left."""
        return self.gap == 0 and not self.stopped

    @property
    def total(self) -> float:
        """All lines together."""
        return self.base_total + self.additions_total

    def __repr__(self) -> str:
        return f"<Answer: {len(self.lines)} lines, deviation {self.score:.2f} tolerances>"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome(Tabular):
    """Answers, best first, and what the best one cannot meet; `str` gives the page that the command prints.

    Attributes
    ----------
    answers : tuple of Answer
        Empty where no batch has a unity formula or meets the conditions.
    unmet, helps : tuple of Unmet, tuple of Help
        What the best answer misses, and the single materials that would help most, best first.
    lines_cap, more_lines : int, MoreLines or None
        How many base lines were allowed, and what one more would bring, where it would.
    target, wanted : Mapping
        Oxide -> moles wanted, where that is one number; oxide, sum or ratio -> lowest and highest, for all that is named.
    before : tuple of BatchLine
        The lines of the recipe as it was; empty where a target has none.
    names : Mapping
        Id -> name of the materials that the answers speak of.
    materials : tuple of Material
        Those of the recipe as it was and of the answers, each once.
    """

    ROWS: ClassVar[str] = "numbered_lines"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "answer": "", "score": "tolerances", "material=line.material": "", "name=line.name": "", "role=line.role": "",
        "parts_before=line.before": "parts", "parts=line.parts": "parts",
    }  # fmt: skip
    PAGE: ClassVar[str] = "reformulate"
    JSON: ClassVar[tuple[str, ...]] = (
        "answers",
        "unmet",
        "helps",
        "lines_cap",
        "more_lines",
        "target=asked",
        "convention",
        "notices",
    )

    name: str
    answers: tuple[Answer, ...]
    unmet: tuple[Unmet, ...] = ()
    helps: tuple[Help, ...] = ()
    lines_cap: int
    more_lines: MoreLines | None = None
    target: Mapping[str, float] = field(default_factory=FrozenDict)
    wanted: Mapping[str, tuple[float, float]] = field(default_factory=FrozenDict)
    convention: Convention
    before: tuple[BatchLine, ...] = ()
    names: Mapping[str, str] = field(default_factory=FrozenDict)
    materials: tuple[Material, ...] = ()
    notices: tuple[Notice, ...] = ()

    @property
    def asked(self) -> dict[str, float | tuple[float, float]]:
        """What the target names: label -> the number that is wanted, or both ends."""
        return {label: low if low == high else (low, high) for label, (low, high) in self.wanted.items()}

    @property
    def numbered_lines(self) -> tuple[NumberedLine, ...]:
        """The lines of every answer, for a frame."""
        return tuple(
            NumberedLine(answer=place, score=answer.score, line=line)
            for place, answer in enumerate(self.answers, start=1)
            for line in answer.lines
        )

    def __repr__(self) -> str:
        best = f", the best {self.answers[0].score:.2f} tolerances off" if self.answers else ""
        return f"<Outcome of {self.name}: {len(self.answers)} answers{best}>"
