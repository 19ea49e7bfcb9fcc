"""Has a truck changed its job: where in its readings would its hours most likely begin to run at another rate?"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import gammaln

from dipmark.derive.usage.calendar import Floats, Ints

BROAD: Final = 2.0
"""So little is known beforehand of the rate before and of that after: as much as two events show. Project rule."""


def likeliest_change(truck: Ints, events: Floats, hours: Floats, count: int) -> Ints:
    """The step after which each truck most likely has another job, if it has changed its job at all.

    Where the hours are likeliest if the rate was one up to there and another from there on, each in broad doubt: gamma
    processes of unknown rate, in closed form.

    Args:
        truck: of each step, in order.
        events: of each step: its working time as a shape of the process.
        hours: that ran.
        count: how many trucks there are.

    Returns:
        Indices of steps; -1 where a truck has fewer than two.
    """
    all_events, all_hours = np.bincount(truck, events, count), np.bincount(truck, hours, count)
    scale = all_events / np.maximum(all_hours, 1e-9)
    start = np.searchsorted(truck, np.arange(count + 1))
    total = all_events[truck]
    before, used = _running(events, start, truck), _running(hours * scale[truck], start, truck)
    gain = _likely(before, used) + _likely(np.maximum(total - before, 0.0), np.maximum(total - used, 0.0))
    gain[np.append(truck[1:] != truck[:-1], True)[: len(gain)]] = -np.inf
    best = np.full(count, -np.inf)
    some = start[1:] > start[:-1]
    if some.any():
        best[some] = np.maximum.reduceat(gain, start[:-1][some])
    hits = np.flatnonzero((gain == best[truck]) & (gain > -np.inf))
    found = np.full(count, -1)
    found[truck[hits]] = hits
    return found


def _running(values: Floats, start: Ints, truck: Ints) -> Floats:
    """Running sums that begin anew with each truck."""
    total = np.concatenate([[0.0], np.cumsum(values)])
    running: Floats = total[1:] - total[start[truck]]
    return running


def _likely(events: Floats, ran: Floats) -> Floats:
    """The logarithm of how likely it is that a gamma process of unknown rate ran so far in so many events."""
    likely: Floats = gammaln(BROAD + events) - (BROAD + events) * np.log(BROAD + ran)
    return likely
