"""Too little to tell: about how many more hours of watching it would take."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy import optimize, stats

from dipmark.derive.reliability.histories import LEVEL, Histories
from dipmark.derive.reliability.life import Law, Lives
from dipmark.derive.reliability.life_limits import Limits
from dipmark.derive.reliability.power_law import PowerLaw

FARTHEST: Final = 1000.0
"""What takes more than so many times the hours watched so far cannot be told by watching."""

NEEDED: Final = 2
"""Failures, or faults, below which no law is fitted."""


def faults_needed(beta: float, level: float = LEVEL) -> int | None:
    """How many faults it takes until the limits of a shape leave out 1: steady.

    Args:
        beta: the shape.
        level: of the limits.

    Returns:
        None where it is too near to 1 for any number of faults that trucks have.
    """
    tail = (1 - level) / 2
    chance = tail if beta > 1 else 1 - tail

    def short(faults: float) -> float:
        nearer = beta * float(stats.chi2.ppf(chance, 2 * faults)) / (2 * faults) - 1
        return nearer if beta > 1 else -nearer

    if short(1e6) <= 0:
        return None
    return 1 if short(1) > 0 else int(np.ceil(optimize.brentq(short, 1, 1e6)))


def hours_for_trend(units: Histories, law: PowerLaw, level: float = LEVEL) -> float | None:
    """Further hours of each unit until it can be told whether its faults come faster or slower.

    Args:
        units: watched so far.
        law: the power law through them.
        level: of the limits of its shape.

    Returns:
        0 where it can be told; None where it is too near to steady to tell by watching.
    """
    if law.low > 1 or law.high < 1:
        return 0.0
    needed, inner = faults_needed(law.beta, level), int(units.inner.sum())
    farthest = FARTHEST * float(units.end.max())
    if needed is None:
        return None

    def missing(hours: float) -> float:
        ahead = law.scale * float(((units.end + hours) ** law.beta - units.end**law.beta).sum())
        return needed - inner - ahead

    if missing(farthest) > 0:
        return None
    return float(optimize.brentq(missing, 0, farthest)) if missing(0) > 0 else 0.0


def hours_for_shape(data: Lives, law: Law, limits: Limits) -> float | None:
    """Further hours of all parts together until it can be told whether they wear out or fail young.

    Args:
        data: lives so far.
        law: the Weibull law through them.
        limits: of that law.

    Returns:
        0 where it can be told; None where it is too near to steady to tell by watching.

    *Source*: the limits narrow with the root of the failures.
    """
    if limits.shape_low > 1 or limits.shape_high < 1:
        return 0.0
    edge = limits.shape_low if law.shape > 1 else limits.shape_high
    with np.errstate(divide="ignore"):
        times = float(np.square(np.log(law.shape / edge) / np.log(law.shape)))
    return data.watched * (times - 1) if times < FARTHEST else None


def hours_for_law(watched: float, failures: float) -> float:
    """Further hours of all units together until there are two failures and a law can be fitted.

    Args:
        watched: hours of all units together.
        failures: so far, under two.

    *Edge*: without a failure the rate is taken at which as many hours pass without one half of the time.
    """
    rate = (failures or float(np.log(2))) / watched
    return (NEEDED - failures) / rate
