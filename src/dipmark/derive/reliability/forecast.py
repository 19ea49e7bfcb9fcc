"""How many faults to expect in the next hours, with limits."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from numpy.typing import ArrayLike

from dipmark.derive.reliability.histories import LEVEL, Floats, Histories
from dipmark.derive.reliability.life import Law
from dipmark.derive.reliability.made_up import DRAWS, SEED, Pivots
from dipmark.derive.reliability.power_law import log_sum, power_law

LARGEST: Final = 1e9
"""A drawn mean above it says only: very many."""


class Forecast(msgspec.Struct, frozen=True):
    """Faults in the hours to come.

    Args:
        expected: as many on the mean.
        low: hardly fewer.
        high: hardly more.
    """

    expected: float
    low: int
    high: int


def faults_ahead(
    units: Histories, hours: float, level: float = LEVEL, draws: int = DRAWS, seed: int = SEED
) -> Forecast | None:
    """Faults of all units together in the next hours of each, if they go on as they did.

    Args:
        units: watched from hour 0.
        hours: ahead, of each unit.
        level: two-sided: of the number of faults that will be seen.
        draws: how many futures are made up.
        seed: of the draws.

    Returns:
        None where no power law can be fitted.

    *Source*: β and λ that could as well be true are drawn as in TR-138 (χ² for β, gamma for λ given β); the faults of
    each are a Poisson number.
    """
    law = power_law(units, level)
    if law is None:
        return None
    total, inner = log_sum(units)
    rng = np.random.default_rng(seed)
    beta = rng.chisquare(2 * inner, draws) / (2 * total)
    shape = law.faults + (0.5 if law.truncation == "time" else 0.0)
    ends = units.end[units.end > 0]
    with np.errstate(over="ignore", invalid="ignore"):
        so_far = (ends[:, None] / ends.max()) ** beta
        ahead = ((ends[:, None] + hours) / ends.max()) ** beta
        share = (ahead - so_far).sum(axis=0) / so_far.sum(axis=0)
    expected = law.scale * float(((ends + hours) ** law.beta - ends**law.beta).sum())
    return _forecast(expected, rng.gamma(shape, size=draws) * share, level, rng)


def failures_ahead(
    law: Law, drawn: Pivots, ages: ArrayLike, hours: float, level: float = LEVEL, seed: int = SEED
) -> Forecast:
    """First failures among parts that run, in the next hours of each.

    Args:
        law: the Weibull law fitted.
        drawn: see `Pivots`.
        ages: hours that each part has run.
        hours: ahead.
        level: two-sided: of the number of failures that will be seen.
        seed: of the draws.
    """
    now = np.asarray(ages, float)
    shapes, scales = drawn.laws(law)
    expected = float(_falling(np.array([law.shape]), np.array([law.scale]), now, hours).sum())
    chances = _falling(shapes, scales, now, hours)
    rng = np.random.default_rng(seed)
    seen = (rng.random(chances.shape) < chances).sum(axis=1)
    return Forecast(expected, *_limits(seen, level))


def _falling(shapes: Floats, scales: Floats, ages: Floats, hours: float) -> Floats:
    """The chance of each part to fail in the next hours, a row for each law."""
    with np.errstate(over="ignore", invalid="ignore"):
        now, then = ((one[None] / scales[:, None]) ** shapes[:, None] for one in (ages, ages + hours))
        return np.asarray(np.nan_to_num(-np.expm1(now - then), nan=1.0))


def _forecast(expected: float, means: Floats, level: float, rng: np.random.Generator) -> Forecast:
    seen = rng.poisson(np.minimum(np.nan_to_num(means, nan=LARGEST), LARGEST))
    return Forecast(expected, *_limits(seen, level))


def _limits(seen: np.ndarray[tuple[int, ...], np.dtype[np.int64]], level: float) -> tuple[int, int]:
    low, high = np.quantile(seen, [(1 - level) / 2, (1 + level) / 2], method="inverted_cdf")
    return int(low), int(high)
