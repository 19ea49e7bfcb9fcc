"""Do the faults come closer together? Five tests that ask it in different ways."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import msgspec
import numpy as np
from scipy import stats

from dipmark.derive.reliability.histories import Floats, Histories
from dipmark.derive.reliability.power_law import log_sum

ALIKE: Final = 1e-9
"""Gaps that scatter less are all alike."""


class Test(msgspec.Struct, frozen=True):
    """A test of trend.

    Args:
        statistic: its value.
        p: the chance of one as far from no trend as this, both sides counted.
    """

    __test__ = False  # no test of ours

    statistic: float
    p: float


class Trends(msgspec.Struct, frozen=True):
    """Five tests on the same faults; where they disagree, there is no plain answer.

    Args:
        laplace: positive: the faults come faster with the hours.
        mil189: χ²; large: they come slower.
        mann: of the order of the gaps, negative: the gaps shrink; without the half for continuity.
        anderson_darling: large: no steady rate, in whichever way; None where every fault lies at an end of watch.
        lewis_robinson: like `laplace`, for gaps that are not exponential; None where all gaps are alike.
    """

    laplace: Test
    mil189: Test
    mann: Test
    anderson_darling: Test | None
    lewis_robinson: Test | None


def trends(units: Histories) -> Trends | None:
    """All five tests; None with fewer than three faults that count.

    Args:
        units: watched from hour 0, one or several.

    Raises:
        ValueError: a watch began later than at hour 0.

    *Edge*: the fault at which a watch was ended says nothing about its own place and is left out. One that happened at
    the very hours at which a watch ended anyway counts; only Anderson and Darling's test, to which it would be
    infinitely much, leaves it out.

    *Source*: MIL-HDBK-189; Laplace; Mann; Lewis and Robinson; Anderson and Darling, as printed for two published
    records of costs and victims.
    """
    total, count = log_sum(units)
    if count < 3:
        return None
    place = np.sort(units.ratio[units.inner])
    chance = stats.chi2(2 * count)
    laplace = _laplace(units)
    gaps = _gaps(units)
    spread = float(np.std(gaps, ddof=1) / np.mean(gaps))
    return Trends(
        laplace=_normal(laplace),
        mil189=Test(2 * total, 2 * float(min(chance.cdf(2 * total), chance.sf(2 * total)))),
        mann=_normal(mann(np.split(gaps, np.flatnonzero(np.diff(units.unit)) + 1))),
        anderson_darling=_anderson_darling(place[place < 1]),
        lewis_robinson=_normal(laplace / spread) if spread > ALIKE else None,
    )


def _normal(z: float) -> Test:
    return Test(z, 2 * float(stats.norm.sf(abs(z))))


def _laplace(units: Histories) -> float:
    inner = units.inner
    ends = units.end[units.unit[inner]]
    return float((units.age[inner] - ends / 2).sum() / np.sqrt((ends**2).sum() / 12))


def _gaps(units: Histories) -> Floats:
    """The hours from fault to fault, and to the first, within each unit."""
    before = np.concatenate([[0.0], units.age[:-1]])
    first = np.concatenate([[True], units.unit[1:] != units.unit[:-1]])
    return units.age - np.where(first, 0.0, before)


def reversals(gaps: Floats) -> int:
    """Pairs of gaps of which the later is the longer.

    Args:
        gaps: in the order in which they came.
    """
    return sum(int((gaps[at + 1 :] > gap).sum()) for at, gap in enumerate(gaps))


def mann(runs: Sequence[Floats], half: float = 0.0) -> float:
    """The reversals as a normal deviate; negative: the gaps shrink.

    Args:
        runs: the gaps of each unit, in the order in which they came; reversals, means and variances are added.
        half: added for continuity; 0.5 in NIST's Dataplot, nothing elsewhere.
    """
    count = np.array([len(gaps) for gaps in runs], float)
    mean, variance = float((count * (count - 1) / 4).sum()), float(((2 * count + 5) * (count - 1) * count / 72).sum())
    return (sum(map(reversals, runs)) - mean + half) / float(np.sqrt(variance)) if variance else 0.0


def _anderson_darling(place: Floats) -> Test | None:
    """Are the places spread evenly? The p value is the one for many faults."""
    count = len(place)
    if not count:
        return None
    weights = 2 * np.arange(1, count + 1) - 1
    logs = np.log(place) + np.log1p(-place[::-1])
    statistic = -count - float((weights * logs).sum()) / count
    return Test(statistic, 1 - anderson_darling_below(statistic))


def anderson_darling_below(statistic: float) -> float:
    """The chance of a smaller statistic where the rate is steady, for many faults.

    Args:
        statistic: A², over 0.

    *Source*: Anderson and Darling 1954, by the polynomials of Marsaglia and Marsaglia 2004.
    """
    z = statistic
    if z < 2:
        series = 2.00012 + (0.247105 - (0.0649821 - (0.0347962 - (0.011672 - 0.00168691 * z) * z) * z) * z) * z
        return float(np.exp(-1.2337141 / z) / np.sqrt(z) * series)
    inner = 1.0776 - (2.30695 - (0.43424 - (0.082433 - (0.008056 - 0.0003146 * z) * z) * z) * z) * z
    return float(np.exp(-np.exp(inner)))
