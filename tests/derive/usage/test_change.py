"""Where a truck would most likely have changed its job."""

from __future__ import annotations

import numpy as np
from scipy.stats import gamma

from dipmark.derive.usage.change import BROAD, likeliest_change

HOURS = (5.0, 6.0, 4.0, 5.0, 11.0, 9.0, 12.0)


def test_it_is_found_where_the_rate_jumps() -> None:
    truck = np.repeat([0, 2], [7, 4])
    hours = np.array([*HOURS, 8.0, 8.0, 1.0, 1.0])
    found = likeliest_change(truck, np.full(11, 10.0), hours, 4)
    assert found.tolist() == [3, -1, 8, -1]


def test_one_step_has_no_before_and_after() -> None:
    assert likeliest_change(np.array([0, 1, 1]), np.full(3, 10.0), np.ones(3), 2).tolist()[0] == -1
    nothing = np.zeros(0)
    assert likeliest_change(nothing.astype(np.int64), nothing, nothing, 2).tolist() == [-1, -1]


def test_it_is_the_likeliest_by_numerical_integration_over_both_rates() -> None:
    # Gamma densities times a gamma prior of the rate, integrated on a grid: against a formula put down wrong.
    events, hours = 6.0, np.array(HOURS)
    used = hours * events * len(hours) / hours.sum()
    rates = np.linspace(0.005, 8, 4000)
    prior = gamma.pdf(rates, BROAD, scale=1 / BROAD)

    def likely(part: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
        densities = np.prod([gamma.pdf(one, events, scale=1 / rates) for one in part], axis=0)
        return float(np.log((densities * prior).sum()))

    whole = [likely(used[:cut]) + likely(used[cut:]) for cut in range(1, len(used))]
    found = likeliest_change(np.zeros(7, np.int64), np.full(7, events), hours, 1)
    assert found.tolist() == [int(np.argmax(whole))]
    assert max(whole) - whole[0] > 1.0
