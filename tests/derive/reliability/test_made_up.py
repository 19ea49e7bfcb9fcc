"""Made-up sets leave the watch as the real ones did."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from dipmark.derive.reliability import made_up as module
from dipmark.derive.reliability.life import Law, lives, loglik, weibull, weibull_fits
from dipmark.derive.reliability.made_up import (
    Sets,
    by_failures,
    by_hours,
    loss_of_scale,
    loss_of_shape,
    pivots,
    removals,
)

DATA = lives([3.0, 5.0, 5.0, 7.0, 9.0, 9.0], [False, True, False, True, False, False])


def test_who_leaves_at_which_failure() -> None:
    assert removals(DATA).tolist() == [1, 2]
    assert removals(lives([2.0, 4.0, 9.0], [True, True, False], [1, 2, 5])).tolist() == [0, 0, 5]


def test_by_failures_has_their_pattern() -> None:
    sets = by_failures(np.array([1.0, 2.0]), 20_000, np.random.default_rng(1))
    assert sets.count[0].tolist() == [2, 3]
    assert sets.hours.mean(axis=0) == pytest.approx((1 / 5, 1 / 5 + 1 / 3), rel=0.03)  # sums of gaps over those at risk


def test_by_hours_is_watched_no_longer_than_the_real_one() -> None:
    law = Law("weibull", 2.0, 8.0)
    sets = by_hours(law, DATA, 4000, np.random.default_rng(1))
    ends = (DATA.hours / 8) ** 2
    assert np.all(sets.hours[:, ~DATA.failed] <= ends[~DATA.failed] + 1e-12)
    assert set(np.round(sets.hours[:, 3][sets.dead[:, 3] == 0], 9)) == {round(float(ends[-1]), 9)}
    assert sets.dead[:, 5].mean() == pytest.approx(1 - np.exp(-ends[-1]), abs=0.03)


def test_complete_and_failure_truncated_sets_are_exact() -> None:
    law = Law("weibull", 2.0, 8.0)
    whole = lives([3.0, 5.0, 7.0], [True] * 3)
    until = lives([3.0, 5.0, 7.0, 7.0], [True, True, True, False])
    assert pivots(law, whole, 200).exact
    assert pivots(law, until, 200).exact
    assert not pivots(law, DATA, 200).exact


def test_of_many_parts_only_failures_are_made_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MANY", 5)
    law = weibull(DATA)
    assert law is not None
    made = pivots(law, DATA, 500)
    monkeypatch.setattr(module, "MANY", 6)
    other = pivots(law, DATA, 500)
    assert not made.exact
    assert len(made.shape) > 495 > len(other.shape)  # a failure is never missing


def test_the_truth_lies_in_the_middle_of_what_could_be_true() -> None:
    law = Law("weibull", 2.0, 1000.0)
    shapes, scales = pivots(law, lives(np.linspace(100, 1500, 30), [True] * 30)).laws(law)
    assert np.median(shapes) == pytest.approx(1.93, abs=0.05)  # fitted shapes are too high on the mean
    assert np.median(scales) == pytest.approx(1000, rel=0.02)


def test_a_steep_fit_far_from_the_scale_is_no_trouble() -> None:
    law = Law("weibull", 2.0, 8.0)
    close = Sets(np.array([[4.0, 4.04, 3.0]]), np.array([[1.0, 1.0, 0.0]]), np.ones((1, 3)))
    fits = weibull_fits(close.hours, close.dead)
    assert fits.shape[0] > 100
    assert 0 < loss_of_scale(close, fits, np.array([0.001]))[0] < np.inf
    assert len(pivots(law, lives([793.9, 809.8, 747.0], [True, True, False]), 2000).shape) > 1000


def test_losses_are_those_of_the_likelihood() -> None:
    law = weibull(DATA)
    assert law is not None
    real = Sets(DATA.hours[None], DATA.failed[None].astype(float), DATA.count[None])
    fits = weibull_fits(real.hours, real.dead)
    for shape, scale in ((1.0, 6.0), (4.0, 20.0), (0.3, 200.0)):
        best = optimize.minimize_scalar(lambda at, s=shape: -loglik("weibull", s, np.exp(at), DATA), bounds=(0, 12))
        assert loss_of_shape(real, fits, np.array([shape]))[0] == pytest.approx(law.loglik + best.fun, abs=1e-6)
        best = optimize.minimize_scalar(lambda at, s=scale: -loglik("weibull", np.exp(at), s, DATA), bounds=(-4, 4))
        assert loss_of_scale(real, fits, np.array([scale]))[0] == pytest.approx(law.loglik + best.fun, abs=1e-6)
