"""What a kind has in common: its week, season, levels, evenness and memory, from what was made up."""

from __future__ import annotations

from datetime import timedelta

import msgspec
import numpy as np
import pytest

from derive.usage.made import BUSY, FIRST, YEAR, calendars, read, yard
from derive.usage.plain import DAYS, PRIOR, readings, steady
from derive.usage.plain import FIRST as DAYS_FROM
from dipmark.derive.usage.calendar import days_of, number_of
from dipmark.derive.usage.learn import FEWEST, MEMORIES, prior_of
from dipmark.derive.usage.prior import Prior

TABLE = days_of(calendars(), FIRST, FIRST + timedelta(days=2 * YEAR))


@pytest.fixture(scope="module", params=[False, True], ids=["one season", "own seasons"])
def learnt(request: pytest.FixtureRequest) -> tuple[bool, Prior]:
    made = yard(11, 400, own_season=request.param)
    return request.param, prior_of(read(made, 11, np.full(400, 360.0)), TABLE, Prior())


def test_the_week_is_learnt(learnt: tuple[bool, Prior]) -> None:
    week = np.array(learnt[1].factors[:7])
    assert week[:4].min() > max(week[4:6]) > min(week[4:6]) > week[6] > 10 * learnt[1].factors[7]
    assert week[1:4].mean() == pytest.approx(0.275, abs=0.02)  # the mean of what trucks are used, 0.15 to 0.4


def test_a_weekday_is_worth_what_is_worked_on_it() -> None:
    rng = np.random.default_rng(5)
    weekday = (number_of(DAYS_FROM) + 3 + np.arange(100)) % 7
    used = 4.0 * np.array(BUSY)[weekday] * rng.uniform(0.5, 1.5, (50, 1)) * rng.gamma(3, 1 / 3, (50, 100))
    hours = np.concatenate([np.zeros((50, 1)), np.cumsum(used, axis=1)], axis=1)
    daily = readings(*(list(enumerate(one.tolist())) for one in hours))
    week = np.array(prior_of(daily, DAYS, PRIOR).factors[:7])
    assert week / week.mean() == pytest.approx(np.array(BUSY) / np.mean(BUSY), abs=0.06)


def test_the_season_is_learnt_as_one_or_as_each_trucks_own(learnt: tuple[bool, Prior]) -> None:
    own, prior = learnt
    size = np.hypot(*prior.season)
    if own:
        assert size < 0.05
        assert prior.wave == pytest.approx(0.25**2 / 2, rel=0.25)
    else:
        assert size == pytest.approx(0.25, abs=0.03)
        assert prior.wave < 0.005


def test_how_evenly_hours_run_and_how_far_trucks_differ(learnt: tuple[bool, Prior]) -> None:
    assert learnt[1].even == pytest.approx(3.0, abs=0.6)
    assert learnt[1].known == pytest.approx(0.275**2 / (0.25**2 / 12), rel=0.25)
    assert learnt[1].memory in MEMORIES
    assert learnt[1].trucks == 400


def test_from_few_trucks_nothing_is_learnt() -> None:
    few = readings(*(steady(4.0, 300) for _ in range(FEWEST - 1)))
    assert prior_of(few, DAYS, PRIOR) is PRIOR


def test_a_young_yard_keeps_the_season_and_the_memory_it_began_with() -> None:
    start = msgspec.structs.replace(PRIOR, season=(0.1, 0.05))
    rng = np.random.default_rng(4)
    young = readings(*([(0.0, 0.0), (2.0, float(rng.uniform(2, 6)))] for _ in range(FEWEST)))
    found = prior_of(young, DAYS, start)
    assert (found.season, found.wave, found.memory) == (start.season, start.wave, start.memory)
    assert found.trucks == FEWEST
    assert 0.2 < min(found.factors) < 0.3  # four hours in two days of eight planned, where it was read


def test_where_nothing_ran_or_nothing_was_read_twice_the_start_stays() -> None:
    never = prior_of(readings(*([(0.0, 5.0)] for _ in range(FEWEST))), DAYS, PRIOR)
    assert never == msgspec.structs.replace(PRIOR, trucks=FEWEST)


def test_a_rate_that_wanders_makes_the_memory_short() -> None:
    rng = np.random.default_rng(6)
    weeks = 60
    rate = np.exp(np.cumsum(rng.normal(0, 0.12, (200, weeks)), axis=1))
    hours = np.cumsum(28 * rate * rng.gamma(21, 1 / 21, rate.shape), axis=1)
    days = 7.0 * np.arange(1, weeks + 1)
    wandering = readings(*(list(zip(days.tolist(), one.tolist(), strict=True)) for one in hours))
    even = np.cumsum(28 * rng.uniform(0.3, 1.7, (200, 1)) * rng.gamma(21, 1 / 21, rate.shape), axis=1)
    settled = readings(*(list(zip(days.tolist(), one.tolist(), strict=True)) for one in even))
    assert prior_of(wandering, DAYS, PRIOR).memory < 120 <= prior_of(settled, DAYS, PRIOR).memory


def test_own_seasons_need_readings_that_show_them() -> None:
    # Two readings a truck over a year: no truck shows a season of its own, so the spread stays what it was.
    rng = np.random.default_rng(8)
    thin = readings(*([(0.0, 0.0), (350.0, float(350 * rng.uniform(3, 5)))] for _ in range(FEWEST)))
    assert prior_of(thin, DAYS, PRIOR).wave == PRIOR.wave
