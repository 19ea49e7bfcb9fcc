"""How many more hours it takes to tell, by doing it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from dipmark.derive.reliability.enough import faults_needed, hours_for_law, hours_for_shape, hours_for_trend
from dipmark.derive.reliability.histories import Histories, History, histories
from dipmark.derive.reliability.life import Law, lives, weibull
from dipmark.derive.reliability.life_limits import weibull_limits
from dipmark.derive.reliability.power_law import PowerLaw, power_law


def record(power: float, faults: int, end: float) -> tuple[Histories, PowerLaw]:
    """A record of so many faults, spread as evenly as its law says."""
    place = (np.arange(1, faults + 1) - 0.5) / faults
    units = histories([History(tuple((place ** (1 / power) * end).tolist()), end)])
    law = power_law(units)
    assert law is not None
    return units, law


@pytest.mark.parametrize("power", [1.6, 0.6])
def test_after_so_many_hours_it_can_be_told(power: float) -> None:
    units, law = record(power, 8, 1000)
    more = hours_for_trend(units, law)
    assert more is not None
    assert more > 0
    end = 1000 + more
    told = power_law(record(law.beta, round(law.expected(end)), end)[0])
    assert told is not None
    assert (told.low > 0.97) if power > 1 else (told.high < 1.03)


def test_what_can_be_told_needs_no_more() -> None:
    units, law = record(2.5, 40, 1000)
    assert hours_for_trend(units, law) == 0


def test_what_is_steady_cannot_be_told_by_watching() -> None:
    units, law = record(1.0, 20, 1000)
    for beta in (1.0, 1.0002, 1.002):
        made = PowerLaw(beta, law.scale, law.eta, 0.6, 1.5, "time", 20)
        assert hours_for_trend(units, made) is None
    assert faults_needed(1.0005) is None
    assert faults_needed(60) == 1


@pytest.mark.parametrize("beta", [1.4, 0.7])
def test_faults_needed_are_the_fewest(beta: float) -> None:
    needed = faults_needed(beta, 0.90)
    assert needed is not None
    for faults, enough in ((needed, True), (needed - 1, False)):
        low, high = (beta * stats.chi2.ppf(p, 2 * faults) / (2 * faults) for p in (0.05, 0.95))
        assert bool(low > 1 or high < 1) is enough


def test_no_more_faults_than_there_are_need_no_more_hours() -> None:
    # Several units: the limits of the law are those of the conditional shape and may lie about 1 with enough faults.
    units, law = record(1.8, 12, 1000)
    made = PowerLaw(3.0, law.scale, law.eta, 0.99, 4.0, "time", 12)
    assert hours_for_trend(units, made) == 0


def test_hours_for_a_shape() -> None:
    life = 1000 * np.random.default_rng(4).weibull(1.6, 12)
    data = lives(np.minimum(life, 800), life <= 800)
    law = weibull(data)
    assert law is not None
    limits = weibull_limits(law, data)
    more = hours_for_shape(data, law, limits)
    assert more is not None
    assert more > 0
    times = (data.watched + more) / data.watched
    assert (np.log(law.shape / limits.shape_low) / np.sqrt(times)) == pytest.approx(np.log(law.shape))
    assert hours_for_shape(data, Law("weibull", 1.001, law.scale), limits) is None
    young = hours_for_shape(data, Law("weibull", 0.8, law.scale), type(limits)(0.5, 1.2, 1, 2, "calibrated"))
    assert young == pytest.approx(data.watched * ((np.log(1.5) / np.log(0.8)) ** 2 - 1))
    assert hours_for_shape(data, law, type(limits)(1.1, 2.2, 1, 2, "calibrated")) == 0


def test_hours_for_a_law_at_all() -> None:
    assert hours_for_law(1000, 1) == 1000
    assert hours_for_law(1000, 0) == pytest.approx(2 * 1000 / np.log(2))
