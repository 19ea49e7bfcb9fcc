"""Working time: what each day of a yard weighs, by its shifts, weekday, closed days and the time of the year."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta, tzinfo
from math import tau
from typing import Final, NamedTuple, TypeAlias

import msgspec
import numpy as np
from numpy.typing import NDArray

from dipmark.derive.past import Counting
from dipmark.facts.custody import HeldBy
from dipmark.facts.people import Shift, ShiftPattern

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]

CLOSED: Final = 7
"""The class of a closed day, after those of Monday to Sunday."""

YEAR: Final = 365.2425
"""Days of a mean year of the Gregorian calendar."""

LEAST: Final = 0.02
"""No day of a truck in use weighs less than this share of the mean planned day. Project rule: somebody may come in."""

USUAL: Final = (8.0,) * 7
"""Planned hours of Monday to Sunday where nobody has told the shifts: what the days are worth the readings show."""

DAY: Final = timedelta(days=1)
MIDNIGHT: Final = time()

_EPOCH: Final = date(1970, 1, 1).toordinal()


class Week(msgspec.Struct, frozen=True):
    """The planned hours of a week, as from a day.

    Args:
        since: the first day it holds.
        hours: of Monday to Sunday, in h.
    """

    since: date
    hours: tuple[float, ...]


class Span(msgspec.Struct, frozen=True):
    """Days on which a truck is laid up.

    Args:
        first: the first day.
        last: the last; None: no end is known.
    """

    first: date
    last: date | None


class Calendar(msgspec.Struct, frozen=True):
    """The days of a yard, and of one truck in it.

    Args:
        weeks: the shifts in the order they came to hold; before the first, as the first; none: eight hours every day.
        closed: days on which nobody works, national holidays among them.
        laid: days on which the truck is laid up: its hours stand still.
    """

    weeks: tuple[Week, ...] = ()
    closed: frozenset[date] = frozenset()
    laid: tuple[Span, ...] = ()


def calendar_of(patterns: Sequence[tuple[date, ShiftPattern]], closed: Iterable[date] = ()) -> Calendar:
    """The calendar of a yard from its shift patterns and the days on which nobody works.

    Args:
        patterns: each with the day from which it holds, in order.
        closed: more days on which nobody works, such as national holidays.

    *Edge*: a shift counts whole on the weekday it starts; of shifts that overlap each counts.

    Example:
        >>> early = Shift("early", (1, 2), datetime(2026, 1, 1, 6).time(), datetime(2026, 1, 1, 14).time())
        >>> calendar_of([(date(2026, 1, 1), ShiftPattern((early,)))]).weeks[0].hours
        (8.0, 8.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    """
    weeks = tuple(Week(since, _planned(pattern.shifts)) for since, pattern in patterns)
    own = (day for _, pattern in patterns for day in pattern.closed)
    return Calendar(weeks, frozenset((*closed, *own)))


def _planned(shifts: Sequence[Shift]) -> tuple[float, ...]:
    hours = [0.0] * 7
    for shift in shifts:
        start, end = (datetime.combine(date.min, clock) for clock in (shift.start, shift.end))
        length = (end - start) / timedelta(hours=1) % 24 or 24.0
        for weekday in shift.days:
            hours[weekday - 1] += length
    return tuple(hours)


def laid_up(counting: Counting, zone: tzinfo) -> tuple[Span, ...]:
    """The days on which a truck is laid up, from its record.

    Args:
        counting: the truck's record.
        zone: the yard's.

    *Edge*: the day it is laid up and the day it comes back are days of use; laid up until a day, it is back on that day
    unless the record says otherwise before.
    """
    held = [(one.day(zone), one.body) for one in counting if isinstance(one.body, HeldBy)]
    spans = []
    for index, (day, body) in enumerate(held):
        if body.who == "laid-up":
            ends = [held[index + 1][0]] if index + 1 < len(held) else []
            back = min((*ends, *([body.until] if body.until else [])), default=None)
            spans.append(Span(day + timedelta(days=1), None if back is None else back - timedelta(days=1)))
    return tuple(span for span in spans if span.last is None or span.last >= span.first)


class Days(NamedTuple):
    """The days of one or more calendars, side by side.

    Args:
        first: the first day, in days since 1970.
        planned: hours by calendar and day; nought: laid up.
        kind: 0 Monday to 6 Sunday, 7 closed, by calendar and day.
    """

    first: int
    planned: Floats
    kind: Ints


def days_of(calendars: Sequence[Calendar], first: date, last: date) -> Days:
    """The days of calendars, from the first to the last."""
    begin, count = number_of(first), (last - first).days + 1
    numbers = np.arange(begin, begin + count)
    weekday = (numbers + 3) % 7
    planned = np.empty((len(calendars), count))
    kind = np.tile(weekday, (len(calendars), 1))
    for row, calendar in enumerate(calendars):
        weeks = calendar.weeks or (Week(first, USUAL),)
        planned[row] = np.array(weeks[0].hours)[weekday]
        for week in weeks[1:]:
            later = numbers >= number_of(week.since)
            planned[row, later] = np.array(week.hours)[weekday[later]]
        planned[row] = np.maximum(planned[row], LEAST * planned[row].mean())
        kind[row, [at for day in calendar.closed if 0 <= (at := number_of(day) - begin) < count]] = CLOSED
        for span in calendar.laid:
            until = count if span.last is None else number_of(span.last) - begin + 1
            planned[row, max(0, number_of(span.first) - begin) : max(0, until)] = 0.0
    return Days(begin, planned, kind)


def number_of(day: date) -> int:
    """A local day as a number: days since 1970."""
    return day.toordinal() - _EPOCH


def day_of(number: float) -> date:
    """The local day in which an instant of the yard's clock lies, given in days since 1970."""
    return date.fromordinal(int(number // 1) + _EPOCH)


def moment_of(instant: datetime, zone: tzinfo) -> float:
    """An instant by the yard's clock, in days since 1970.

    Example:
        >>> from datetime import UTC
        >>> moment_of(datetime(1970, 1, 2, 12, tzinfo=UTC), UTC)
        1.5
    """
    local = instant.astimezone(zone)
    return number_of(local.date()) + (local.replace(tzinfo=None) - datetime.combine(local.date(), MIDNIGHT)) / DAY


def season_at(numbers: Floats) -> tuple[Floats, Floats]:
    """The yearly wave: cosine and sine of the time of the year, from days since 1970."""
    angle = numbers * (tau / YEAR)
    return np.cos(angle), np.sin(angle)
