"""The one seam to the solver: linear problems in named blocks, some columns whole numbers, solved the same way every time.

`highspy` is called on values of its own, so that nothing is kept between calls and searches may run in threads side by side.
(The HiGHS inside scipy 1.17 prints a line of its own now and then, whatever it is told; that is why it is not used.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glazecalc.errors import GlazeError, OutOfTimeError

if TYPE_CHECKING:
    import highspy

__all__ = ("Block", "Program", "Solution")

Floats = NDArray[np.float64]
_SHARE = 0.1  # of the objective


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
    """What the solver found; ``solution[block]`` are the numbers of a block.

    Attributes
    ----------
    x : array (n,)
        All columns.
    value : float
        The objective.
    gap : float
        By how much the objective may still lie above the best; 0 where it is proven.
    stopped : bool
        True where the time limit ended the search.
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

    _low: list[Floats] = field(default_factory=list)
    _high: list[Floats] = field(default_factory=list)
    _cost: list[Floats] = field(default_factory=list)
    _unit: list[Floats] = field(default_factory=list)
    _whole: list[NDArray[np.bool_]] = field(default_factory=list)
    _rows: list[tuple[Mapping[Block, Floats], Floats, Floats]] = field(default_factory=list)
    _width: int = 0

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
        """Add `size` variables.

        Parameters
        ----------
        name : str
        size : int
        low, high, cost : float or array (size,)
            Ends of each variable, and its cost.
        unit : float
            A usual size of the variables, so that the solver works with numbers near one.
        whole : bool
            Whole numbers only.
        """
        block = Block(name, self._width, size)
        for column, given in ((self._low, low), (self._high, high), (self._cost, cost), (self._unit, unit)):
            column.append(np.broadcast_to(np.asarray(given, dtype=np.float64), size))
        self._whole.append(np.full(size, whole))
        self._width += size
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
        """Add conditions ``low <= sum of coefficients . block <= high``.

        Parameters
        ----------
        name : str
            What they say.
        terms : mapping
            Block -> coefficients, (size,) for one row or (rows, size) for several.
        low, high : float or array (rows,)
        equals : float or array (rows,), optional
            Both ends at once.
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
        cost = np.concatenate(self._cost)
        everything = Block("all so far", 0, self._width)
        self.rows("as good as found", {everything: cost}, high=found.value + within)
        self._cost = [np.zeros(self._width)]

    def solve(self, *, time_limit_s: float = 5.0, slack: float = 0.0) -> Solution | None:
        """Return the numbers of least cost.

        Parameters
        ----------
        time_limit_s : float
            Search no longer than this [s]. Only a search that is stopped by it depends on the machine.
        slack : float
            End the search when nothing better by more than this, and a tenth of the objective, can exist; 0 searches to the
            end.

        Returns
        -------
        Solution or None
            None where no numbers meet the rows.

        Raises
        ------
        OutOfTimeError
            If the time is up before any answer is found.
        GlazeError
            If the solver gives up for another reason.
        """
        import highspy
        from highspy._core import _Highs  # the class without the callbacks, which prints no banner

        highs = _Highs()
        options = highspy.HighsOptions()
        options.output_flag = False
        options.parallel = "off"
        options.time_limit = time_limit_s
        options.mip_rel_gap = _SHARE if slack > 0 else 0.0
        highs.passOptions(options)
        unit, cost = np.concatenate(self._unit), np.concatenate(self._cost)
        # the gap is a share of the objective: an offset adds an absolute part to it
        highs.passModel(self._model(unit, cost, offset=slack / _SHARE))
        highs.run()
        status, figures = highs.getModelStatus(), highs.getInfo()
        known = highspy.HighsModelStatus
        if status in (known.kInfeasible, known.kUnboundedOrInfeasible):  # costs are never below zero
            return None
        late = status == known.kTimeLimit
        if late and not (np.concatenate(self._whole).any() and np.isfinite(figures.objective_function_value)):
            raise OutOfTimeError(
                f"no batch was found within {time_limit_s:g} s.", "Name fewer materials, or allow more time."
            )
        if not late and status != known.kOptimal:
            raise GlazeError(f"the solver gave no answer: {highs.modelStatusToString(status)}.")
        x = np.array(highs.getSolution().col_value) * unit
        bound = figures.mip_dual_bound if np.concatenate(self._whole).any() else figures.objective_function_value
        gap = max(0.0, float(figures.objective_function_value - bound))
        return Solution(x=x, value=float(cost @ x), gap=gap, stopped=late)

    def _model(self, unit: Floats, cost: Floats, offset: float) -> highspy.HighsLp:
        import highspy

        matrix = np.vstack([self._matrix(terms, len(low)) for terms, low, _ in self._rows]) * unit
        places = np.nonzero(matrix)
        model = highspy.HighsLp()
        model.num_row_, model.num_col_ = matrix.shape
        model.col_cost_ = cost * unit
        model.offset_ = offset
        model.col_lower_ = np.concatenate(self._low) / unit
        model.col_upper_ = np.concatenate(self._high) / unit
        model.row_lower_ = np.concatenate([low for _, low, _ in self._rows])
        model.row_upper_ = np.concatenate([high for _, _, high in self._rows])
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.num_row_, model.a_matrix_.num_col_ = matrix.shape
        model.a_matrix_.start_ = np.searchsorted(places[0], np.arange(len(matrix) + 1))
        model.a_matrix_.index_ = places[1]
        model.a_matrix_.value_ = matrix[places]
        if (whole := np.concatenate(self._whole)).any():
            kinds = highspy.HighsVarType
            model.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in whole]
        return model

    def _matrix(self, terms: Mapping[Block, Floats], count: int) -> Floats:
        matrix = np.zeros((count, self._width))
        for block, coefficients in terms.items():
            matrix[:, block.columns] += coefficients
        return matrix
