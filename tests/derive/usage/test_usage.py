"""One truck: how fast it runs, its dates, when to read the meter, laid up, new, idle, another job."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

import msgspec
import numpy as np
import pytest

from derive.builders import ENROLLED, ZONE, at, counting
from dipmark.derive.meter import MeterLife, meters_of
from dipmark.derive.usage.calendar import Calendar, Span, Week, days_of, moment_of
from dipmark.derive.usage.clock import clock_of
from dipmark.derive.usage.fit import Readings, fit
from dipmark.derive.usage.prior import Prior
from dipmark.derive.usage.usage import Usage, usage_of

MONDAY = date(2026, 6, 1)
WEEK = Calendar((Week(MONDAY, (8.0,) * 5 + (0.0, 0.0)),))
PRIOR = Prior(factors=(0.5,) * 8, wave=1e-4, known=6.0, even=3.0, memory=480.0)


def life(readings: list[tuple[date, str]], clock: str = "T16:00:00+02:00") -> MeterLife:
    text = "".join(f"\nmeter-read truck:7 {day.isoformat()}{clock} ana\n  hours {hours}\n" for day, hours in readings)
    return meters_of(counting(ENROLLED + text), ZONE)[0]


def weekly(weeks: int, per_week: float, begin: float = 100.0) -> list[tuple[date, str]]:
    return [(MONDAY + timedelta(days=7 * i), f"{begin + i * per_week:.1f}") for i in range(weeks + 1)]


def usage(
    readings: list[tuple[date, str]],
    as_of: datetime | None = None,
    calendar: Calendar = WEEK,
    clock: str = "T16:00:00+02:00",
) -> Usage:
    now = as_of or at(f"{readings[-1][0].isoformat()}T18:00:00")
    found = usage_of(life(readings, clock), calendar, PRIOR, now, ZONE)
    assert found is not None
    return found


def test_without_a_reading_there_is_no_usage() -> None:
    assert usage_of(life([]), WEEK, PRIOR, at("2026-06-01T12:00:00"), ZONE) is None


def test_hours_a_week() -> None:
    found = usage(weekly(20, 24.0))
    assert found.per_week == pytest.approx(24.0, abs=0.5)
    assert (found.hours, found.read) == (Decimal("580.0"), date(2026, 10, 19))
    assert (found.changed, found.laid_up) == (None, False)
    assert len(found.readings) == 21


def test_three_days_about_the_mark_and_none_of_them_at_the_weekend() -> None:
    found = usage(weekly(20, 24.0))
    dates = found.dates(Decimal(628))
    assert dates.early is not None
    assert dates.late is not None
    assert dates.early < date(2026, 11, 2) < dates.late
    assert dates.about in {date(2026, 10, 30), date(2026, 11, 2)}
    assert dates.ask is None
    assert all(day.isoweekday() < 6 for day in (dates.early, dates.late))


def test_holidays_push_the_dates_back() -> None:
    shut = msgspec.structs.replace(WEEK, closed=frozenset(date(2026, 10, day) for day in range(20, 27)))
    prior = msgspec.structs.replace(PRIOR, factors=(*PRIOR.factors[:7], 0.005))
    plain, closed = (
        usage_of(life(weekly(20, 24.0)), calendar, prior, at("2026-10-19T18:00:00"), ZONE) for calendar in (WEEK, shut)
    )
    assert plain is not None
    assert closed is not None
    before, after = plain.dates(Decimal(628)).about, closed.dates(Decimal(628)).about
    assert before is not None
    assert after is not None
    assert timedelta(days=6) <= after - before <= timedelta(days=8)


def test_the_truck_alone_runs_as_it_does_among_many() -> None:
    found = usage(weekly(20, 24.0))
    moments = np.array([moment_of(at(f"{day.isoformat()}T16:00:00"), ZONE) for day, _ in weekly(20, 24.0)])
    days = days_of([WEEK], MONDAY, date(2031, 1, 1))
    hours = np.array([float(one) for _, one in weekly(20, 24.0)])
    both = Readings(np.array([0, 21, 42]), np.zeros(2, np.int64), np.tile(moments, 2), np.tile(hours, 2))
    among = fit(both, clock_of(days, np.array(PRIOR.factors)), PRIOR)
    assert found.fitted.level[0] == pytest.approx(among.level[1], rel=1e-4)
    assert found.fitted.wave[0] == pytest.approx(among.wave[1], abs=1e-4)


def test_a_new_truck_runs_as_its_kind_with_wide_dates() -> None:
    new, known = usage([(MONDAY, "2.0")]), usage(weekly(20, 20.0))
    assert new.per_week == pytest.approx(20.0, abs=0.5)
    assert (round(new.per_week), len(new.readings)) == (20, 1)
    assert _width(new, Decimal(202)) > 1.5 * _width(known, Decimal(700))
    assert new.dates(Decimal(202)).ask is None  # it was read a moment ago: another reading gains nothing


def _width(found: Usage, hours: Decimal) -> float:
    dates = found.dates(hours)
    assert dates.early is not None
    assert dates.late is not None
    return (dates.late - dates.early).days


def test_read_the_meter_where_dates_are_far_apart_and_what_that_gains() -> None:
    found = usage(weekly(6, 20.0), at("2026-09-28T12:00:00"))
    ask = found.dates(Decimal(600)).ask
    assert ask is not None
    assert ask.days is not None
    assert ask.then < ask.days - 1
    assert not ask.passed


def test_a_mark_that_may_have_been_passed_asks_for_a_reading() -> None:
    ask = usage(weekly(20, 24.0), at("2026-11-02T12:00:00")).dates(Decimal(628)).ask
    assert ask is not None
    assert ask.passed
    assert usage(weekly(20, 24.0), at("2026-11-02T12:00:00")).dates(Decimal(580)).ask is None


def test_a_mark_that_has_been_reached() -> None:
    dates = usage(weekly(20, 24.0), at("2026-11-02T12:00:00")).dates(Decimal("580.0"))
    assert (dates.early, dates.about, dates.late) == (date(2026, 10, 19),) * 3
    assert dates.ask is None


def test_a_mark_far_away_has_no_dates_within_five_years() -> None:
    dates = usage(weekly(20, 24.0)).dates(Decimal(9000))
    assert (dates.early, dates.about, dates.late, dates.ask) == (None, None, None, None)


def test_an_end_out_of_sight_is_asked_for_too() -> None:
    far = usage(weekly(2, 24.0), at("2026-10-05T12:00:00"))
    ask = far.dates(Decimal(6000)).ask
    assert ask is not None
    assert ask.days is None
    assert (ask.days, ask.passed) == (None, False)


def test_laid_up_nothing_comes_until_it_is_woken() -> None:
    for_good = msgspec.structs.replace(WEEK, laid=(Span(date(2026, 10, 20), None),))
    found = usage(weekly(20, 24.0), at("2026-10-25T12:00:00"), for_good)
    assert found.laid_up
    assert found.per_week == pytest.approx(0.0, abs=1e-6)
    assert found.laid_up
    dates = found.dates(Decimal(640))
    assert (dates.early, dates.about, dates.late, dates.ask) == (None, None, None, None)
    back = msgspec.structs.replace(WEEK, laid=(Span(date(2026, 10, 20), date(2027, 1, 10)),))
    woken = usage(weekly(20, 24.0), at("2026-10-25T12:00:00"), back).dates(Decimal(640))
    assert woken.early is not None
    assert woken.early > date(2027, 1, 10)
    assert not usage(weekly(20, 24.0), at("2027-02-01T12:00:00"), back).laid_up


def test_months_laid_up_do_not_make_a_truck_slow() -> None:
    rested = [*weekly(10, 20.0), *((MONDAY + timedelta(days=70 + 98 + 7 * i), f"{300 + 20 * i:.1f}") for i in range(6))]
    laid = msgspec.structs.replace(WEEK, laid=(Span(date(2026, 8, 11), date(2026, 11, 15)),))
    assert usage(rested, calendar=laid).per_week == pytest.approx(20.0, abs=1.0)


def test_an_idle_truck_comes_to_a_stand() -> None:
    idle = [*weekly(20, 24.0), *((MONDAY + timedelta(days=147 + 7 * i), "580.0") for i in range(10))]
    found = usage(idle)
    assert found.per_week < 2.5
    assert found.changed == date(2026, 10, 19)
    assert found.changed == date(2026, 10, 19)


def test_a_date_is_a_whole_day_and_its_dates_are_wider() -> None:
    sure, open_ = usage(weekly(20, 24.0)), usage(weekly(20, 24.0), clock="T00:00:00+02:00/day")
    assert (sure.fitted.span.tolist(), open_.fitted.span.tolist()) == ([0.0], [1.0])
    assert open_.fitted.moment[0] == pytest.approx(np.floor(sure.fitted.moment[0]) + 0.5)
    assert open_.per_week == pytest.approx(sure.per_week, abs=0.1)
