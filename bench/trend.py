"""Two million series of measurements judged and projected, against a loop of numpy.polyfit over the same series.

A hundred thousand trucks with twenty quantities of twelve readings each, one reading in a hundred grossly wrong. Ours
doubts, fits a robust line and gives the hours left with their band, all series through one call a chunk. The loop is
timed on 20,000 of them, spread over the whole run, and scaled up. Its bound is 1: ours takes less time. 1 GiB of memory
at most.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np

from dipmark.derive.trend.fit import Floats
from dipmark.derive.trend.left import project

TRUCKS, QUANTITIES, READINGS = 100_000, 20, 12
CHUNK, SAMPLE = 20_000, 200
BOUND, MEMORY = 1.0, 1 << 30


def made(rng: np.random.Generator) -> tuple[Floats, Floats]:
    hours = np.cumsum(rng.gamma(2, 125, (CHUNK, READINGS)), axis=1)
    rate = rng.uniform(0.0012, 0.0028, (CHUNK, 1))
    values = 40 - rate * hours + rng.normal(0, 0.1, hours.shape)
    values += np.where(rng.random(hours.shape) < 0.01, rng.normal(0, 5, hours.shape), 0)
    return hours, np.round(values, 1)


def main() -> int:
    rng = np.random.default_rng(20261125)
    ours = loop = 0.0
    series = looped = projected = doubted = 0
    for _ in range(TRUCKS * QUANTITIES // CHUNK):
        hours, values = made(rng)
        start = time.perf_counter()
        left = project(hours, values, limit=30.0, grows=False, resolution=0.1, sd=0.1)
        middle = time.perf_counter()
        for row in range(SAMPLE):
            np.polyfit(hours[row], values[row], 1)
        loop += time.perf_counter() - middle
        ours += middle - start
        series, looped = series + CHUNK, looped + SAMPLE
        projected += int(np.isfinite(left.middle).sum())
        doubted += int((~left.used).sum())
    base = loop / looped * series
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(f"baseline  numpy.polyfit in a loop, {looped:,} series scaled to {series:,}  {base:6.1f} s")
    print(f"ours      {series:,} series, {projected:,} projected, {doubted:,} readings doubted  {ours:6.1f} s")
    print(f"memory    {memory / (1 << 20):.0f} MiB (bound {MEMORY >> 20})")
    print(f"ratio     {ours / base:.2f} (bound {BOUND:g})")
    return 0 if ours <= BOUND * base and memory <= MEMORY else 1


if __name__ == "__main__":
    sys.exit(main())
