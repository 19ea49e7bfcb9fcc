"""Weibull and lognormal laws against lifelines, which fits them in its own way."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from lifelines import LogNormalFitter, WeibullFitter
from scipy import integrate

from dipmark.derive.reliability import life as module
from dipmark.derive.reliability.histories import Floats
from dipmark.derive.reliability.life import Law, Lives, lives, loglik, lognormal, weibull, weibull_fits

RNG = np.random.default_rng(12)


def made(shape: float, parts: int) -> tuple[Floats, Floats]:
    life, watch = 1000 * RNG.weibull(shape, parts), RNG.uniform(300, 2000, parts)
    return np.minimum(life, watch), (life <= watch).astype(float)


def theirs(fitter: WeibullFitter | LogNormalFitter, *data: Floats, **more: Floats) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter.fit(*data, **more)


@pytest.mark.parametrize("shape", [0.6, 1.0, 2.5, 6.0])
def test_right_censored(shape: float) -> None:
    hours, failed = made(shape, 60)
    ours, fitter = weibull(lives(hours, failed)), WeibullFitter()
    theirs(fitter, hours, failed)
    assert ours is not None
    assert (ours.shape, ours.scale) == pytest.approx((fitter.rho_, fitter.lambda_), rel=1e-5)
    assert ours.loglik == pytest.approx(fitter.log_likelihood_, abs=1e-6)
    log, other = lognormal(lives(hours, failed)), LogNormalFitter()
    theirs(other, hours, failed)
    assert log is not None
    assert (log.shape, np.log(log.scale)) == pytest.approx((other.sigma_, other.mu_), rel=1e-4)
    assert log.loglik == pytest.approx(other.log_likelihood_, abs=1e-5)


def test_late_entry_and_counts() -> None:
    hours, failed = made(2.0, 80)
    entry = np.where(RNG.random(80) < 0.5, hours * 0.4, 0.0)
    weight = RNG.integers(1, 4, 80).astype(float)
    ours, fitter = weibull(lives(hours, failed, weight, entry)), WeibullFitter()
    theirs(fitter, hours, failed, entry=entry, weights=weight)
    assert ours is not None
    assert (ours.shape, ours.scale) == pytest.approx((fitter.rho_, fitter.lambda_), rel=1e-4)


def test_found_failed_at_an_inspection() -> None:
    life = 1000 * RNG.weibull(2.0, 80)
    upper = np.ceil(life / 250) * 250
    lower = upper - 250
    still = upper > 1500
    fitter = WeibullFitter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter.fit_interval_censoring(np.where(still, 1500, lower), np.where(still, np.inf, upper))
    data = lives(np.where(still, 1500, upper), ~still, after=np.where(still, 1500, lower))
    ours = weibull(data)
    assert (ours is not None, data.plain) == (True, False)
    assert ours is not None
    assert (ours.shape, ours.scale) == pytest.approx((fitter.rho_, fitter.lambda_), rel=1e-4)
    assert ours.loglik == pytest.approx(fitter.log_likelihood_, abs=1e-6)


def test_many_sets_at_once_are_each_fitted_alone() -> None:
    hours = 700 * RNG.weibull(1.7, (30, 12))
    failed = RNG.random((30, 12)) < 0.6
    fits = weibull_fits(hours, failed)
    for row in range(30):
        alone = weibull(lives(hours[row], failed[row]))
        assert alone is not None
        assert (fits.shape[row], fits.scale[row]) == pytest.approx((alone.shape, alone.scale), rel=1e-9)
        data = lives(hours[row], failed[row])
        assert fits.loglik[row] == pytest.approx(loglik("weibull", alone.shape, alone.scale, data), rel=1e-9)


def test_a_few_steps_come_close_already(monkeypatch: pytest.MonkeyPatch) -> None:
    hours = 700 * RNG.weibull(1.7, (5, 12))
    exact = weibull_fits(hours, np.ones((5, 12), bool))
    monkeypatch.setattr(module, "STEPS", 3)
    assert weibull_fits(hours, np.ones((5, 12), bool)).shape == pytest.approx(exact.shape, rel=1e-3)


@pytest.mark.parametrize("law", [Law("weibull", 2.2, 900.0), Law("lognormal", 0.6, 900.0)])
def test_hours_lived_are_the_area_under_those_alive(law: Law) -> None:
    for until in (100.0, 900.0, 3000.0):
        area = integrate.quad(lambda at: float(law.alive(at)), 0, until)[0]
        assert float(law.lived(until)) == pytest.approx(area, rel=1e-7)
    assert law.mean == pytest.approx(integrate.quad(lambda at: float(law.alive(at)), 0, np.inf)[0], rel=1e-6)
    assert (float(law.alive(0)), float(law.lived(0))) == (1, 0)


@pytest.mark.parametrize(
    "data",
    [
        lives([5.0, 9.0], [True, False]),
        lives([], []),
        lives([5.0, 5.0, 5.0], [True, True, True]),
        lives([5.0, 5.0, 5.0], [True, True, True], after=[5.0, 5.0, 4.999999]),
        lives([5.0, 6.0], [True, False], entry=[1.0, 0.0]),
    ],
)
def test_too_little_is_no_law(data: Lives) -> None:
    assert weibull(data) is None


def test_all_alike_is_no_lognormal_law_either() -> None:
    assert lognormal(lives([5.0, 5.0, 5.0], [True, True, True])) is None


def test_what_is_watched() -> None:
    data = lives([10.0, 20.0], [True, False], [2, 3], [0.0, 5.0])
    assert (data.failures, data.watched) == (2, 65)


@pytest.mark.parametrize(
    ("hours", "failed", "more"),
    [
        ([0.0], [True], {}),
        ([float("inf")], [True], {}),
        ([1.0, 2.0], [True], {}),
        ([1.0], [True], {"count": [-1]}),
        ([1.0], [True], {"entry": [1.0]}),
        ([1.0], [True], {"entry": [-1.0]}),
        ([1.0], [True], {"after": [1.5]}),
        ([1.0], [True], {"after": [-0.5]}),
    ],
)
def test_what_is_no_life_is_refused(hours: list[float], failed: list[bool], more: dict[str, list[float]]) -> None:
    with pytest.raises(ValueError, match=r"lives over 0|enters before"):
        lives(hours, failed, **more)
