"""Deriving a yard from its whole record, against decoding the same bodies with msgspec.

A thousand trucks with 2,500 facts each: 60 % meter readings, 30 % walk-rounds of 25 answers, 10 % services, top-ups
and faults. For each truck the bodies are decoded (the baseline), then the truck is derived whole: corrections, meter,
faults, what is due, state. The ratio is that of the sums; 15 is the bound, and 1 GiB of memory at most.
"""

from __future__ import annotations

import os
import resource
import sys
import time
from datetime import UTC, timedelta
from pathlib import Path
from typing import Final

sys.path.pop(0)  # bench/ itself, whose modules have the names of folders of tests/
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from derive.truck_books import FACTS, checks_of, record
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.codec import decode_body, encode_body

TRUCKS: Final = int(os.environ.get("DIPMARK_BENCH_TRUCKS", "1000"))
BOUND, MEMORY = 15.0, 1 << 30


def main() -> int:
    rules = read_rules()
    checks = checks_of(rules)
    theirs = ours = 0.0
    for number in range(TRUCKS):
        book = record(number, checks)
        bodies = [encode_body(item.fact.body) for item in book]
        as_of = book[-1].fact.happened + timedelta(hours=1)
        start = time.perf_counter()
        for body in bodies:
            decode_body(body)
        middle = time.perf_counter()
        truck = truck_now(book, rules, YardNow(), UTC, as_of)
        end = time.perf_counter()
        assert truck is not None
        assert truck.hours is not None
        theirs, ours = theirs + middle - start, ours + end - middle
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(f"baseline  {TRUCKS * FACTS:,} bodies decoded with msgspec  {theirs:7.2f} s")
    print(f"derived   {TRUCKS:,} trucks whole                  {ours:7.2f} s")
    print(f"memory    {peak / (1 << 20):.0f} MiB at most (bound {MEMORY >> 20})")
    print(f"ratio     {ours / theirs:.2f} (bound {BOUND:g})")
    return 0 if ours / theirs <= BOUND and peak <= MEMORY else 1


if __name__ == "__main__":
    sys.exit(main())
