"""Charts at their edges; the published ones stand in tests/published/test_charts.py."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.trend.chart import alarm_limit, average_limits, averages, individuals, sums


def test_values_that_never_move_have_limits_at_their_mean() -> None:
    limits = individuals(np.array([7.0, 7.0, 7.0]))
    assert (limits.low, limits.middle, limits.high) == (7.0, 7.0, 7.0)


def test_each_alarm_limit_names_its_rule() -> None:
    found = alarm_limit(np.array([3.0, 1.0, 2.0]), 50, "median_unbiased")
    assert found.value == 2.0
    assert found.text == "2: 50 % of 3 values, rule median_unbiased"


def test_a_value_at_the_allowance_adds_nothing() -> None:
    found = sums(np.array([10.5, 10.75, 9.5, 9.0]), target=10.0, allowance=0.5)
    assert found.high.tolist() == [0.0, 0.25, 0.0, 0.0]
    assert found.low.tolist() == [0.0, 0.0, 0.0, 0.5]


def test_a_weight_of_one_is_the_value_itself() -> None:
    values = np.array([3.0, 5.0, 4.0])
    assert averages(values, 0.0, 1.0).tolist() == values.tolist()
    limits = average_limits(4.0, 1.0, 1.0, 3.0)
    assert (limits.low, limits.high) == (1.0, 7.0)


def test_the_average_of_noise_has_the_spread_that_its_limits_say() -> None:
    # By simulation: a value in 370 of a normal distribution is beyond three standard deviations.
    found = averages(np.random.default_rng(1).normal(5, 2, 200_000), 5.0, 0.2)
    limits = average_limits(5.0, 2.0, 0.2, 3.0)
    beyond = np.mean((found < limits.low) | (found > limits.high))
    assert 1 / beyond == pytest.approx(370, rel=0.15)
