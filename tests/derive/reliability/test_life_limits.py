"""Limits that hold what they promise, where the textbook's are too narrow."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from dipmark.derive.reliability import life_limits as module
from dipmark.derive.reliability.life import Law, Lives, lives, lognormal, weibull
from dipmark.derive.reliability.life_limits import Limits, ratio_limits, weibull_limits
from dipmark.derive.reliability.made_up import pivots

HANDBOOK = lives([54, 187, 216, 240, 244, 335, 361, 373, 375, 386] + [500] * 10, [True] * 10 + [False] * 10)


def covered(until: str, sets: int, limits: Callable[[Law, Lives], Limits]) -> tuple[float, float]:
    """How often limits of 90 % hold the true shape and scale."""
    rng, inside = np.random.default_rng(31), np.zeros(2)
    for _ in range(sets):
        life = 1000 * rng.weibull(2, 20)
        ends = {"failure": np.sort(life)[9], "time": 1000 * np.log(2) ** 0.5, "random": 1000 * rng.weibull(2, 20)}
        data = lives(np.minimum(life, ends[until]), life <= ends[until])
        law = weibull(data)
        assert law is not None
        found = limits(law, data)
        inside += (found.shape_low <= 2 <= found.shape_high, found.scale_low <= 1000 <= found.scale_high)
    shape, scale = (float(one) for one in inside / sets)
    return shape, scale


@pytest.mark.parametrize("until", ["failure", "time", "random"])
def test_they_hold(until: str) -> None:
    # 150 sets, three standard deviations of chance; 5,000 sets in bench/prove_lessons.py.
    ours = covered(until, 150, lambda law, data: weibull_limits(law, data, 0.9, pivots(law, data, 500)))
    assert ours == pytest.approx((0.90, 0.90), abs=0.075)


def test_the_plain_ratio_does_not_hold_where_the_watch_ended_with_a_failure() -> None:
    # Its shape: 85.2 % of 1,000 sets.
    assert covered("failure", 150, lambda law, data: ratio_limits(law, data, 0.9))[0] < 0.88


def test_the_same_lives_have_the_same_limits() -> None:
    law = weibull(HANDBOOK)
    assert law is not None
    first, again = weibull_limits(law, HANDBOOK), weibull_limits(law, HANDBOOK)
    assert first == again
    assert first.how == "calibrated"
    assert first.shape_low < law.shape < first.shape_high
    assert first.scale_low < law.scale < first.scale_high


def test_they_come_close_to_the_plain_ratio_with_many_failures(monkeypatch: pytest.MonkeyPatch) -> None:
    life = 1000 * np.random.default_rng(1).weibull(2, 90)
    data = lives(life, np.ones(90, bool))
    law = weibull(data)
    assert law is not None
    ours = weibull_limits(law, data, 0.90)
    monkeypatch.setattr(module, "MOST", 50)
    plain = weibull_limits(law, data, 0.90)
    assert (ours.how, plain.how) == ("calibrated", "likelihood ratio")
    for name in ("shape_low", "shape_high", "scale_low", "scale_high"):
        assert getattr(ours, name) == pytest.approx(getattr(plain, name), rel=0.03)


def test_with_two_failures_the_likely_shapes_may_all_lie_below_the_fit() -> None:
    # Fitted shapes of two failures are far too high: three in four of the made-up ones lie above the truth.
    data = lives([300.0, 700.0], [True, True])
    law = weibull(data)
    assert law is not None
    found = weibull_limits(law, data, 0.5)
    assert found.shape_low < found.shape_high < law.shape
    assert (pivots(law, data).shape > 1).mean() > 0.75


@pytest.mark.parametrize(
    "data",
    [
        lives([5.0, 9.0, 12.0, 14.0], [True, True, True, False], entry=[0.0, 2.0, 1.0, 0.0]),
        lives([5.0, 9.0, 12.0, 14.0], [True, True, True, False], after=[3.0, 9.0, 10.0, 14.0]),
    ],
)
def test_late_entries_and_inspections_have_the_plain_ratio(data: Lives) -> None:
    law = weibull(data)
    assert law is not None
    found = weibull_limits(law, data, 0.9)
    assert found.how == "likelihood ratio"
    assert found.shape_low < law.shape < found.shape_high
    assert found.scale_low < law.scale < found.scale_high


def test_lognormal_limits() -> None:
    law = lognormal(HANDBOOK)
    assert law is not None
    found = ratio_limits(law, HANDBOOK, 0.9)
    assert found.shape_low < law.shape < found.shape_high
    assert found.scale_low < law.scale < found.scale_high


def test_a_limit_that_is_nowhere_is_infinite() -> None:
    # Two failures among a thousand: the scale may be anything above.
    data = lives([5.0, 6.0, 7.0], [True, True, False], [1, 1, 1000])
    law = weibull(data)
    assert law is not None
    found = ratio_limits(law, data, 0.999)
    assert (found.shape_low, found.scale_high) == (0, np.inf) or found.scale_high > 1e6
