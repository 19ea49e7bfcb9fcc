"""Limits of a law of lives that hold what they promise, also with few failures and many parts still running."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, Literal

import msgspec
import numpy as np
from scipy import optimize, stats

from dipmark.derive.reliability.histories import LEVEL
from dipmark.derive.reliability.life import Law, Lives, loglik, weibull_fits
from dipmark.derive.reliability.made_up import Pivots, Sets, loss_of_scale, loss_of_shape, pivots

MOST: Final = 100
"""With more failures than these the likelihood ratio is as good, and quicker."""

WIDER: Final = 0.3
"""Limits of the scale are so much wider, over the number of failures: the sets are drawn from a law that is itself
only fitted. Measured by `bench/prove_lessons.py`; not where watches ended with a failure, where the sets are exact."""

How = Literal["calibrated", "likelihood ratio"]


class Limits(msgspec.Struct, frozen=True):
    """Limits of a law.

    Args:
        shape_low: of its shape.
        shape_high: of its shape.
        scale_low: of its scale, hours; 0 where there is none.
        scale_high: of its scale, hours; infinite where there is none.
        how: how they were found.
    """

    shape_low: float
    shape_high: float
    scale_low: float
    scale_high: float
    how: How


def weibull_limits(law: Law, data: Lives, level: float = LEVEL, drawn: Pivots | None = None) -> Limits:
    """Limits of a Weibull law: the likelihood ratio, calibrated on made-up sets.

    How far the likelihood falls from the fit to the truth is not as the textbook says when failures are few. Made-up
    sets, from which parts leave as they left here, say how far it falls.

    Args:
        law: the Weibull law of `data`.
        data: the lives.
        level: two-sided, such as 0.95.
        drawn: see `made_up.pivots`; None: made here.

    Returns:
        Calibrated limits; by the plain likelihood ratio where failures were found later than they happened, parts
        entered late, or there are very many failures.

    *Source*: Jeng and Meeker 2000 compare such limits for lives that still run; where the watch ended with a failure
    they are exact (Thoman, Bain and Antle 1969).
    """
    if not data.plain or data.failures > MOST:
        return ratio_limits(law, data, level)
    made = drawn or pivots(law, data)
    tail = [(1 - level) / 2, (1 + level) / 2]
    roots = [np.quantile(one, tail, method="median_unbiased") for one in (made.shape_root, made.scale_root)]
    if not made.exact:
        roots[1] = roots[1] * (1 + WIDER / data.failures)
    real = Sets(data.hours[None], (data.count * data.failed)[None], data.count[None])
    fits = weibull_fits(real.hours, data.failed[None], real.count)
    best, spread = (float(np.log(law.shape)), float(np.log(law.scale))), 1 / law.shape

    def shape(at: float) -> float:
        return float(loss_of_shape(real, fits, np.exp([at]))[0])

    def scale(at: float) -> float:
        return float(loss_of_scale(real, fits, np.exp([at]))[0])

    # A root over 0: the fit is above the truth, which is looked for below.
    ends = [_crossing(shape, best[0], -float(np.sign(root)), root) for root in reversed(roots[0])]
    ends += [_crossing(scale, best[1], -float(np.sign(root)) * spread, root) for root in reversed(roots[1])]
    return _limits(ends, "calibrated")


def ratio_limits(law: Law, data: Lives, level: float = LEVEL) -> Limits:
    """Limits by the plain likelihood ratio: good with many failures, too narrow with few.

    Args:
        law: the law of `data`.
        data: the lives.
        level: two-sided.
    """
    best = (float(np.log(law.shape)), float(np.log(law.scale)))
    spread = 1 / law.shape if law.law == "weibull" else law.shape
    root = float(stats.norm.ppf((1 + level) / 2))

    def lost(shape: float, scale: float) -> float:
        return law.loglik - loglik(law.law, float(np.exp(shape)), float(np.exp(scale)), data)

    def shape(at: float) -> float:
        return _least(lambda other: lost(at, other), best[1], spread)

    def scale(at: float) -> float:
        return _least(lambda other: lost(other, at), best[0], 1.0)

    ends = [_crossing(shape, best[0], step, root) for step in (-1, 1)]
    ends += [_crossing(scale, best[1], step, root) for step in (-spread, spread)]
    return _limits(ends, "likelihood ratio")


def _limits(logs: Sequence[float], how: How) -> Limits:
    shape_low, shape_high, scale_low, scale_high = (float(np.exp(one)) for one in logs)
    return Limits(shape_low, shape_high, scale_low, scale_high, how)


def _least(badness: Callable[[float], float], near: float, spread: float) -> float:
    """The least value near a place."""
    found = optimize.minimize_scalar(badness, bracket=(near - 0.1 * spread, near + 0.1 * spread), tol=1e-9)
    return float(found.fun)


def _crossing(lost: Callable[[float], float], best: float, step: float, root: float) -> float:
    """Where so much is lost as a normal deviate says, going one way from the best place; infinite where never."""
    near, far, fall = best, best + step / 8, root**2 / 2
    for _ in range(10):
        if lost(far) > fall:
            return float(optimize.brentq(lambda at: lost(at) - fall, near, far, xtol=1e-9))
        near, far = far, best + 2 * (far - best)
    return float(np.copysign(np.inf, step))
