"""Limits of a law of lives that hold what they promise, also with few failures and many parts still running."""

from __future__ import annotations

from typing import Final, Literal

import msgspec
import numpy as np
from scipy import optimize, stats

from dipmark.derive.reliability.histories import Floats
from dipmark.derive.reliability.life import Law, Lives, loglik, weibull_fits

DRAWS: Final = 4000
"""Made-up sets from which the limits are read."""

MOST_FAILURES: Final = 400
"""With more failures than these the likelihood ratio is as good, and quicker."""


class Limits(msgspec.Struct, frozen=True):
    """Limits of a law.

    Args:
        shape_low: of its shape.
        shape_high: of its shape.
        scale_low: of its scale, hours.
        scale_high: of its scale, hours.
        how: how they were found.
    """

    shape_low: float
    shape_high: float
    scale_low: float
    scale_high: float
    how: Literal["pivotal", "likelihood ratio"]


def weibull_limits(law: Law, data: Lives, level: float, rng: np.random.Generator, draws: int = DRAWS) -> Limits:
    """Limits of a Weibull law.

    Shape over true shape, and shape times the logarithm of scale over true scale, are distributed alike whatever the
    truth, when parts leave the watch at failures of others in the numbers in which they left here (progressive
    censoring). Made-up sets of that pattern say how.

    Args:
        law: the Weibull law of `data`.
        data: the lives.
        level: two-sided, such as 0.95.
        rng: draws the made-up sets.
        draws: how many.

    Returns:
        Pivotal limits; by the likelihood ratio where failures were found later than they happened, parts entered late,
        or there are very many failures.

    *Source*: Thoman, Bain and Antle 1969 for complete sets; Viveros and Balakrishnan 1994 for progressive censoring.
    """
    if not data.plain or np.any(data.entry > 0) or data.failures > MOST_FAILURES:
        return ratio_limits(law, data, level)
    ratio, shift = pivots(removals(data), rng, draws)
    tail = [(1 - level) / 2, (1 + level) / 2]
    low, high = np.quantile(ratio, tail, method="median_unbiased")
    down, up = np.quantile(shift, tail, method="median_unbiased")
    return Limits(
        law.shape / float(high),
        law.shape / float(low),
        law.scale * float(np.exp(-up / law.shape)),
        law.scale * float(np.exp(-down / law.shape)),
        "pivotal",
    )


def removals(data: Lives) -> Floats:
    """How many running parts left the watch at each failure: those last seen to run after it and before the next.

    Args:
        data: lives whose failures were all seen when they happened.

    *Edge*: a part last seen to run at the hours of a failure leaves after it; one that left before the first failure
    says nothing of the law and is left out.
    """
    each = np.sort(np.repeat(data.hours, np.where(data.failed, data.count, 0).astype(int)))
    left = np.repeat(data.hours, np.where(data.failed, 0, data.count).astype(int))
    at = np.searchsorted(each, left, "right")
    return np.bincount(at, minlength=len(each) + 1)[1:].astype(float)


def pivots(removed: Floats, rng: np.random.Generator, draws: int) -> tuple[Floats, Floats]:
    """Shape over true shape, and shape times ln(scale / true scale), in made-up sets.

    Args:
        removed: running parts that leave at each failure.
        rng: draws the sets.
        draws: how many.
    """
    faults = len(removed)
    risk = np.cumsum((removed + 1)[::-1])[::-1]
    gaps = rng.exponential(size=(draws, faults)) / risk
    hours = np.cumsum(gaps, axis=1)
    weight = np.broadcast_to(removed + 1, hours.shape)
    fits = _with_removed(hours, weight)
    kept = np.isfinite(fits[0])
    return fits[0][kept], fits[0][kept] * np.log(fits[1][kept])


def _with_removed(hours: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Fits of sets in which at each failure further parts are last seen to run."""
    both = np.concatenate([hours, hours], axis=1)
    failed = np.concatenate([np.ones(hours.shape, bool), np.zeros(hours.shape, bool)], axis=1)
    count = np.concatenate([np.ones(hours.shape), weight - 1], axis=1)
    fits = weibull_fits(both, failed, count)
    return fits.shape, fits.scale


def ratio_limits(law: Law, data: Lives, level: float) -> Limits:
    """Limits by the likelihood ratio: good with many failures, too narrow with few.

    Args:
        law: the law of `data`.
        data: the lives.
        level: two-sided.
    """
    allowed = law.loglik - float(stats.chi2.ppf(level, 1)) / 2

    def best_scale(shape: float) -> float:
        return -_highest(lambda scale: loglik(law.law, shape, scale, data), law.scale)

    def best_shape(scale: float) -> float:
        return -_highest(lambda shape: loglik(law.law, shape, scale, data), law.shape)

    shapes = [_crossing(lambda at: -best_scale(at) - allowed, law.shape, way) for way in (-1, 1)]
    scales = [_crossing(lambda at: -best_shape(at) - allowed, law.scale, way) for way in (-1, 1)]
    return Limits(shapes[0], shapes[1], scales[0], scales[1], "likelihood ratio")
