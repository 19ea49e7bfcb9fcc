"""Local days and calendar months: midnight, summer time, month ends, leap days."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from derive.builders import ZONE, at
from dipmark.derive.days import add_months, day_end, day_start, local_day

TICK = timedelta(microseconds=1)


def test_midnight_belongs_to_the_day_that_begins() -> None:
    midnight = at("2026-11-20T00:00:00")
    assert local_day(midnight, ZONE) == date(2026, 11, 20)
    assert local_day(midnight - TICK, ZONE) == date(2026, 11, 19)
    assert local_day(datetime(2026, 11, 19, 23, tzinfo=UTC), ZONE) == date(2026, 11, 20)


def test_a_day_ends_where_the_next_begins() -> None:
    assert day_end(date(2026, 11, 20), ZONE) == day_start(date(2026, 11, 21), ZONE) == at("2026-11-21T00:00:00")
    assert day_start(date(2026, 11, 20), ZONE).tzinfo is UTC


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2026, 3, 28), 24), (date(2026, 3, 29), 23), (date(2026, 10, 25), 25), (date(2026, 7, 1), 24)],
)
def test_a_day_of_the_clock_change_is_shorter_or_longer(day: date, hours: int) -> None:
    assert day_end(day, ZONE) - day_start(day, ZONE) == timedelta(hours=hours)


@pytest.mark.parametrize("zone", ["Africa/Cairo", "America/Havana", "Asia/Beirut"])
@pytest.mark.parametrize("month", [3, 4, 10, 11])
def test_where_clocks_change_at_midnight_days_neither_overlap_nor_leave_a_gap(zone: str, month: int) -> None:
    local = ZoneInfo(zone)
    for number in range(1, 31):
        day = date(2024, month, number)
        start = day_start(day, local)
        assert local_day(start, local) == day
        assert local_day(start - TICK, local) == day - timedelta(days=1)


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2025, 12, 31), 2, date(2026, 2, 28)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 2, 29), 48, date(2028, 2, 29)),
        (date(2025, 2, 28), 1, date(2025, 3, 28)),
        (date(2025, 11, 30), 1, date(2025, 12, 30)),
        (date(2025, 12, 1), 0, date(2025, 12, 1)),
        (date(2025, 3, 31), -1, date(2025, 2, 28)),
    ],
)
def test_months_end_on_the_same_day_or_on_the_last_of_a_shorter_month(day: date, months: int, expected: date) -> None:
    assert add_months(day, months) == expected
