"""The store: takes facts into the chains of their books, and gives them back."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Final, Self

import msgspec
from sqlalchemy import Connection, bindparam, insert, select, text, update

from dipmark.adapters.store.copying import copied
from dipmark.adapters.store.database import Clash, Database, quickly
from dipmark.adapters.store.kept import KeptTrucks
from dipmark.adapters.store.rows import (
    Blob,
    SetAside,
    accepted_in,
    row_of,
    set_aside_in,
    set_aside_row,
)
from dipmark.adapters.store.sign_in import SignIns
from dipmark.adapters.store.steps import ONE, add_blobs, add_names, found, id_taken, name_faults, refuse, settled
from dipmark.adapters.store.tables import BLOBS, FACTS, NAMES, SET_ASIDE, SETTLED, books_query, heads_query
from dipmark.adapters.store.verify import Progress, check, check_code
from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId, Origin, PersonKey, folded
from dipmark.facts.codec import accept, decode_body, encode_body, faults_of, same_fact
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem

_TRIES: Final = 5
_BOOK: Final = (
    select(FACTS).where(FACTS.c.book == bindparam("book"), FACTS.c.seq > bindparam("after")).order_by(FACTS.c.seq)
)
_HEAD: Final = (
    select(FACTS.c.seq, FACTS.c.digest).where(FACTS.c.book == bindparam("book")).order_by(FACTS.c.seq.desc()).limit(1)
)
_INSERT: Final = insert(FACTS)
_LOCK: Final = text("SELECT pg_advisory_xact_lock(key) FROM unnest(CAST(:keys AS bigint[])) AS key")


class Appended(msgspec.Struct, frozen=True):
    """What became of facts handed to the store.

    Args:
        accepted: those newly taken, in the order given.
        known: ids of those that were there already, the same in everything.
    """

    accepted: tuple[Accepted, ...]
    known: tuple[FactId, ...]


class Store:
    """The record of a yard. Open one with `open_store`; use it as a context manager.

    Args:
        database: where it lies.
        clock: says when facts are received.
    """

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self.database = database
        self.kept = KeptTrucks(database)
        self.sign_ins = SignIns(database)
        self.clock = clock

    @property
    def address(self) -> str:
        """Where it lies, without a password."""
        return self.database.address

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give back every connection; an open store may be used by several threads until then."""
        self.database.close()

    # ------------------------------------------------------------------ taking

    def append(
        self,
        facts: Sequence[Fact],
        *,
        received: Sequence[datetime] | None = None,
        origins: Sequence[Origin | None] | None = None,
        names: Mapping[PersonKey, str] | None = None,
        blobs: Sequence[Blob] = (),
    ) -> Appended:
        """Take facts, names and pictures in one transaction: all of them, durably, or nothing.

        Args:
            facts: in the order they are to stand in their books.
            received: when each was received; None means now.
            origins: for merged facts, where each stood in its first home.
            names: names of people new to the register; a key that is there keeps its name, or its blank.
            blobs: pictures; one that is there already is left as it is.

        Raises:
            Refused: an id is taken by another fact, or a fact holds what no record may hold; `problems` has them all.
            StoreError: the store cannot be written.
        """
        times = self._times(len(facts), received)
        places = list(origins) if origins is not None else [None] * len(facts)
        if len(places) != len(facts):
            raise ValueError(f"{len(places)} origins for {len(facts)} facts")
        faults = [problem for fact in facts for problem in faults_of(fact)]
        faults += [problem for key, name in (names or {}).items() for problem in name_faults(key, name)]
        refuse(faults)
        for attempt in range(1, _TRIES + 1):
            try:
                with self.database.writing() as connection:
                    done = self._take(connection, facts, times, places)
                    add_names(connection, names or {})
                    add_blobs(connection, blobs)
                    return done
            except Clash:
                if attempt == _TRIES:
                    raise
        raise AssertionError  # pragma: no cover

    def _times(self, count: int, received: Sequence[datetime] | None) -> list[datetime]:
        if received is None:
            return [self.clock()] * count
        if len(received) != count or any(time.utcoffset() is None for time in received):
            raise ValueError(f"{len(received)} times for {count} facts, or one without zone")
        return list(received)

    def _take(
        self, connection: Connection, facts: Sequence[Fact], times: Sequence[datetime], origins: Sequence[Origin | None]
    ) -> Appended:
        books = sorted({fact.book for fact in facts})
        if not self.database.sqlite and books:
            keys = sorted(
                int.from_bytes(hashlib.sha256(book.encode()).digest()[:8], "big", signed=True) for book in books
            )
            connection.execute(_LOCK, {"keys": keys})
        there, heads = found(connection, facts)
        accepted: list[Accepted] = []
        rows: list[dict[str, Any]] = []
        known: list[FactId] = []
        taken: list[Problem] = []
        for fact, time, origin in zip(facts, times, origins, strict=True):
            if (other := there.get(fact.id)) is not None:
                if same_fact(other, fact):
                    known.append(fact.id)
                else:
                    taken.append(id_taken(fact, other))
                continue
            if fact.book not in heads:
                row = connection.execute(_HEAD, {"book": fact.book}).first()
                heads[fact.book] = (0, FIRST) if row is None else (row.seq, row.digest)
            seq, prev = heads[fact.book]
            body = encode_body(fact.body)
            item = accept(fact, time, seq + 1, prev, origin, body)
            heads[fact.book] = (item.seq, item.digest)
            there[fact.id] = fact
            accepted.append(item)
            rows.append(row_of(item, body))
        refuse(taken)
        if len(rows) == 1:
            quickly(connection, _INSERT, rows[0])
        elif rows:
            connection.execute(_INSERT, rows)
        return Appended(tuple(accepted), tuple(known))

    def set_aside(self, fact: Fact, problems: Sequence[Problem]) -> SetAside:
        """Keep a fact that a hard problem stops. The same fact a second time is there already.

        Raises:
            Refused: it cannot even be written down.
        """
        item = SetAside(fact=fact, problems=tuple(problems), received=self.clock().astimezone(UTC))
        try:
            decode_body(set_aside_row(item)["body"])
        except ValueError as unwritable:
            raise Refused(f"The fact cannot be written down: {unwritable}", faults_of(fact)) from unwritable
        with self.database.writing() as connection:
            for row in connection.execute(select(SET_ASIDE).where(SET_ASIDE.c.id == fact.id)):
                there = set_aside_in(row)
                if same_fact(there.fact, fact):
                    return there
            connection.execute(insert(SET_ASIDE), set_aside_row(item))
        return item

    def settle(self, digest: str, note: str, by: PersonKey) -> None:
        """Write beside a fact that was set aside how it was settled. The fact stays.

        Raises:
            NotFound: nothing with that digest is set aside, or it was settled already.
        """
        row = {"digest": digest, "by_key": by, "received": self.clock().astimezone(UTC).isoformat(), "note": note}
        with self.database.writing() as connection:
            there = connection.scalar(select(SET_ASIDE.c.digest).where(SET_ASIDE.c.digest == digest))
            settled = connection.scalar(select(SETTLED.c.digest).where(SETTLED.c.digest == digest))
            if there is None or settled is not None:
                raise NotFound(f"No fact with digest {digest[:16]}… is waiting to be settled.")
            connection.execute(insert(SETTLED), row)

    def set_aside_list(self) -> tuple[SetAside, ...]:
        """All that was ever set aside, oldest first, settled or not."""
        query = (
            select(SET_ASIDE, SETTLED.c.note)
            .outerjoin(SETTLED, SETTLED.c.digest == SET_ASIDE.c.digest)
            .order_by(SET_ASIDE.c.received, SET_ASIDE.c.digest)
        )
        with self.database.reading() as connection:
            rows = connection.execute(query).all()
            return tuple(settled(connection, set_aside_in(row), row.note) for row in rows)

    # ------------------------------------------------------------------ giving back

    def books(self) -> tuple[BookId, ...]:
        """Every book that has a fact, in bytewise order."""
        with self.database.reading() as connection:
            return tuple(BookId(row.book) for row in connection.execute(books_query()))

    def book(self, book: BookId, after: int = 0) -> tuple[Accepted, ...]:
        """The facts of a book in their order; empty where there is none.

        Args:
            book: which.
            after: only those with a higher number.
        """
        with self.database.reading() as connection:
            return tuple(accepted_in(row) for row in connection.execute(_BOOK, {"book": book, "after": after}))

    def record(self, prefix: str | None = None) -> Iterator[tuple[BookId, tuple[Accepted, ...]]]:
        """Book by book, all at one moment, one book in memory at a time.

        Args:
            prefix: only books beginning with it, such as ``truck:``.
        """
        found = self._books_at_once(prefix or "")
        yield from list(found) if self.database.alone else found

    def _books_at_once(self, prefix: str) -> Iterator[tuple[BookId, tuple[Accepted, ...]]]:
        with self.database.reading() as connection:
            for book in [BookId(row.book) for row in connection.execute(books_query(prefix))]:
                yield book, tuple(accepted_in(row) for row in connection.execute(_BOOK, {"book": book, "after": 0}))

    def heads(self) -> dict[BookId, tuple[int, str]]:
        """Of every book its last number and digest."""
        with self.database.reading() as connection:
            return {BookId(row.book): (row.seq, row.digest) for row in connection.execute(heads_query())}

    def fact(self, id_: FactId) -> Accepted | None:
        """The fact of an id."""
        with self.database.reading() as connection:
            row = connection.execute(ONE, {"id": id_}).first()
            return None if row is None else accepted_in(row)

    # ------------------------------------------------------------------ names

    def names(self) -> dict[PersonKey, str | None]:
        """The register; a name that was blanked is None."""
        with self.database.reading() as connection:
            return {PersonKey(row.key): row.name for row in connection.execute(select(NAMES).order_by(NAMES.c.key))}

    def key_of(self, name: str) -> PersonKey | None:
        """The key of a name as people compare names; of two the first in bytewise order of keys."""
        wanted = folded(name)
        return next((key for key, known in self.names().items() if known is not None and folded(known) == wanted), None)

    def set_name(self, key: PersonKey, name: str) -> None:
        """Give a key its name, or a new one.

        Raises:
            Refused: the name cannot be kept.
        """
        refuse(list(name_faults(key, name)))
        with self.database.writing() as connection:
            done = connection.execute(update(NAMES).where(NAMES.c.key == key).values(name=name))
            if done.rowcount == 0:
                connection.execute(insert(NAMES), {"key": key, "name": name})

    def blank_name(self, key: PersonKey) -> None:
        """Take a name out of the register; key and facts stay, and every chain still verifies.

        Raises:
            NotFound: the register has no such key.
        """
        with self.database.writing() as connection:
            if connection.execute(update(NAMES).where(NAMES.c.key == key).values(name=None)).rowcount == 0:
                raise NotFound(f"The register has no person {key}.")
        if self.database.sqlite:
            self.database.forget()

    # ------------------------------------------------------------------ pictures

    def put_blob(self, data: bytes, media: str) -> str:
        """Keep a picture and return its digest; the same bytes are kept once."""
        blob = Blob(data, media)
        self.append((), blobs=(blob,))
        return blob.digest

    def blob(self, digest: str) -> Blob | None:
        """The picture of a digest."""
        with self.database.reading() as connection:
            row = connection.execute(select(BLOBS).where(BLOBS.c.digest == digest)).first()
            return None if row is None else Blob(bytes(row.data), row.media)

    # ------------------------------------------------------------------ proving and copying

    def verify(self, progress: Progress | None = None) -> tuple[Problem, ...]:
        """Everything that shows the store was changed, cut, doubled or damaged since its facts were taken."""
        with self.database.reading() as connection:
            return tuple(check(connection, progress))

    def verify_against(self, printed: str, book: BookId | None = None) -> tuple[Problem, ...]:
        """Whether the store still holds the fact whose code was printed; an empty answer means that it does.

        Args:
            printed: the code as printed on a page.
            book: the book the page is about, where known; then a cut tail and a rewritten book are told apart.
        """
        with self.database.reading() as connection:
            return check_code(connection, printed, book)

    def copy_to(self, target: Store, progress: Progress | None = None) -> None:
        """Copy everything verbatim, as it is at one moment, into an empty store, and verify the copy: all or nothing.

        Raises:
            StoreError: the target is not empty, or the copy does not verify.
        """
        with self.database.reading() as source, target.database.writing() as into:
            copied(source, into, (self.address, target.address), progress)
