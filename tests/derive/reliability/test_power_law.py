"""The power law against its likelihood, its limits against chance, and what is too little."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from dipmark.derive.reliability.histories import Histories, History, histories
from dipmark.derive.reliability.power_law import alike, goodness, grouped, log_sum, power_law

MIXED = [History((3.0, 40.0, 61.0), 100.0), History((20.0, 55.0), 55.0, until_fault=True), History((), 30.0)]


def likelihood(units: Histories, beta: float, scale: float) -> float:
    told = np.log(scale * beta) + (beta - 1) * np.log(units.age)
    return float(told.sum() - scale * (units.end**beta).sum())


def test_it_is_the_likeliest() -> None:
    units = histories(MIXED)
    law = power_law(units)
    assert law is not None
    best = optimize.minimize(
        lambda at: -likelihood(units, *np.exp(at)), [0.0, -3.0], method="Nelder-Mead",
        options={"xatol": 1e-10, "fatol": 1e-13},
    )  # fmt: skip
    assert (law.beta, law.scale) == pytest.approx(tuple(np.exp(best.x)), rel=1e-6)
    assert law.truncation == "mixed"
    assert law.expected(law.eta) == pytest.approx(1)


@pytest.mark.parametrize("until_fault", [True, False])
def test_limits_of_beta_hold_what_they_promise(until_fault: bool) -> None:
    # 15 faults, 2,000 records: 90 % within three standard deviations of chance.
    rng, inside, sets = np.random.default_rng(2), 0, 2000
    for _ in range(sets):
        place = np.cumsum(rng.exponential(size=15)) if until_fault else np.sort(rng.random(15)) * 15
        hours = tuple((place**0.5).tolist())
        law = power_law(
            histories([History(hours, hours[-1] if until_fault else 15**0.5, until_fault=until_fault)]), 0.9
        )
        assert law is not None
        inside += law.low <= 2 <= law.high
    assert inside / sets == pytest.approx(0.90, abs=0.02)


@pytest.mark.parametrize("units", [[], [History((), 9)], [History((9,), 9)], [History((9,), 9, until_fault=True)]])
def test_too_few_faults_say_nothing(units: list[History]) -> None:
    assert power_law(histories(units)) is None
    assert goodness(histories(units)) is None


def test_a_late_watch_is_refused() -> None:
    with pytest.raises(ValueError, match="counts from hour 0"):
        log_sum(histories([History((5,), 9, start=1)]))


def test_goodness_tells_a_power_law_from_two_bursts() -> None:
    rng = np.random.default_rng(3)
    good = goodness(histories([History(tuple((np.sort(rng.random(40)) ** 0.7).tolist()), 1.0)]))
    bursts = (*np.linspace(0.29, 0.31, 20).tolist(), *np.linspace(0.89, 0.91, 20).tolist())
    bad = goodness(histories([History(bursts, 1.0)]))
    assert good is not None
    assert bad is not None
    assert good.statistic < good.critical < bad.statistic
    assert bad.p == 0.01


def test_grouped_faults_come_close_to_faults_told_one_by_one() -> None:
    rng = np.random.default_rng(4)
    hours = np.sort(rng.random(200)) ** 0.8 * 1000
    edges = np.linspace(20, 1000, 50)
    counts = np.histogram(hours, np.concatenate([[0], edges]))[0]
    law, close = (
        grouped(counts.tolist(), edges.tolist()),
        power_law(histories([History(tuple(hours.tolist()), 1000.0)])),
    )
    assert close is not None
    assert (law.beta, law.eta) == pytest.approx((close.beta, close.eta), rel=0.05)
    assert law.low < law.beta < law.high


@pytest.mark.parametrize(("faults", "edges"), [((1, 2), (5,)), ((0, 4), (5, 9)), ((0, 0), (5, 9))])
def test_grouped_faults_that_say_nothing_are_refused(faults: tuple[int, ...], edges: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="faults in two of them"):
        grouped(faults, edges)


def test_units_that_wear_differently_are_told_apart() -> None:
    place = np.arange(1, 21) / 20.5
    unlike = histories([History(tuple((place**power).tolist()), 1.0) for power in (0.3, 1.0, 3.0)])
    found = alike(unlike)
    assert found is not None
    assert found.p < 0.01
    assert alike(histories(MIXED[:1])) is None
