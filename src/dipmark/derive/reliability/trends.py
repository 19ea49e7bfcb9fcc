"""Do the faults come closer together? Five tests that ask it in different ways."""

from __future__ import annotations

import msgspec
import numpy as np
from scipy import stats

from dipmark.derive.reliability.histories import Floats, Histories


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
        anderson_darling: large: no steady rate, in whichever way.
        lewis_robinson: like `laplace`, for gaps that are not exponential.
    """

    laplace: Test
    mil189: Test
    mann: Test
    anderson_darling: Test
    lewis_robinson: Test


def trends(units: Histories) -> Trends | None:
    """All five tests; None with fewer than three faults that count.

    Args:
        units: watched from hour 0, one or several.

    *Edge*: the fault at which a watch was ended says nothing about its own place and is left out.
    *Source*: MIL-HDBK-189; Laplace; Mann; Lewis and Robinson; Anderson and Darling, as printed for two published
    records of costs and victims.
    """
    inner = units.inner
    if int(inner.sum()) < 3:
        return None
    place = np.sort(units.ratio[inner])
    degrees = 2 * len(place)
    laplace = _laplace(units)
    mil = 2 * float(-np.log(place).sum())
    side = float(stats.chi2.cdf(mil, degrees))
    gaps = _gaps(units)
    spread = float(np.std(gaps, ddof=1) / np.mean(gaps))
    return Trends(
        laplace=_normal(laplace),
        mil189=Test(mil, 2 * min(side, 1 - side)),
        mann=_normal(_mann(units)),
        anderson_darling=_anderson_darling(place),
        lewis_robinson=_normal(laplace / spread),
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
    later = gaps[None, :] > gaps[:, None]
    return int(np.triu(later, 1).sum())


def mann(counted: int, gaps: int, half: float = 0.0) -> float:
    """The reversals of so many gaps as a normal deviate; negative: the gaps shrink.

    Args:
        counted: reversals.
        gaps: how many gaps.
        half: added for continuity; 0.5 in NIST's Dataplot, nothing elsewhere.
    """
    mean = gaps * (gaps - 1) / 4
    return (counted - mean + half) / float(np.sqrt((2 * gaps + 5) * (gaps - 1) * gaps / 72))


def _mann(units: Histories) -> float:
    """Of several units reversals, means and variances are added."""
    gaps, counted, mean, variance = _gaps(units), 0, 0.0, 0.0
    for unit in np.unique(units.unit):
        own = gaps[units.unit == unit]
        count = len(own)
        counted += reversals(own)
        mean += count * (count - 1) / 4
        variance += (2 * count + 5) * (count - 1) * count / 72
    return (counted - mean) / float(np.sqrt(variance)) if variance else 0.0


def _anderson_darling(place: Floats) -> Test:
    """Are the places spread evenly? The p value is the asymptotic one.

    *Source*: Anderson and Darling 1954, the series for the asymptotic distribution.
    """
    count = len(place)
    weights = 2 * np.arange(1, count + 1) - 1
    with np.errstate(divide="ignore"):
        logs = np.log(place) + np.log1p(-place[::-1])
    statistic = -count - float((weights * logs).sum()) / count
    return Test(statistic, 1 - anderson_darling_below(statistic))


def anderson_darling_below(statistic: float) -> float:
    """The chance of a smaller statistic where the rate is steady, for many faults.

    Args:
        statistic: A², over 0.

    *Source*: Anderson and Darling 1954: √(2π)/A² Σ (-1)^j ... as an integral; here summed by the formula of
    Marsaglia and Marsaglia 2004.
    """
    z = statistic
    if not np.isfinite(z):
        return 1.0
    if z < 2:
        series = 2.00012 + (0.247105 - (0.0649821 - (0.0347962 - (0.011672 - 0.00168691 * z) * z) * z) * z) * z
        return float(np.exp(-1.2337141 / z) / np.sqrt(z) * series)
    inner = 1.0776 - (2.30695 - (0.43424 - (0.082433 - (0.008056 - 0.0003146 * z) * z) * z) * z) * z
    return float(np.exp(-np.exp(inner)))
