"""Facts for the store suite, places for a store, and hands that tamper with it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import msgspec
import psycopg

from dipmark.adapters.store import Store, open_store
from dipmark.facts.base import Fact
from dipmark.facts.codec import fact_of
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead

NOW = datetime(2026, 11, 20, 6, 0, tzinfo=UTC)


class Ticking:
    """A clock that goes on by a second at every look."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


class Place(msgspec.Struct):
    """A place for a store, empty when the test gets it."""

    kind: str
    address: str

    def open(self, *, create: bool = True, clock: Callable[[], datetime] | None = None) -> Store:
        return open_store(self.address, clock=clock or Ticking(), create=create)


def reading(number: int, book: str = "truck:7", **fields: Any) -> Fact:
    """Fact `number`, a meter reading of as many hours."""
    hours = fields.pop("hours", number)
    return fact_of(
        fields.pop("id", f"01934567-0000-7000-8000-{number:012x}"),
        book,
        fields.pop("happened", NOW - timedelta(hours=500 - number)),
        fields.pop("by", "p-ana"),
        MeterRead(hours=Decimal(hours), **fields),
    )


def fault(number: int, *pictures: str, book: str = "truck:7") -> Fact:
    """Fact `number`, a fault with pictures."""
    body = Fault(text="Oil under the mast", seriousness="watch", pictures=pictures)
    return fact_of(f"01934567-0000-7000-8000-{number:012x}", book, NOW, "p-ana", body)


def by_hand(store: Store, statement: str) -> None:
    """A statement as somebody with the database in his hands would give it."""
    with store.database.engine.begin() as connection:
        connection.exec_driver_sql(statement)


def as_boss(place: Place, statement: str) -> None:
    """The same with all rights the database knows."""
    with psycopg.connect(place.address.replace("yard@", "boss@"), autocommit=True) as connection:
        connection.execute(statement.encode())
