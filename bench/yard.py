"""The key board of a very large yard from what is kept, against reading and decoding the same rows.

Ten thousand trucks are entered and derived once. Then, in one process, the rows that are kept are read and decoded
(the baseline), and the whole view of the yard is made: heads of all books, what is kept, whether it still holds, the
words and gauges of every hook. The ratio is that of the medians of several rounds; 5 is the bound. Last, one fact is
added and the view made again: one truck is derived.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Final
from unittest import mock

from dipmark.facts.base import Fact, Reading, truck_book
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.office import standings as kept
from dipmark.office.board import yard_board
from dipmark.office.open import Office, open_office

TRUCKS: Final = int(os.environ.get("DIPMARK_BENCH_TRUCKS", "10000"))
ROUNDS, BOUND = 5, 5.0


def fill(office: Office) -> None:
    """Each truck has a walk-round, a service and a few readings behind it."""
    now = office.clock()
    facts: list[Fact] = []
    for number in range(TRUCKS):
        book = truck_book(str(number))
        facts += [
            office.fact(
                book, Enrolled(what="engine-pneumatic-lpg", place=f"hall {number % 40}"), now - timedelta(days=90)
            ),
            office.fact(
                book,
                Worked(services=("150h",), meter=Reading(hours=Decimal(number))),
                now - timedelta(days=number % 40 + 2),
            ),
            office.fact(book, WalkRound(answers=(Answer(check="chain.tension"),)), now - timedelta(hours=1)),
            office.fact(book, MeterRead(hours=Decimal(number + 5)), now - timedelta(minutes=30)),
        ]
    office.append(facts)


def decoded(office: Office) -> float:
    start = time.perf_counter()
    rows = [kept.decoded(one) for one in office.store.kept.all("en").values()]
    assert len(rows) == TRUCKS
    return time.perf_counter() - start


def viewed(office: Office) -> float:
    start = time.perf_counter()
    assert len(yard_board(office, office.clock())) == TRUCKS
    return time.perf_counter() - start


def main() -> int:
    with tempfile.TemporaryDirectory() as folder, open_office(str(Path(folder, "yard.dip")), create=True) as office:
        fill(office)
        first = viewed(office)
        theirs, ours = [], []
        for _ in range(ROUNDS):
            theirs.append(decoded(office))
            ours.append(viewed(office))
        office.append([office.fact(truck_book("7"), MeterRead(hours=Decimal(13)), office.clock())])
        with mock.patch.object(kept, "derived", side_effect=kept.derived) as derive:
            again = viewed(office)
        derived = [call.args[1] for call in derive.call_args_list]
    base, mine = statistics.median(theirs), statistics.median(ours)
    print(f"baseline  {TRUCKS:,} kept rows read and decoded            {base * 1000:7.0f} ms")
    print(f"viewed    key board of {TRUCKS:,} trucks from what is kept  {mine * 1000:7.0f} ms")
    print(
        f"first     all derived {first:.1f} s; after one new fact {again * 1000:.0f} ms, derived: {', '.join(derived)}"
    )
    print(f"ratio     {mine / base:.2f} (bound {BOUND:g}, {ROUNDS} rounds, medians)")
    return 0 if mine / base <= BOUND and derived == ["truck:7"] else 1


if __name__ == "__main__":
    sys.exit(main())
