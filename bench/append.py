"""Durable appends: facts taken one at a time by the store, against single-row commits of plain sqlite3.

Both write to a file on the same disk with a write-ahead log and `synchronous = FULL`, one row of the same columns and
size a commit; the rows of the baseline are made beforehand. Ours adds what a record needs: the fact is judged against
its book (`admit`), checked for what no record may hold and for doubles, chained, digested, guarded and indexed. Rounds
alternate; the ratio is that of the medians, 0.3 the bound.
"""

from __future__ import annotations

import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from dipmark.adapters.clock import new_id, system_clock
from dipmark.adapters.store import Store, open_store
from dipmark.adapters.store.rows import row_of
from dipmark.derive.admit import admit
from dipmark.facts.base import FIRST, Accepted, BookId, Fact
from dipmark.facts.codec import accept, fact_of
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled

ROUNDS, FACTS, BOUND = 60, 50, 0.3


def main() -> int:
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as name:
        folder = Path(name)
        plain = plain_sqlite(folder / "plain.db")
        with open_store(str(folder / "yard.dip"), clock=system_clock, create=True) as store:
            store.append(enrolments())
            books = {book: list(store.book(book)) for book in store.books()}
            theirs, ours = [], []
            for number in range(ROUNDS + 1):
                facts = readings(number)
                theirs.append(one_by_one(plain, facts))
                ours.append(taken(store, facts, books))
            faults = store.verify()
        plain.close()
    base, mine = statistics.median(theirs[1:]), statistics.median(ours[1:])  # the first round warms up
    print(f"baseline  sqlite3, one row a commit, WAL, synchronous FULL  {base:8.0f} rows/s")
    print(f"ours      judged, checked, chained, guarded, one a call     {mine:8.0f} facts/s")
    print(f"verify    {len(faults)} problems")
    print(f"ratio     {mine / base:.2f} (bound {BOUND}, {ROUNDS} rounds of {FACTS}, medians)")
    return 0 if mine / base >= BOUND and not faults else 1


def enrolments() -> list[Fact]:
    enrolled = Enrolled(what="engine-pneumatic-lpg")
    return [fact_of(new_id(), f"truck:{truck}", system_clock(), "p-ana", enrolled) for truck in range(20)]


def readings(number: int) -> list[Fact]:
    books = [f"truck:{truck}" for truck in range(20)]
    return [
        fact_of(new_id(), books[step % 20], system_clock(), "p-ana", MeterRead(hours=Decimal(number * FACTS + step)))
        for step in range(FACTS)
    ]


def plain_sqlite(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    for setting in ("synchronous = FULL", "secure_delete = ON", "trusted_schema = OFF"):
        connection.execute(f"PRAGMA {setting}")
    columns = ", ".join(row_of(accept(readings(0)[0], system_clock(), 1, FIRST)))
    connection.execute(f"CREATE TABLE facts ({columns.replace('id,', 'id TEXT PRIMARY KEY,', 1)})")
    return connection


def one_by_one(connection: sqlite3.Connection, facts: Sequence[Fact]) -> float:
    rows = [tuple(row_of(accept(fact, system_clock(), 1, FIRST)).values()) for fact in facts]
    statement = f"INSERT INTO facts VALUES ({', '.join('?' * len(rows[0]))})"
    start = time.perf_counter()
    for row in rows:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(statement, row)
        connection.execute("COMMIT")
    return FACTS / (time.perf_counter() - start)


def taken(store: Store, facts: Sequence[Fact], books: dict[BookId, list[Accepted]]) -> float:
    start = time.perf_counter()
    for fact in facts:
        problems = admit(fact, None, books[fact.book], store.clock())
        assert not problems
        books[fact.book] += store.append((fact,)).accepted
    return FACTS / (time.perf_counter() - start)


if __name__ == "__main__":
    sys.exit(main())
