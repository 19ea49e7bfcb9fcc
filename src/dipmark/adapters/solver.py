"""Solves mixed-integer models by HiGHS. It knows nothing of workshops: columns, rows, and the time it may take."""

from __future__ import annotations

from math import inf, isfinite
from typing import Any, Final, Protocol

import highspy
import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int32]

SEED: Final = 7

QUIET: Final[Any] = highspy.Highs.__base__
"""The solver without what its Python class adds, which prints a line where it is made."""


class Solved(msgspec.Struct, frozen=True, eq=False):
    """What came of it.

    Args:
        values: of the columns in the best solution; None: none was found.
        cost: of that solution.
        bound: no solution costs less; -inf: nothing is known, +inf: there is no solution.
        proven: the solution is within the asked gap of the bound, or there is none.
    """

    values: Floats | None
    cost: float
    bound: float
    proven: bool


class Model(Protocol):
    """A model: columns, and rows one after another, each from `start` up to the next in `column` and `value`."""

    @property
    def cost(self) -> Floats: ...
    @property
    def lower(self) -> Floats: ...
    @property
    def upper(self) -> Floats: ...
    @property
    def integer(self) -> NDArray[np.bool_]: ...
    @property
    def row_lower(self) -> Floats: ...
    @property
    def row_upper(self) -> Floats: ...
    @property
    def start(self) -> Whole: ...
    @property
    def column(self) -> Whole: ...
    @property
    def value(self) -> Floats: ...


def solve(model: Model, *, seconds: float, gap: float = 0.0, first: Floats | None = None) -> Solved:
    """The cheapest values of the columns within their bounds, such that every row is within its own.

    One thread and one seed: the same model gives the same answer, unless the time runs out.

    Args:
        model: columns and rows.
        seconds: the most it may take.
        gap: share of the cost at which it is good enough.
        first: a solution to begin with, one value for each column, not a number where it is not known.
    """
    if not len(model.cost):
        return Solved(np.zeros(0), 0.0, 0.0, proven=True)
    highs: Any = QUIET()
    for name, setting in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", SEED),
        ("time_limit", float(seconds)),
        ("mip_rel_gap", gap),
        ("mip_abs_gap", 1e-6),
    ):
        highs.setOptionValue(name, setting)
    highs.passModel(_linear(model))
    if first is not None:
        known = np.flatnonzero(~np.isnan(first)).astype(np.int32)
        highs.setSolution(len(known), known, first[known])
    highs.run()
    return _told(highs, whole=bool(model.integer.any()))


def _linear(model: Model) -> highspy.HighsLp:
    made = highspy.HighsLp()
    made.num_col_, made.num_row_ = len(model.cost), len(model.row_lower)
    made.col_cost_, made.col_lower_, made.col_upper_ = model.cost, model.lower, model.upper
    made.row_lower_, made.row_upper_ = model.row_lower, model.row_upper
    made.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    made.a_matrix_.start_, made.a_matrix_.index_, made.a_matrix_.value_ = model.start, model.column, model.value
    kinds = highspy.HighsVarType
    made.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in model.integer.tolist()]
    return made


def _told(highs: highspy.Highs, *, whole: bool) -> Solved:
    status, info = highs.getModelStatus(), highs.getInfo()
    if status in {highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible}:
        return Solved(None, inf, inf, proven=True)
    proven = status == highspy.HighsModelStatus.kOptimal
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    if not found:
        bound = info.mip_dual_bound if whole else -inf
        return Solved(None, inf, bound if isfinite(bound) else -inf, proven=False)
    cost = info.objective_function_value
    bound = info.mip_dual_bound if whole else (cost if proven else -inf)
    return Solved(np.array(highs.getSolution().col_value), cost, bound, proven)
