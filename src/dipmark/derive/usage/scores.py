"""How good forecasts were: scores that only an honest forecast makes small, and how often a band held."""

from __future__ import annotations

from math import exp, lgamma, log, pi, sqrt
from typing import Final

import numpy as np
from scipy.special import gammaincc, iv, ndtr

from dipmark.derive.usage.calendar import Floats

NORMAL_95: Final = 1.959963984540054
"""19 normal deviates in 20 are at most so many standard deviations off."""


def pinball(foretold: Floats, came: Floats, chance: float) -> Floats:
    """What a foretold quantile costs: too low by its chance, too high by what is left to one.

    Args:
        foretold: the quantile.
        came: what came.
        chance: of coming to no more than the quantile.

    Example:
        >>> round(float(pinball(np.array(5.0), np.array(3.0), 0.9)), 12)
        0.2
    """
    return (foretold - came) * ((came < foretold) - chance)


def interval_score(low: Floats, high: Floats, came: Floats, outside: float) -> Floats:
    """What a band costs: its width, and what came outside it by two over the chance of that.

    Args:
        low: its lower end.
        high: its upper end.
        came: what came.
        outside: the chance of coming outside.

    Example:
        >>> round(float(interval_score(np.array(2.0), np.array(7.0), np.array(9.0), 0.1)), 12)
        45.0
    """
    return high - low + 2 / outside * (np.maximum(low - came, 0.0) + np.maximum(came - high, 0.0))


def crps_normal(mean: float, sd: float, came: float) -> float:
    """What a normal forecast costs: the continuous ranked probability score.

    Args:
        mean: foretold.
        sd: foretold standard deviation.
        came: what came.
    """
    z = (came - mean) / sd
    return sd * (z * (2 * float(ndtr(z)) - 1) + 2 * exp(-z * z / 2) / sqrt(2 * pi) - 1 / sqrt(pi))


def crps_drawn(drawn: Floats, came: float) -> float:
    """What a forecast costs that is a handful of draws: how far they are from what came, less how far from each other.

    Args:
        drawn: the draws.
        came: what came.
    """
    apart = np.abs(drawn[:, None] - drawn[None, :]).mean()
    return float(np.abs(drawn - came).mean() - apart / 2)


def crps_poisson(mean: float, came: int) -> float:
    """What a Poisson forecast costs.

    Args:
        mean: foretold.
        came: the number that came.

    *Source*: Wei and Held 2014, Test 23:787 (from memory); I₀ and I₁ the modified Bessel functions.
    """
    up_to = float(gammaincc(came + 1, mean))
    exactly = exp(came * log(mean) - mean - lgamma(came + 1))
    apart = exp(-2 * mean) * float(iv(0, 2 * mean) + iv(1, 2 * mean))
    return (came - mean) * (2 * up_to - 1) + 2 * mean * exactly - mean * apart


def held_limits(held: int, all_: int, z: float = NORMAL_95) -> tuple[float, float]:
    """Between what the share that would hold in the long run lies, where so many of all held (Wilson 1927).

    Args:
        held: so many held.
        all_: of so many; above nought.
        z: of the chance wanted; 1.96 for 19 in 20.

    *Edge*: the share is never taken to be below nought or above one.
    """
    share, square = held / all_, z * z / all_
    middle = (share + square / 2) / (1 + square)
    half = z / (1 + square) * sqrt(share * (1 - share) / all_ + square / (4 * all_))
    return middle - half, middle + half
