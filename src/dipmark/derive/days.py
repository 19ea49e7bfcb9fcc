"""Local days and calendar months."""

from __future__ import annotations

import calendar
from datetime import UTC, date, datetime, time, timedelta, tzinfo


def local_day(instant: datetime, zone: tzinfo) -> date:
    """The calendar day of an instant in the yard.

    *Edge*: midnight itself belongs to the day that begins.
    """
    return instant.astimezone(zone).date()


def day_start(day: date, zone: tzinfo) -> datetime:
    """The first instant of a local day, in UTC; where the clocks go forward at midnight, the instant they do."""
    return datetime.combine(day, time(), tzinfo=zone).astimezone(UTC)


def day_end(day: date, zone: tzinfo) -> datetime:
    """The instant a local day ends, which is the first of the next."""
    return day_start(day + timedelta(days=1), zone)


def add_months(day: date, months: int) -> date:
    """The same day some months later; where that month is shorter, its last day.

    *Source*: common practice, no source: last day of the month.

    Example:
        >>> add_months(date(2024, 2, 29), 36), add_months(date(2025, 8, 31), 6)
        (datetime.date(2027, 2, 28), datetime.date(2026, 2, 28))
    """
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
