"""Survival without a law, and two groups, against lifelines."""

from __future__ import annotations

import numpy as np
import pytest
from lifelines import KaplanMeierFitter
from lifelines.statistics import logrank_test

from dipmark.derive.reliability.life import lives
from dipmark.derive.reliability.survival import apart, kaplan_meier

RNG = np.random.default_rng(21)
HOURS = RNG.integers(1, 40, 60).astype(float)
FAILED = RNG.random(60) < 0.6
ENTRY = np.where(RNG.random(60) < 0.4, np.floor(HOURS / 2), 0.0)


@pytest.mark.parametrize("late", [True, False])
def test_share_alive(late: bool) -> None:
    entry = ENTRY if late else None
    found, fitter = kaplan_meier(lives(HOURS, FAILED, entry=entry)), KaplanMeierFitter()
    fitter.fit(HOURS, FAILED, entry=entry)
    theirs = fitter.survival_function_at_times(found.hours).to_numpy()
    assert found.alive == pytest.approx(theirs, abs=1e-12)
    limits = fitter.confidence_interval_survival_function_.loc[found.hours].to_numpy()
    kept = found.alive > 0
    assert found.low[kept] == pytest.approx(limits[kept, 0], abs=1e-9)
    assert found.high[kept] == pytest.approx(limits[kept, 1], abs=1e-9)


def test_counts_stand_for_parts() -> None:
    many = kaplan_meier(lives([3.0, 5.0, 8.0], [True, False, True], [2, 3, 1]))
    each = kaplan_meier(lives([3.0, 3.0, 5.0, 5.0, 5.0, 8.0], [True, True, False, False, False, True]))
    assert many.alive.tolist() == each.alive.tolist()
    assert (many.at_risk.tolist(), many.failed.tolist()) == ([6, 1], [2, 1])
    assert (many.low[-1], np.isnan(many.high[-1])) == (0, True)


def test_two_groups() -> None:
    one, other = slice(0, 25), slice(25, 60)
    found = apart(lives(HOURS[one], FAILED[one]), lives(HOURS[other] * 1.5, FAILED[other]))
    theirs = logrank_test(HOURS[one], HOURS[other] * 1.5, FAILED[one], FAILED[other])
    assert (found.statistic, found.p) == pytest.approx((theirs.test_statistic, theirs.p_value), rel=1e-9)


def test_groups_of_which_nothing_can_be_said() -> None:
    found = apart(lives([5.0], [False]), lives([6.0], [True]))
    assert (found.statistic, found.p) == (0, 1)
