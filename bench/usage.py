"""A hundred thousand trucks with 20 million readings, fitted and dated, against a median rate of each by polars.

Ours fits each truck (its level, its season, its change of job) to its readings and to the prior of the kind, which was
learnt from a thousand of them beforehand, and gives three dates for a mark 150 h ahead, chunk by chunk. The baseline
divides the hours between two readings by the time between them and takes the median of each truck. Rounds alternate;
the ratio is that of the medians, 6 the bound, and 4 GiB of memory at most.
"""

from __future__ import annotations

import resource
import statistics
import sys
import time
from datetime import date, timedelta

import numpy as np
import polars as pl

from dipmark.derive.usage.ahead import passes
from dipmark.derive.usage.calendar import Calendar, Days, Week, days_of, number_of
from dipmark.derive.usage.clock import clock_of
from dipmark.derive.usage.fit import Readings, fit
from dipmark.derive.usage.learn import prior_of
from dipmark.derive.usage.prior import Prior

TRUCKS, READINGS, CHUNK, LEARNT = 100_000, 200, 1_000, 1_000
ROUNDS, BOUND, MEMORY = 3, 6.0, 4 << 30
FIRST = date(2025, 1, 1)
WEEKS = ((8.0,) * 5 + (0.0,) * 2, (16.0,) * 5 + (8.0, 0.0), (24.0,) * 7)
SHUT = frozenset(date(year, month, day) for year in (2025, 2026, 2027) for month, day in ((1, 1), (5, 1), (12, 25)))


def days() -> Days:
    calendars = [Calendar((Week(FIRST, week),), SHUT) for week in WEEKS]
    return days_of(calendars, FIRST, FIRST + timedelta(days=1095))


def made(rng: np.random.Generator) -> Readings:
    """A year of readings at uneven spacing, each truck on one of three calendars."""
    row = rng.integers(0, len(WEEKS), TRUCKS)
    moment, hours = np.empty(TRUCKS * READINGS), np.empty(TRUCKS * READINGS)
    clock = clock_of(days(), np.full(8, 0.3))
    for first in range(0, TRUCKS, CHUNK):
        gap = rng.uniform(0.5, 1.5, (CHUNK, READINGS))
        at = number_of(FIRST) + np.cumsum(gap, axis=1) * 1.825
        rows = np.repeat(row[first : first + CHUNK], READINGS)
        ran = np.diff(clock.read(rows, at.ravel())[:, 0].reshape(CHUNK, READINGS), axis=1, prepend=0.0)
        ran[:, 0] = 0.0
        level = rng.uniform(0.5, 1.5, (CHUNK, 1))
        used = level * ran * rng.gamma(3.0, 1 / 3, ran.shape)
        moment[first * READINGS : (first + CHUNK) * READINGS] = at.ravel()
        hours[first * READINGS : (first + CHUNK) * READINGS] = np.round(np.cumsum(used, axis=1), 1).ravel()
    return Readings(np.arange(TRUCKS + 1) * READINGS, row, moment, hours)


def part(readings: Readings, first: int, last: int) -> Readings:
    """The trucks from one up to another."""
    start = readings.start[first : last + 1]
    inside = slice(start[0], start[-1])
    return Readings(start - start[0], readings.row[first:last], readings.moment[inside], readings.hours[inside])


def ours(readings: Readings, table: Days, prior: Prior) -> int:
    clock = clock_of(table, np.array(prior.factors))
    dated = 0
    for first in range(0, TRUCKS, CHUNK):
        some = part(readings, first, first + CHUNK)
        fitted = fit(some, clock, prior)
        early, about, late = passes(fitted, some.row, clock, prior, fitted.hours + 150.0)
        dated += int(((early <= about) & (about <= late) & np.isfinite(late)).sum())
    return dated


def median_rates(frame: pl.DataFrame) -> pl.DataFrame:
    """Hours a day from reading to reading, and their median, of each truck."""
    rate = pl.col("hours").diff() / pl.col("moment").diff()
    same = pl.col("truck") == pl.col("truck").shift()
    rates = frame.lazy().select("truck", rate=pl.when(same).then(rate))
    return rates.group_by("truck").agg(pl.col("rate").median()).collect()


def main() -> int:
    readings = made(np.random.default_rng(20261125))
    truck = readings.truck.astype(np.int32)
    frame = pl.DataFrame({"truck": truck, "moment": readings.moment, "hours": readings.hours})
    table = days()
    begin = time.perf_counter()
    prior = prior_of(part(readings, 0, LEARNT), table, Prior())
    learnt = time.perf_counter() - begin
    theirs, mine, dated, rates = [], [], 0, 0
    for _ in range(ROUNDS):
        start = time.perf_counter()
        rates = median_rates(frame).height
        middle = time.perf_counter()
        dated = ours(readings, table, prior)
        theirs.append(middle - start)
        mine.append(time.perf_counter() - middle)
    base, own = statistics.median(theirs), statistics.median(mine)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(f"baseline  polars, median rate of {rates:,} trucks, {frame.height:,} readings  {base:6.2f} s")
    print(f"prior     learnt from {prior.trucks:,} trucks, once on a schedule, not counted  {learnt:6.2f} s")
    print(f"ours      {TRUCKS:,} trucks fitted, {dated:,} dated  {own:6.2f} s")
    print(f"memory    {memory / (1 << 20):,.0f} MiB (bound {MEMORY >> 20:,})")
    print(f"ratio     {own / base:.2f} (bound {BOUND:g}, {ROUNDS} rounds, medians)")
    return 0 if own <= BOUND * base and memory <= MEMORY and dated == TRUCKS == rates else 1


if __name__ == "__main__":
    sys.exit(main())
