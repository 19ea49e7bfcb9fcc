"""The power law: faults that come ever faster, or ever slower, with the hours."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

import msgspec
import numpy as np
from scipy import optimize, special, stats

from dipmark.derive.reliability.histories import LEVEL, Histories

Truncation = Literal["time", "failure", "mixed"]


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
    truncation: Truncation
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
        ValueError: a watch began later than at hour 0.

    *Source*: Crow 1975, AMSAA TR-138, 3.2 to 3.6: with unequal ends β and λ are solved together; given the number of
    faults ``2 β Σ ln(T/t)`` has χ² with twice as many degrees of freedom.
    """
    total, inner = log_sum(units)
    if not total > 0:
        return None
    faults, sum_logs = len(units.age), float(np.log(units.age).sum())
    ends = np.log(units.end[units.end > 0])

    def slope(beta: float) -> float:
        return faults / beta + sum_logs - faults * float(special.softmax(beta * ends) @ ends)

    middle = faults / total
    beta = float(optimize.brentq(slope, middle * 1e-4, middle * 1e4, xtol=1e-14, rtol=1e-14))
    scale = faults / float(np.exp(beta * ends).sum())
    low, high = (float(stats.chi2.ppf(p, 2 * inner)) / (2 * total) for p in ((1 - level) / 2, (1 + level) / 2))
    return PowerLaw(beta, scale, scale ** (-1 / beta), low, high, _truncation(units), faults)


def log_sum(units: Histories) -> tuple[float, int]:
    """Σ ln(T/t) over the faults that count, and how many these are: not the one at which a watch was ended.

    Raises:
        ValueError: see `power_law`.
    """
    if not units.from_new:
        raise ValueError("a power law counts from hour 0")
    inner = units.inner
    return float(-np.log(units.ratio[inner]).sum()), int(inner.sum())


def scale_limits(units: Histories, beta: float, level: float = LEVEL) -> tuple[float, float]:
    """Limits of λ where β is known; with a limit of β in its place one limit of both together.

    Args:
        units: as for `power_law`, time truncated.
        beta: the shape.
        level: two-sided.

    *Source*: Crow 1975, AMSAA TR-138, 3.7: the number of faults is a Poisson number.
    """
    faults, mass, tail = len(units.age), 2 * float((units.end**beta).sum()), (1 - level) / 2
    return float(stats.chi2.ppf(tail, 2 * faults)) / mass, float(stats.chi2.ppf(1 - tail, 2 * faults + 2)) / mass


class Alike(msgspec.Struct, frozen=True):
    """Whether units wear with one shape.

    Args:
        statistic: χ², one degree of freedom fewer than there are units; large: they do not.
        p: the chance of one as large where they do.
    """

    statistic: float
    p: float


def alike(units: Histories) -> Alike | None:
    """Whether the faults of all units follow one β; None with faults in one unit only.

    Args:
        units: as for `power_law`; those without a fault that counts say nothing.

    *Source*: Crow 1975, AMSAA TR-138, 3.9: Bartlett's test.
    """
    log_sum(units)
    of, size = units.unit[units.inner], len(units.end)
    count = np.bincount(of, minlength=size).astype(float)
    total = np.bincount(of, -np.log(units.ratio[units.inner]), size)
    count, total = count[total > 0], total[total > 0]
    if len(count) < 2:
        return None
    spread = float((count * np.log(count / total)).sum() - count.sum() * np.log(count.sum() / total.sum()))
    wider = 1 + float((1 / count).sum() - 1 / count.sum()) / (6 * (len(count) - 1))
    statistic = 2 * spread / wider
    return Alike(statistic, float(stats.chi2.sf(statistic, len(count) - 1)))


def _truncation(units: Histories) -> Truncation:
    if units.until_fault.all():
        return "failure"
    return "mixed" if units.until_fault.any() else "time"


def grouped(faults: Sequence[int], edges: Sequence[float], level: float = LEVEL) -> PowerLaw:
    """The power law through faults that are only counted, from one inspection to the next.

    Args:
        faults: in each interval.
        edges: hours at which the intervals end, rising, over 0; the first begins at 0.
        level: of the limits of `beta`, two-sided, by the likelihood ratio.

    Raises:
        ValueError: not one number of faults for each edge, or all faults in one interval.

    *Source*: Crow 2011, grouped data: λ T^β is the number of faults, β makes them the likeliest.
    """
    counts, ends = np.asarray(faults, float), np.asarray(edges, float)
    if len(counts) != len(ends) or np.count_nonzero(counts) < 2:
        raise ValueError("a number of faults for each interval, and faults in two of them")
    upper = np.log(ends / ends[-1])
    lower = np.concatenate([[-np.inf], upper[:-1]])

    def likelihood(log_beta: float) -> float:
        beta = np.exp(log_beta)
        share = np.exp(beta * upper) - np.exp(beta * lower)
        return float(special.xlogy(counts, share).sum())

    near = {"bounds": (-5, 5), "method": "bounded", "options": {"xatol": 1e-12}}
    best = optimize.minimize_scalar(lambda at: -likelihood(at), **near)
    allowed = -float(best.fun) - float(stats.chi2.ppf(level, 1)) / 2
    low, high = (float(np.exp(optimize.brentq(lambda at: likelihood(at) - allowed, *side)))
                 for side in ((best.x - 5, best.x), (best.x, best.x + 5)))  # fmt: skip
    beta, total = float(np.exp(best.x)), float(counts.sum())
    scale = total / float(ends[-1]) ** beta
    return PowerLaw(beta, scale, scale ** (-1 / beta), low, high, "time", int(total))


class Goodness(msgspec.Struct, frozen=True):
    """Whether a power law fits the faults at all.

    Args:
        statistic: Cramér and von Mises' C²; large: it does not.
        p: the chance of one as large where it does; between 0.01 and 0.20, less or more is not told apart.
        critical: at 5 %.
    """

    statistic: float
    p: float
    critical: float


COUNTS: Final = (5, 10, 20, 30, 60)
CHANCES: Final = (0.20, 0.15, 0.10, 0.05, 0.01)
TABLE: Final = (
    (0.123, 0.138, 0.160, 0.202, 0.305),
    (0.124, 0.142, 0.169, 0.213, 0.321),
    (0.127, 0.145, 0.169, 0.217, 0.342),
    (0.127, 0.145, 0.172, 0.218, 0.328),
    (0.127, 0.146, 0.172, 0.219, 0.352),
)
"""TR-138 table 2: critical values of C² by number of faults and chance; between them straight lines."""


def goodness(units: Histories) -> Goodness | None:
    """Whether the power law fits; None with fewer than three faults that count.

    Args:
        units: as for `power_law`.

    *Source*: Crow 1975, AMSAA TR-138, 3.8: with the bias-free β; critical values of its table 2.
    """
    total, count = log_sum(units)
    if count < 3 or not total > 0:
        return None
    place = np.sort(units.ratio[units.inner]) ** ((count - 1) / total)
    middle = (2 * np.arange(1, count + 1) - 1) / (2 * count)
    statistic = 1 / (12 * count) + float(((place - middle) ** 2).sum())
    row = [float(np.interp(count, COUNTS, column)) for column in np.transpose(TABLE)]
    return Goodness(statistic, float(np.interp(statistic, row, CHANCES)), row[3])
