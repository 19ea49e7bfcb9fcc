"""Costs add up; a gap is a share of the best that may be."""

from __future__ import annotations

from math import inf

import pytest

from dipmark.plan.fortnight import Cost, Fortnight


def test_costs_add_up() -> None:
    both = Cost(late=14, moved=1) + Cost(early=10)
    assert (both, both.total) == (Cost(late=14, early=10, moved=1), 25)


@pytest.mark.parametrize(
    ("cost", "bound", "gap"), [(110, 100, 0.1), (100, 100, 0), (90, 100, 0), (5, 0, inf), (0, 0, 0), (5, None, None)]
)
def test_the_gap(cost: int, bound: int | None, gap: float | None) -> None:
    assert Fortnight((), (), cost, bound).gap == (None if gap is None else pytest.approx(gap))
