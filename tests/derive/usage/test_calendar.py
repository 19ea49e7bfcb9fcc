"""Working time: shifts, closed days, days laid up, the yard's clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from derive.builders import ENROLLED, ZONE, counting
from dipmark.derive.usage.calendar import (
    CLOSED,
    USUAL,
    Calendar,
    Span,
    Week,
    calendar_of,
    day_of,
    days_of,
    laid_up,
    moment_of,
    number_of,
    season_at,
)
from dipmark.facts.people import Shift, ShiftPattern

MONDAY, SUNDAY = date(2026, 11, 23), date(2026, 11, 29)


def test_shifts_make_planned_hours_and_one_may_end_the_next_day() -> None:
    early = Shift("early", (1, 2, 3, 4, 5), time(6), time(14, 30))
    night = Shift("night", (5, 7), time(22), time(6))
    whole = Shift("guard", (6,), time(6), time(6))
    first = ShiftPattern((early, night, whole), closed=(date(2026, 12, 24),))
    found = calendar_of([(MONDAY, first), (date(2027, 1, 4), ShiftPattern(()))], [date(2026, 12, 25)])
    assert found.weeks[0] == Week(MONDAY, (8.5, 8.5, 8.5, 8.5, 16.5, 24.0, 8.0))
    assert found.weeks[1].hours == (0.0,) * 7
    assert found.closed == {date(2026, 12, 24), date(2026, 12, 25)}


def test_weekdays_and_closed_days() -> None:
    days = days_of([Calendar(closed=frozenset({MONDAY, date(2020, 1, 1)}))], MONDAY, SUNDAY)
    assert days.kind.tolist() == [[CLOSED, 1, 2, 3, 4, 5, 6]]
    assert days.planned.tolist() == [list(USUAL)]
    assert day_of(days.first) == MONDAY


def test_a_pattern_holds_from_its_day_and_the_first_before_it() -> None:
    weeks = (Week(SUNDAY, (8.0,) * 7), Week(date(2026, 11, 26), (16.0,) * 7))
    days = days_of([Calendar(weeks), Calendar()], MONDAY, SUNDAY)
    assert days.planned[0].tolist() == [8.0, 8.0, 8.0, 16.0, 16.0, 16.0, 16.0]
    assert days.planned[1].tolist() == [8.0] * 7


def test_nobody_is_planned_but_somebody_may_come_in() -> None:
    days = days_of([Calendar((Week(MONDAY, (8.0,) * 5 + (0.0, 0.0)),))], MONDAY, SUNDAY)
    assert days.planned[0, 5:].tolist() == pytest.approx([0.02 * 40 / 7] * 2)


def test_laid_up_nothing_runs() -> None:
    spans = (Span(date(2026, 11, 1), MONDAY), Span(date(2026, 11, 25), date(2026, 11, 26)), Span(SUNDAY, None))
    days = days_of([Calendar(laid=spans)], MONDAY, SUNDAY)
    assert days.planned[0].tolist() == [0.0, 8.0, 0.0, 0.0, 8.0, 8.0, 0.0]


def held(day: int, who: str, rest: str = "") -> str:
    return f"\nheld-by truck:7 2026-11-{day:02}T08:00:00+01:00 lead\n  who {who}\n{rest}"


def test_laid_up_from_the_record() -> None:
    text = held(2, "laid-up") + held(9, "yard") + held(10, "laid-up", "  until 2026-11-13\n") + held(20, "laid-up")
    assert laid_up(counting(ENROLLED + text), ZONE) == (
        Span(date(2026, 11, 3), date(2026, 11, 8)),
        Span(date(2026, 11, 11), date(2026, 11, 12)),
        Span(date(2026, 11, 21), None),
    )
    assert laid_up(counting(ENROLLED + held(2, "laid-up") + held(2, "yard") + held(3, "hired-out")), ZONE) == ()


def test_the_clock_of_the_yard() -> None:
    noon = datetime(2026, 7, 1, 12, tzinfo=ZoneInfo("Europe/Berlin"))
    assert moment_of(noon, ZONE) == number_of(date(2026, 7, 1)) + 0.5
    assert moment_of(noon, UTC) == pytest.approx(number_of(date(2026, 7, 1)) + 10 / 24)
    assert day_of(moment_of(noon, ZONE)) == date(2026, 7, 1)


def test_the_season_comes_again_after_a_year() -> None:
    cosine, sine = season_at(np.array([100.0, 100.0 + 365.2425]))
    assert cosine[0] == pytest.approx(cosine[1])
    assert sine[0] == pytest.approx(sine[1])
    assert cosine[0] ** 2 + sine[0] ** 2 == pytest.approx(1.0)
