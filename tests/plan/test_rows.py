"""A model as arrays."""

from __future__ import annotations

from dipmark.plan.rows import Rows


def test_columns_and_rows_as_they_were_put_in() -> None:
    rows = Rows()
    yes, much = rows.yes_or_no(7), rows.amount(2, 30)
    rows.row([(yes, 60), (much, -1)], most=200)
    rows.row([(yes, 1)], 1, 1)
    its = rows.arrays()
    assert its.cost.tolist() == [7, 2]
    assert (its.lower.tolist(), its.upper.tolist(), its.integer.tolist()) == ([0, 0], [1, 30], [True, False])
    assert (its.row_lower.tolist(), its.row_upper.tolist()) == ([-float("inf"), 1], [200, 1])
    assert (its.start.tolist(), its.column.tolist(), its.value.tolist()) == ([0, 2, 3], [0, 1, 0], [60, -1, 1])
