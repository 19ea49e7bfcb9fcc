"""What lies ahead: mean and doubt, three dates, and what a reading would gain."""

from __future__ import annotations

import numpy as np
import pytest

from derive.usage.plain import CLOCK, FIRST, PRIOR, readings, steady
from dipmark.derive.usage.ahead import once_read, passes, ran_until
from dipmark.derive.usage.calendar import number_of
from dipmark.derive.usage.fit import fit

ROW = np.zeros(1, np.int64)
FITTED = fit(readings(steady(4.0, 350)), CLOCK, PRIOR)
NOW = number_of(FIRST) + 350.0


def moments(*days: float) -> list[float]:
    return [NOW + day for day in days]


def test_the_mean_and_how_sure_it_is() -> None:
    ran = ran_until(FITTED, ROW, CLOCK, PRIOR, np.array([NOW + 28]))
    assert ran.hours[0] == pytest.approx(112, abs=1)
    assert ran.events[0] == pytest.approx(28 * PRIOR.even)
    far = ran_until(FITTED, ROW, CLOCK, PRIOR, np.array([NOW + 900]))
    assert far.known[0] < ran.known[0] < 1 / FITTED.doubt[0, 0, 0]


def test_a_last_reading_of_a_whole_day_leaves_its_hour_open() -> None:
    sure, open_ = (
        1 / ran_until(FITTED._replace(span=np.array([span])), ROW, CLOCK, PRIOR, np.array([NOW + 2])).known[0]
        for span in (0.0, 1.0)
    )
    assert open_ - sure == pytest.approx(0.25 / 12)
    at_once = ran_until(FITTED._replace(span=np.array([1.0])), ROW, CLOCK, PRIOR, np.array([NOW]))
    assert 1 / at_once.known[0] >= 1 / 3


def test_three_dates_about_the_mark() -> None:
    early, about, late = (float(one[0]) for one in passes(FITTED, ROW, CLOCK, PRIOR, FITTED.hours + 112.0))
    assert early < about < late
    assert about == pytest.approx(NOW + 28, abs=0.5)
    # 28 days of gamma shape 3: one standard deviation is 28 / √84 days, 1.28 of them to either side.
    assert late - early == pytest.approx(2 * 1.2816 * 28 / np.sqrt(84), rel=0.15)


def test_what_is_reached_and_what_never_comes() -> None:
    for left in (0.0, -50.0):
        assert [float(one[0]) for one in passes(FITTED, ROW, CLOCK, PRIOR, FITTED.hours + left)] == moments(0, 0, 0)
    early, about, late = (float(one[0]) for one in passes(FITTED, ROW, CLOCK, PRIOR, FITTED.hours + 4330.0))
    assert np.isfinite(early)
    assert (np.isfinite(about), late) == (True, np.inf)


def test_a_reading_makes_the_dates_narrower_about_the_same_day() -> None:
    old = fit(readings(steady(4.0, 70)), CLOCK, PRIOR)
    mark = old.hours + 4.0 * 100
    after = once_read(old, ROW, CLOCK, PRIOR, np.array([number_of(FIRST) + 140.0]))
    assert after.hours[0] == pytest.approx(560, abs=5)
    assert after.doubt[0, 0, 0] < old.doubt[0, 0, 0]
    before, then = (passes(one, ROW, CLOCK, PRIOR, mark) for one in (old, after))
    assert then[1][0] == pytest.approx(before[1][0], abs=1.5)
    assert then[2][0] - then[0][0] < 0.7 * (before[2][0] - before[0][0])


def test_what_a_reading_gains_is_what_it_gains_when_it_comes() -> None:
    old = fit(readings(steady(4.0, 70)), CLOCK, PRIOR)
    told = once_read(old, ROW, CLOCK, PRIOR, np.array([number_of(FIRST) + 140.0]))
    came = fit(readings(steady(4.0, 140)), CLOCK, PRIOR)
    assert told.doubt[0, 0, 0] == pytest.approx(came.doubt[0, 0, 0], rel=0.1)
    assert told.span.tolist() == [0.0]
