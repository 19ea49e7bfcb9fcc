"""The mean cumulative function against its definition, unit by unit."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.histories import History, histories
from dipmark.derive.reliability.recurrent import cumulative


def by_definition(units: list[History], hours: float) -> tuple[float, float]:
    """Mean and variance, straight from Nelson 1995 and Lawless and Nadeau 1995: a sum over units of a sum over ages."""
    ages = sorted({age for one in units for age in one.events if age <= hours})
    mean, parts = 0.0, np.zeros(len(units))
    for age in ages:
        risk = [one.start < age <= one.end for one in units]
        costs = one_costs(units, age)
        step = costs.sum() / sum(risk)
        mean += step
        parts += np.where(risk, (costs - step) / sum(risk), 0)
    return mean, float((parts**2).sum())


def one_costs(units: list[History], age: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.array([
        sum(cost for at, cost in zip(one.events, one.costs or (1.0,) * len(one.events), strict=True) if at == age)
        for one in units
    ])  # fmt: skip


def made(rng: np.random.Generator, *, costs: bool) -> list[History]:
    units = []
    for _ in range(12):
        start = float(rng.choice([0.0, 0.0, 3.0, 8.0]))
        end = start + float(rng.integers(5, 40))
        events = tuple(sorted(float(one) for one in rng.integers(int(start) + 1, int(end) + 1, rng.integers(0, 6))))
        money = tuple(float(one) for one in rng.integers(1, 50, len(events))) if costs else ()
        units.append(History(events, end, start, money))
    return units


@pytest.mark.parametrize("seed", range(20))
def test_it_is_the_sum_over_units(seed: int) -> None:
    units = made(np.random.default_rng(seed), costs=seed % 2 == 1)
    found = cumulative(histories(units))
    for at, hours in enumerate(found.hours):
        mean, variance = by_definition(units, float(hours))
        assert found.value[at] == pytest.approx(mean, rel=1e-12)
        assert found.se[at] ** 2 == pytest.approx(variance, rel=1e-9, abs=1e-12)


def test_a_fault_at_the_end_of_the_watch_counts_its_unit() -> None:
    found = cumulative(histories([History((10,), 10), History((), 10)]))
    assert (found.at_risk.tolist(), found.value.tolist()) == ([2], [0.5])


def test_a_unit_that_enters_at_a_fault_is_not_at_risk_there() -> None:
    found = cumulative(histories([History((10,), 20), History((), 20, start=10)]))
    assert (found.at_risk.tolist(), found.value.tolist()) == ([1], [1])


def test_limits_widen_with_the_level() -> None:
    units = histories(made(np.random.default_rng(5), costs=False))
    wide, narrow = cumulative(units, 0.99), cumulative(units, 0.80)
    assert np.all(wide.low[narrow.se > 1e-9] < narrow.low[narrow.se > 1e-9])
    assert np.all(wide.high_plain >= narrow.high_plain)


def test_without_a_fault_there_is_nothing_to_show() -> None:
    found = cumulative(histories([History((), 10)]))
    assert len(found.hours) == len(found.high) == 0


def test_faults_that_cost_nothing() -> None:
    found = cumulative(histories([History((5,), 10, costs=(0.0,)), History((), 9)]))
    assert (found.value.tolist(), found.low.tolist(), found.high.tolist()) == ([0], [0], [0])
