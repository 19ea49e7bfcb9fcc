"""Faults that come back: how many there were by which hours, with limits; and whether they come faster or slower."""

from __future__ import annotations

from typing import Final, Literal

import msgspec
import numpy as np
from scipy import optimize, special, stats

from dipmark.derive.reliability.histories import Floats, Histories, Whole

LEVEL: Final = 0.95

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


class PowerLaw(msgspec.Struct, frozen=True):
    """Faults that come at the rate λ β t^(β-1): slower with β under 1, faster with β over 1.

    Args:
        beta: shape, by maximum likelihood, not corrected for bias.
        scale: λ: expected faults of one unit in its first hour.
        eta: hours by which one fault is expected.
        low: lower limit of `beta`.
        high: upper limit of `beta`.
        truncation: how the watches ended; ``mixed`` where some ended with a fault and some with time.
        faults: how many there were.
    """

    beta: float
    scale: float
    eta: float
    low: float
    high: float
    truncation: Literal["time", "failure", "mixed"]
    faults: int

    def expected(self, hours: float) -> float:
        """Faults expected of one unit by so many hours.

        *Source*: a published case: shape 1.55, scale 157.5 days gives 3.7 faults in the first year.

        Example:
            >>> copier = PowerLaw(1.55, 157.5**-1.55, 157.5, 0, 0, "time", 0)
            >>> round(copier.expected(365), 1)
            3.7
        """
        return float(self.scale * hours**self.beta)


def power_law(units: Histories, level: float = LEVEL) -> PowerLaw | None:
    """The power law through the faults of one unit or several, with their own ends.

    Args:
        units: watched from hour 0.
        level: of the limits of `beta`, two-sided, exact.

    Returns:
        None where there are too few faults to tell: one within the watch of a unit at least.

    Raises:
        ValueError: a watch began later than at hour 0, or a fault lies at it.

    *Source*: Crow 1975, AMSAA TR-138, 3.2 to 3.6: with unequal ends β and λ are solved together; given the number of
    faults ``2 β Σ ln(T/t)`` has χ² with twice as many degrees of freedom.
    """
    if np.any(units.start > 0) or np.any(units.age <= 0):
        raise ValueError("a power law counts from hour 0, and no fault lies there")
    faults, inner = len(units.age), units.inner
    logs = -np.log(units.ratio[inner])
    total = float(logs.sum())
    if not total > 0:
        return None
    ends, sum_logs = units.end, float(np.log(units.age).sum())

    def slope(beta: float) -> float:
        weight = special.softmax(beta * np.log(ends[ends > 0]))
        return faults / beta + sum_logs - faults * float(weight @ np.log(ends[ends > 0]))

    middle = faults / total
    beta = float(optimize.brentq(slope, middle * 1e-4, middle * 1e4, xtol=1e-14, rtol=1e-14))
    scale = faults / float((ends**beta).sum())
    degrees, tail = 2 * int(inner.sum()), (1 - level) / 2
    low, high = (float(stats.chi2.ppf(p, degrees)) / (2 * total) for p in (tail, 1 - tail))
    kinds: dict[tuple[bool, bool], Literal["time", "failure", "mixed"]] = {
        (True, True): "failure",
        (False, False): "time",
    }
    truncation = kinds.get((bool(units.until_fault.all()), bool(units.until_fault.any())), "mixed")
    return PowerLaw(beta, scale, scale ** (-1 / beta), low, high, truncation, faults)
