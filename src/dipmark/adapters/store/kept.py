"""What was derived of trucks, kept so that it need not be derived again. No part of the record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import msgspec
from sqlalchemy import Row, delete, insert, select, tuple_

from dipmark.adapters.store.database import Database
from dipmark.adapters.store.tables import KEPT_TRUCKS
from dipmark.facts.base import BookId

_CHUNK: Final = 250
_ID: Final = tuple_(KEPT_TRUCKS.c.book, KEPT_TRUCKS.c.language)


class KeptTruck(msgspec.Struct, frozen=True):
    """Something derived of one truck.

    Args:
        book: the truck's.
        language: IETF tag of the language it is said in.
        key: names all that it was derived from; another key, another truth.
        from_us: the first instant it holds, in µs since 1970.
        until_us: the first instant it no longer holds, in µs since 1970.
        data: its bytes, for whoever derived it.
    """

    book: BookId
    language: str
    key: str
    from_us: int
    until_us: int
    data: bytes


def _kept(row: Row[Any]) -> KeptTruck:
    return KeptTruck(row.book, row.language, row.key, row.from_us, row.until_us, bytes(row.data))


class KeptTrucks:
    """All that is kept in one store.

    Args:
        database: the store's.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def all(self, language: str) -> dict[BookId, KeptTruck]:
        """Everything kept in a language, by book.

        Args:
            language: its IETF tag.
        """
        with self._database.reading() as connection:
            rows = connection.execute(select(KEPT_TRUCKS).where(KEPT_TRUCKS.c.language == language))
            return {row.book: _kept(row) for row in rows}

    def keep(self, kept: Sequence[KeptTruck]) -> None:
        """Keep what was derived, each in place of what was kept of its truck in its language before."""
        if not kept:
            return
        with self._database.writing() as connection:
            for start in range(0, len(kept), _CHUNK):
                ids = [(one.book, one.language) for one in kept[start : start + _CHUNK]]
                connection.execute(delete(KEPT_TRUCKS).where(_ID.in_(ids)))
            connection.execute(insert(KEPT_TRUCKS), [msgspec.structs.asdict(one) for one in kept])

    def forget(self) -> None:
        """Throw everything kept away; it is derived again when it is asked for."""
        with self._database.writing() as connection:
            connection.execute(delete(KEPT_TRUCKS))
