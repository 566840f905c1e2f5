"""Least moves of a batch under goals: linear ones exactly, estimates by successive linear programming."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.batch import Batch
from glazecalc.convert.moles import basis_of, folded, moles_of
from glazecalc.convert.unity import MolePercent, named
from glazecalc.errors import CompositionError
from glazecalc.estimate.expansion import ExpansionModel, expansion, expansions, tested_range
from glazecalc.estimate.fitted import TestedRange
from glazecalc.estimate.glass_points import glass_points_of_many, softening_temperature, softening_temperatures
from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import row_of, tolerance_of
from glazecalc.optimise.linear import Program
from glazecalc.reformulate.wishes import Wish
from glazecalc.target import check_label

__all__ = (
    "Bench", "Ends", "Goal", "bench_of", "ends_of", "goal_of", "kept_parts", "least_moves", "moles_in", "pro_rata", "reading_of",
)  # fmt: skip

Floats = NDArray[np.float64]
_ROUNDS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The base lines that may move, and how moles follow from their parts: ``fixed + parts @ columns``.

    `start` (m,) are the parts before, `columns` (m, k) the moles that one part brings, `fixed` (k,) those of the lines that
    stay, `basis` (k,) the fluxes.
    """

    materials: tuple[Material, ...]
    start: Floats
    columns: Floats
    fixed: Floats
    basis: NDArray[np.bool_]

    def moles(self, parts: Floats) -> Floats:
        """Return the moles (k,) of the whole batch."""
        return self.fixed + parts @ self.columns


def pro_rata(bench: Bench, still: set[str], given: Mapping[str, float]) -> Floats | None:
    """Return the parts (m,) where what is given is taken from the other lines pro rata; None where these cannot bear it."""
    held = np.array([m.id in given or m.id in still for m in bench.materials], dtype=np.bool_)
    parts = np.array([given.get(m.id, old) for m, old in zip(bench.materials, bench.start, strict=True)])
    left, others = float(bench.start.sum() - parts[held].sum()), float(bench.start[~held].sum())
    if left <= 0 or others <= 0:
        return None
    return np.where(held, parts, bench.start * left / others)


def moles_in(batch: Batch, convention: Convention) -> Floats:
    """Return the moles (k,) of a whole batch, iron in the convention's form."""
    return np.array([line.parts for line in batch.lines]) @ moles_of(batch.materials, convention)


def bench_of(batch: Batch, new: Sequence[Material], convention: Convention) -> Bench:
    """Return the bench of a batch; additions and colourants stay, materials of `new` start from nothing."""
    moving = [line for line in batch.base if line.material.kind != "colourant"]
    if not moving:
        raise CompositionError("every line of the base is a colourant: there is nothing to move.")
    rest = [line for line in batch.lines if line not in moving]
    chosen = (*(line.material for line in moving), *new)
    return Bench(
        materials=chosen,
        start=np.array([*(line.parts for line in moving), *[0.0] * len(new)]),
        columns=moles_of(chosen, convention),
        fixed=np.array([line.parts for line in rest]) @ moles_of([line.material for line in rest], convention),
        basis=basis_of(convention),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal: ``value(moles) = wanted``; a miss by `scale` is one tolerance.

    With `coefficients` (k,) the value is ``coefficients . moles``; without it is an estimate, a curve, which is met when it
    misses by no more than `close`, and which holds for the compositions that it was `tested` on.
    """

    value: Callable[[Floats], float]
    wanted: float
    scale: float
    coefficients: Floats | None = None
    close: float = 0.0
    tested: TestedRange | None = None

    def slope(self, bench: Bench, around: Floats) -> Floats:
        """Return the change of the value with one part of each line (m,), around these parts."""
        if self.coefficients is not None:
            return bench.columns @ self.coefficients
        width, slopes = 1e-4 * max(1.0, float(around.sum())), []
        for j in range(len(around)):
            ahead, back = around.copy(), around.copy()
            ahead[j] += width
            back[j] = max(0.0, back[j] - width)
            rise = self.value(bench.moles(ahead)) - self.value(bench.moles(back))
            slopes.append(rise / float(ahead[j] - back[j]))
        return np.array(slopes)


def _measure_of(wish: Wish, model: str, convention: Convention) -> Callable[[Floats], float]:
    """Return the function from the moles (k,) of a batch to what the wish is about.

    Expansion by `model` [1e-6 per K], softening temperature [deg C], the ratio SiO2:Al2O3, or an oxide or sum [mol per mol
    of flux]; NaN where there is no such number.
    """
    if wish.kind == "expansion":
        span = (20.0, 400.0) if model == "appen" else (20.0, 300.0)
        return lambda moles: float(expansions(_mole_percent(moles), temperature_range_c=span, model=model)[0])
    if wish.kind == "softening":
        return lambda moles: float(softening_temperatures(_mole_percent(moles))[0])
    above = row_of(["SiO2"] if wish.kind == "ratio" else check_label(wish.name))
    below = row_of(["Al2O3"]) if wish.kind == "ratio" else basis_of(convention).astype(np.float64)

    def share(moles: Floats) -> float:
        under = float(moles @ below)
        return float(moles @ above) / under if under > 0 else math.nan

    return share


def reading_of(wish: Wish, moles: Floats, convention: Convention, model: ExpansionModel) -> float:
    """Return what the wish is about in a batch of these moles (k,); CompositionError where there is no such number."""
    try:
        if wish.kind == "expansion":
            expansion(MolePercent(named(_mole_percent(moles)[0])), model=model)
        if wish.kind == "softening":
            softening_temperature(MolePercent(named(_mole_percent(moles)[0])))
    except CompositionError as error:
        raise CompositionError(f"'{wish.text}': {error.message}", error.hint) from None
    found = _measure_of(wish, model, convention)(moles)
    if not math.isfinite(found):
        lacks = "alumina, so no ratio" if wish.kind == "ratio" else "flux, so no unity formula"
        raise CompositionError(f"'{wish.text}': the recipe has no {lacks}.")
    return found


def _mole_percent(moles: Floats) -> Floats:
    return arrays.shares_percent(folded(moles[None, :]))


def goal_of(wish: Wish, before: Floats, convention: Convention, model: ExpansionModel) -> Goal:
    """Return the goal of a wish, given the moles `before` (k,); raise where it makes no sense for this batch."""
    wanted = wish.wanted(reading_of(wish, before, convention, model))
    if wish.kind in ("expansion", "softening"):
        measure = _measure_of(wish, model, convention)
        tested = tested_range(model) if wish.kind == "expansion" else glass_points_of_many()[1].tested
        scale, close = wish.measure.tolerance, wish.measure.settled_within
        return Goal(value=measure, wanted=wanted, scale=scale, close=close, tested=tested)
    basis = basis_of(convention).astype(np.float64)
    flux = float(before @ basis)
    if wish.kind == "ratio":
        return _linear(row_of(["SiO2"]) - wanted * row_of(["Al2O3"]), wish.measure.tolerance * flux)
    if wanted < 0:
        raise CompositionError(f"'{wish.text}' asks for {wanted:.2f} of {wish.name}; it cannot fall below zero.")
    oxides = check_label(wish.name)
    return _linear(row_of(oxides) - wanted * basis, min(tolerance_of(oxide) for oxide in oxides) * flux)


def _linear(coefficients: Floats, scale: float) -> Goal:
    return Goal(value=lambda moles: float(coefficients @ moles), wanted=0.0, scale=scale, coefficients=coefficients)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """The ends of what the models of the goals were tested on, as far as the start keeps them: ``rows @ moles >= 0`` (n, k).

    `labels` say each with its number.
    """

    labels: tuple[str, ...]
    rows: Floats

    def reached(self, bench: Bench, parts: Floats) -> tuple[str, ...]:
        """Return the labels of the ends at which a batch of these parts stands."""
        moles = folded(bench.moles(parts)[None, :])[0]
        at = self.rows @ moles < 1e-6 * 100.0 * moles.sum()
        return tuple(dict.fromkeys(label for label, near in zip(self.labels, at, strict=True) if near))


def _tested(goals: Sequence[Goal]) -> list[TestedRange]:
    return [goal.tested for goal in goals if goal.tested is not None]


def ends_of(bench: Bench, goals: Sequence[Goal]) -> Ends:
    """Return the ends of the tested ranges of the goals that the start of the bench keeps."""
    moles, labels, rows = folded(bench.moles(bench.start)[None, :])[0], [], []
    ranges = [(tested, limits) for tested in _tested(goals) for limits in (tested.limits, tested.wide)]
    for tested, limits in ranges:
        for name, row, (low, high) in zip(limits, *tested.sums_and_ends(limits), strict=True):
            for word, line in (("at least", 100.0 * row - low), ("at most", high - 100.0 * row)):
                if line @ moles >= 0 and not (word == "at least" and low <= 0):
                    labels.append(f"{name} {word} {low if word == 'at least' else high:g} mol %")
                    rows.append(line)
    return Ends(labels=tuple(labels), rows=np.array(rows).reshape(len(rows), len(moles)))


def least_moves(
    bench: Bench, goals: Sequence[Goal], still: set[str], given: Mapping[str, float], ends: Ends
) -> tuple[Floats, int]:
    """Return the parts (m,) of least moves that meet `goals`, or miss them least, and how many linear problems it took.

    `still` names lines that must not move, `given` lines with their parts; none of the others is emptied, and no batch lies beyond
    the `ends`. Each round takes the estimates as straight lines around the last batch; steps are halved where that does not help;
    the first batch that no round betters is returned.
    """
    curved = [goal for goal in goals if goal.coefficients is None]
    first_reach = choice("first_reach_percent") * max(1.0, float(bench.start.sum())) / 100.0
    parts, reach = bench.start, first_reach if curved else np.inf
    best: tuple[float, Floats] | None = None
    nearest = np.inf  # the least sum of moves among batches that meet every curved goal
    for count in range(1, _ROUNDS + 1):
        step = _step(bench, goals, parts, reach, still, given, ends)
        if step is None:
            break
        moles = bench.moles(step)
        miss = math.fsum(abs(goal.value(moles) - goal.wanted) / goal.scale for goal in goals)
        near = all(abs(goal.value(moles) - goal.wanted) <= goal.close for goal in curved)
        moves = float(np.abs(step - bench.start).sum())
        settled = float(np.abs(step - parts).sum()) < 1e-6
        if near:
            if not curved or moves > nearest - 1e-3:
                return (best[1] if best is not None and moves > nearest else step), count
            best, nearest = (miss, step), moves
        elif not np.isfinite(nearest) and (best is None or miss < best[0] - 1e-9):
            best = (miss, step)
        else:
            reach /= 2.0
        parts = step
        if (settled and not near) or reach < 1e-6:
            break
    return (best[1] if best is not None else bench.start), count


def kept_parts(bench: Bench) -> Floats:
    """Return what each line keeps (m,): a share of what it was, and no less than a line that is weighed."""
    least = choice("least_parts") / 100.0 * float(bench.start.sum())
    kept: Floats = np.minimum(np.maximum(choice("kept_line_share") * bench.start, least), bench.start)
    return kept


def _step(
    bench: Bench,
    goals: Sequence[Goal],
    around: Floats,
    reach: float,
    still: set[str],
    given: Mapping[str, float],
    ends: Ends,
) -> Floats | None:
    """Return the parts of the linear problem around `around`: least moves from the start, wishes first."""
    parts_now = zip(bench.materials, bench.start, around, strict=True)
    fixed = {m.id: given.get(m.id, float(old)) for m, old, _ in parts_now if m.id in given or m.id in still}
    kept = zip(bench.materials, around, kept_parts(bench), strict=True)
    lows = [fixed.get(m.id, max(float(least), now - reach)) for m, now, least in kept]
    highs = [fixed.get(m.id, now + reach) for m, now in zip(bench.materials, around, strict=True)]
    slopes, wanted = _straight(bench, goals, around)
    size, one = len(bench.start), np.eye(len(goals))
    program = Program()
    parts = program.block("parts", size, low=lows, high=highs)
    up = program.block("up", size, cost=np.where(bench.start > 0, 1.0, 1.0 + choice("new_line_cost_parts")))
    down = program.block("down", size, cost=1.0)
    over, under = (program.block(name, len(goals), cost=choice("miss_cost_parts")) for name in ("over", "under"))
    flux = bench.columns[:, bench.basis].sum(axis=1)
    program.rows("the base keeps its total", {parts: np.ones(size)}, equals=bench.start.sum())
    program.rows("some flux stays", {parts: flux}, low=choice("least_flux_share") * float(flux @ bench.start))
    columns, stays = folded(bench.columns), folded(bench.fixed[None, :])[0]
    program.rows("what was tested", {parts: ends.rows @ columns.T}, low=-(ends.rows @ stays))
    farthest = 2.0 * choice("far_percent") / 100.0 * float(bench.start.sum())
    program.rows("a nudge goes no farther", {up: np.ones(size), down: np.ones(size)}, high=farthest)
    program.rows("moves", {parts: np.eye(size), up: -np.eye(size), down: np.eye(size)}, equals=bench.start)
    program.rows("wishes", {parts: slopes, over: -one, under: one}, equals=wanted)
    found = program.solve()
    return None if found is None else np.where(found[parts] > 1e-9, found[parts], 0.0)


def _straight(bench: Bench, goals: Sequence[Goal], around: Floats) -> tuple[Floats, Floats]:
    """Return each goal as a row over the parts (goals, m) and its right side (goals,), in units of its scale."""
    moles = bench.moles(around)
    rows, sides = [], []
    for goal in goals:
        slope = goal.slope(bench, around)
        rows.append(slope / goal.scale)
        sides.append((goal.wanted - goal.value(moles) + float(slope @ around)) / goal.scale)
    return np.array(rows).reshape(len(goals), len(around)), np.array(sides)
