"""Scores: an honest forecast is the cheapest one."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.usage.scores import crps_drawn, crps_normal, held_limits, interval_score, pinball

DRAWN = np.random.default_rng(20261125).normal(3, 2, 20_000)


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9])
def test_the_true_quantile_costs_least(chance: float) -> None:
    tried = np.linspace(-1, 7, 81)
    costs = [pinball(np.array(one), DRAWN, chance).mean() for one in tried]
    assert tried[np.argmin(costs)] == pytest.approx(np.quantile(DRAWN, chance), abs=0.1)


def test_the_interval_score_is_the_pinball_losses_of_its_ends() -> None:
    both = pinball(np.array(1.0), DRAWN, 0.1) + pinball(np.array(5.0), DRAWN, 0.9)
    assert interval_score(np.array(1.0), np.array(5.0), DRAWN, 0.2) == pytest.approx(both * 2 / 0.2)


def test_many_draws_cost_what_their_distribution_costs() -> None:
    assert crps_drawn(DRAWN[:2000], 4.0) == pytest.approx(crps_normal(3, 2, 4.0), abs=0.03)


def test_limits_close_about_the_share() -> None:
    low, high = held_limits(800, 1000)
    assert (low, high) == pytest.approx((0.774, 0.824), abs=0.001)
    assert held_limits(8, 10)[1] - held_limits(8, 10)[0] > high - low
