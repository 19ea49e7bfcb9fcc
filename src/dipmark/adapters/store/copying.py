"""A store copied verbatim into an empty one, and the copy verified."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select

from dipmark.adapters.store.steps import CHUNK
from dipmark.adapters.store.tables import BLOBS, FACTS, NAMES, SET_ASIDE, SETTLED
from dipmark.adapters.store.verify import Progress, check
from dipmark.facts.errors import StoreError


def copied(source: Connection, into: Connection, addresses: tuple[str, str], progress: Progress | None) -> None:
    """Copy every row, as it is at one moment, and verify the copy.

    Args:
        source: reading.
        into: writing; where it is not empty, or the copy does not verify, its transaction is to be undone.
        addresses: of both, as people know them.
        progress: told how many of how many rows are copied.

    Raises:
        StoreError: the target is not empty, or the copy does not verify.
    """
    total = sum(_count(source, table) for table in (FACTS, BLOBS, NAMES, SET_ASIDE, SETTLED))
    if any(_count(into, table) for table in (FACTS, BLOBS, NAMES, SET_ASIDE)):
        raise StoreError(f"Store {addresses[1]} is not empty; a store is copied into an empty one only.")
    done = 0
    for query, table in (
        (select(FACTS).order_by(FACTS.c.book, FACTS.c.seq), FACTS),
        (select(BLOBS), BLOBS),
        (select(NAMES), NAMES),
        (select(SET_ASIDE), SET_ASIDE),
        (select(SETTLED), SETTLED),
    ):
        for part in _parts(source, query, 10 if table is BLOBS else CHUNK):
            into.execute(insert(table), part)
            done += len(part)
            if progress is not None:
                progress(done, total)
    faults = [problem for problem in check(into, None) if problem.hard]
    if faults:
        raise StoreError(
            f"The copy of {addresses[0]} does not verify, so none is made: {faults[0]} "
            "Run verify on the store; keep its files as they are.",
            faults,
        )


def _parts(connection: Connection, query: Select[Any], size: int) -> Iterator[list[dict[str, Any]]]:
    streamed = connection.execution_options(stream_results=True, yield_per=size).execute(query)
    for rows in streamed.mappings().partitions(size):
        yield [dict(row) for row in rows]


def _count(connection: Connection, table: Any) -> int:
    return connection.scalar(select(func.count()).select_from(table)) or 0
