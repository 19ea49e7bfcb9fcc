"""Has a truck changed its job: is there an instant before and after which its hours run at another rate?"""

from __future__ import annotations

import numpy as np
from scipy.special import gammaln

from dipmark.derive.usage.calendar import Floats, Ints

BROAD = 2.0
"""So little is known of either rate beforehand: as much as two events show. Project rule."""


def changed_at(truck: Ints, end: Floats, events: Floats, hours: Floats, count: int, daily: float) -> Floats:
    """The instant after which each truck has another job, in days since 1970; NaN: more likely it has not changed.

    For every reading: how much likelier are the hours, if the rate was one before and another after it, each in broad
    doubt, than if it was one throughout (Bayes factor of gamma processes, in closed form)? Their sum, by the chance of a
    change in the days to the next reading, is the odds.

    Args:
        truck: of each step, in order.
        end: moment of its second reading.
        events: its working time as a shape.
        hours: that ran.
        count: how many trucks there are.
        daily: chance of a change in a day.
    """
    all_events, all_hours = np.bincount(truck, events, count), np.bincount(truck, hours, count)
    scale = np.where(all_hours > 0, all_events / np.maximum(all_hours, 1e-9), 0.0)
    used = hours * scale[truck]
    before = [np.cumsum(one) for one in (events, used)]
    starts = np.searchsorted(truck, np.arange(count))
    base = [np.concatenate([[0.0], one])[starts][truck] for one in before]
    first, ran = (one - two for one, two in zip(before, base, strict=True))
    total = all_events[truck]
    rest = np.maximum(total - first, 0.0)
    gain = _likely(first, ran) + _likely(rest, np.maximum(total - ran, 0.0)) - _likely(total, total)
    days = np.diff(end, append=end[-1:])
    is_last = np.diff(truck, append=count) > 0
    chance = np.where(is_last, 0.0, np.maximum(days, 0.0) * daily)
    odds = np.exp(np.minimum(gain, 500.0)) * chance
    sums = np.bincount(truck, odds, count)
    best = np.full(count, np.nan)
    likely = np.flatnonzero((odds > 0) & (sums[truck] > 1.0))
    order = likely[np.lexsort((odds[likely], truck[likely]))]
    best[truck[order]] = end[order]
    return best


def _likely(events: Floats, ran: Floats) -> Floats:
    """The logarithm of how likely it is that a gamma process of unknown rate ran so far in so many events."""
    return gammaln(BROAD + events) - (BROAD + events) * np.log(BROAD + ran) + (BROAD * np.log(BROAD) - gammaln(BROAD))
