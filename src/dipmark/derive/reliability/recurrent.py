"""Faults that come back: how many there were, or what they cost, by which hours, with limits."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from scipy import stats

from dipmark.derive.reliability.histories import LEVEL, Floats, Histories, Whole

FEW: Final = 10
"""Units at risk below which the limits of the mean cumulative function are not to be trusted; measured."""


class Cumulative(msgspec.Struct, frozen=True):
    """The mean cumulative function: faults, or cost, a unit has had by so many hours.

    Args:
        hours: at which something happened, each once, rising.
        value: mean number a unit, or mean cost.
        se: standard error.
        low: lower limit, on the scale of the logarithm.
        high: upper limit, on the scale of the logarithm.
        low_plain: lower limit by the normal distribution; may be negative.
        high_plain: upper limit by the normal distribution.
        at_risk: units watched at these hours.
    """

    hours: Floats
    value: Floats
    se: Floats
    low: Floats
    high: Floats
    low_plain: Floats
    high_plain: Floats
    at_risk: Whole


def cumulative(units: Histories, level: float = LEVEL) -> Cumulative:
    """The mean cumulative function with limits that take the whole history of a unit together.

    Args:
        units: histories, late entries included.
        level: of the limits, two-sided.

    *Edge*: a unit whose watch ends at the hours of a fault is still at risk there; one whose watch begins there is not
    yet.

    *Source*: Nelson 1995, Lawless and Nadeau 1995: the variance is the sum over units of the square of
    ``Σ (d_i - mean d) / n``, covariances included.
    """
    hours, at = np.unique(units.age, return_inverse=True)
    ends, starts = np.sort(units.end), np.sort(units.start)
    risk = np.searchsorted(starts, hours, "left") - np.searchsorted(ends, hours, "left")
    step = np.bincount(at, units.cost, len(hours)) / risk
    value = np.cumsum(step)
    drift = np.cumsum(step / risk)  # what a unit at risk is drawn down by, so far
    variance = _variance(units, hours, at, risk, drift)
    se = np.sqrt(np.maximum(variance, 0.0))
    z = stats.norm.ppf((1 + level) / 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        wide = np.exp(np.where(value > 0, z * se / value, 0.0))
    return Cumulative(hours, value, se, value / wide, value * wide, value - z * se, value + z * se, risk)


def _variance(units: Histories, hours: Floats, at: Whole, risk: Whole, drift: Floats) -> Floats:
    """Σ (A_i - G_i)² at every hour: A_i what unit i has had over n, G_i the drift while it was watched.

    Of the units at risk the sum is Σ B² - 2 G Σ B + n G² with B_i = A_i + G at entry: running sums over time. A unit
    that leaves takes its square with it as a constant.
    """
    gone = np.concatenate([[0.0], drift])
    entry = gone[np.searchsorted(hours, units.start, "right")]
    leaves = gone[np.searchsorted(hours, units.end, "right")]
    share = units.cost / risk[at]
    total = np.cumsum(share)
    first = np.searchsorted(units.unit, np.arange(len(units.end)))
    before = np.where(first > 0, total[np.maximum(first - 1, 0)], 0.0) if len(total) else np.zeros(len(first))
    after = total - before[units.unit] + entry[units.unit]  # B_i right after each event
    size = len(hours) + 1
    enters = np.searchsorted(hours, units.start, "right")
    linear = np.bincount(at, share, size) + np.bincount(enters, entry, size)
    square = np.bincount(at, after**2 - (after - share) ** 2, size) + np.bincount(enters, entry**2, size)
    count = np.bincount(enters, minlength=size).astype(float)
    last = np.bincount(units.unit, share, len(units.end)) + entry  # B_i at the end of its watch
    out = np.searchsorted(hours, units.end, "right")
    fixed = np.bincount(out, (last - leaves) ** 2, size)
    linear -= np.bincount(out, last, size)
    square -= np.bincount(out, last**2, size)
    count -= np.bincount(out, minlength=size)
    rows = slice(0, len(hours))
    b, bb, n, c = (np.cumsum(one)[rows] for one in (linear, square, count, fixed))
    return np.asarray(bb - 2 * drift * b + n * drift**2 + c)
