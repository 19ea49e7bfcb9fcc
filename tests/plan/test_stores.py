"""The models of stores against trying everything, beside the printed examples in `tests/published`."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm, poisson

from dipmark.plan.stores import (
    Lot,
    cost_normal,
    levels_poisson,
    lots_normal,
    lots_poisson,
    short_normal,
    short_poisson,
    upto_poisson,
)


def test_what_is_missing_is_a_mean() -> None:
    rng = np.random.default_rng(1)
    assert short_normal(11, 10, 3) == pytest.approx(np.maximum(rng.normal(10, 3, 10**6) - 11, 0).mean(), rel=0.01)
    many = np.arange(200)
    assert short_poisson(7, 6) == pytest.approx(float(poisson.pmf(many, 6) @ np.maximum(many - 7, 0)))


@pytest.mark.parametrize(
    ("order", "hold", "miss", "demand", "lead"), [(100, 20, 150, 1.5, 2), (3, 1, 9, 4, 1), (60, 2, 8, 9, 0.5)]
)
def test_no_point_and_lot_cost_less(order: float, hold: float, miss: float, demand: float, lead: float) -> None:
    def cost(point: int, size: int) -> float:
        levels = range(point + 1, point + size + 1)
        each = (hold * (at - demand * lead) + (hold + miss) * short_poisson(at, demand * lead) for at in levels)
        return (order * demand + sum(each)) / size

    best = min(cost(point, size) for point in range(-5, 30) for size in range(1, 60))
    assert lots_poisson(order, hold, miss, demand, lead).cost == pytest.approx(best)


@pytest.mark.parametrize(
    ("order", "hold", "miss", "mean"), [(5, 1, 4, 6), (64, 1, 9, 10), (12, 2, 3, 4), (0.5, 1, 9, 3)]
)
def test_no_pair_of_levels_costs_less(order: float, hold: float, miss: float, mean: float) -> None:
    """Against a chain of states, solved."""
    found = levels_poisson(order, hold, miss, mean)

    def cost(point: int, upto: int) -> float:
        states = list(range(point + 1, upto + 1))
        moves = np.zeros((len(states), len(states)))
        ordered = np.zeros(len(states))
        for row, state in enumerate(states):
            for down in range(state - point):
                moves[row, states.index(state - down)] += poisson.pmf(down, mean)
            ordered[row] = poisson.sf(state - point - 1, mean)
            moves[row, -1] += ordered[row]
        system = np.vstack([moves.T - np.eye(len(states)), np.ones(len(states))])
        share = np.linalg.lstsq(system, np.append(np.zeros(len(states)), 1), rcond=None)[0]
        each = [hold * (at - mean) + (hold + miss) * short_poisson(at, mean) for at in states]
        return float(share @ (np.array(each) + order * ordered))

    assert found.cost == pytest.approx(cost(int(found.point), int(found.point + found.size)), rel=1e-6)
    middle = int(upto_poisson(hold, miss, mean).level)
    around = [(low, high) for low in range(middle - 12, middle + 1) for high in range(low + 1, middle + 25)]
    assert found.cost <= min(cost(low, high) for low, high in around) + 1e-6


def test_the_cost_of_normal_demand_by_drawing() -> None:
    rng = np.random.default_rng(2)
    lead = norm.rvs(1300 / 12, 150 / 12**0.5, 400_000, random_state=rng)
    level = rng.uniform(126.8, 126.8 + 328.5, 400_000)
    drawn = 8 * 1300 / 328.5 + np.mean(0.225 * np.maximum(level - lead, 0) + 7.5 * np.maximum(lead - level, 0))
    assert cost_normal(Lot(126.8, 328.5, 0), 8, 0.225, 7.5, (1300, 150), 1 / 12) == pytest.approx(drawn, rel=0.005)
    assert lots_normal(8, 0.225, 7.5, (1300, 150), 1 / 12).cost == pytest.approx(78.07, abs=0.01)
