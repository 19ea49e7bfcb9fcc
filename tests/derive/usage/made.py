"""Two thousand made-up trucks for a year and on: what they truly do, and what is read."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache
from math import tau
from typing import Final, NamedTuple

import holidays
import numpy as np
from numpy.typing import NDArray

from dipmark.derive.meter_chain import judge, shown
from dipmark.derive.usage.calendar import Calendar, Week, number_of
from dipmark.derive.usage.fit import Readings
from dipmark.facts.base import FactId

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FIRST: Final = date(2025, 1, 1)
YEAR, BEYOND = 365, 600
COUNTRIES: Final = ("DE", "GB", "US")
PLANNED: Final = (
    (8.0, 8.0, 8.0, 8.0, 8.0, 0.0, 0.0),
    (16.0, 16.0, 16.0, 16.0, 16.0, 8.0, 0.0),
    (24.0, 24.0, 24.0, 24.0, 24.0, 24.0, 24.0),
)
"""Planned hours of one, two and three shifts."""

BUSY: Final = (1.05, 1.0, 1.0, 1.0, 0.85, 0.6, 0.4)
"""How busy a planned hour is, Monday to Sunday."""

WINDOW: Final = ((0.25, 8 / 24), (0.25, 16 / 24), (0.0, 1.0))
"""When the shifts begin, and how long they last, in days."""


class Yard(NamedTuple):
    """What the trucks truly do.

    Args:
        shifts: of each truck, less one.
        country: of each truck.
        mean: hours a day, the generator's true mean, truck by day.
        run: hours a day that the truck ran.
        total: true hours at the end of each day.
        job: the day of a change of job; none is after all days.
        factor: of that change.
    """

    shifts: Ints
    country: Ints
    mean: Floats
    run: Floats
    total: Floats
    job: Ints
    factor: Floats

    @property
    def row(self) -> Ints:
        """The calendar of each truck."""
        return self.country * 3 + self.shifts

    def hours_at(self, truck: Ints, moment: Floats) -> Floats:
        """True hours at instants in days since the first."""
        whole = np.floor(moment).astype(np.int64)
        begin, length = np.array(WINDOW)[self.shifts[truck]].T
        share = np.clip((moment - whole - begin) / length, 0, 1)
        hours: Floats = self.total[truck, whole] - (1 - share) * self.run[truck, whole]
        return hours

    def passes(self, mark: Floats) -> Floats:
        """The instant each truck reaches its mark, in days since the first, unrounded."""
        day = np.array([np.searchsorted(one, target) for one, target in zip(self.total, mark, strict=True)])
        truck = np.arange(len(mark))
        begin, length = np.array(WINDOW)[self.shifts].T
        day = np.minimum(day, self.run.shape[1] - 1)
        left = mark - (self.total[truck, day] - self.run[truck, day])
        moment: Floats = day + begin + length * np.minimum(left / self.run[truck, day], 1.0)
        return moment


@cache
def closed(country: str) -> frozenset[date]:
    return frozenset(holidays.country_holidays(country, years=range(2025, 2029)))


def calendars() -> tuple[Calendar, ...]:
    return tuple(Calendar((Week(FIRST, week),), closed(country)) for country in COUNTRIES for week in PLANNED)


def yard(seed: int, trucks: int, *, own_season: bool) -> Yard:
    """The generator: season ±25 %, one truck in twenty changes its job within the year by a factor of 0.3 to 2.

    Args:
        seed: of the random numbers.
        trucks: how many.
        own_season: each truck has its season at its own time of the year; else all have it together.
    """
    rng = np.random.default_rng(seed)
    days = np.arange(YEAR + BEYOND)
    weekday = (number_of(FIRST) + 3 + days) % 7
    shifts, country = rng.choice(3, trucks, p=(0.5, 0.3, 0.2)), rng.integers(0, 3, trucks)
    week = np.array(PLANNED) * np.array(BUSY)
    mean = week[shifts][:, weekday] * rng.uniform(0.15, 0.4, (trucks, 1))
    for index, name in enumerate(COUNTRIES):
        shut = [at for day in closed(name) if 0 <= (at := (day - FIRST).days) < len(days)]
        mean[np.ix_(country == index, shut)] = 0.0
    phase = rng.uniform(0, tau, (trucks, 1)) if own_season else rng.uniform(0, tau)
    mean *= 1 + 0.25 * np.sin(tau * days / 365.2425 + phase)
    jobs, when, factor = rng.random(trucks) < 0.05, rng.integers(0, YEAR, trucks), rng.uniform(0.3, 2.0, trucks)
    job = np.where(jobs, when, len(days))
    mean = np.where(days >= job[:, None], mean * factor[:, None], mean)
    run = np.minimum(rng.gamma(3.0, 1.0, mean.shape) * mean / 3.0, 23.9 * (mean > 0))
    return Yard(shifts, country, mean, run, np.cumsum(run, axis=1), job, factor)


def read(made: Yard, seed: int, until: Floats) -> Readings:
    """What is read and holds good: every day to every month, one in a hundred a slip, judged as meters are."""
    rng = np.random.default_rng(seed)
    count, moments, hours = [], [], []
    for truck in range(len(made.run)):
        gap = float(np.exp(rng.uniform(0, np.log(30))))
        days = np.unique(np.floor(np.cumsum(gap * rng.uniform(0.7, 1.3, int(2 * until[truck] / gap) + 2))))
        days = days[days < np.floor(until[truck])]
        moment = np.append(0.0, days) + rng.uniform(0.25, 0.75, len(days) + 1)
        true = np.round(made.hours_at(np.full(len(moment), truck), moment) + 100, 1)
        kept = _good(moment, slipped(true, rng))
        count.append(len(kept))
        moments.append(moment[kept[:, 0].astype(int)])
        hours.append(kept[:, 1])
    moment = np.concatenate(moments) + number_of(FIRST)
    return Readings(np.concatenate([[0], np.cumsum(count)]), made.row, moment, np.concatenate(hours))


def slipped(true: Floats, rng: np.random.Generator) -> Floats:
    """One reading in a hundred with one digit written wrong."""
    slips = rng.random(len(true)) < 0.01
    off = rng.choice([-1, 1], len(true)) * rng.integers(1, 10, len(true)) * 10.0 ** rng.integers(-1, 4, len(true))
    return np.where(slips, np.abs(np.round(true + off, 1)), true)


def _good(moment: Floats, hours: Floats) -> Floats:
    start = datetime(2025, 1, 1, tzinfo=UTC)
    micro = [round(one * 86_400_000_000) for one in moment]
    segment = [
        shown(FactId(str(i)), Decimal(f"{one:.1f}"), at, at, (start + timedelta(microseconds=at)).date())
        for i, (at, one) in enumerate(zip(micro, hours, strict=True))
    ]
    judged = judge(segment, 5)
    kept = sorted(i for i, _ in judged.kept if i not in judged.ties)
    return np.array([(i, hours[i]) for i in kept])
