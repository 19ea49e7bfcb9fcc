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
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Final

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Accepted, Body, Reading, truck_book
from dipmark.facts.codec import chain, decode_body, encode_body, fact_of
from dipmark.facts.fault import Fault
from dipmark.facts.measure import ToppedUp
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked

TRUCKS: Final = int(os.environ.get("DIPMARK_BENCH_TRUCKS", "1000"))
FACTS: Final = 2500
BOUND, MEMORY = 15.0, 1 << 30
KIND: Final = "engine-pneumatic-lpg"


def record(number: int, checks: list[str]) -> tuple[Accepted, ...]:
    """The book of one truck: ten facts every five days, four hours of use between them."""
    moment, hours = datetime(2020, 1, 1, tzinfo=UTC), Decimal(0)
    bodies: list[Body] = [Enrolled(what=KIND)]
    rare: tuple[Body, ...] = (
        ToppedUp(fluid="engine-oil", amount=Decimal("0.5"), unit="l"),
        Fault(text="scratched", seriousness="watch"),
    )
    for step in range(1, FACTS):
        hours += 4
        place = step % 10
        if place < 6:
            bodies.append(MeterRead(hours=hours + Decimal("0.5")))
        elif place < 9:
            bodies.append(WalkRound(answers=tuple(Answer(check=check) for check in checks), meter=Reading(hours=hours)))
        else:
            done = Worked(services=("150h",), meter=Reading(hours=hours))
            bodies.append((done, *rare)[step // 10 % 3])
    book = truck_book(str(number))
    facts = []
    for step, body in enumerate(bodies):
        moment += timedelta(hours=12)
        facts.append(fact_of(f"{number:08x}-0000-7000-8000-{step:012x}", book, moment, "p-ana", body))
    return chain(facts)


def main() -> int:
    rules = read_rules()
    kind = rules.kind(KIND)
    assert kind is not None
    checks = [check.id for check in kind.checks][:25]
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
