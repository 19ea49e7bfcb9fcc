"""Hours from fault to fault as they are now, with limits that hold."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from scipy import optimize, special, stats

from dipmark.derive.reliability.histories import LEVEL, Histories
from dipmark.derive.reliability.power_law import log_sum, power_law

FURTHEST: Final = 60.0
"""Standard deviations about the middle within which a limit is looked for."""

NODES: Final = 100
"""Places of the gamma law over which its product is summed."""


class Between(msgspec.Struct, frozen=True):
    """Mean hours between faults of one unit, if it stays as it is at the end of the watch.

    Args:
        hours: mean hours between faults.
        low: lower limit; None where no limit that holds is known: units watched to different hours.
        high: upper limit; None likewise, and with a single fault.
    """

    hours: float
    low: float | None
    high: float | None


def between(units: Histories, level: float = LEVEL) -> Between | None:
    """Mean hours from fault to fault at the longest watch of all.

    Args:
        units: watched from hour 0.
        level: of the limits, two-sided.

    Returns:
        None where no power law can be fitted, or failure truncated by fewer than three faults.

    *Source*: Crow 1982 (time truncated, several units watched to the same hours are as one); failure truncated: the
    product of the two χ² that Finkelstein 1976 uses.
    """
    law = power_law(units, level)
    if law is None or (law.truncation == "failure" and law.faults < 3):
        return None
    end = float(units.end.max())
    hours = 1 / (law.scale * law.beta * end ** (law.beta - 1))
    if law.truncation == "time" and np.all(units.end == end):
        low, high = factors_time(law.faults, level)
    elif law.truncation == "failure" and len(units.end) == 1:
        low, high = factors_failure(law.faults, level)
    else:
        return Between(hours, None, None)
    return Between(hours, low * hours, high * hours if np.isfinite(high) else None)


def factors_time(faults: int, level: float) -> tuple[float, float]:
    """By what the mean hours between faults are multiplied for their limits, time truncated.

    Args:
        faults: how many.
        level: two-sided.

    *Edge*: a single fault sets no upper limit; it is infinite.
    *Source*: Crow 1982; factors printed by NASA TM-103511.

    Example:
        >>> [round(one, 4) for one in factors_time(23, 0.80)]
        [0.6762, 1.5744]
    """
    tail = (1 - level) / 2

    def at_most(z: float, count: int) -> float:
        k = np.arange(1, count + 1)
        terms = (2 * k - 1) * np.log(z) - special.gammaln(k + 1) - special.gammaln(k)
        return float(np.exp(special.logsumexp(terms) - np.log(special.ive(1, 2 * z)) - 2 * z))

    ends = (1e-9, faults + FURTHEST * np.sqrt(faults))
    up = optimize.brentq(lambda z: at_most(z, faults) - tail, *ends)
    if faults == 1:
        return (faults / up) ** 2, float("inf")
    down = optimize.brentq(lambda z: 1 - at_most(z, faults - 1) - tail, *ends)
    return (faults / up) ** 2, (faults / down) ** 2


def factors_failure(faults: int, level: float) -> tuple[float, float]:
    """By what the mean hours between faults are multiplied for their limits, failure truncated.

    The true ones over those fitted are 2 N² over the product of two numbers drawn alone: of χ² with 2 (N - 1) degrees
    of freedom, and of a gamma law of shape N.

    Args:
        faults: how many, at least 3.
        level: two-sided.
    """
    nodes, weights = special.roots_legendre(NODES)
    gamma = special.gammaincinv(faults, (nodes + 1) / 2)

    def below(product: float) -> float:
        return float((weights * special.chdtr(2 * (faults - 1), product / gamma)).sum()) / 2

    found = []
    for chance in ((1 + level) / 2, (1 - level) / 2):
        middle = np.log(2 * faults * (faults - 1))
        place = optimize.brentq(lambda at, want=chance: below(float(np.exp(at))) - want, middle - 12, middle + 6)
        found.append(2 * faults**2 / float(np.exp(place)))
    return found[0], found[1]


def between_modified(units: Histories, level: float) -> Between | None:
    """The same by the bias-free estimate and limits of the normal law, as NIST's handbook prints them.

    Args:
        units: one unit, time truncated, with at least two faults.
        level: two-sided.

    *Source*: NIST/SEMATECH e-Handbook 8.4.5.2.
    """
    total, faults = log_sum(units)
    if faults < 2 or len(units.end) != 1 or units.until_fault[0] or not total > 0:
        return None
    hours = float(units.end[0]) / (faults * (faults - 1) / total)
    z, base = float(stats.norm.ppf((1 + level) / 2)), hours * faults * (faults - 1)
    low = base / (faults + z**2 / 4 + np.sqrt(faults * z**2 / 2 + z**4 / 16)) ** 2
    room = faults - z * np.sqrt(faults / 2)
    return Between(hours, float(low), float(base / room**2) if room > 0 else None)
