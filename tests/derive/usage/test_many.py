"""What many trucks teach of their kind, from their records."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from derive.builders import ENROLLED, ZONE, at, counting
from dipmark.derive.meter import meters_of
from dipmark.derive.usage.calendar import Calendar, Week
from dipmark.derive.usage.learn import FEWEST
from dipmark.derive.usage.many import learnt_from
from dipmark.derive.usage.prior import Prior

MONDAY = date(2026, 3, 2)
WEEK = Calendar((Week(MONDAY, (8.0,) * 5 + (0.0, 0.0)),))


def test_the_hours_of_a_planned_hour_are_found_again() -> None:
    """Made-up trucks that run 3.2 of 8 planned hours on each working day, read every evening, for thirty weeks."""
    rng = np.random.default_rng(1)
    lives = []
    for _ in range(FEWEST):
        hours, text, level = 100.0, "", rng.uniform(0.8, 1.2)
        for number in range(150):
            day = MONDAY + timedelta(days=number // 5 * 7 + number % 5)
            hours += float(rng.gamma(3, 3.2 * level / 3))
            text += f"\nmeter-read truck:7 {day.isoformat()}T20:00:00+01:00 ana\n  hours {hours:.1f}\n"
        record = counting(ENROLLED + text)
        lives.append((meters_of(record, ZONE)[0], record))
    prior = learnt_from(lives, WEEK, at("2026-10-01T12:00:00"), ZONE)
    assert prior.trucks == FEWEST
    assert prior.factors[:5] == pytest.approx([0.4] * 5, rel=0.1)
    unread = counting(ENROLLED)
    fewer = [*lives[1:], (meters_of(unread, ZONE)[0], unread)]
    assert learnt_from(fewer, WEEK, at("2026-10-01T12:00:00"), ZONE) == Prior()


def test_trucks_that_nobody_read_teach_nothing() -> None:
    unread = counting(ENROLLED)
    assert learnt_from([(meters_of(unread, ZONE)[0], unread)], WEEK, at("2026-10-01T12:00:00"), ZONE) == Prior()
