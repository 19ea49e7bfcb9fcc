"""Histories as arrays, and what is no history."""

from __future__ import annotations

import pytest

from dipmark.derive.reliability.histories import History, histories


def test_units_lie_one_after_another() -> None:
    units = histories([History((30, 10), 40), History((), 5), History((7,), 7, until_fault=True)])
    assert units.age.tolist() == [10, 30, 7]
    assert units.unit.tolist() == [0, 0, 2]
    assert units.cost.tolist() == [1, 1, 1]
    assert units.ratio.tolist() == [0.25, 0.75, 1]
    assert units.inner.tolist() == [True, True, False]
    assert units.from_new


def test_costs_belong_to_their_faults() -> None:
    units = histories([History((30, 10), 40, costs=(3, 1)), History((5,), 9)])
    assert units.age.tolist() == [10, 30, 5]
    assert units.cost.tolist() == [1, 3, 1]


def test_no_unit_at_all() -> None:
    units = histories([])
    assert (len(units.age), len(units.inner), units.from_new) == (0, 0, True)


def test_a_late_watch_is_not_from_new() -> None:
    assert not histories([History((5,), 9, start=1)]).from_new


@pytest.mark.parametrize(
    "one",
    [
        History((11,), 10),
        History((1,), 10, start=2),
        History((2,), 10, start=2),
        History((0,), 10),
        History((), 1, start=2),
        History((1, 2), 10, costs=(1,)),
        History((float("nan"),), 10),
        History((), float("inf")),
        History((1,), 10, costs=(1e13,)),
    ],
)
def test_what_is_no_history_is_refused(one: History) -> None:
    with pytest.raises(ValueError, match=r"do not fit|outside the watch"):
        histories([one])
