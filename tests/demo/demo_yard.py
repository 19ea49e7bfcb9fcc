"""The invented yard as the tests look at it: made once for each instant, its books chained as a store would."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

import msgspec

from dipmark.adapters.rulefiles import read_rules
from dipmark.demo import demo_facts
from dipmark.demo.pen import ZONE, Pen, Written
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import FIRST, YARD, Accepted, BookId, name_of
from dipmark.facts.codec import accept
from dipmark.rules.model import Rules

SEED = 20261
NOON = "2026-11-25T11:00"
INSTANTS = (
    NOON,
    "2024-02-29T00:03",  # a leap day, just after midnight
    "2026-03-29T00:30",  # a Sunday, half an hour before the clocks go forward
    "2026-03-29T03:10",
    "2025-10-26T01:30",  # the hour that comes twice
    "2025-12-25T06:00",  # closed
    "2027-01-01T23:59",
    "2026-03-31T22:00",  # the end of a month after a short one, the end of a shift
    "2026-08-15T05:58",  # a Saturday, before the shift
)


class Yard(msgspec.Struct, frozen=True):
    """The record, the pen that wrote it, and every truck as derived at the instant."""

    as_of: datetime
    written: tuple[Written, ...]
    pen: Pen
    books: dict[BookId, list[Accepted]]
    trucks: dict[str, TruckNow]


def instant(text: str) -> datetime:
    """An instant by the clock of the yard."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def rules() -> Rules:
    """The shipped rules."""
    return read_rules()


@lru_cache
def yard_at(text: str, seed: int = SEED) -> Yard:
    """The invented yard at an instant."""
    as_of = instant(text)
    written, pen = demo_facts(as_of, seed, rules())
    books: dict[BookId, list[Accepted]] = {}
    for one in written:
        book = books.setdefault(one.fact.book, [])
        prev = book[-1].digest if book else FIRST
        book.append(accept(one.fact, one.received, len(book) + 1, prev))
    settings = yard_now(books[YARD], as_of)
    trucks = {}
    for name, record in books.items():
        if name.startswith("truck:"):
            truck = truck_now(record, rules(), settings, ZONE, as_of)
            assert truck is not None
            trucks[name_of(name)] = truck
    return Yard(as_of, written, pen, books, trucks)
