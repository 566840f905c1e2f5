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
from glazecalc.convert.moles import basis_of, moles_of
from glazecalc.errors import CompositionError
from glazecalc.estimate.expansion import expansions
from glazecalc.estimate.glass_points import softening_temperatures
from glazecalc.material import Material
from glazecalc.optimise.goals import tolerance_of
from glazecalc.optimise.linear import Row, solve
from glazecalc.oxides import AXIS, INDEX
from glazecalc.reformulate.wishes import Wish
from glazecalc.target import check_label

__all__ = ("Bench", "Goal", "bench_of", "estimate_of", "goal_of", "least_moves", "moles_before")

Floats = NDArray[np.float64]
_MISS_WEIGHT = 1000.0  # parts that one tolerance of a missed wish costs: wishes come first, small moves second
_NEW_LINE = 0.5  # parts that a line costs which the recipe did not have, per part of it
_ROUNDS = 40
_CLOSE = {"expansion": 1e-4, "softening": 0.01}
_SCALES = {"expansion": 0.02, "softening": 2.0}  # what one tolerance of a missed estimate is
_REACH = 12.0  # parts per 100 that a line may move in the first round
_LEAST_FLUX = 0.3  # share of the flux that stays at least: without it a wish too large ends in a batch of clay


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The base lines that may move, and how moles follow from their parts: ``fixed + parts @ columns``.

    Attributes
    ----------
    materials : tuple of Material
    start : array (m,)
        Parts before.
    columns : array (m, k)
        Moles that one part brings.
    fixed : array (k,)
        Moles of the lines that stay.
    basis : boolean array (k,)
        The fluxes.
    """

    materials: tuple[Material, ...]
    start: Floats
    columns: Floats
    fixed: Floats
    basis: NDArray[np.bool_]

    def moles(self, parts: Floats) -> Floats:
        """Return the moles (k,) of the whole batch."""
        result: Floats = self.fixed + parts @ self.columns
        return result


def moles_before(batch: Batch, convention: Convention) -> Floats:
    """Return the moles (k,) of a whole batch, iron in the convention's form."""
    result: Floats = np.array(batch.parts) @ moles_of(batch.materials, convention)
    return result


def bench_of(batch: Batch, new: Sequence[Material], convention: Convention) -> Bench:
    """Return the bench of a batch; additions and colourants stay, materials of `new` start from nothing."""
    moving = [
        i
        for i, (m, added) in enumerate(zip(batch.materials, batch.addition, strict=True))
        if not added and m.kind != "colourant"
    ]
    if not moving:
        raise CompositionError("every line of the base is a colourant: there is nothing to move.")
    rest = [i for i in range(len(batch.parts)) if i not in moving]
    fixed = (
        np.array([batch.parts[i] for i in rest]) @ moles_of([batch.materials[i] for i in rest], convention)
        if rest
        else np.zeros(len(AXIS))
    )
    chosen = (*[batch.materials[i] for i in moving], *new)
    start = np.array([*[batch.parts[i] for i in moving], *[0.0] * len(new)])
    return Bench(
        materials=chosen, start=start, columns=moles_of(chosen, convention), fixed=fixed, basis=basis_of(convention)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal: linear, ``coefficients . moles = 0``, or an estimate, ``value(moles) = wanted``; a miss of `scale` is one tolerance."""

    wanted: float
    scale: float
    coefficients: Floats | None = None
    value: Callable[[Floats], float] | None = None
    close: float = 0.0


def goal_of(wish: Wish, before: Floats, convention: Convention, model: str) -> Goal:
    """Return the goal of a wish, given the moles `before` (k,).

    Raises
    ------
    CompositionError
        Where the wish makes no sense for this batch.
    """
    basis = basis_of(convention).astype(np.float64)
    flux = float(before @ basis)
    if wish.kind in ("expansion", "softening"):
        value = estimate_of(wish.kind, model, convention)
        now = value(before)
        if not math.isfinite(now):
            raise CompositionError(f"'{wish.text}': the model gives no number for this glaze.")
        return Goal(wanted=wish.wanted(now), scale=_SCALES[wish.kind], value=value, close=_CLOSE[wish.kind])
    if wish.kind == "ratio":
        silica, alumina = before[INDEX["SiO2"]], before[INDEX["Al2O3"]]
        if alumina <= 0:
            raise CompositionError(f"'{wish.text}': the recipe has no alumina, so no ratio.")
        row = np.zeros(len(AXIS))
        row[INDEX["SiO2"]], row[INDEX["Al2O3"]] = 1.0, -wish.wanted(silica / alumina)
        return Goal(wanted=0.0, scale=0.05 * flux, coefficients=row)
    oxides = check_label(wish.name)
    row = np.zeros(len(AXIS))
    row[[INDEX[oxide] for oxide in oxides]] = 1.0
    wanted = wish.wanted(float(row @ before) / flux)
    if wanted < 0:
        raise CompositionError(f"'{wish.text}' asks for {wanted:.2f} of {wish.name}; it cannot fall below zero.")
    return Goal(
        wanted=0.0, scale=min(tolerance_of(oxide) for oxide in oxides) * flux, coefficients=row - wanted * basis
    )


def estimate_of(kind: str, model: str, convention: Convention) -> Callable[[Floats], float]:
    """Return the function from moles (k,) to the estimate: expansion [1e-6 per K] by `model`, or softening temperature [deg C]."""

    def value(moles: Floats) -> float:
        row = (
            arrays.fold_iron(moles[None, :], INDEX["Fe2O3"], INDEX["FeO"]) if convention.iron_as_feo else moles[None, :]
        )
        percent = arrays.shares_percent(row)
        if kind == "softening":
            return float(softening_temperatures(percent)[0])
        span = (20.0, 400.0) if model == "appen" else (20.0, 300.0)
        return float(expansions(percent, temperature_range_c=span, model=model)[0])

    return value


def least_moves(bench: Bench, goals: Sequence[Goal], still: set[str], given: Mapping[str, float]) -> tuple[Floats, int]:
    """Return the parts (m,) of least moves that meet `goals`, or miss them least, and how many linear problems it took.

    `still` names lines that must not move, `given` lines with their parts. Each round takes the estimates as straight lines
    around the last batch; steps are halved where that does not help; the first batch that no round betters is returned.
    """
    parts, reach = bench.start, _REACH * max(1.0, float(bench.start.sum())) / 100.0
    curved = [goal for goal in goals if goal.value is not None]
    best: tuple[float, Floats] | None = None
    nearest = np.inf  # the least sum of moves among batches that meet every curved goal
    for count in range(1, _ROUNDS + 1):
        step = _step(bench, goals, parts, reach if curved else np.inf, still, given)
        if step is None:
            break
        miss = _miss(bench, goals, step)
        near = all(abs(g.value(bench.moles(step)) - g.wanted) <= g.close for g in curved if g.value is not None)
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


def _miss(bench: Bench, goals: Sequence[Goal], parts: Floats) -> float:
    moles = bench.moles(parts)
    total = 0.0
    for goal in goals:
        value = (
            goal.value(moles)
            if goal.value is not None
            else float(goal.coefficients @ moles)
            if goal.coefficients is not None
            else 0.0
        )
        total += abs(value - goal.wanted) / goal.scale
    return total


def _step(
    bench: Bench, goals: Sequence[Goal], around: Floats, reach: float, still: set[str], given: Mapping[str, float]
) -> Floats | None:
    """Return the parts of the linear problem around `around`: least moves from the start, wishes first."""
    m, w = len(bench.start), len(goals)
    width = 3 * m + 2 * w  # parts, moves up, moves down, misses up, misses down
    rows = []
    total = np.zeros(width)
    total[:m] = 1.0
    rows.append(Row(coefficients=total, low=float(bench.start.sum()), high=float(bench.start.sum())))
    flux = np.zeros(width)
    flux[:m] = bench.columns[:, bench.basis].sum(axis=1)
    rows.append(Row(coefficients=flux, low=_LEAST_FLUX * float(flux[:m] @ bench.start)))
    for j, material in enumerate(bench.materials):
        line = np.zeros(width)
        line[j], line[m + j], line[2 * m + j] = 1.0, -1.0, 1.0
        rows.append(Row(coefficients=line, low=float(bench.start[j]), high=float(bench.start[j])))
        stop = np.zeros(width)
        stop[j] = 1.0
        if material.id in given or material.id in still:
            fixed = given.get(material.id, float(bench.start[j]))
            rows.append(Row(coefficients=stop, low=fixed, high=fixed))
        elif np.isfinite(reach):
            rows.append(Row(coefficients=stop, low=max(0.0, float(around[j]) - reach), high=float(around[j]) + reach))
    moles = bench.moles(around)
    for i, goal in enumerate(goals):
        line = np.zeros(width)
        if goal.coefficients is not None:
            line[:m] = bench.columns @ goal.coefficients / goal.scale
            wanted = -float(goal.coefficients @ bench.fixed) / goal.scale
        elif goal.value is not None:
            slope = _slope(goal.value, bench, around)
            line[:m] = slope / goal.scale
            wanted = (goal.wanted - goal.value(moles) + float(slope @ around)) / goal.scale
        else:
            continue
        line[3 * m + i], line[3 * m + w + i] = -1.0, 1.0
        rows.append(Row(coefficients=line, low=wanted, high=wanted))
    dearer = np.where(bench.start > 0, 1.0, 1.0 + _NEW_LINE)
    found = solve(np.concatenate([np.zeros(m), dearer, np.ones(m), np.full(2 * w, _MISS_WEIGHT)]), rows)
    return None if found is None else np.where(found.x[:m] > 1e-9, found.x[:m], 0.0)


def _slope(value: Callable[[Floats], float], bench: Bench, around: Floats) -> Floats:
    width = 1e-4 * max(1.0, float(around.sum()))
    slopes = []
    for j in range(len(around)):
        ahead, back = around.copy(), around.copy()
        ahead[j] += width
        back[j] = max(0.0, back[j] - width)
        slopes.append((value(bench.moles(ahead)) - value(bench.moles(back))) / float(ahead[j] - back[j]))
    return np.array(slopes)
