"""The search for batches: least weighted deviation over the materials at hand, structurally different ones, whole parts.

Parts are scaled so that the fluxes sum to one. The unity formula is then linear in the parts, and so is every deviation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glazecalc.errors import OutOfTimeError
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import Goals
from glazecalc.optimise.linear import Block, Program

__all__ = (
    "Cut",
    "Fit",
    "Problem",
    "Shape",
    "Sources",
    "deviation_of",
    "fit",
    "least_deviation",
    "polished",
    "proven_least",
    "reach",
    "relaxed",
    "to_step",
    "value_of",
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Counts = NDArray[np.int64]
_NEGLIGIBLE = 1e-7  # parts per unity batch (some hundreds): the solver's own noise
_TIE = 1e-9
_MOST_ROUNDS = 200
_HUNDRED = 100.0  # parts: the usual size of a line on the unity scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """What each of m materials brings, and what it costs to use it.

    One part of each brings `moles` (m, k); of them `rider` (k,) rides along with each base part: fixed lines and additions.
    Lines `in_base` (m,) count to the base total. Materials that are `familiar` (m,), as the recipe has them, cost nothing
    extra; any other costs the `line_charge` [tolerances]. `side_cost` (m,) is a second aim: what one part costs [tolerances].
    Where several batches are as good, the parts stay near `start` (m,), scaled to fluxes of one.
    """

    moles: Floats
    rider: Floats
    in_base: Flags
    familiar: Flags
    start: Floats | None = None
    line_charge: float = 0.0
    side_cost: Floats

    @property
    def own_moles(self) -> Floats:
        """The moles that each material brings by itself, (m, k)."""
        return self.moles - self.in_base[:, None] * self.rider


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How the batch may look. Shares are of the base total [0-1].

    A line that is used lies between `least_share` and `most_share` (m,); those of `must` (m,) are used. A row of `share_rows`
    (materials (m,), low, high) holds several together. A unity batch of this target weighs about `usual_mass` [parts], and
    never more than `mass_limit`.
    """

    least_share: Floats
    most_share: Floats
    must: Flags
    share_rows: tuple[tuple[Flags, float, float], ...] = ()
    most_lines: int | None = None
    usual_mass: float
    mass_limit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What an earlier answer was: of the materials `used` and those `left` out no more than `most` may be so again."""

    used: frozenset[int]
    left: frozenset[int] = frozenset()
    most: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What may be used, what is to be met, how the batch may look, and how long to search.

    `cuts` say what earlier answers were. `two_changes` asks for a batch that differs from the recipe by two materials at
    least, come or gone. The search ends when nothing better by more than `slack` [tolerances] and a tenth can exist; 0
    searches to the end.
    """

    sources: Sources
    goals: Goals
    shape: Shape
    cuts: tuple[Cut, ...] = ()
    two_changes: bool = False
    time_limit_s: float = 5.0
    slack: float = 0.0

    @property
    def size(self) -> int:
        """The number of materials."""
        return len(self.sources.moles)

    @property
    def flux(self) -> Floats:
        """The moles of flux that one part of each material brings, (m,)."""
        result: Floats = self.sources.moles[:, self.goals.basis].sum(axis=1)
        return result

    def of(self, chosen: Sequence[int]) -> Problem:
        """Return the same problem over these materials alone; what earlier answers were does not count in it."""
        at, sources, shape = np.array(chosen, dtype=np.int64), self.sources, self.shape
        return replace(
            self,
            cuts=(),
            two_changes=False,
            sources=replace(
                sources,
                moles=sources.moles[at],
                in_base=sources.in_base[at],
                familiar=sources.familiar[at],
                start=None if sources.start is None else sources.start[at],
                side_cost=sources.side_cost[at],
            ),
            shape=replace(
                shape,
                least_share=shape.least_share[at],
                most_share=shape.most_share[at],
                must=shape.must[at],
                share_rows=tuple((which[at], low, high) for which, low, high in shape.share_rows),
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One batch on the unity scale: `parts` (m,) bring one mole of flux.

    A better batch is excluded but for `gap` [tolerances]; `stopped` says that the time limit ended the search.
    """

    parts: Floats
    gap: float = 0.0
    stopped: bool = False

    @property
    def support(self) -> frozenset[int]:
        """The materials that are used."""
        return frozenset(int(i) for i in np.flatnonzero(self.parts > 0))

    def among(self, problem: Problem, chosen: Sequence[int]) -> Fit:
        """Return a batch of ``problem.of(chosen)`` as one of the whole problem."""
        parts = np.zeros(problem.size)
        parts[list(chosen)] = self.parts
        return replace(self, parts=parts)


def _most_parts(problem: Problem) -> Floats:
    # A line grows only while one of its oxides is still wanted, or while it brings the flux that makes the sum one.
    moles, flux = problem.sources.moles, problem.flux
    wanted = np.where(problem.goals.basis, 1.0, problem.goals.wanted())
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(moles > 0, wanted / moles, 0.0)
        by_flux = np.where(flux > 0, 1.0 / flux, np.inf)
    main = np.where(moles >= choice("main_oxide_share") * moles.max(axis=1, keepdims=True), each, 0.0).max(axis=1)
    by_oxides = np.where(main > 0, main, np.inf)
    return np.minimum(np.minimum(by_oxides, by_flux), problem.shape.mass_limit) + 1e-6


def _program(problem: Problem, most: Floats | float = np.inf) -> tuple[Program, Block]:
    """Return the problem of least deviation over the parts, up to `most` (m,) of each, and the block of the parts."""
    sources, goals, shape = problem.sources, problem.goals, problem.shape
    program, size = Program(), len(goals.terms)
    parts = program.block("parts", problem.size, high=most, cost=sources.side_cost, unit=_HUNDRED)
    under = program.block("under", size, cost=goals.weights)
    over = program.block("over", size, cost=goals.weights)
    program.rows("fluxes sum to one", {parts: problem.flux}, equals=1.0)
    if not sources.in_base.all():
        program.rows("additions never outweigh the base", {parts: np.where(sources.in_base, 1.0, -1.0)}, low=0.0)
    lows, highs = [term.low for term in goals.terms], [term.high for term in goals.terms]
    oxides = goals.coefficients @ sources.moles.T
    program.rows("deviations", {parts: oxides, under: np.eye(size), over: -np.eye(size)}, low=lows, high=highs)
    _share_rows(program, parts, problem, at_least=shape.must & (shape.least_share > 0), at_most=shape.most_share < 1.0)
    for chosen, low, high in shape.share_rows:
        together, base = chosen.astype(np.float64), sources.in_base.astype(np.float64)
        if low > 0:
            program.rows("at least so much together", {parts: together - low * base}, low=0.0)
        if high < 1:
            program.rows("at most so much together", {parts: high * base - together}, low=0.0)
    return program, parts


def _share_rows(program: Program, parts: Block, problem: Problem, *, at_least: Flags, at_most: Flags) -> None:
    """Hold the lines `at_least` and `at_most` (m,) to their share of the base."""
    shape, base, one = problem.shape, problem.sources.in_base.astype(np.float64), np.eye(problem.size)
    program.rows("least share", {parts: (one - np.outer(shape.least_share, base))[at_least]}, low=0.0)
    program.rows("most share", {parts: (np.outer(shape.most_share, base) - one)[at_most]}, low=0.0)


def _switched(problem: Problem) -> tuple[Program, tuple[Block, Block]]:
    """Return the mixed-integer problem, and its blocks: the parts, and which materials are used."""
    sources, shape, one = problem.sources, problem.shape, np.eye(problem.size)
    most = _most_parts(problem)
    program, parts = _program(problem, most)
    charge = np.where(sources.familiar, 0.0, sources.line_charge)
    used = program.block("used", problem.size, low=shape.must, high=1.0, cost=charge, whole=True)
    program.rows("only what is used has parts", {parts: -one, used: np.diag(most)}, low=0.0)
    # by the usual mass, which keeps the search quick; the last step takes the true one
    least, some = np.minimum(shape.least_share * shape.usual_mass, most), shape.least_share > 0
    program.rows("what is used has its least parts", {parts: one[some], used: -np.diag(least)[some]}, low=0.0)
    if shape.most_lines is not None:
        program.rows("lines of the base", {used: sources.in_base}, high=shape.most_lines)
    for cut in problem.cuts:
        signs = one[list(cut.used)].sum(axis=0) - one[list(cut.left)].sum(axis=0)
        program.rows("not all of these", {used: signs}, high=cut.most - len(cut.left))
    if problem.two_changes:
        changes = np.where(sources.familiar, -1.0, 1.0)
        program.rows("two come or go", {used: changes}, low=2 - int(sources.familiar.sum()))
    return program, (parts, used)


def _choose(problem: Problem) -> tuple[Flags, float, bool] | None:
    """Return which materials to use, by the mixed-integer problem: (used, gap, stopped), or None."""
    program, (parts, used) = _switched(problem)
    found = program.solve(time_limit_s=problem.time_limit_s, slack=problem.slack)
    if found is None:
        return None
    return (found[used] > 0.5) & (found[parts] > _NEGLIGIBLE), found.gap, found.stopped


def _on(problem: Problem, used: Flags) -> tuple[Program, Block]:
    """Return the problem of least deviation on the materials `used`, each with its least share, and the block of the parts."""
    shape = problem.shape
    program, parts = _program(problem, np.where(used, np.inf, 0.0))
    least = used & (shape.least_share > 0) & ~shape.must
    _share_rows(program, parts, problem, at_least=least, at_most=np.zeros_like(used))
    return program, parts


def _polish(problem: Problem, used: Flags) -> Floats | None:
    """Return the parts of least deviation on the materials `used`; where several are as good, the nearest to the start."""
    start = problem.sources.start
    program, parts = _on(problem, used)
    best = program.solve()
    if best is None:
        return None
    if start is None:
        return best[parts]
    program.settle(best, _TIE * (1.0 + abs(best.value)))
    less, more = (program.block(name, problem.size, cost=1.0, unit=_HUNDRED) for name in ("less", "more"))
    one = np.eye(problem.size)
    program.rows("moves from the start", {parts: one, less: one, more: -one}, equals=start)
    nearest = program.solve()
    return best[parts] if nearest is None else nearest[parts]


def fit(problem: Problem) -> Fit | None:
    """Return the batch of least weighted deviation, or None where no batch meets the conditions."""
    chosen = _choose(problem)
    if chosen is None:
        return None
    used, gap, stopped = chosen
    return polished(problem, _with_familiar(problem, used), gap=gap, stopped=stopped)


def polished(problem: Problem, used: Flags, *, gap: float = 0.0, stopped: bool = False) -> Fit | None:
    """Return the batch of least weighted deviation on the materials `used` (m,), or None where none meets the conditions.

    A line that would print as nothing is left out, where the others meet the conditions without it.
    """
    parts = _polish(problem, used)
    while parts is not None:
        total = float(parts @ problem.sources.in_base)
        little = (parts > _NEGLIGIBLE) & (parts < choice("zero_parts") / _HUNDRED * total)
        little &= problem.sources.in_base & ~problem.shape.must
        fewer = _polish(problem, (parts > _NEGLIGIBLE) & ~little) if little.any() else None
        if fewer is None:
            break
        parts = fewer
    return None if parts is None else Fit(parts=np.where(parts > _NEGLIGIBLE, parts, 0.0), gap=gap, stopped=stopped)


def least_deviation(problem: Problem) -> float | None:
    """Return the least weighted deviation with all materials of the problem used; None where no batch meets the conditions."""
    program, parts = _on(problem, np.ones(problem.size, dtype=np.bool_))
    found = program.solve()
    return None if found is None else problem.goals.weighted(found[parts] @ problem.sources.moles)


def _with_familiar(problem: Problem, used: Flags) -> Flags:
    # the recipe's own materials cost nothing extra: where several batches are as good, its own must be among them
    wide, most_lines = used | problem.sources.familiar, problem.shape.most_lines
    if problem.two_changes and not _changes(problem, wide) >= 2:
        return used
    if most_lines is not None and (wide & problem.sources.in_base).sum() > most_lines:
        return used
    return used if any(_is_cut(wide, cut) for cut in problem.cuts) else wide


def _changes(problem: Problem, used: Flags) -> int:
    return int((used != problem.sources.familiar).sum())


def _is_cut(used: Flags, cut: Cut) -> bool:
    return sum(bool(used[j]) for j in cut.used) + sum(not used[j] for j in cut.left) > cut.most


def deviation_of(problem: Problem, found: Fit) -> float:
    """Return the deviation of a batch [tolerances], held terms in their weight."""
    return problem.goals.weighted(found.parts @ problem.sources.moles)


def proven_least(problem: Problem, *, most_nodes: int) -> float:
    """Return a deviation that no batch of these materials and this many lines can be below, as far as `most_nodes` show."""
    sources = replace(problem.sources, line_charge=0.0, side_cost=np.zeros(problem.size))
    program, _ = _switched(replace(problem, sources=sources, two_changes=False, cuts=()))
    try:
        found = program.solve(time_limit_s=problem.time_limit_s, most_nodes=most_nodes)
    except OutOfTimeError:
        return 0.0
    return 0.0 if found is None else max(0.0, found.value - found.gap)


def value_of(problem: Problem, found: Fit) -> float:
    """Return the whole objective: deviation with held terms in their weight, charges of new lines, second aims."""
    sources = problem.sources
    charges = sources.line_charge * sum(not sources.familiar[j] for j in found.support)
    return deviation_of(problem, found) + charges + float(sources.side_cost @ found.parts)


def relaxed(problem: Problem) -> tuple[float, Floats] | None:
    """Return the least objective with no limit on the number of lines, and the moles (k,) of its batch; None for no batch."""
    program, parts = _program(problem)
    found = program.solve()
    return None if found is None else (found.value, found[parts] @ problem.sources.moles)


def reach(problem: Problem, coefficients: Floats) -> tuple[float, float]:
    """Return the least and the most of ``coefficients . moles`` that any batch of these materials has, by itself."""
    along = problem.sources.moles @ coefficients
    ends = []
    for sign in (1.0, -1.0):
        program = Program()
        parts = program.block("parts", problem.size, high=problem.shape.mass_limit, cost=sign * along)
        program.rows("fluxes sum to one", {parts: problem.flux}, equals=1.0)
        found = program.solve()
        ends.append(np.nan if found is None else sign * found.value)
    return ends[0], ends[1]


def to_step(parts: Floats, problem: Problem, step: float, total: float) -> Floats:
    """Return `parts` (m,), on the recipe's scale, in whole steps [parts].

    The base lines keep their `total` where it is a whole number of steps (the last step otherwise goes missing or over by
    less than half). First every line is rounded with the largest remainders up; then single steps are moved from line to
    line, and a step is tried up or down on an addition, as long as the fit gets better.
    """
    in_base = problem.sources.in_base
    base, on_top = np.flatnonzero((parts > 0) & in_base), np.flatnonzero((parts > 0) & ~in_base)
    counts = np.zeros(len(parts), dtype=np.int64)
    exact = parts / step
    counts[base] = np.floor(exact[base] + 1e-9).astype(np.int64)
    counts[on_top] = np.maximum(1, np.rint(exact[on_top])).astype(np.int64)
    missing = round(total / step) - int(counts[base].sum())
    order = base[np.argsort(-(exact[base] - counts[base]), kind="stable")]
    for i in range(max(0, missing)):
        counts[order[i % len(order)]] += 1
    best = _loss(counts, problem)
    for _ in range(_MOST_ROUNDS):
        swaps = [((int(a), -1), (int(b), 1)) for a in base for b in base if a != b and counts[a] > 0]
        singles = [((int(j), d),) for j in on_top for d in (-1, 1) if counts[j] + d > 0]
        before, start = best, counts
        for trial in (*swaps, *singles):
            changed = start.copy()
            for j, d in trial:
                changed[j] += d
            loss = _loss(changed, problem)
            if loss < best - 1e-12:
                best, counts = loss, changed
        if best == before:
            break
    return counts.astype(np.float64) * step


def _loss(counts: Counts, problem: Problem) -> float:
    moles = counts @ problem.sources.moles
    flux = moles[problem.goals.basis].sum()
    return problem.goals.weighted(moles / flux) if flux > 0 else float("inf")
