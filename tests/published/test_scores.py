"""Scores of forecasts; check values, section 9: two independent libraries and own sums agree, none printed."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm, poisson

from dipmark.derive.usage.scores import crps_drawn, crps_normal, crps_poisson, held_limits, interval_score, pinball


def test_pinball() -> None:
    assert float(pinball(np.array(5.0), np.array(3.0), 0.9)) == pytest.approx(0.2, abs=1e-12)
    assert float(pinball(np.array(3.0), np.array(5.0), 0.9)) == pytest.approx(1.8, abs=1e-12)


def test_interval_score() -> None:
    assert float(interval_score(np.array(2.0), np.array(7.0), np.array(9.0), 0.1)) == pytest.approx(45.0, abs=1e-12)
    assert float(interval_score(np.array(2.0), np.array(7.0), np.array(1.0), 0.1)) == pytest.approx(25.0, abs=1e-12)
    assert float(interval_score(np.array(2.0), np.array(7.0), np.array(7.0), 0.1)) == 5.0


def test_crps_of_a_normal_forecast() -> None:
    # (√2 - 1) / √π at the mean of N(0, 1).
    assert crps_normal(0, 1, 0) == pytest.approx(0.233694977, abs=5e-10)
    assert crps_normal(0.4, 2, 1.3) == pytest.approx(0.626289286, abs=5e-10)


def test_crps_of_draws() -> None:
    # The form with 1/m².
    assert crps_drawn(np.array([1, 2, 4, 7, 7.5]), 3) == pytest.approx(1.06, abs=1e-12)


def test_crps_of_a_poisson_forecast() -> None:
    assert crps_poisson(3.2, 5) == pytest.approx(1.161105, abs=5e-7)


@pytest.mark.parametrize("came", [-1.0, 0.3, 4.0])
def test_crps_is_the_squared_distance_of_the_distributions(came: float) -> None:
    # The definition, integrated and summed numerically.
    below = quad(lambda x: norm.cdf(x, 0.5, 1.5) ** 2, -15, came)[0]
    above = quad(lambda x: norm.sf(x, 0.5, 1.5) ** 2, came, 16)[0]
    assert crps_normal(0.5, 1.5, came) == pytest.approx(below + above, abs=1e-7)
    counts = np.arange(60)
    whole = ((poisson.cdf(counts, 3.2) - (counts >= 2)) ** 2).sum()
    assert crps_poisson(3.2, 2) == pytest.approx(whole, abs=1e-9)


def test_limits_of_a_share() -> None:
    # Newcombe 1998, Statistics in Medicine 17:857, table I, method 3 (from memory): 81 of 263.
    assert held_limits(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)
    assert held_limits(0, 20)[0] == pytest.approx(0.0, abs=1e-12)
    assert held_limits(20, 20)[1] == pytest.approx(1.0, abs=1e-12)
