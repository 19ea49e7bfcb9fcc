"""How much counts, shares and a rise say against chance, and which of many such words a page may say aloud."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import msgspec
import numpy as np
from scipy import stats

from dipmark.derive.reliability.life import Lives

LEVEL: Final = 0.9
"""Of limits, two-sided."""


def rate_limits(count: int, hours: float, level: float = LEVEL) -> tuple[float, float]:
    """The rates between which the true one lies, for so many faults in so many hours.

    Args:
        count: faults.
        hours: over 0.
        level: two-sided.

    *Source*: Garwood 1936, exact for a steady rate; for 10 its 95 % limits are 4.795 and 18.390 (from memory).

    Example:
        >>> [round(one, 3) for one in rate_limits(10, 1, 0.95)]
        [4.795, 18.39]
    """
    tail = (1 - level) / 2
    low = float(stats.chi2.ppf(tail, 2 * count)) / 2 if count else 0.0
    return low / hours, float(stats.chi2.ppf(1 - tail, 2 * count + 2)) / 2 / hours


def ratio_limits(
    count: int, hours: float, others: int, other_hours: float, level: float = LEVEL
) -> tuple[float, float | None]:
    """How many times as often as elsewhere: limits of the ratio of two rates.

    Args:
        count: faults here.
        hours: over 0.
        others: faults elsewhere.
        other_hours: over 0.
        level: two-sided.

    Returns:
        Low and high; high None where there is no upper end.

    *Source*: Clopper and Pearson 1934, of the share of the faults that fall here.
    """
    tail, scale = (1 - level) / 2, other_hours / hours
    low = float(stats.beta.ppf(tail, count, others + 1)) if count else 0.0
    high = float(stats.beta.ppf(1 - tail, count + 1, others)) if others else None
    return scale * low / (1 - low), None if high is None else scale * high / (1 - high)


def more_often(count: int, hours: float, others: int, other_hours: float, times: float = 1.0) -> float:
    """The chance of so many faults or more here, if they came only so many times as often as elsewhere.

    Args:
        count: faults here.
        hours: over 0.
        others: faults elsewhere.
        other_hours: over 0.
        times: as often as elsewhere.

    Example:
        >>> round(more_often(5, 100, 5, 900), 4)  # 5 or more of 10, one in ten expected
        0.0016
    """
    share = times * hours / (times * hours + other_hours)
    return float(stats.binom.sf(count - 1, count + others, share))


class Table(msgspec.Struct, frozen=True):
    """How often something was marked, by one and by the others, where they can be compared.

    Args:
        marked: his.
        of: of so many of his.
        others_marked: those of the others.
        others_of: of so many of the others.
    """

    marked: int
    of: int
    others_marked: int
    others_of: int


def share_above(tables: Sequence[Table]) -> float:
    """The chance of so many marked or more, if whose they are had nothing to do with it.

    Args:
        tables: one for each truck or kind, within which they are compared.

    *Source*: Fisher's exact test, the tables put together (Mantel and Haenszel 1959, exact). The tea tasting of
    Fisher 1935: 4 of 4 right by chance once in 70, 3 or more 17 times.

    Example:
        >>> round(share_above([Table(3, 4, 1, 4)]) * 70, 6)
        17.0
    """
    chances, marked = np.ones(1), 0
    for one in tables:
        most = min(one.of, one.marked + one.others_marked)
        whole = one.of + one.others_of
        law = stats.hypergeom.pmf(np.arange(most + 1), whole, one.marked + one.others_marked, one.of)
        chances, marked = np.convolve(chances, law), marked + one.marked
    return min(1.0, float(chances[marked:].sum()))


class Rise(msgspec.Struct, frozen=True):
    """How fast faults grow with the hours since a service: ``Σ (2x/L - 1)`` tells it, whatever the level is.

    Args:
        value: κ of the expected number of faults ``b t + κ t²``: half the slope of a rate that rises straight.
        se: its standard error, from how much the spells differ among one another.
        degrees: of freedom of that.
    """

    value: float
    se: float
    degrees: int

    def limits(self, level: float = LEVEL) -> tuple[float, float]:
        """Limits of `value`.

        Args:
            level: two-sided.
        """
        wide = float(stats.t.ppf((1 + level) / 2, self.degrees)) * self.se
        return self.value - wide, self.value + wide

    def against(self, value: float, error: float = 0.0) -> tuple[float, float]:
        """Is it another than `value`?

        Args:
            value: as `Rise.value`.
            error: standard error of that.

        Returns:
            How many standard errors above, and the chance of one as far away, both sides counted.
        """
        away = (self.value - value) / float(np.hypot(self.se, error))
        return away, 2 * float(stats.t.sf(abs(away), self.degrees))


def rise_of(spells: Sequence[tuple[float, Sequence[float]]]) -> Rise | None:
    """How fast faults grow within spells between services.

    Args:
        spells: of each its length in h, over 0, and at which hours of it faults were seen.

    Returns:
        None where it cannot be told: fewer than two spells, or no fault.

    What does not change within a spell falls out: how bad the truck is, how many faults there are that no service
    helps against, what the season does.
    """
    lengths = np.array([length for length, _ in spells])
    leans = np.array([sum(2 * at / length - 1 for at in places) for length, places in spells])
    if len(spells) < 2 or not any(places for _, places in spells):
        return None
    square = float((lengths**2).sum())
    value = 3 * float(leans.sum()) / square
    spread = float(((leans - value * lengths**2 / 3) ** 2).sum()) * len(spells) / (len(spells) - 1)
    return Rise(value, max(3 * float(np.sqrt(spread)) / square, 1e-300), len(spells) - 1)


def wear_of(data: Lives) -> float:
    """The chance of lives that look as much like wear, if the parts failed by chance alone, however long they lived.

    Where parts fail by chance, the hours that all of them together have run when one fails lie evenly over the hours
    that they have run at the last failure. Where they wear out these lie late.

    Args:
        data: two failures at least.

    *Source*: the cumulative total time on test (Epstein 1960, Barlow and Doksum 1972): exact where parts leave the
    watch at failures of others, but for taking sums of even numbers for normal; where all leave it at the same hours a
    stated chance of 5 % is 5 to 8 %, one of 0.5 % up to 1 % (measured).
    """
    dead = np.sort(np.repeat(data.hours, (data.count * data.failed).astype(int)))
    run = np.array([(data.count * np.clip(np.minimum(at, data.hours) - data.entry, 0, None)).sum() for at in dead])
    lean = float(np.mean(run[:-1] / run[-1])) - 1 / 2
    return float(stats.norm.sf(lean * np.sqrt(12 * (len(run) - 1))))


def said_aloud(chances: Sequence[float], alpha: float) -> tuple[bool, ...]:
    """Which of many findings may be said aloud, so that all that is said is true but for one page in so many.

    Args:
        chances: of each finding the chance of one as strong where there is nothing.
        alpha: the chance that anything on the page is said without ground.

    *Edge*: exactly at its bound it is said.
    *Source*: Holm 1979: the smallest chance is held against α/m, the next against α/(m - 1), until one fails. It needs
    no assumption about how the findings hang together.

    Example:
        >>> said_aloud([0.01, 0.04, 0.03, 0.005], 0.05)
        (True, False, False, True)
    """
    said = [False] * len(chances)
    rising = sorted(range(len(chances)), key=chances.__getitem__)
    for place, index in enumerate(rising):
        if chances[index] > alpha / (len(chances) - place):
            break
        said[index] = True
    return tuple(said)
