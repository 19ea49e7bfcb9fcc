"""Meter readings cleaned: 1,000 trucks with 1,000 readings each, against plain `sorted` of the same objects by hours.

The readings are `Counted` facts, as `past` hands them on: dates and times still have to be turned into instants, hours
into integers, turns through zero and changes found. They hold two slips in a hundred. The baseline sorts the same
million objects, shuffled, by `one.body.hours`. Rounds alternate; the ratio is that of the medians, 10 the bound.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path
from random import Random

sys.path.pop(0)  # bench/ itself, whose modules have the names of folders of tests/
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from derive.builders import ZONE
from derive.meter_yard import made
from dipmark.derive.meter import meters_of
from dipmark.derive.past import Counted, Counting
from dipmark.facts.meter import MeterRead

TRUCKS, READINGS, ROUNDS, BOUND = 1000, 1000, 3, 10


def main() -> int:
    trucks = int(sys.argv[1]) if len(sys.argv) > 1 else TRUCKS
    rng = Random(20261120)
    records = [made(rng, READINGS, first=1 + truck * (READINGS + 2)).counting for truck in range(trucks)]
    readings = [one for record in records for one in record if isinstance(one.body, MeterRead)]
    rng.shuffle(readings)
    theirs, ours = [], []
    for _ in range(ROUNDS):
        theirs.append(by_hours(readings))
        ours.append(cleaned(records))
    base, mine = statistics.median(theirs), statistics.median(ours)
    print(f"baseline  sorted, {len(readings):,} readings by hours  {base:7.2f} s")
    print(f"cleaned   the same, truck by truck             {mine:7.2f} s")
    print(f"ratio     {mine / base:.2f} (bound {BOUND}, {ROUNDS} rounds, medians)")
    return 0 if mine / base <= BOUND else 1


def by_hours(readings: list[Counted]) -> float:
    start = time.perf_counter()
    sorted(readings, key=lambda one: one.body.hours)  # type: ignore[union-attr]
    return time.perf_counter() - start


def cleaned(records: list[Counting]) -> float:
    start = time.perf_counter()
    for record in records:
        meters_of(record, ZONE)
    return time.perf_counter() - start


if __name__ == "__main__":
    sys.exit(main())
