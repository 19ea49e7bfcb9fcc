"""Run lengths at their edges and against a simulation; the published ones stand in tests/published/test_charts.py."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from dipmark.derive.trend.change import both_sides, cusum_length, ewma_length
from dipmark.derive.trend.chart import averages, sums


def test_a_sum_that_any_value_passes_alarms_at_the_first() -> None:
    assert cusum_length(lambda step: norm.cdf(step - 50), limit=1.0) == pytest.approx(1)


def test_a_chart_without_memory_is_a_geometric_wait() -> None:
    # A moving average with weight 1 is the value itself: 1 / P(|value| > 3) = 370.398, any table.
    assert ewma_length(norm.cdf, 1.0, 3.0) == pytest.approx(370.398, abs=5e-4)


def test_both_lengths_are_what_charts_do() -> None:
    rng = np.random.default_rng(2)
    first_sums, first_averages = [], []
    for _ in range(2000):
        values = rng.normal(0.5, 1, 400)
        first_sums.append(int(np.argmax(sums(values, 0.0, 0.5).high > 3)) + 1)
        first_averages.append(int(np.argmax(np.abs(averages(values, 0.0, 0.2)) > 0.9)) + 1)
    assert np.mean(first_sums) == pytest.approx(cusum_length(norm.cdf, 3.0), rel=0.06)
    assert np.mean(first_averages) == pytest.approx(
        ewma_length(lambda value: norm.cdf(value - 0.5), 0.2, 0.9), rel=0.06
    )


def test_a_head_start_shortens_and_one_side_without_alarms_changes_nothing() -> None:
    full, half, none = (cusum_length(norm.cdf, 4.0, start=start) for start in (2.0, 1.0, 0.0))
    assert full < half < none
    assert both_sides(100, 1e12, 80, 1e12) == pytest.approx(80)
