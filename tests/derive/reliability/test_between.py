"""Hours between faults as they are now: limits against chance, and where there are none."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.between import between, between_modified, factors_failure
from dipmark.derive.reliability.histories import History, histories

THREE = (10.0, 30.0, 70.0)


@pytest.mark.parametrize("until_fault", [True, False])
def test_limits_hold_what_they_promise(until_fault: bool) -> None:
    # Faults by 0.1 t^1.5; 80 % of 200 records within three standard deviations of chance. Time truncated the limits are
    # of Crow's kind, which hold a little more than they promise: the number of faults comes in steps.
    rng, inside, told = np.random.default_rng(8), 0, 0
    for _ in range(200):
        count = 12 if until_fault else int(rng.poisson(12))
        place = np.cumsum(rng.exponential(size=count)) if until_fault else np.sort(rng.random(count)) * 12
        hours = tuple(((place / 0.1) ** (1 / 1.5)).tolist())
        end = hours[-1] if until_fault else 120 ** (1 / 1.5)
        now = between(histories([History(hours, end, until_fault=until_fault)]), 0.80)
        if now is None or now.low is None or now.high is None:
            continue
        told += 1
        inside += now.low <= 1 / (0.15 * end**0.5) <= now.high
    assert told > 195
    assert inside / told == pytest.approx(0.80, abs=0.085)


def test_factors_of_many_faults_come_close_to_one() -> None:
    low, high = factors_failure(400, 0.90)
    assert 0.85 < low < 1 < high < 1.2


def test_several_units_to_the_same_hours_are_one_with_longer_gaps() -> None:
    alone, three = (between(histories([History(THREE, 100.0)] * count), 0.90) for count in (1, 3))
    assert alone is not None
    assert three is not None
    assert three.hours == pytest.approx(alone.hours)
    assert three.low is not None
    assert alone.low is not None
    assert three.low > alone.low


def test_without_a_rule_no_limit_is_told() -> None:
    for units in (
        [History(THREE, 100.0), History((20.0,), 50.0)],
        [History(THREE, 70.0, until_fault=True)] * 2,
        [History(THREE, 70.0, until_fault=True), History((20.0,), 70.0)],
    ):
        now = between(histories(units))
        assert now is not None
        assert (now.low, now.high) == (None, None)


def test_too_few_faults_say_nothing() -> None:
    assert between(histories([History((), 10)])) is None
    single = between(histories([History((4,), 10)]))
    assert single is not None
    assert (single.low is not None, single.high) == (True, None)
    assert between(histories([History((4, 9), 9, until_fault=True)])) is None


def test_the_modified_estimate_is_for_one_unit_and_two_faults() -> None:
    for units in (
        [History((5,), 10)],
        [History((5, 7), 10)] * 2,
        [History((5, 7, 9), 9, until_fault=True)],
        [History((10, 10), 10)],
    ):
        assert between_modified(histories(units), 0.8) is None
    wide = between_modified(histories([History((5, 7), 10)]), 0.99)
    assert wide is not None
    assert (wide.low is not None, wide.high) == (True, None)
