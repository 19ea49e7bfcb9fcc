"""A fork that grew: wear that was taken back is doubted, and of two that contradict each other both."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from dipmark.derive.trend.doubt import BEYOND, ENOUGH, against, allowed, doubtful
from dipmark.derive.trend.fit import fit


def test_one_that_contradicts_several_is_doubtful_alone() -> None:
    assert against([0.0, 1.0, 2.0, 9.0, 3.0, 4.0, 5.0], 0.5) == {3: 4}
    assert against([0.0, 1.0, 2.0, 3.0, 0.2, 4.0], 0.5) == {4: 3}
    assert against([2.0, 0.5, 1.5], 0.4) == {0: 1}


def test_of_two_that_contradict_each_other_only_both_are() -> None:
    assert against([0.0, 1.0, 3.0, 2.0, 4.0], 0.5) == {2: 3, 3: 2}


def test_at_what_is_allowed_a_reading_is_good_and_beyond_it_is_not() -> None:
    assert against([0.0, 2.0, 1.5, 3.0], 0.5) == {}
    assert against([0.0, 2.0, 1.499, 3.0], 0.5) == {1: 2, 2: 1}


def test_what_is_kept_is_a_largest_set_that_agrees() -> None:
    # By trying every set.
    rng = np.random.default_rng(3)
    for _ in range(200):
        worn = (np.arange(8) * 0.3 + rng.normal(0, 1, 8)).tolist()

        def agree(chosen: tuple[int, ...], worn: list[float] = worn) -> bool:
            return all(worn[early] - worn[late] <= 0.8 for early, late in combinations(chosen, 2))

        largest = max(size for size in range(9) if any(agree(one) for one in combinations(range(8), size)))
        found = against(worn, 0.8)
        assert agree(tuple(index for index in range(8) if index not in found))
        sure = [index for index, other in found.items() if found.get(other) != index]
        assert 8 - len(found) <= largest <= 8 - len(sure)
        for index, other in found.items():
            assert not agree((min(index, other), max(index, other)))


def test_many_series_are_judged_like_one() -> None:
    worn = np.array([[0.0, 1.0, 2.0, 9.0, 3.0, 4.0], [0.0, np.nan, 1.0, 3.0, 2.0, 4.0], [0.0, 1, 2, 3, 4, 5]])
    found = doubtful(worn, np.full(3, 0.5))
    assert np.argwhere(found).tolist() == [[0, 3], [1, 3], [1, 4]]


def test_what_is_allowed_follows_the_instrument_or_the_readings() -> None:
    rng = np.random.default_rng(4)
    for readings, unknown in ((12, 0.5), (ENOUGH - 1, np.inf)):
        hours = np.zeros((4000, readings)) + np.arange(readings)
        line = fit(hours, rng.normal(0, 0.1, hours.shape), np.full(4000, 0.01))
        known = allowed(line, np.full(4000, 0.01), np.full(4000, 0.1))
        assert known == pytest.approx(BEYOND * 2**0.5 * 0.1)
        shown = allowed(line, np.full(4000, 0.01), np.full(4000, np.nan))
        assert np.median(shown) == pytest.approx(unknown, abs=0.2)
        values = rng.normal(0, 0.1, hours.shape)
        # Good readings of a part that does not wear, the worst case: one pair in 30,000 falls so far.
        assert doubtful(values, known).any(axis=1).mean() < readings * (readings - 1) / 2 / 30_000 * 2
