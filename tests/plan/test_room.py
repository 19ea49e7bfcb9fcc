"""The last day of a plan is part of it."""

from __future__ import annotations

from plan.workshop import day, room


def test_the_last_day_is_in() -> None:
    assert room(5).last == day(4)
