"""Working time that has run, and the instant at which it has."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from dipmark.derive.usage.calendar import Calendar, Week, days_of, number_of
from dipmark.derive.usage.clock import clock_of

MONDAY, LAST = date(2026, 11, 23), date(2026, 12, 6)
FIRST = float(number_of(MONDAY))
CALENDARS = (Calendar(), Calendar((Week(MONDAY, (8.0,) * 7),), laid=()), Calendar((Week(MONDAY, (24.0,) * 7),)))
CLOCK = clock_of(days_of(CALENDARS, MONDAY, LAST), np.array([0.5, 0.5, 0.5, 0.5, 0.5, 0.25, 0.125, 0.0]))
PLAIN = np.array([[1.0, 0.0, 0.0]])


def test_what_has_run() -> None:
    moments = FIRST + np.array([-5.0, 0.0, 0.5, 5.0, 7.0, 14.0, 99.0])
    sums = CLOCK.read(np.zeros(7, np.int64), moments)
    assert sums[:, 0] == pytest.approx([0.0, 0.0, 2.0, 20.0, 23.0, 46.0, 46.0])
    assert CLOCK.read(np.array([2]), np.array([FIRST + 7]))[0, 0] == pytest.approx(69.0)


def test_the_season_is_weighed_along() -> None:
    sums = CLOCK.read(np.array([0]), np.array([FIRST + 14]))[0]
    assert np.hypot(sums[1], sums[2]) == pytest.approx(sums[0], rel=0.01)


def test_when_is_read_turned_round() -> None:
    moments = FIRST + np.array([0.25, 3.0, 6.5, 13.9])
    row = np.array([0, 1, 2, 2])
    wave = np.array([[1.0, 0.2, -0.1]] * 4)
    target = (CLOCK.read(row, moments) * wave).sum(axis=1)
    assert CLOCK.when(row, wave, target) == pytest.approx(moments)


def test_after_the_last_day_it_never_comes() -> None:
    row, wave = np.zeros(2, np.int64), np.repeat(PLAIN, 2, axis=0)
    assert CLOCK.when(row, wave, np.array([46.0, 46.1])).tolist() == [pytest.approx(FIRST + 14), np.inf]
    assert CLOCK.when(row[:1], PLAIN, np.array([0.0])).tolist() == [FIRST]


def test_a_working_day_weighs_what_it_weighs_when_one_works() -> None:
    assert CLOCK.daily[0] == pytest.approx((5 * 16 + 4 + 1) / 23)
    assert CLOCK.daily[2] == pytest.approx(3 * CLOCK.daily[0])
