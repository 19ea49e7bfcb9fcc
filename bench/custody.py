"""Deriving a yard with what hung on its trucks and who had them, against the same yard without.

A thousand trucks as in `derive.py`, and ten facts of custody and fitting in each book: an item on and off and on the
next truck, a hire, a driver, a hit. The baseline derives the trucks without these; ours derives them with, and besides
the make-up of the whole yard, the spans and the hits of each truck. The ratio is that of the sums; 1.2 is the bound.
"""

from __future__ import annotations

import os
import sys
import time
from datetime import UTC, timedelta
from pathlib import Path
from typing import Final

sys.path.pop(0)  # bench/ itself, whose modules have the names of folders of tests/
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from derive.truck_books import checks_of, record
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.custody import spans_of
from dipmark.derive.impact import hits_of
from dipmark.derive.makeup import hung_of
from dipmark.derive.past import Counting, past
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Accepted, Body, BookId, PersonKey, name_of
from dipmark.facts.codec import chain, fact_of
from dipmark.facts.custody import HeldBy
from dipmark.facts.fault import Released
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.incident import Incident

TRUCKS: Final = int(os.environ.get("DIPMARK_BENCH_TRUCKS", "1000"))
BOUND: Final = 1.2
TELLS: Final = (Fitted, Removed)


def around(book: tuple[Accepted, ...], number: int) -> tuple[Accepted, ...]:
    """The same book with ten facts of custody and fitting spread over it."""
    forks, clamp = BookId(f"item:forks-{number}"), BookId(f"item:clamp-{number // 2}")
    bodies: tuple[Body, ...] = (
        Fitted(item=forks),
        HeldBy(who="hired-in", firm="Quayside Hire", owes=("150h",)),
        Fitted(item=clamp),
        HeldBy(who="driver", person=PersonKey("p-ana")),
        Removed(item=clamp),
        HeldBy(who="yard"),
        Incident(what="hit", text="into rack 14"),
        Released(tests=("brakes",)),
        Removed(item=forks),
        Fitted(item=forks),
    )
    facts, step = [item.fact for item in book], len(book) // (len(bodies) + 1)
    for turn, body in enumerate(bodies, start=1):
        when = book[turn * step].fact.happened + timedelta(minutes=30 + number % 2)
        facts.append(fact_of(f"{number:08x}-0001-7000-8000-{turn:012x}", book[0].fact.book, when, "p-ana", body))
    return chain(sorted(facts, key=lambda fact: fact.happened))


def main() -> int:
    rules = read_rules()
    checks = checks_of(rules)
    theirs = ours = 0.0
    told: dict[BookId, Counting] = {}
    for number in range(TRUCKS):
        bare = record(number, checks)
        full = around(bare, number)
        as_of = bare[-1].fact.happened + timedelta(hours=1)
        start = time.perf_counter()
        truck_now(bare, rules, YardNow(), UTC, as_of)
        middle = time.perf_counter()
        truck = truck_now(full, rules, YardNow(), UTC, as_of)
        assert truck is not None
        spans_of(truck.counting)
        hits_of(full, truck.counting, truck.meters)
        told[truck.book] = past([item for item in full if isinstance(item.fact.body, TELLS)], as_of)
        end = time.perf_counter()
        theirs, ours = theirs + middle - start, ours + end - middle
    start = time.perf_counter()
    stays = hung_of(told)
    ours += time.perf_counter() - start
    assert {name_of(one.truck) for one in stays} == {str(number) for number in range(TRUCKS)}
    print(f"baseline  {TRUCKS:,} trucks derived without            {theirs:7.2f} s")
    print(f"derived   the same with {10 * TRUCKS:,} facts more        {ours:7.2f} s, {len(stays):,} stays")
    print(f"ratio     {ours / theirs:.2f} (bound {BOUND:g})")
    return 0 if ours / theirs <= BOUND else 1


if __name__ == "__main__":
    sys.exit(main())
