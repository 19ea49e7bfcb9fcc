"""Tests of trend: what they say of plain records, and how often they err."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, special

from dipmark.derive.reliability.histories import History, histories
from dipmark.derive.reliability.trends import anderson_darling_below, mann, trends


def test_faster_and_slower_faults_have_their_signs() -> None:
    place = np.arange(1, 16) / 16
    faster, slower = (trends(histories([History(tuple((place**power).tolist()), 1.0)])) for power in (0.5, 2.0))
    assert faster is not None
    assert slower is not None
    assert faster.lewis_robinson is not None
    assert slower.lewis_robinson is not None
    assert faster.laplace.statistic > 0 > slower.laplace.statistic
    assert faster.lewis_robinson.statistic > 0 > slower.lewis_robinson.statistic
    assert faster.mann.statistic < 0 < slower.mann.statistic
    assert faster.mil189.statistic < 30 < slower.mil189.statistic


def test_without_trend_they_err_as_often_as_they_say() -> None:
    rng, sets = np.random.default_rng(6), 1000
    errors = np.zeros(5)
    for _ in range(sets):
        units = [History(tuple(np.sort(rng.random(12) * end).tolist()), end) for end in (50.0, 100.0)]
        found = trends(histories(units))
        assert found is not None
        tests = (found.laplace, found.mil189, found.mann, found.anderson_darling, found.lewis_robinson)
        errors += [one is not None and one.p < 0.05 for one in tests]
    assert errors / sets == pytest.approx((0.05,) * 5, abs=0.03)


def test_fewer_than_three_faults_say_nothing() -> None:
    assert trends(histories([History((1, 2), 3)])) is None
    assert trends(histories([History((1, 2, 3), 3, until_fault=True)])) is None


def test_a_fault_at_the_very_end_counts_but_is_not_infinitely_much() -> None:
    found = trends(histories([History((2, 5, 9), 9)]))
    assert found is not None
    assert found.anderson_darling is not None
    assert np.isfinite(found.anderson_darling.statistic)
    assert found.laplace.statistic == pytest.approx((16 - 13.5) / (9 * np.sqrt(3 / 12)))


def test_what_cannot_be_said_is_not_said() -> None:
    ends = trends(histories([History((end,), end) for end in (5.0, 6.0, 7.0)]))
    assert ends is not None
    assert (ends.anderson_darling, ends.mann.statistic) == (None, 0)
    even = trends(histories([History((1, 2, 3, 4), 4.5)]))
    assert even is not None
    assert even.lewis_robinson is None


def test_reversals_of_one_gap_each_say_nothing() -> None:
    assert mann([np.array([4.0]), np.array([1.0])]) == 0


@pytest.mark.parametrize("statistic", [0.3, 0.8, 1.9, 2.1, 2.492, 5.5])
def test_the_law_of_anderson_and_darling(statistic: float) -> None:
    # The series of Anderson and Darling 1954 with its integral; 2.492 is the printed 5 % point.
    total = 0.0
    for j in range(12):
        odd = 4 * j + 1
        steep = odd**2 * np.pi**2 / (8 * statistic)
        inner = integrate.quad(lambda w, s=steep: np.exp(statistic / (8 * (w**2 + 1)) - s * w**2), 0, np.inf)[0]
        total += float(special.binom(-0.5, j)) * odd * np.exp(-steep) * inner
    assert anderson_darling_below(statistic) == pytest.approx(np.sqrt(2 * np.pi) / statistic * total, abs=5e-5)
