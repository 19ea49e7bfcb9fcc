"""What trucks of a kind have in common, learnt from their readings: on a schedule, not for each truck."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from scipy.optimize import nnls

from dipmark.derive.usage.ahead import ran_until
from dipmark.derive.usage.calendar import CLOSED, Days, Floats, Ints
from dipmark.derive.usage.clock import TINY, Clock, clock_of
from dipmark.derive.usage.fit import Fitted, Readings, Steps, fit, steps_of, thinned
from dipmark.derive.usage.prior import Prior

FEWEST: Final = 30
"""From fewer trucks nothing is learnt. Project rule."""

ROUNDS: Final = 3
"""So often week, season and levels are learnt again from one another."""

SEASON_DAYS: Final = 240
"""Readings over so many days tell a season from a change. Project rule."""

SHORT: Final = 3.0
"""Steps of at most so many days show what each day of the week is worth."""

FORTNIGHT: Final = 14.0
"""How evenly hours run is seen from fortnight to fortnight: within a day nobody knows when they ran."""

PULL: Final = 20.0
"""So many events that show no season are added to those of the trucks."""

MEMORIES: Final = (30.0, 60.0, 120.0, 240.0, 480.0, 960.0)
"""The memories that are tried, in days."""

AHEAD: Final = 28.0
"""So many days are foretold to prove a memory."""

CUTS: Final = (28.0, 56.0, 84.0)
"""So many days before the end of the record they begin."""

FOUR_IN_FIVE: Final = 1.2815515655446004
"""Four normal deviates in five are at most so many standard deviations off."""

LEAST: Final = 0.02
"""No class of day is worth less than this share of the mean one: somebody may come in. Project rule."""


def prior_of(readings: Readings, days: Days, start: Prior) -> Prior:
    """The prior of a kind, from the readings of its trucks.

    Args:
        readings: of its trucks.
        days: of their calendars, over all the readings.
        start: what was known before; the answer where there are fewer than `FEWEST` trucks.

    *Edge*: a season is learnt only from readings over `SEASON_DAYS`; before that it is that of `start`.
    """
    if len(readings.row) < FEWEST:
        return start
    seasonal = float(np.ptp(readings.moment)) >= SEASON_DAYS
    prior = msgspec.structs.replace(start, trucks=len(readings.row), memory=MEMORIES[-1])
    for _ in range(ROUNDS):
        fitted = fit(readings, clock_of(days, np.array(prior.factors)), prior)
        prior = msgspec.structs.replace(prior, factors=_factors(readings, days, fitted, prior))
        clock = clock_of(days, np.array(prior.factors))
        steps = steps_of(thinned(readings, FORTNIGHT), clock)
        if seasonal:
            prior = _season(steps, fitted, prior.even / clock.daily[readings.row], prior)
        prior = _levels(steps, fitted, clock.daily[readings.row], prior)
    return _proved(readings, days, prior, start.memory)


def _factors(readings: Readings, days: Days, fitted: Fitted, prior: Prior) -> tuple[float, ...]:
    """What a planned hour is worth on each class of day: least squares over the short steps of steady trucks."""
    truck, factors = readings.truck, np.array(prior.factors)
    classes = [clock_of(days, one).read(readings.row[truck], readings.moment) for one in np.eye(CLOSED + 1)]
    until = np.column_stack([np.einsum("ij,ij->i", one, fitted.wave[truck]) for one in classes])
    steady = np.isnan(fitted.changed)[truck[1:]]
    use = (truck[1:] == truck[:-1]) & steady & (np.diff(readings.moment) <= SHORT)
    level = fitted.level[truck[1:][use]]
    planned = np.diff(until, axis=0)[use] * level[:, None]
    weight = 1.0 / np.sqrt(np.maximum(planned @ factors * level, 1e-3))
    matrix = planned * weight[:, None]
    gram = matrix.T @ matrix + np.eye(CLOSED + 1)
    goal = matrix.T @ (np.maximum(np.diff(readings.hours)[use], 0.0) * weight) + factors
    root = np.linalg.cholesky(gram).T
    found, _ = nnls(root, np.linalg.solve(root.T, goal))
    return tuple(np.maximum(found, LEAST * found.mean()).tolist())


def _season(steps: Steps, fitted: Fitted, even: Floats, prior: Prior) -> Prior:
    """The yearly wave of the kind, and how far steady trucks differ from it, each about a level of its own."""
    count = len(fitted.level)
    use = np.isnan(fitted.changed)[steps.truck]
    truck, sums, hours = steps.truck[use], steps.sums[use], steps.hours[use]
    ran = np.maximum(sums @ np.array((1.0, *prior.season)), TINY)
    level = _ratio(truck, hours, ran, count)
    weight = sums[:, 0] * even[truck]
    columns = (np.ones(len(ran)), sums[:, 1] / ran, sums[:, 2] / ran, hours / np.maximum(level[truck] * ran, TINY) - 1)
    products = np.array([[np.bincount(truck, weight * one * two, count) for two in columns] for one in columns])
    mean = products[0] / np.maximum(products[0, 0], TINY)
    about = products - mean[:, None] * products[0][None]
    own, shown = np.moveaxis(about[1:3, 1:3], 2, 0), about[1:3, 3].T
    common = np.linalg.solve(own.sum(axis=0) + PULL * np.eye(2), shown.sum(axis=0))
    clear = np.linalg.eigvalsh(own)[:, 0] > PULL
    apart = np.linalg.inv(own[clear])
    each = np.einsum("nij,nj->ni", apart, shown[clear]) - common
    wave = np.mean(each**2) - np.trace(apart, axis1=1, axis2=2).mean() / 2 if clear.any() else prior.wave
    season = (prior.season[0] + float(common[0]), prior.season[1] + float(common[1]))
    return msgspec.structs.replace(prior, season=season, wave=float(np.clip(wave, 1e-4, 0.1)))


def _levels(steps: Steps, fitted: Fitted, daily: Floats, prior: Prior) -> Prior:
    """How far trucks differ in their level, and how evenly the hours of a steady one run."""
    count = len(fitted.level)
    ran = np.maximum(np.einsum("ij,ij->i", steps.sums, fitted.wave[steps.truck]), TINY)
    level = _ratio(steps.truck, steps.hours, ran, count)
    number = np.bincount(steps.truck, minlength=count)
    even, seen = np.isnan(fitted.changed) & (level > 0) & (number > 1), level[number > 0]
    use = even[steps.truck]
    truck = steps.truck[use]
    off = steps.hours[use] / level[truck] - ran[use]
    each = (off / ran[use]) ** 2 * steps.sums[use, 0] / daily[truck]
    uneven = float(each.sum() / max(int((number[even] - 1).sum()), 1))
    middle = float(seen.mean()) if seen.any() else 1.0
    return msgspec.structs.replace(
        prior,
        factors=tuple(one * middle for one in prior.factors),
        known=1.0 / max(float(np.var(seen / middle)), 1e-3) if seen.any() else prior.known,
        even=1.0 / uneven if uneven > 0 else prior.even,
    )


def _ratio(truck: Ints, hours: Floats, ran: Floats, count: int) -> Floats:
    """Hours over working time of each truck."""
    return np.bincount(truck, hours, count) / np.maximum(np.bincount(truck, ran, count), TINY)


def _proved(readings: Readings, days: Days, prior: Prior, usual: float) -> Prior:
    """The prior with the memory that would have foretold best, and as uneven as its forecasts would have had to say.

    Best is the least error in hours over the four weeks after each of the cuts. Uneven enough: four forecasts in five
    were off by no more than was said, so the few trucks that change their job do not blur all others.
    """
    clock = clock_of(days, np.array(prior.factors))
    tried = [msgspec.structs.replace(prior, memory=memory) for memory in MEMORIES]
    told = [_foretold(readings, clock, one) for one in tried]
    best = int(np.argmin([error for error, _ in told]))
    if not len(told[best][1]):
        return msgspec.structs.replace(prior, memory=usual)
    scale = max(float(np.quantile(told[best][1], 0.8)) / FOUR_IN_FIVE, 0.1)
    return msgspec.structs.replace(tried[best], even=prior.even / scale**2)


def _foretold(readings: Readings, clock: Clock, prior: Prior) -> tuple[float, Floats]:
    """How far forecasts of four weeks, made at each of the cuts, were off: in hours in all, and each over its doubt."""
    truck, count = readings.truck, len(readings.row)
    error, off = 0.0, [np.zeros(0)]
    for cut in float(readings.moment.max()) - np.array(CUTS):
        early, late = readings.moment <= cut, readings.moment <= cut + AHEAD
        before, then = np.bincount(truck[early], minlength=count), np.bincount(truck[late], minlength=count)
        use = (before > 0) & (then > before)
        keep, row = early & use[truck], readings.row[use]
        start = np.concatenate([[0], np.cumsum(before[use])])
        fitted = fit(Readings(start, row, readings.moment[keep], readings.hours[keep]), clock, prior)
        last = readings.start[:-1][use] + then[use] - 1
        ran = ran_until(fitted, row, clock, prior, readings.moment[last])
        missed = np.abs(readings.hours[last] - fitted.hours - ran.hours)
        error += float(missed.sum())
        off.append(missed / (ran.hours * np.sqrt(1.0 / ran.events + 1.0 / ran.known)))
    return error, np.concatenate(off)
