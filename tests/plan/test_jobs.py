"""The latest day, and the day from which a job can be done."""

from __future__ import annotations

from dipmark.plan.jobs import Part, Spread
from plan.workshop import day, job


def test_what_is_soft_goes_by_the_middle_day_and_what_is_hard_by_the_early_one() -> None:
    due = Spread(day(2), day(4), day(9))
    assert job("a", due=due, grace=1).latest == day(5)
    assert job("a", due=due, hard=True).latest == day(2)


def test_it_waits_for_its_window_and_for_its_last_part() -> None:
    assert job("a", 5).ready == day(-2)
    assert job("a", 5, parts=(Part("filter", day(1)), Part("oil", day(3)))).ready == day(3)
    assert job("a", 5, parts=(Part("filter", day(1)), Part("oil", None))).ready is None
