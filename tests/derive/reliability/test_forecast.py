"""Faults ahead: the mean by formula, the limits by what then happened."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.forecast import failures_ahead, faults_ahead
from dipmark.derive.reliability.histories import History, histories
from dipmark.derive.reliability.life import Law, lives, weibull
from dipmark.derive.reliability.made_up import pivots
from dipmark.derive.reliability.power_law import power_law


def test_faults_of_units_with_their_own_ends() -> None:
    units = histories([History((20.0, 60.0, 90.0), 100.0), History((5.0, 44.0), 44.0, until_fault=True)])
    law, found = power_law(units), faults_ahead(units, 50)
    assert law is not None
    assert found is not None
    assert found.expected == pytest.approx(sum(law.expected(end + 50) - law.expected(end) for end in (100, 44)))
    assert found.low <= found.expected <= found.high
    assert faults_ahead(histories([History((), 9)]), 50) is None


def test_the_faults_that_came_lay_within_the_limits() -> None:
    # 20 faults by hour 100 on the mean, shape 1.5; the next 30 hours: 80 % limits hold at least that often, the
    # number coming in steps.
    rng, inside, sets = np.random.default_rng(9), 0, 300
    for _ in range(sets):
        mean = 20 * 1.3**1.5
        place = np.sort(rng.random(rng.poisson(mean))) ** (1 / 1.5) * 130
        seen = place[place <= 100]
        found = faults_ahead(histories([History(tuple(seen.tolist()), 100.0)]), 30, 0.80, draws=1000)
        assert found is not None
        inside += found.low <= len(place) - len(seen) <= found.high
    assert 0.77 <= inside / sets <= 0.93


def test_failures_of_parts_that_run() -> None:
    life = 1000 * np.random.default_rng(2).weibull(2.0, 40)
    data = lives(np.minimum(life, 900), life <= 900)
    law = weibull(data)
    assert law is not None
    ages = [900.0] * int((life > 900).sum())
    found = failures_ahead(law, pivots(law, data), ages, 200)
    chance = 1 - float(law.alive(1100) / law.alive(900))
    assert found.expected == pytest.approx(len(ages) * chance)
    assert found.low < found.expected < found.high


def test_a_part_older_than_any_law_allows_fails_surely() -> None:
    law = Law("weibull", 50.0, 1.0)
    data = lives([0.98, 0.99, 1.0, 1.01], [True] * 4)
    found = failures_ahead(law, pivots(law, data, 200), [1e9], 1e9)
    assert found.expected == 1
