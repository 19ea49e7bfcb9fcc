"""The share of parts that lives on, without any law; and whether two groups of parts live alike."""

from __future__ import annotations

import msgspec
import numpy as np
from scipy import stats

from dipmark.derive.reliability.histories import LEVEL, Floats
from dipmark.derive.reliability.life import Lives


class Survival(msgspec.Struct, frozen=True):
    """The share that lives on, without any law (Kaplan and Meier).

    Args:
        hours: at which parts failed, each once.
        alive: the share that outlives them.
        at_risk: parts watched right before.
        failed: how many failed there.
        low: lower limit.
        high: upper limit; nan where none is left alive.
    """

    hours: Floats
    alive: Floats
    at_risk: Floats
    failed: Floats
    low: Floats
    high: Floats


def kaplan_meier(data: Lives, level: float = LEVEL) -> Survival:
    """The share that outlives so many hours.

    Args:
        data: right censored, with late entries; a part found failed counts as failed when it was found.
        level: of the limits, two-sided, on the scale of ln(-ln): Greenwood's variance.

    *Edge*: a part last seen to run at the hours of a failure was still at risk there; one that entered there was not.

    *Source*: Kaplan and Meier 1958; Greenwood 1926.
    """
    hours = np.unique(data.hours[data.failed & (data.count > 0)])
    risk, died = _at(data, hours)
    alive = np.cumprod(1 - died / risk)
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = np.cumsum(died / (risk * (risk - died)))
        wide = stats.norm.ppf((1 + level) / 2) * np.sqrt(variance) / np.log(alive)
        low, high = alive ** np.exp(-wide), alive ** np.exp(wide)
    ended = alive <= 0
    low, high = np.where(ended, 0.0, low), np.where(ended, np.nan, high)
    return Survival(hours, np.asarray(alive, float), risk, died, low, high)


class Apart(msgspec.Struct, frozen=True):
    """How far two groups of parts differ.

    Args:
        statistic: χ² with one degree of freedom.
        p: the chance of one as large where both live alike.
    """

    statistic: float
    p: float


def apart(one: Lives, other: Lives) -> Apart:
    """Whether two groups of parts live alike: the log-rank test.

    Args:
        one: lives of the first group.
        other: lives of the second.

    *Source*: Mantel 1966.
    """
    hours = np.unique(np.concatenate([group.hours[group.failed] for group in (one, other)]))
    (risk, died), (risk_other, died_other) = _at(one, hours), _at(other, hours)
    both, all_died = risk + risk_other, died + died_other
    share = risk / both
    expected = all_died * share
    variance = float((expected * (1 - share) * (both - all_died) / np.maximum(both - 1, 1)).sum())
    if variance <= 0:
        return Apart(0.0, 1.0)
    statistic = float((died - expected).sum()) ** 2 / variance
    return Apart(statistic, float(stats.chi2.sf(statistic, 1)))


def _at(data: Lives, hours: Floats) -> tuple[Floats, Floats]:
    """Parts at risk right before some hours, and those that failed there."""
    gone = _before(data.hours, data.count, hours, "left")
    came = _before(data.entry, data.count, hours, "left")
    fell = data.count * data.failed
    died = _before(data.hours, fell, hours, "right") - _before(data.hours, fell, hours, "left")
    return came - gone, died


def _before(at: Floats, count: Floats, hours: Floats, side: str) -> Floats:
    """How many stand before some hours: those at them left out (`left`) or counted (`right`)."""
    order = np.argsort(at, kind="stable")
    total = np.concatenate([[0.0], np.cumsum(count[order])])
    return np.asarray(total[np.searchsorted(at[order], hours, "left" if side == "left" else "right")])
