"""How fast the hours of many trucks run: level and season of each, from readings at any spacing, with fading memory."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from dipmark.derive.usage.calendar import Floats, Ints
from dipmark.derive.usage.change import likeliest_change
from dipmark.derive.usage.clock import TINY, Clock
from dipmark.derive.usage.prior import Prior

WEEK: Final = 7.0
"""One reading in so many days shows how fast hours run; more show no more."""

SURE: Final = 16.0
"""A change of job is believed when it makes the hours so much likelier, as twice a logarithm. Project rule: of made-up
trucks that never changed about one in two hundred is taken for changed."""

HALF: Final = 0.5
"""So many events at the level of the kind are added where a level is told from hours alone."""


class Readings(NamedTuple):
    """Good readings of many trucks, truck after truck, each in the order they were made.

    Args:
        start: index of the first reading of each truck, and the number of all at the end; each truck has one at least.
        row: the calendar of each truck.
        moment: by the yard's clock, in days since 1970; the middle where only a day is known.
        hours: true hours.
    """

    start: Ints
    row: Ints
    moment: Floats
    hours: Floats

    @property
    def truck(self) -> Ints:
        """Whose each reading is."""
        return np.repeat(np.arange(len(self.row)), np.diff(self.start))


class Steps(NamedTuple):
    """From one reading to the next, where working time ran between them.

    Args:
        truck: whose.
        end: moment of the second reading.
        sums: of the clock, three columns.
        hours: that ran.
    """

    truck: Ints
    end: Floats
    sums: Floats
    hours: Floats


class Fitted(NamedTuple):
    """How trucks run, one element a truck.

    Args:
        level: hours over those of the kind.
        wave: how much each of the three sums of the clock counts: one, cosine, sine.
        doubt: covariance of level, cosine and sine, in shares of the level.
        moment: of the last reading, by the yard's clock, in days since 1970.
        hours: of the last reading.
        changed: when the truck changed its job, in days since 1970; NaN: it did not.
        span: days within which the last reading was made, about its moment.
    """

    level: Floats
    wave: Floats
    doubt: Floats
    moment: Floats
    hours: Floats
    changed: Floats
    span: Floats


def thinned(readings: Readings, days: float) -> Readings:
    """The last reading of a truck in each stretch of days, and its very first."""
    stretch = (readings.moment / days).astype(np.int64)
    keep = np.empty(len(stretch), np.bool_)
    keep[:-1] = stretch[1:] != stretch[:-1]
    keep[readings.start[1:] - 1] = True
    keep[readings.start[:-1]] = True
    before = np.concatenate([[0], np.cumsum(keep)])
    return Readings(before[readings.start], readings.row, readings.moment[keep], readings.hours[keep])


def steps_of(readings: Readings, clock: Clock) -> Steps:
    """From one reading to the next.

    *Edge*: hours that fell by their rounding did not run; hours that ran while the truck was laid up tell nothing.
    """
    truck = readings.truck
    sums = clock.read(readings.row[truck], readings.moment)
    ran = sums[1:] - sums[:-1]
    use = (truck[1:] == truck[:-1]) & (ran[:, 0] > TINY)
    hours = readings.hours[1:] - readings.hours[:-1]
    return Steps(truck[1:][use], readings.moment[1:][use], ran[use], np.maximum(hours[use], 0.0))


def fit(readings: Readings, clock: Clock, prior: Prior) -> Fitted:
    """How trucks run, from their readings and from what is known of their kind.

    The level is what weighed least squares find, each step weighed by its working time and by its age. The season is
    that of the kind, bent towards the truck's own as far as its readings show one. Where a truck has changed its job,
    only what came after tells the level.

    Args:
        readings: of trucks of one kind.
        clock: of their calendars, with the factors of the prior.
        prior: of the kind.

    *Edge*: with one reading a truck runs as its kind does.
    """
    last = readings.start[1:] - 1
    moment = readings.moment[last]
    steps = steps_of(thinned(readings, WEEK), clock)
    even = prior.even / clock.daily[readings.row]
    kind = np.maximum(steps.sums @ np.array((1.0, *prior.season)), TINY)
    fade = np.exp((steps.end - moment[steps.truck]) / prior.memory)
    work = steps.sums[:, 0]
    after = likeliest_change(steps.truck, work * even[steps.truck], steps.hours * work / kind, len(moment))
    never, maybe = np.full(len(moment), -np.inf), np.append(steps.end, -np.inf)[after]
    steady = _solve(steps, kind, fade, never, even, prior)
    other = _solve(steps, kind, fade, maybe, even, prior)
    gain = _misfit(steps, kind, never, steady.wave, even, prior) - _misfit(steps, kind, maybe, other.wave, even, prior)
    changed = gain > SURE
    level = np.where(changed, other.level, steady.level)
    wave = np.where(changed[:, None], other.wave, steady.wave)
    doubt = np.where(changed[:, None, None], other.doubt, steady.doubt)
    wave = np.column_stack([np.ones(len(level)), wave + np.array(prior.season)])
    since = np.where(changed, maybe, np.nan)
    return Fitted(level, wave, doubt, moment, readings.hours[last], since, np.zeros(len(level)))


class _Found(NamedTuple):
    """Level after a change, a truck's own wave about its kind's, and their covariance, in shares of the level."""

    level: Floats
    wave: Floats
    doubt: Floats


def _solve(steps: Steps, kind: Floats, fade: Floats, since: Floats, even: Floats, prior: Prior) -> _Found:
    """Weighed least squares of each truck: its level after an instant, and its wave before and after."""
    truck, count = steps.truck, len(even)
    after = steps.end > since[truck]
    rough = _levels(2 * truck + after, steps.hours * fade, kind * fade, even, prior.known)
    off = steps.hours / (rough[2 * truck + after] * kind) - 1.0
    weight = even[truck] * steps.sums[:, 0] * fade
    columns = (after.astype(np.float64), steps.sums[:, 1] / kind, steps.sums[:, 2] / kind)
    matrix, right = np.empty((count, 3, 3)), np.empty((count, 3))
    for i, left in enumerate(columns):
        scaled = weight * left
        right[:, i] = np.bincount(truck, scaled * off, count)
        for j in range(i, 3):
            matrix[:, i, j] = matrix[:, j, i] = np.bincount(truck, scaled * columns[j], count)
    level = rough[1::2]
    matrix += np.diag([prior.known, 1.0 / prior.wave, 1.0 / prior.wave])
    right[:, 0] += prior.known * (1.0 / level - 1.0)
    doubt = np.linalg.inv(matrix).astype(np.float64)
    found = np.einsum("nij,nj->ni", doubt, right)
    better = np.maximum(1.0 + found[:, 0], 0.1)
    return _Found(level * better, found[:, 1:] / better[:, None], doubt)


def _levels(group: Ints, hours: Floats, ran: Floats, even: Floats, known: float) -> Floats:
    """Hours run over working time, of every truck before and after an instant, a few events of the kind added."""
    count, add = 2 * len(even), known / np.repeat(even, 2)
    return (np.bincount(group, hours, count) + add) / (np.bincount(group, ran, count) + add)


def _misfit(steps: Steps, kind: Floats, since: Floats, wave: Floats, even: Floats, prior: Prior) -> Floats:
    """Twice the negative logarithm of how likely the hours of each truck are, up to what all fits have in common."""
    truck = steps.truck
    ran = np.maximum(kind + np.einsum("ij,ij->i", steps.sums[:, 1:], wave[truck]), 0.1 * kind)
    group = 2 * truck + (steps.end > since[truck])
    mean = _levels(group, steps.hours, ran, even, HALF)[group] * ran
    each = even[truck] * steps.sums[:, 0] * (np.log(mean / kind) + steps.hours / mean)
    misfit: Floats = 2 * np.bincount(truck, each, len(even)) + (wave**2).sum(axis=1) / prior.wave
    return misfit
