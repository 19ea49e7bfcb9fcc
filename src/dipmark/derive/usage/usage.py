"""How fast the hours of one truck run, and the days on which a mark is reached."""

from __future__ import annotations

from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from math import isfinite
from typing import Final

import msgspec
import numpy as np

from dipmark.derive.meter import EPOCH, Good, MeterLife
from dipmark.derive.usage.ahead import once_read, passes, ran_until
from dipmark.derive.usage.calendar import Calendar, Floats, day_of, days_of, moment_of
from dipmark.derive.usage.clock import Clock, clock_of
from dipmark.derive.usage.fit import Fitted, Readings, fit
from dipmark.derive.usage.prior import Prior
from dipmark.facts.base import FactId

LOOK: Final = timedelta(days=1830)
"""How far one looks ahead: five years."""

WIDE: Final = 7.0
"""Dates at most so many days apart are never too far apart. Project rule: a week's work is planned by the week."""

GAIN: Final = 1.0
"""A reading is asked for where it brings the dates nearer by so many days at least. Project rule."""

SHARE: Final = 0.1
"""And by this share of what lies between them at least. Project rule."""

MONTH: Final = 28
"""Days over which hours a week are given."""

ROW: Final = np.zeros(1, np.int64)
MICROS: Final = timedelta(microseconds=1)


class Ask(msgspec.Struct, frozen=True):
    """Read the meter: the dates are too far apart, and a reading now would bring them nearer.

    Args:
        days: from the earliest to the latest, as it is; None: no end in sight.
        then: the same as expected after a reading now.
        passed: the mark may lie behind already.
    """

    days: float | None
    then: float
    passed: bool


class Dates(msgspec.Struct, frozen=True):
    """When a mark is reached; the last reading's day where it has been.

    Args:
        early: not before: one time in ten it is.
        about: as likely before as after.
        late: by: one time in ten it is later.
        ask: where the meter ought to be read first; None elsewhere.

    None: not within five years, or not while the truck is laid up.
    """

    early: date | None
    about: date | None
    late: date | None
    ask: Ask | None


class Usage(msgspec.Struct, frozen=True, eq=False):
    """How fast the hours of a truck run.

    Args:
        per_week: hours a week, in the mean of the next four.
        hours: true hours of the last good reading.
        read: the day of that reading.
        changed: the day it took up another job; None: none was seen.
        laid_up: the truck is laid up.
        readings: all it rests on, in order.
        moment: the instant it is derived at, by the yard's clock, in days since 1970.
        fitted: level, season and their doubt.
        clock: the truck's working time.
        prior: of its kind.
    """

    per_week: float
    hours: Decimal
    read: date
    changed: date | None
    laid_up: bool
    readings: tuple[FactId, ...]
    moment: float
    fitted: Fitted
    clock: Clock
    prior: Prior

    def dates(self, hours: Decimal) -> Dates:
        """When the truck's hours reach a mark.

        Args:
            hours: true hours.

        *Edge*: a mark at the very hours of the last reading is reached on its day.
        """
        mark, moment = np.array([float(hours)]), np.array([self.moment])
        early, about, late = _passes(self.fitted, self.clock, self.prior, mark)
        after = once_read(self.fitted, ROW, self.clock, self.prior, np.maximum(moment, self.fitted.moment))
        soon, _, far = _passes(after, self.clock, self.prior, mark)
        ask = None if hours <= self.hours else self._ask(early, about, late, far - soon)
        return Dates(_day(early), _day(about), _day(late), ask)

    def _ask(self, early: float, about: float, late: float, then: float) -> Ask | None:
        """Read the meter where the dates are a week and half the time to go apart, or where the mark may lie behind."""
        days = late - early
        passed = early < self.moment
        wide = days > max(WIDE, (about - self.moment) / 2) if isfinite(late) else True
        if not (passed or wide) or not isfinite(then) or days - then < max(GAIN, SHARE * days):
            return None
        return Ask(days if isfinite(late) else None, then, passed)


def usage_of(life: MeterLife, calendar: Calendar, prior: Prior, as_of: datetime, zone: tzinfo) -> Usage | None:
    """How fast the hours of a truck run, from its good readings and from what is known of its kind.

    Args:
        life: of its hour meter.
        calendar: of its yard, with the days on which it is laid up.
        prior: of its kind.
        as_of: the instant.
        zone: the yard's.

    Returns:
        None without a good reading: read the meter.

    *Edge*: with one reading a truck runs as its kind does.
    """
    if not life.good:
        return None
    moments = np.array([moment_of_reading(one, zone) for one in life.good])
    hours = np.array([float(one.hours) for one in life.good])
    now, last = moment_of(as_of, zone), life.good[-1]
    first = day_of(min(float(moments.min()), now))
    clock = clock_of(days_of([calendar], first, as_of.astimezone(zone).date() + LOOK), np.array(prior.factors))
    fitted = fit(Readings(np.array([0, len(hours)]), ROW, moments, hours), clock, prior)
    fitted = fitted._replace(span=np.array([(last.end - last.start) * MICROS / timedelta(days=1)]))
    per_week = _between(fitted, clock, prior, now, now + MONTH) * 7 / MONTH
    changed = None if np.isnan(fitted.changed[0]) else day_of(float(fitted.changed[0]))
    today = day_of(now)
    laid_up = any(span.first <= today and (span.last is None or today <= span.last) for span in calendar.laid)
    readings = tuple(one.fact for one in life.good)
    return Usage(per_week, last.hours, last.day, changed, laid_up, readings, now, fitted, clock, prior)


def moment_of_reading(one: Good, zone: tzinfo) -> float:
    """When a reading was made, by the yard's clock, in days since 1970: the middle where only a day is known.

    Args:
        one: the reading.
        zone: the yard's.
    """
    return moment_of(EPOCH + (one.start + one.end) // 2 * MICROS, zone)


def _between(fitted: Fitted, clock: Clock, prior: Prior, start: float, end: float) -> float:
    """Hours expected to run between two instants."""
    here = fitted._replace(moment=np.array([start]))
    return float(ran_until(here, ROW, clock, prior, np.array([end])).hours[0])


def _passes(fitted: Fitted, clock: Clock, prior: Prior, mark: Floats) -> tuple[float, float, float]:
    early, about, late = passes(fitted, ROW, clock, prior, mark)
    return float(early[0]), float(about[0]), float(late[0])


def _day(moment: float) -> date | None:
    return day_of(moment) if isfinite(moment) else None
