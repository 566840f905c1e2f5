"""From materials at hand and terms to answers: the common part of substitution and matching."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.moles import basis_of, moles_of
from glazecalc.convert.unity import unity_array_of, unity_of
from glazecalc.errors import CompositionError, Notice
from glazecalc.files.shipped import load_data
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.batches import Fit, Problem, best_fits
from glazecalc.optimise.goals import Term
from glazecalc.optimise.whole_parts import to_step
from glazecalc.optimise.why import helps, unmet
from glazecalc.oxides import AXIS, INDEX, molar_mass
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Answer, Kept, Line, Outcome, Unmet
from glazecalc.reformulate.at_hand import general_use

__all__ = ("PREFERENCES", "Limits", "Scene", "search")

Floats = NDArray[np.float64]
PREFERENCES = ("fewest-new", "loss", "cost")
_SMALL_SHELF = 20  # materials up to which the search is carried to a proven best
_SLACK = (
    0.5  # tolerances; on a larger shelf the search ends when nothing better by more than this and a tenth can exist
)
_LITTLE_CLAY_PERCENT = 5.0
_FEWEST_STEPS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How the batch may look.

    Attributes
    ----------
    max_materials : int or None
        At most so many base lines, fixed ones not counted.
    least, most : Mapping
        Material id -> parts per 100 of base.
    clay : tuple of float or None
        Least and most raw clay [parts per 100 of base].
    step : float or None
        Round the parts to this step [parts].
    answers : int
        How many structurally different answers at most.
    prefer : str
        The second aim, one of `PREFERENCES`.
    prices : Mapping
        Material id -> price of one kilogram, in any currency.
    time_limit_s : float
        For the search of all answers together [s].
    """

    max_materials: int | None = None
    least: Mapping[str, float] = field(default_factory=dict)
    most: Mapping[str, float] = field(default_factory=dict)
    clay: tuple[float, float] | None = None
    step: float | None = None
    answers: int = 5
    prefer: str = "fewest-new"
    prices: Mapping[str, float] = field(default_factory=dict)
    time_limit_s: float = 5.0

    def __post_init__(self) -> None:
        if self.prefer not in PREFERENCES:
            raise CompositionError(f"'{self.prefer}' is not a second aim.", f"Known: {', '.join(PREFERENCES)}.")
        if self.answers < 1 or (self.max_materials is not None and self.max_materials < 1):
            raise CompositionError("the number of answers and of materials is 1 or more.")
        if self.step is not None and not (math.isfinite(self.step) and self.step > 0):
            raise CompositionError(f"the step is {self.step}; a positive number of parts was expected.")
        if not (math.isfinite(self.time_limit_s) and self.time_limit_s > 0):
            raise CompositionError(f"the time limit is {self.time_limit_s} s; a positive number was expected.")
        for what, bounds in (("least", self.least), ("most", self.most)):
            for name, value in bounds.items():
                if not 0 <= value <= 100:
                    raise CompositionError(f"the {what} of {name} is {value}; parts per 100 of base were expected.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Everything that a search needs.

    Attributes
    ----------
    name, template : str, Recipe
        Title of the answers, and the recipe whose header they take over.
    library : MaterialLibrary
    materials : tuple of Material
        At hand.
    as_addition : tuple of bool
        Whether each goes on top of the base.
    before : Mapping
        Material id -> parts that the recipe had of it.
    fixed : tuple of (Material, Ingredient, float)
        Lines that keep their number, and that number in the recipe's measure.
    ride : bool
        True where the fixed additions count in the unity formula; False where the target is that of the base alone.
    base_total : float
    unit : str
    terms : tuple of Term
    target : Mapping
        Oxide -> moles wanted, as far as it is one number.
    convention : Convention
    limits : Limits
    ratios : Mapping
        Ratio -> ends, as the target names them.
    banned : frozenset of str
        Ids that must not be used.
    unasked : bool
        True where the materials come from the whole library and nobody named them.
    batch : Batch or None
        The recipe as it was.
    notices : tuple of Notice
    """

    name: str
    template: Recipe
    library: MaterialLibrary
    materials: tuple[Material, ...]
    as_addition: tuple[bool, ...]
    before: Mapping[str, float]
    fixed: tuple[tuple[Material, Ingredient, float], ...]
    ride: bool
    base_total: float
    unit: str
    terms: tuple[Term, ...]
    target: Mapping[str, float]
    convention: Convention
    limits: Limits
    ratios: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    banned: frozenset[str] = frozenset()
    unasked: bool = False
    batch: Batch | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def free_total(self) -> float:
        """The base total without its fixed lines."""
        return self.base_total - math.fsum(amount for _, item, amount in self.fixed if not item.addition)


def search(scene: Scene) -> Outcome:
    """Return the answers of `scene`, best first, with what cannot be met and what would help.

    Raises
    ------
    CompositionError
        Where the fixed lines leave nothing to change.
    """
    if scene.free_total <= 1e-9:
        raise CompositionError("every line of the base is fixed: there is nothing to change.")
    if scene.limits.step is not None and scene.limits.step > scene.free_total / _FEWEST_STEPS:
        raise CompositionError(
            f"a step of {scene.limits.step:g} parts is too coarse for a base of {scene.free_total:g}.",
            "Take a finer step.",
        )
    problem = _problem(scene, scene.materials, scene.as_addition)
    data = load_data("reformulate_tolerances.yaml")
    fits = best_fits(problem, scene.limits.answers, float(data["alternatives_within"]))
    notices = list(scene.notices)
    wanted = {
        term.label: (term.low, term.high)
        for term in scene.terms
        if term.stated and term.high > 0 and ":" not in term.label
    } | dict(scene.ratios)
    if fits and _misses_held(problem, fits[0], float(data["met_within"])):
        problem = replace(problem, hold_factor=min(problem.hold_factor, float(data["hold_factor_impossible"])))
        fits = best_fits(problem, scene.limits.answers, float(data["alternatives_within"]))
    answers = [_answer(scene, problem, found) for found in fits]
    if scene.limits.step is not None:
        answers.sort(key=lambda answer: answer.score)
    if not fits:
        notices.append(_why_nothing(scene, problem))
        return Outcome(
            name=scene.name,
            answers=(),
            unmet=_all_wanted(scene),
            target=scene.target,
            wanted=wanted,
            convention=scene.convention,
            notices=tuple(notices),
        )
    if any(answer.stopped for answer in answers):
        notices.append(
            Notice(
                "search-stopped",
                f"the time limit of {scene.limits.time_limit_s:g} s ended the search: mind the gaps; more answers may exist.",
            )
        )
    missing = unmet(problem, fits[0], [m.name for m in scene.materials], met_within=float(data["met_within"]))

    def widened(more: Material) -> Problem:
        return replace(
            _problem(scene, (*scene.materials, more), (*scene.as_addition, False)), hold_factor=problem.hold_factor
        )

    helpful = helps(problem, fits[0], _others(scene), widened) if missing else ()
    return Outcome(
        name=scene.name,
        answers=tuple(answers),
        unmet=missing,
        helps=helpful,
        target=scene.target,
        wanted=wanted,
        convention=scene.convention,
        notices=tuple(dict.fromkeys(notices)),
    )


def _misses_held(problem: Problem, found: Fit, met_within: float) -> bool:
    moles = found.parts @ problem.moles
    return any(abs(term.deviation(moles)) > met_within for term in problem.terms if term.held)


def _others(scene: Scene) -> list[Material]:
    have = {m.id for m in scene.materials} | scene.banned
    wanted = {oxide for term in scene.terms if term.high > 0 and term.stated for oxide in term.oxides}
    return [m for m in general_use(scene.library, wanted)[0] if m.id not in have]


def _problem(scene: Scene, materials: Sequence[Material], as_addition: Sequence[bool]) -> Problem:
    data = load_data("reformulate_tolerances.yaml")
    limits = scene.limits
    in_base = ~np.array(as_addition, dtype=np.bool_)
    moles = moles_of(materials, scene.convention)
    rider = np.zeros(len(AXIS))
    riders = [(m, amount) for m, item, amount in scene.fixed if scene.ride or not item.addition]
    if riders:
        brought = np.array([amount for _, amount in riders]) @ moles_of([m for m, _ in riders], scene.convention)
        rider = brought / scene.free_total
        moles = moles + in_base[:, None] * rider
    size = len(materials)
    share = scene.free_total / scene.base_total  # ends are per base total, the columns are the free part of it
    familiar = np.array([m.id in scene.before for m in materials], dtype=np.bool_)
    least_new = float(data["least_parts_unasked" if scene.unasked else "least_parts"])
    least = np.array(
        [
            limits.least.get(m.id, 0.0 if known else least_new) / 100.0
            for m, known in zip(materials, familiar, strict=True)
        ]
    )
    most = np.array([limits.most.get(m.id, 100.0) / 100.0 for m in materials])
    must = np.array([m.id in limits.least for m in materials], dtype=np.bool_)
    rows = []
    if limits.clay is not None:
        clay = np.array([m.is_raw_clay and base for m, base in zip(materials, in_base, strict=True)], dtype=np.bool_)
        rows.append((clay, limits.clay[0] / 100.0 / share, limits.clay[1] / 100.0 / share))
    charge = float(data["new_line_charge_unasked" if scene.unasked else "new_line_charge"])
    side = np.zeros(size)
    if limits.prefer == "loss":
        side = charge * np.array([max(0.0, m.loi_percent or 0.0) for m in materials]) / 100.0 / 5.0
    elif limits.prefer == "cost" and limits.prices:
        mean = math.fsum(limits.prices.values()) / len(limits.prices) or 1.0
        side = charge * np.array([limits.prices.get(m.id, mean) for m in materials]) / mean / 20.0
    heaviest = sum(
        max((abs(e) for e in (t.low, t.high) if math.isfinite(e)), default=0.0) * _heaviest_mass(t)
        for t in scene.terms
        if ":" not in t.label
    )
    hold_factor = float(data["hold_factor_unasked" if scene.unasked else "hold_factor"])
    flux = moles[:, basis_of(scene.convention)].sum(axis=1)
    start = None
    if scene.batch is not None:
        before = np.array([scene.before.get(m.id, 0.0) for m in materials])
        per_unity = _flux_moles(scene)
        start = before / per_unity if per_unity > 0 else None
    return Problem(
        moles=moles, basis=basis_of(scene.convention), terms=scene.terms, in_base=in_base, familiar=familiar, start=start,
        least_share=np.minimum(least / share, 1.0), most_share=np.minimum(most / share, 1.0), must=must, share_rows=tuple(rows),
        most_lines=limits.max_materials, line_charge=charge, side_cost=side, hold_factor=hold_factor, rider=rider,
        usual_mass=1.1 * heaviest, mass_limit=4.0 * heaviest + 4.0 / max(float(flux.max()), 1e-6), time_limit_s=limits.time_limit_s,
        slack=0.0 if size <= _SMALL_SHELF else _SLACK,
    )  # fmt: skip


def _heaviest_mass(term: Term) -> float:
    return max(molar_mass(oxide) for oxide in term.oxides)


def _flux_moles(scene: Scene) -> float:
    if scene.batch is None:
        return 0.0
    unity = unity_of(scene.batch, scene.convention, base_only=not scene.ride)
    value = float(np.array([unity.moles.get(oxide, 0.0) for oxide in AXIS])[basis_of(scene.convention)].sum())
    if scene.convention.iron_as_feo and scene.convention.colourants_as_flux:
        value += 2.0 * unity.moles.get("Fe2O3", 0.0)
    return value


def _answer(scene: Scene, problem: Problem, found: Fit) -> Answer:
    factor = scene.free_total / float(found.parts @ problem.in_base)
    parts = found.parts * factor
    if scene.limits.step is not None:
        parts = to_step(parts, problem, scene.limits.step, scene.free_total)
    lines, ingredients = _lines(scene, problem, parts)
    template = scene.template
    recipe = replace(
        template,
        name=scene.name,
        ingredients=tuple(ingredients),
        text="",
        path="",
        notices=(),
        based_on=template.name or template.based_on,
    )
    batch = resolve(recipe, scene.library)
    unity = unity_of(batch, scene.convention, base_only=not scene.ride)
    reached = unity_array_of(unity)
    notices = [*_about_scale(scene, batch), *_about_lines(scene, batch), *_about_stand_ins(scene, reached)]
    prices = scene.limits.prices
    return Answer(
        recipe=recipe, lines=tuple(lines), unity=unity,
        deviation=deviations(scene.terms, reached, scene.target), kept=_kept(scene.terms, reached),
        score=float(sum(abs(t.deviation(reached)) / t.tolerance for t in scene.terms)),
        within_tolerance=all(abs(t.deviation(reached)) <= t.tolerance * (1 + 1e-9) for t in scene.terms),
        base_total=batch.base_total, additions_total=batch.additions_total, loss_percent=batch.loss_percent(base_only=True),
        raw_clay_percent=batch.share_percent(lambda m: m.is_raw_clay),
        cost=_cost({line.material: line.parts for line in lines}, prices), cost_before=_cost(scene.before, prices),
        gap=found.gap, stopped=found.stopped, notices=tuple(notices),
    )  # fmt: skip


def _cost(parts: Mapping[str, float], prices: Mapping[str, float]) -> float | None:
    """Return the price of one kilogram of the batch; None while a price is missing."""
    if not parts or not prices or any(material not in prices for material in parts):
        return None
    return math.fsum(prices[material] * amount for material, amount in parts.items()) / math.fsum(parts.values())


def _lines(scene: Scene, problem: Problem, parts: Floats) -> tuple[list[Line], list[Ingredient]]:
    lines, ingredients = [], []
    for j in sorted(
        np.flatnonzero(parts > 0), key=lambda j: (bool(scene.as_addition[j]), not problem.familiar[j], -parts[j])
    ):
        material, addition = scene.materials[j], scene.as_addition[j]
        lines.append(
            Line(
                material=material.id,
                name=material.name,
                parts=float(parts[j]),
                addition=addition,
                before=scene.before.get(material.id, 0.0),
            )
        )
        ingredients.append(
            Ingredient(material=material.name, amount=float(parts[j]), unit=scene.unit, addition=addition)
        )
    for material, item, amount in scene.fixed:
        lines.append(
            Line(
                material=material.id,
                name=material.name,
                parts=amount,
                addition=item.addition,
                before=scene.before.get(material.id, 0.0),
            )
        )
        ingredients.append(replace(item, material=material.name, line=None))
    order = sorted(range(len(lines)), key=lambda i: lines[i].addition)
    return [lines[i] for i in order], [ingredients[i] for i in order]


def deviations(terms: Sequence[Term], reached: Floats, target: Mapping[str, float]) -> dict[str, float]:
    """Return oxide -> deviation [mol] for every oxide that is wanted or reached."""
    single = {term.oxides[0]: term for term in terms if len(term.oxides) == 1 and ":" not in term.label}

    def one(oxide: str) -> float:
        return (
            single[oxide].deviation(reached)
            if oxide in single
            else float(reached[INDEX[oxide]]) - target.get(oxide, 0.0)
        )

    free = {
        oxide
        for t in terms
        if ":" in t.label or len(t.oxides) > 1
        for oxide in t.oxides
        if oxide not in single and oxide not in target
    }
    asked = [oxide for oxide in AXIS if oxide not in free and (reached[INDEX[oxide]] > 0 or target.get(oxide, 0.0) > 0)]
    return {oxide: one(oxide) for oxide in asked} | {
        t.label: t.deviation(reached) for t in terms if t.stated and (len(t.oxides) > 1 or ":" in t.label)
    }


def _kept(terms: Sequence[Term], reached: Floats) -> tuple[Kept, ...]:
    return tuple(
        Kept(
            label=t.label,
            low=t.low,
            high=t.high,
            reached=float(t.coefficients @ reached),
            deviation=t.deviation(reached),
        )
        for t in terms
        if t.held
    )


def _about_scale(scene: Scene, batch: Batch) -> list[Notice]:
    if not scene.before:
        return [Notice("scaled", f"the parts are scaled to a base of {batch.base_total:g}.")]
    said = [Notice("scaled", f"the parts are scaled to the base total of the recipe, {scene.base_total:g}.")]
    if batch.additions_total > 0 and scene.fixed:
        said.append(
            Notice(
                "additions-kept",
                "additions keep their numbers; the deviation of their oxides follows from the change in loss on ignition.",
            )
        )
    return said


def _about_lines(scene: Scene, batch: Batch) -> list[Notice]:
    said = []
    new = [m for m in batch.materials if m.id not in scene.before]
    soluble = [m.name for m in new if m.is_soluble or m.is_slightly_soluble]
    if soluble and scene.before:
        said.append(Notice("new-soluble", f"new, and soluble in the bucket at least slightly: {', '.join(soluble)}."))
    clay = batch.share_percent(lambda m: m.is_raw_clay)
    before = scene.batch.share_percent(lambda m: m.is_raw_clay) if scene.batch is not None else None
    if clay < _LITTLE_CLAY_PERCENT and (before is None or before >= _LITTLE_CLAY_PERCENT):
        change = f" (before: {before:.0f} %)" if before is not None else ""
        said.append(
            Notice(
                "little-clay",
                f"{clay:.0f} % of raw clay{change}: little to keep the slop in suspension (trade practice).",
            )
        )
    remembered = [m.name for m in new if m.source.from_memory and m.formula is None]
    if remembered:
        said.append(
            Notice(
                "analysis-from-memory",
                f"analyses recalled from memory, check against the bag's own sheet: {', '.join(remembered)}.",
            )
        )
    return said


def _about_stand_ins(scene: Scene, reached: Floats) -> list[Notice]:
    said = []
    for entry in load_data("reformulate_tolerances.yaml")["stand_ins"]:
        short = scene.target.get(entry["oxide"], 0.0) - float(reached[INDEX[entry["oxide"]]])
        over = float(reached[INDEX[entry["by"]]]) - scene.target.get(entry["by"], 0.0)
        if short > 0.005 and over > 0.005:
            said.append(Notice(f"stand-in-{entry['by'].lower()}", str(entry["message"])))
    return said


def _why_nothing(scene: Scene, problem: Problem) -> Notice:
    if not (problem.moles[:, problem.basis].sum(axis=1) > 0).any():
        what = "alumina" if scene.convention.unity_on_alumina else "flux (R2O or RO)"
        return Notice(
            "no-flux", f"none of the materials at hand brings any {what}: no batch of them has a unity formula."
        )
    return Notice(
        "limits-conflict",
        "no batch meets the least and most parts asked for: ease one of them, or allow more materials.",
    )


def _all_wanted(scene: Scene) -> tuple[Unmet, ...]:
    return tuple(
        Unmet(oxide=t.label, shortfall=t.low, why="no batch of the materials at hand meets the conditions.")
        for t in scene.terms
        if t.stated and t.low > 0 and math.isfinite(t.low) and ":" not in t.label
    )
