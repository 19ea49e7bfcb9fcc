"""How fast the hours of many trucks run: level and season of each, from readings at any spacing, with fading memory."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dipmark.derive.usage.calendar import YEAR, Floats, Ints
from dipmark.derive.usage.change import changed_at
from dipmark.derive.usage.clock import Clock
from dipmark.derive.usage.prior import Prior


class Readings(NamedTuple):
    """Good readings of many trucks, truck after truck, each in the order they were made.

    Args:
        truck: index of the first reading of each truck, and the number of all at the end; each has one at least.
        row: the calendar of each truck.
        moment: by the yard's clock, in days since 1970.
        hours: true hours.
    """

    truck: Ints
    row: Ints
    moment: Floats
    hours: Floats


class Fitted(NamedTuple):
    """How trucks run, one element a truck.

    Args:
        level: hours over those of the kind.
        wave: how much of the three sums of the clock count, over the level: one, cosine, sine.
        doubt: covariance of level and wave, relative to the level, three by three.
        moment: of the last reading, by the yard's clock, in days since 1970.
        hours: of the last reading.
        changed: when the truck changed its job, in days since 1970; NaN: it did not.
    """

    level: Floats
    wave: Floats
    doubt: Floats
    moment: Floats
    hours: Floats
    changed: Floats


class Steps(NamedTuple):
    """From one reading to the next, only where working time ran between them.

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


def thinned(readings: Readings, days: float) -> Readings:
    """Of each stretch of days the last reading of a truck, and its very first: enough to see how fast the hours run."""
    stretch = (readings.moment / days).astype(np.int64)
    keep = np.empty(len(stretch), np.bool_)
    keep[:-1] = stretch[1:] != stretch[:-1]
    keep[readings.truck[1:] - 1] = True
    keep[readings.truck[:-1]] = True
    before = np.concatenate([[0], np.cumsum(keep)])
    return Readings(before[readings.truck], readings.row, readings.moment[keep], readings.hours[keep])


def steps_of(readings: Readings, clock: Clock) -> Steps:
    """From one reading to the next."""
    count = np.diff(readings.truck)
    truck = np.repeat(np.arange(len(count)), count)
    sums = clock.read(readings.row[truck], readings.moment)
    ran = sums[1:] - sums[:-1]
    use = (truck[1:] == truck[:-1]) & (ran[:, 0] > 1e-9)
    hours = readings.hours[1:] - readings.hours[:-1]
    return Steps(truck[1:][use], readings.moment[1:][use], ran[use], np.maximum(hours[use], 0.0))


def fit(readings: Readings, clock: Clock, prior: Prior) -> Fitted:
    """How the trucks run, from their readings and from what is known of their kind.

    The level is what counts least squares find, each step weighed by its working time and by its age; the season of the
    kind bends towards that of the truck as far as its readings show it. Where a truck has changed its job, only what
    came after tells the level.

    Args:
        readings: of trucks of one kind.
        clock: of their calendars, with the factors of the prior.
        prior: of the kind.

    *Edge*: with one reading a truck is as its kind.
    """
    last = readings.truck[1:] - 1
    moment, hours = readings.moment[last], readings.hours[last]
    steps = steps_of(thinned(readings, 7.0), clock)
    age = moment[steps.truck] - steps.end
    fade = np.exp(-age / prior.memory)
    count = len(moment)
    never = np.full(count, -np.inf)
    level, shift, _ = _solve(steps, fade, never, count, prior)
    wave = np.array((1.0, *prior.season)) + np.column_stack([np.zeros(count), shift])
    ran = np.maximum(np.einsum("ij,ij->i", steps.sums, wave[steps.truck]), 1e-9)
    changed = changed_at(steps.truck, steps.end, ran * prior.even, steps.hours, count, prior.change / YEAR)
    since = np.where(np.isnan(changed), -np.inf, changed)
    level, shift, doubt = _solve(steps, fade, since, count, prior)
    wave = np.array((1.0, *prior.season)) + np.column_stack([np.zeros(count), shift])
    return Fitted(level, wave, doubt, moment, hours, changed)


def _solve(steps: Steps, fade: Floats, since: Floats, count: int, prior: Prior) -> tuple[Floats, Floats, Floats]:
    """Level, own share of the season, and their doubt, of each truck; before `since` the level was another."""
    truck, sums = steps.truck, steps.sums
    ran = sums @ np.array((1.0, *prior.season))
    after = steps.end > since[truck]
    group = 2 * truck + after
    rough = _sum(group, steps.hours * fade, 2 * count) + prior.known / prior.even
    rough /= _sum(group, ran * fade, 2 * count) + prior.known / prior.even
    rough = np.maximum(rough, 1e-6)
    weight = prior.even * ran * fade
    cosine, sine = sums[:, 1] / ran, sums[:, 2] / ran
    off = steps.hours / (rough[group] * ran) - 1.0
    one = after.astype(np.float64)
    columns = (one, cosine, sine)
    matrix = np.empty((count, 3, 3))
    right = np.empty((count, 3))
    for i, left in enumerate(columns):
        scaled = weight * left
        right[:, i] = _sum(truck, scaled * off, count)
        for j in range(i, 3):
            matrix[:, i, j] = matrix[:, j, i] = _sum(truck, scaled * columns[j], count)
    level = rough[1::2]
    matrix += np.diag([prior.known, 1.0 / prior.wave, 1.0 / prior.wave])
    right[:, 0] += prior.known * (1.0 / level - 1.0)
    doubt = np.linalg.inv(matrix)
    found = np.einsum("nij,nj->ni", doubt, right)
    better = 1.0 + np.maximum(found[:, 0], -0.9)
    return level * better, found[:, 1:] / better[:, None], doubt


def _sum(group: Ints, values: Floats, count: int) -> Floats:
    return np.bincount(group, values, count)
