"""The one seam to the solver: linear problems in named blocks, some columns whole numbers, solved the same way every time.

`highspy` is called on values of its own, so that nothing is kept between calls and searches may run in threads side by side.
(The HiGHS inside scipy 1.17 prints a line of its own now and then, whatever it is told; that is why it is not used.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import highspy
import numpy as np
from numpy.typing import ArrayLike, NDArray

from glazecalc.errors import GlazeError, OutOfTimeError

__all__ = ("Block", "Program", "Solution")

Floats = NDArray[np.float64]
_SHARE = 0.1  # of the objective
_LOW, _HIGH, _COST, _UNIT, _WHOLE = range(5)


class _Quiet(highspy.Highs):
    def enableCallbacks(self) -> None:  # noqa: N802
        """Take no callbacks: none is used, and HiGHS 1.16 prints its banner as it takes them, before any option is set."""


@dataclass(frozen=True, slots=True)
class Block:
    """Variables that belong together: `size` columns of the program from `start` on."""

    name: str
    start: int
    size: int

    @property
    def columns(self) -> slice:
        """Where they stand."""
        return slice(self.start, self.start + self.size)


@dataclass(frozen=True, slots=True)
class Solution:
    """What the solver found; ``solution[block]`` are the numbers of a block, `value` is the objective.

    It may still lie above the best by `gap` (0 where it is proven); `stopped` says that the time limit ended the search.
    """

    x: Floats
    value: float
    gap: float = 0.0
    stopped: bool = False

    def __getitem__(self, block: Block) -> Floats:
        return self.x[block.columns]


@dataclass(slots=True)
class Program:
    """A linear problem being written: blocks of variables, rows over them, and the least of their cost is sought."""

    _columns: Floats = field(default_factory=lambda: np.empty((5, 0)))  # low, high, cost, unit, whole
    _rows: list[tuple[Mapping[Block, Floats], Floats, Floats]] = field(default_factory=list)

    def block(
        self,
        name: str,
        size: int,
        *,
        low: ArrayLike = 0.0,
        high: ArrayLike = np.inf,
        cost: ArrayLike = 0.0,
        unit: float = 1.0,
        whole: bool = False,
    ) -> Block:
        """Add `size` variables with their ends and costs, each a number or (size,); `whole` for whole numbers only.

        `unit` is a usual size of the variables, so that the solver works with numbers near one.
        """
        block = Block(name, self._columns.shape[1], size)
        added = [np.broadcast_to(np.asarray(given, dtype=np.float64), size) for given in (low, high, cost, unit, whole)]
        self._columns = np.hstack([self._columns, added])
        return block

    def rows(
        self,
        name: str,
        terms: Mapping[Block, ArrayLike],
        *,
        low: ArrayLike = -np.inf,
        high: ArrayLike = np.inf,
        equals: ArrayLike | None = None,
    ) -> None:
        """Add conditions ``low <= sum of coefficients . block <= high``; `equals` stands for both ends.

        Coefficients are (size,) for one row or (rows, size) for several, ends a number or (rows,). `name` says what they mean.
        """
        coefficients = {block: np.atleast_2d(np.asarray(given, dtype=np.float64)) for block, given in terms.items()}
        count = len(next(iter(coefficients.values())))
        for block, given in coefficients.items():
            if given.shape != (count, block.size):
                raise ValueError(f"rows '{name}': {block.name} has {given.shape}, not {(count, block.size)}.")
        ends = (low, high) if equals is None else (equals, equals)
        lows, highs = (np.broadcast_to(np.asarray(end, dtype=np.float64), count) for end in ends)
        self._rows.append((coefficients, lows, highs))

    def settle(self, found: Solution, within: float) -> None:
        """Turn the cost so far into a condition: no worse than `found` by more than `within`. What costs is said anew."""
        everything = Block("all so far", 0, self._columns.shape[1])
        self.rows("as good as found", {everything: self._columns[_COST].copy()}, high=found.value + within)
        self._columns[_COST] = 0.0

    def solve(self, *, time_limit_s: float = 5.0, slack: float = 0.0, most_nodes: int | None = None) -> Solution | None:
        """Return the numbers of least cost, or None where no numbers meet the rows.

        Only a search that is stopped by `time_limit_s` depends on the machine. With `slack` it ends when nothing better by
        more than this, and a tenth of the objective, can exist; with `most_nodes` after so many nodes of its tree, if it has
        an answer by then. Raise OutOfTimeError where no answer is found in time.
        """
        highs = _Quiet()  # type: ignore[no-untyped-call]
        options = highspy.HighsOptions()
        options.output_flag = False
        options.parallel = "off"
        options.time_limit = time_limit_s
        options.mip_rel_gap = _SHARE if slack > 0 else 0.0
        if most_nodes is not None:
            options.mip_max_nodes = most_nodes
        highs.passOptions(options)
        # the gap is a share of the objective: an offset adds an absolute part to it
        highs.passModel(self._model(offset=slack / _SHARE))
        highs.run()
        status, known, figures = highs.getModelStatus(), highspy.HighsModelStatus, highs.getInfo()
        objective, whole = figures.objective_function_value, self._columns[_WHOLE].any()
        if status in (known.kInfeasible, known.kUnboundedOrInfeasible):  # costs are never below zero
            return None
        late = status in (known.kTimeLimit, known.kSolutionLimit)
        if late and not (whole and np.isfinite(objective)):
            text = f"no batch was found within {time_limit_s:g} s."
            raise OutOfTimeError(text, "Name fewer materials, or allow more time.")
        if not late and status != known.kOptimal:
            raise GlazeError(f"the solver gave no answer: {highs.modelStatusToString(status)}.")
        x = np.array(highs.getSolution().col_value) * self._columns[_UNIT]
        gap = max(0.0, float(objective - figures.mip_dual_bound)) if whole else 0.0
        return Solution(x=x, value=float(self._columns[_COST] @ x), gap=gap, stopped=late)

    def _model(self, offset: float) -> highspy.HighsLp:
        unit = self._columns[_UNIT]
        lows, highs = (np.concatenate([row[end] for row in self._rows]) for end in (1, 2))
        matrix, row = np.zeros((len(lows), len(unit))), 0
        for terms, low, _ in self._rows:
            for block, coefficients in terms.items():
                matrix[row : row + len(low), block.columns] = coefficients
            row += len(low)
        matrix *= unit
        places = np.nonzero(matrix)
        model = highspy.HighsLp()
        model.num_row_, model.num_col_ = matrix.shape
        model.col_cost_ = self._columns[_COST] * unit
        model.offset_ = offset
        model.col_lower_ = self._columns[_LOW] / unit
        model.col_upper_ = self._columns[_HIGH] / unit
        model.row_lower_, model.row_upper_ = lows, highs
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.num_row_, model.a_matrix_.num_col_ = matrix.shape
        model.a_matrix_.start_ = np.searchsorted(places[0], np.arange(len(matrix) + 1))
        model.a_matrix_.index_ = places[1]
        model.a_matrix_.value_ = matrix[places]
        if self._columns[_WHOLE].any():
            kinds = highspy.HighsVarType
            model.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in self._columns[_WHOLE]]
        return model
