"""When to replace, against sums and searches of another kind."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.life import Law, lives, weibull
from dipmark.derive.reliability.made_up import pivots
from dipmark.derive.reliability.renewal import age, age_band, age_cost, block, minimal_repair, renewals

WEARS = Law("weibull", 2.5, 1000.0)


@pytest.mark.parametrize("law", [WEARS, Law("weibull", 1.2, 50.0), Law("lognormal", 0.4, 700.0)])
def test_no_other_age_costs_less(law: Law) -> None:
    found = age(law, 2, 30)
    assert found.hours is not None
    costs = age_cost(law, np.geomspace(1, 1e4, 20_001), 2, 30)
    assert found.cost == pytest.approx(float(costs.min()), rel=1e-6)
    assert found.cost <= float(costs.min()) * (1 + 1e-12)


def test_the_flat_range_costs_hardly_more() -> None:
    found = age(WEARS, 1, 5, flat=0.10)
    assert found.flat_low is not None
    assert found.flat_high is not None
    assert age_cost(WEARS, np.array([found.flat_low, found.flat_high]), 1, 5) == pytest.approx(found.cost * 1.1)
    mild = age(Law("weibull", 1.3, 1000.0), 1, 3)
    assert mild.hours is not None
    assert mild.flat_high is None


@pytest.mark.parametrize(
    ("law", "planned"), [(Law("weibull", 1.0, 9.0), 1), (Law("weibull", 0.7, 9.0), 1), (WEARS, 5), (WEARS, 9)]
)
def test_where_it_does_not_pay_it_runs_to_failure(law: Law, planned: float) -> None:
    for found in (age(law, planned, 5), block(law, planned, 5)):
        assert found.hours is None
        assert found.cost == found.run_to_failure == pytest.approx(5 / law.mean)
        assert (found.flat_low, found.flat_high) == (None, None)


@pytest.mark.parametrize(("planned", "failure"), [(0, 5), (1, 0), (1, 2e6)])
def test_costs_that_are_none_are_refused(planned: float, failure: float) -> None:
    for rule in (age, block):
        with pytest.raises(ValueError, match="costs over 0"):
            rule(WEARS, planned, failure)


def test_renewals_of_an_even_rate_are_its_hours() -> None:
    ages, expected = renewals(Law("weibull", 1.0, 100.0), 300)
    assert expected == pytest.approx(ages / 100, abs=2e-4)


def test_renewals_against_simulation() -> None:
    rng = np.random.default_rng(3)
    lived = np.cumsum(1000 * rng.weibull(2.5, (20_000, 20)), axis=1)
    ages, expected = renewals(WEARS, 3000)
    for hours in (500, 1000, 3000):
        assert np.interp(hours, ages, expected) == pytest.approx((lived <= hours).sum(axis=1).mean(), abs=0.015)


def test_minimal_repair_of_what_does_not_wear_is_never_an_overhaul() -> None:
    assert minimal_repair(1.0, 100, 1, 5).run_to_failure == 0.05
    assert minimal_repair(0.5, 100, 1, 5).hours is None
    found = minimal_repair(1.05, 100, 1, 5, flat=0.2)
    assert found.flat_high is not None
    assert found.hours is not None
    assert found.flat_high > 2 * found.hours


def test_a_band_about_the_interval() -> None:
    life = 1000 * np.random.default_rng(5).weibull(3.5, 60)
    data = lives(life, np.ones(60, bool))
    law = weibull(data)
    assert law is not None
    best, band = age(law, 1, 10), age_band(law, pivots(law, data), 1, 10, 0.90)
    assert best.hours is not None
    assert band.low is not None
    assert band.high is not None
    assert band.low < best.hours < band.high
    assert band.pays == 1


def test_a_band_where_it_may_not_pay_at_all() -> None:
    data = lives([100.0, 400.0, 900.0, 950.0], [True, True, True, False])
    law = weibull(data)
    assert law is not None
    band = age_band(law, pivots(law, data), 1, 2)
    assert (band.high, 0 < band.pays < 1) == (None, True)
    never = age_band(Law("weibull", 0.01, 100.0), pivots(law, data), 1, 2)
    assert (never.low, never.high, never.pays) == (None, None, 0)
