"""Solves mixed-integer models by HiGHS. It knows nothing of workshops: columns, rows, and the time it may take."""

from __future__ import annotations

from math import inf, isfinite
from typing import Any, Final

import highspy
import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int32]

SEED: Final = 7


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


def solve(
    cost: Floats,
    lower: Floats,
    upper: Floats,
    integer: NDArray[np.bool_],
    row_lower: Floats,
    row_upper: Floats,
    start: Whole,
    column: Whole,
    value: Floats,
    *,
    seconds: float,
    gap: float = 0.0,
    first: Floats | None = None,
) -> Solved:
    """The cheapest values of the columns within their bounds, such that every row is within its own.

    One thread and one seed: the same model gives the same answer, unless the time runs out.

    Args:
        cost: of each column.
        lower: bound of each column.
        upper: bound of each column.
        integer: which columns must be whole.
        row_lower: bound of each row.
        row_upper: bound of each row.
        start: where each row begins in `column` and `value`; one more at the end.
        column: of each entry.
        value: of each entry.
        seconds: the most it may take.
        gap: share of the cost at which it is good enough.
        first: a solution to begin with, one value for each column.
    """
    if not len(cost):
        return Solved(np.zeros(0), 0.0, 0.0, proven=True)
    highs: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    for name, setting in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", SEED),
        ("time_limit", float(seconds)),
        ("mip_rel_gap", gap),
        ("mip_abs_gap", 1e-6),
    ):
        highs.setOptionValue(name, setting)
    highs.passModel(_model(cost, lower, upper, integer, row_lower, row_upper, start, column, value))
    if first is not None:
        known = highspy.HighsSolution()
        known.col_value = first.tolist()
        highs.setSolution(known)
    highs.run()
    return _told(highs, whole=bool(integer.any()))


def _model(
    cost: Floats,
    lower: Floats,
    upper: Floats,
    integer: NDArray[np.bool_],
    row_lower: Floats,
    row_upper: Floats,
    start: Whole,
    column: Whole,
    value: Floats,
) -> highspy.HighsLp:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(cost), len(row_lower)
    model.col_cost_, model.col_lower_, model.col_upper_ = cost, lower, upper
    model.row_lower_, model.row_upper_ = row_lower, row_upper
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = start, column, value
    kinds = highspy.HighsVarType
    model.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in integer.tolist()]
    return model


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
