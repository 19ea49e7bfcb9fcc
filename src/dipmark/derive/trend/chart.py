"""Control charts: values one by one, sums and moving averages, and alarm limits with the rule they were found by."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

import msgspec
import numpy as np

from dipmark.derive.trend.fit import Floats

PER_MOVE: Final = 1.128
"""Mean distance of two values from one normal distribution, in standard deviations (d2 for two)."""

Rule = Literal["weibull", "linear", "median_unbiased"]
"""How a percentile between two values is found, by its name in numpy: rules 6, 7 and 8 of Hyndman and Fan 1996."""


class Limits(msgspec.Struct, frozen=True):
    """The middle of a chart and its limits.

    Args:
        low: values below are out of control.
        middle: the mean.
        high: values above are out of control.
    """

    low: float
    middle: float
    high: float


class AlarmLimit(msgspec.Struct, frozen=True):
    """An alarm limit found from values of the same kind.

    Args:
        value: the limit.
        percent: so many of the values are below.
        count: how many values.
        rule: by which rule.
    """

    value: float
    percent: float
    count: int
    rule: Rule

    @property
    def text(self) -> str:
        """For a person; the rule stands beside the limit, because three rules give three limits.

        Example:
            >>> AlarmLimit(95.1981, 90, 12, "weibull").text
            '95.1981: 90 % of 12 values, rule weibull'
        """
        return f"{self.value:g}: {self.percent:g} % of {self.count} values, rule {self.rule}"


class Sums(NamedTuple):
    """Sums of what is beyond the allowance, one element a value.

    Args:
        high: upwards.
        low: downwards, above nought as well.
    """

    high: Floats
    low: Floats


def individuals(values: Floats) -> Limits:
    """Limits for values one by one: the mean, and three standard deviations found from neighbouring values.

    Args:
        values: two or more, in their order, of a time in which nothing was amiss.

    *Edge*: a value at a limit is within. *Source*: NIST/SEMATECH e-Handbook 6.3.2.2 (secondary). Divides by 1.128; the
    shop's factor 2.66 differs in the fourth digit.

    Example:
        >>> individuals(np.array([10.0, 11.0, 10.0, 11.0])).middle
        10.5
    """
    middle, move = float(np.mean(values)), float(np.mean(np.abs(np.diff(values))))
    reach = 3 * move / PER_MOVE
    return Limits(middle - reach, middle, middle + reach)


def alarm_limit(values: Floats, percent: float, rule: Rule) -> AlarmLimit:
    """The value that so many of a hundred are below, with the rule by which it was found.

    Args:
        values: one or more, in any order.
        percent: 0 to 100.
        rule: what to do between two values.

    *Source*: NIST/SEMATECH e-Handbook 7.2.6.2 (secondary).

    Example:
        >>> alarm_limit(np.arange(1.0, 10.0), 90, "weibull").value
        9.0
    """
    return AlarmLimit(float(np.percentile(values, percent, method=rule)), percent, len(values), rule)


def sums(values: Floats, target: float, allowance: float) -> Sums:
    """Sums of how far values are beyond target and allowance, upwards and downwards, never below nought.

    Args:
        values: in their order.
        target: where they ought to be.
        allowance: what counts for nothing, in the unit of the values.

    *Source*: NIST/SEMATECH e-Handbook 6.3.2.3 (secondary).

    Example:
        >>> sums(np.array([1.0, 3.0, -4.0]), 0.0, 0.5).high.tolist()
        [0.5, 3.0, 0.0]
    """
    off = values - target
    high, low = np.zeros(len(values)), np.zeros(len(values))
    up = down = 0.0
    for index, one in enumerate(off.tolist()):
        high[index] = up = max(0.0, up + one - allowance)
        low[index] = down = max(0.0, down - one - allowance)
    return Sums(high, low)


def averages(values: Floats, target: float, weight: float) -> Floats:
    """Moving averages in which older values fade, one a value.

    Args:
        values: in their order.
        target: the average before the first.
        weight: of the newest value, above 0 and at most 1.

    *Source*: NIST/SEMATECH e-Handbook 6.3.2.4 (from memory).

    Example:
        >>> averages(np.array([4.0, 8.0]), 0.0, 0.5).tolist()
        [2.0, 5.0]
    """
    found, average = np.zeros(len(values)), target
    for index, one in enumerate(values.tolist()):
        found[index] = average = weight * one + (1 - weight) * average
    return found


def average_limits(target: float, sd: float, weight: float, sigmas: float) -> Limits:
    """Limits of a moving average that has run for long.

    Args:
        target: where values ought to be.
        sd: standard deviation of one value.
        weight: of the newest value.
        sigmas: so many standard deviations of the average; not rounded on the way.

    *Source*: as `averages`.

    Example:
        >>> average_limits(50.0, 2.0, 1.0, 3.0)
        Limits(low=44.0, middle=50.0, high=56.0)
    """
    reach = sigmas * sd * (weight / (2 - weight)) ** 0.5
    return Limits(target - reach, target, target + reach)
