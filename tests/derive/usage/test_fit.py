"""How trucks run: levels, doubt, seasons, memory, changes of job, and readings that tell nothing."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from derive.usage.plain import CLOCK, DAYS, FIRST, PRIOR, readings, steady
from dipmark.derive.usage.calendar import number_of
from dipmark.derive.usage.clock import clock_of
from dipmark.derive.usage.fit import fit, steps_of, thinned


def test_one_reading_tells_nothing_of_the_rate() -> None:
    found = fit(readings([(10, 100.0)]), CLOCK, PRIOR)
    assert found.level.tolist() == [1.0]
    assert found.doubt[0].diagonal() == pytest.approx([1 / PRIOR.known, PRIOR.wave, PRIOR.wave])
    assert (found.hours.tolist(), found.moment.tolist()) == ([100.0], [number_of(FIRST) + 10])
    assert np.isnan(found.changed).all()


def test_readings_outweigh_the_kind_the_more_the_longer_they_go_on() -> None:
    found = fit(readings(steady(2.0, 14), steady(2.0, 140), steady(2.0, 700)), CLOCK, PRIOR)
    assert found.level[0] > found.level[1] > found.level[2] == pytest.approx(0.5, abs=0.01)
    assert found.doubt[0, 0, 0] > found.doubt[1, 0, 0] > found.doubt[2, 0, 0]


def test_the_level_is_that_of_the_conjugate_gamma_in_closed_form() -> None:
    # Gamma process of known shape, rate with a gamma prior (textbook conjugacy): (hours + prior) / (time + prior).
    prior = msgspec.structs.replace(PRIOR, wave=1e-9, memory=1e9)
    found = fit(readings(steady(2.0, 70)), CLOCK, prior)
    events = 70 * prior.even
    assert found.level[0] == pytest.approx((0.5 * events + prior.known) / (events + prior.known), rel=1e-6)
    assert found.doubt[0, 0, 0] == pytest.approx(1 / (events + prior.known), rel=1e-6)


def test_memory_fades() -> None:
    turned = [*steady(3.0, 140), *((147 + 7 * i, 420 + 7 * 4.2 * (i + 1)) for i in range(9))]
    long, short = (
        fit(readings(turned), CLOCK, msgspec.structs.replace(PRIOR, memory=memory)) for memory in (1e4, 20.0)
    )
    assert long.level[0] < short.level[0] == pytest.approx(4.2 / 4, abs=0.02)
    assert short.doubt[0, 0, 0] > long.doubt[0, 0, 0]


def test_a_change_of_job_is_seen_and_only_what_came_after_counts() -> None:
    turned = [*steady(4.0, 140), *((147 + 7 * i, 560 + 7 * 1.6 * (i + 1)) for i in range(9))]
    found = fit(readings(turned, steady(4.0, 203)), CLOCK, PRIOR)
    assert found.changed[0] == number_of(FIRST) + 140
    assert found.level[0] == pytest.approx(0.4, abs=0.03)
    assert np.isnan(found.changed[1])


def test_a_truck_that_stopped_has_changed_and_one_that_never_ran_has_not() -> None:
    stopped = [*steady(4.0, 140), *((147 + 7 * i, 560.0) for i in range(9))]
    found = fit(readings(stopped, [(7 * i, 5.0) for i in range(30)]), CLOCK, PRIOR)
    assert found.changed[0] == number_of(FIRST) + 140
    assert np.isnan(found.changed[1])
    assert (found.level < 0.05).all()


def test_a_season_of_its_own_is_learnt_where_trucks_differ() -> None:
    days = np.arange(0, 720, 7)
    angle = 2 * np.pi * (days + number_of(FIRST)) / 365.2425
    hours = 4.0 * days + 4.0 * 0.25 * np.sin(angle) * 365.2425 / 2 / np.pi
    made = readings(list(zip(days.tolist(), (hours - hours[0]).tolist(), strict=True)))
    alike, apart = (fit(made, CLOCK, msgspec.structs.replace(PRIOR, wave=wave)) for wave in (1e-6, 0.03))
    assert alike.wave[0] == pytest.approx([1.0, 0.0, 0.0], abs=0.01)
    assert apart.wave[0] == pytest.approx([1.0, 0.25, 0.0], abs=0.03)
    kind = msgspec.structs.replace(PRIOR, season=(0.25, 0.0))
    assert fit(made, CLOCK, kind).wave[0] == pytest.approx([1.0, 0.25, 0.0], abs=0.01)


def test_any_spacing_tells_the_same() -> None:
    found = fit(readings(steady(2.0, 140, 1), steady(2.0, 140, 7), steady(2.0, 140, 28)), CLOCK, PRIOR)
    assert found.level.tolist() == pytest.approx([found.level[1]] * 3, rel=0.01)


def test_of_each_week_the_last_reading_and_the_first_of_all() -> None:
    # 1970-01-01, from which days are counted, was a Thursday, as was 2026-01-01: its week ends on Wednesday.
    found = thinned(readings([(0, 0.0), (1, 1.0), (6, 2.0), (7, 3.0), (9, 4.0)], [(3, 9.0)]), 7.0)
    assert found.hours.tolist() == [0.0, 2.0, 4.0, 9.0]
    assert found.start.tolist() == [0, 3, 4]
    assert found.truck.tolist() == [0, 0, 0, 1]


def test_hours_do_not_fall_and_none_are_told_by_no_time() -> None:
    found = steps_of(readings([(0, 10.0), (7, 9.9), (7, 10.0), (14, 20.0)], [(0, 0.0), (7, 5.0)]), CLOCK)
    assert found.truck.tolist() == [0, 0, 1]
    assert found.hours.tolist() == [0.0, 10.0, 5.0]
    nothing = clock_of(DAYS._replace(planned=DAYS.planned * 0), np.array(PRIOR.factors))
    assert len(steps_of(readings(steady(4.0, 70)), nothing).hours) == 0
    assert fit(readings(steady(4.0, 70)), nothing, PRIOR).level.tolist() == [1.0]
