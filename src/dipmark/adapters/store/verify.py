"""Proof: what shows that a store was changed, cut, doubled or damaged since its facts were taken."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC
from typing import Any, Final, cast

import msgspec
from sqlalchemy import Connection, Integer, Row, create_engine, func, inspect, select, text, type_coerce

from dipmark.adapters.store.rows import microseconds, read_row, set_aside_in
from dipmark.adapters.store.schema import (
    KEPT,
    POSTGRES_CONSTRAINTS,
    POSTGRES_FUNCTIONS,
    POSTGRES_TRIGGERS,
    STEPS,
    applied,
)
from dipmark.adapters.store.tables import BLOBS, FACTS, METADATA, SET_ASIDE, SETTLED, heads_query
from dipmark.facts.base import FIRST, Accepted, BookId
from dipmark.facts.codec import digest_of, encode_body, read_book_code
from dipmark.facts.kinds import kind_of
from dipmark.facts.problems import Problem, Where, code

FACT_CHANGED: Final = code("fact-changed", "A recorded fact no longer agrees with its digest.")
FACT_MISSING: Final = code("fact-missing", "A number is missing in a book: a fact was taken out.")
FACT_DOUBLED: Final = code("fact-doubled", "An id or a number in a book stands there twice.")
CHAIN_BROKEN: Final = code("chain-broken", "A fact does not follow the one before it: one of them was exchanged.")
FACT_UNREADABLE: Final = code("fact-unreadable", "A recorded fact cannot be read.")
COLUMN_CHANGED: Final = code("column-changed", "What the store sorts by does not agree with the fact beside it.")
PICTURE_CHANGED: Final = code("picture-changed", "A picture no longer agrees with its digest.")
PICTURE_MISSING: Final = code("picture-missing", "A fact names a picture that the store does not hold.")
SET_ASIDE_MISSING: Final = code("set-aside-missing", "A fact that was set aside is gone, what settled it is there.")
SET_ASIDE_CHANGED: Final = code("set-aside-changed", "A fact that was set aside no longer agrees with its digest.")
STORE_CHANGED: Final = code("store-changed", "A table or a guard of the store is missing or was exchanged.")
STORE_DAMAGED: Final = code("store-damaged", "The database itself reports damage.")
CODE_UNREADABLE: Final = code("code-unreadable", "A printed code is not in its form.")
BOOK_CUT: Final = code("book-cut", "A book ends before the fact whose code was printed.")
BOOK_REWRITTEN: Final = code("book-rewritten", "A book holds another fact where the one with the printed code stood.")

Progress = Callable[[int, int], None]
"""Called now and then with how much is done and how much there is."""

_BACKUP: Final = "Keep the store as it is, and restore from a backup that verifies."
_EVERY: Final = 1000


def check(connection: Connection, progress: Progress | None) -> Iterator[Problem]:
    """Everything that is wrong with a store, in the transaction of the connection.

    Args:
        connection: a reader's, or that of a copy not yet committed.
        progress: called with facts done and facts there.
    """
    lost = METADATA.tables.keys() - set(inspect(connection).get_table_names())
    if lost:
        yield Problem(STORE_CHANGED, f"no table {', '.join(sorted(lost))}", "all tables of a store", _BACKUP)
        return
    yield from _schema(connection)
    pictures: dict[str, Where] = {}
    with _any_text(connection):
        yield from _facts(connection, pictures, progress)
        yield from _blobs(connection, pictures)
        yield from _set_aside(connection)


@contextmanager
def _any_text(connection: Connection) -> Iterator[None]:
    """SQLite reads bytes that are no text any more spelled out, so that their fact can be named."""
    if connection.dialect.name != "sqlite":
        yield
        return
    raw: Any = connection.connection.dbapi_connection
    raw.text_factory = lambda data: data.decode("utf-8", "backslashreplace")
    try:
        yield
    finally:
        raw.text_factory = str


# ---------------------------------------------------------------------- tables and guards


def _schema(connection: Connection) -> Iterator[Problem]:
    done = applied(connection)
    expected = tuple(name for name, _ in STEPS)
    if done != expected:
        yield Problem(STORE_CHANGED, f"record of migrations {done}", f"{expected}", _BACKUP)
    if connection.dialect.name == "sqlite":
        for said in connection.exec_driver_sql("PRAGMA integrity_check(20)").scalars():
            if said != "ok":
                yield Problem(STORE_DAMAGED, str(said), "a sound database", _BACKUP)
    found, wanted = _sqlite_schema(connection) if connection.dialect.name == "sqlite" else _postgres_schema(connection)
    for name in sorted(wanted.keys() | found.keys()):
        if name not in found:
            yield Problem(STORE_CHANGED, f"no {name}", "it, as the program made it", _BACKUP)
        elif name not in wanted:
            yield Problem(STORE_CHANGED, f"{name}, which is not dipmark's", "only what the program made", _BACKUP)
        elif found[name] != wanted[name]:
            yield Problem(STORE_CHANGED, f"another {name}: {found[name]}", wanted[name], _BACKUP)


def _sqlite_schema(connection: Connection) -> tuple[dict[str, str], dict[str, str]]:
    query = "SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_master WHERE name NOT LIKE 'sqlite_stat%'"
    found = {row[0]: row[1] for row in connection.exec_driver_sql(query)}
    return found, _fresh_schema(query)


def _fresh_schema(query: str) -> dict[str, str]:
    """What the migrations of this program make."""
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as fresh:
            for _, step in STEPS:
                step(fresh)
            return {row[0]: row[1] for row in fresh.exec_driver_sql(query)}
    finally:
        engine.dispose()


def _postgres_schema(connection: Connection) -> tuple[dict[str, str], dict[str, str]]:
    found = {row.name: row.said for row in connection.execute(_POSTGRES_FOUND, {"tables": list(KEPT)})}
    wanted = {f"guard {name}": f"O CREATE TRIGGER {name} {rest}" for name, rest in POSTGRES_TRIGGERS.items()}
    wanted |= {f"function {name}": source for name, source in POSTGRES_FUNCTIONS.items()}
    wanted |= {f"constraint {name}": said for name, said in POSTGRES_CONSTRAINTS.items()}
    return found, wanted


_POSTGRES_FOUND: Final = text("""
WITH kept AS (SELECT to_regclass(name) AS oid FROM unnest(CAST(:tables AS text[])) AS name)
SELECT 'guard ' || tgname AS name, tgenabled::text || ' ' || pg_get_triggerdef(oid, true) AS said
  FROM pg_trigger WHERE tgrelid IN (SELECT oid FROM kept) AND NOT tgisinternal
UNION ALL SELECT 'constraint ' || conname, pg_get_constraintdef(oid, true)
  FROM pg_constraint WHERE conrelid IN (SELECT oid FROM kept) AND contype <> 'n'
UNION ALL SELECT 'rule ' || rulename, pg_get_ruledef(oid, true)
  FROM pg_rewrite WHERE ev_class IN (SELECT oid FROM kept)
UNION ALL SELECT 'function ' || proname, prosrc
  FROM pg_proc WHERE proname LIKE 'dipmark%' AND pronamespace = current_schema()::regnamespace
""")


# ---------------------------------------------------------------------- facts


def _facts(connection: Connection, pictures: dict[str, Where], progress: Progress | None) -> Iterator[Problem]:
    total = connection.scalar(select(func.count()).select_from(FACTS)) or 0
    yes_or_no = type_coerce(FACTS.c.whole_day, Integer).label("yes_or_no")  # SQLite would hold any number
    query = select(FACTS, yes_or_no).order_by(FACTS.c.book, FACTS.c.seq)
    book, seq, prev = "", 0, FIRST
    rows = connection.execution_options(stream_results=True, yield_per=_EVERY).execute(query)
    for done, row in enumerate(rows, start=1):
        if progress is not None and (done % _EVERY == 0 or done == total):
            progress(done, total)
        if row.book != book:
            book, seq, prev = row.book, 0, FIRST
        where = Where(fact=row.id, book=row.book)
        if torn := [name for name, kind in _KINDS.items() if not isinstance(getattr(row, name), kind)]:
            yield Problem(FACT_UNREADABLE, f"a fact without {', '.join(torn)}", "a whole fact", _BACKUP, where)
            continue
        yield from _place(row, seq, prev, where)
        yield from _content(row, where, pictures)
        seq, prev = row.seq, row.digest
    doubled = select(FACTS.c.id).group_by(FACTS.c.id).having(func.count() > 1)
    for id_ in connection.scalars(doubled):
        yield Problem(FACT_DOUBLED, f"id {id_} more than once", "every id once", _BACKUP, Where(fact=id_))


_KINDS: Final = {column.name: column.type.python_type for column in FACTS.columns if not column.nullable}
"""What a damaged file may give in place of a column's value is of another kind: nothing at all, mostly."""


def _place(row: Row[Any], seq: int, prev: str, where: Where) -> Iterator[Problem]:
    if row.seq <= seq:
        yield Problem(FACT_DOUBLED, f"number {row.seq} after {seq}", f"number {seq + 1}", _BACKUP, where)
    elif row.seq > seq + 1:
        gap = f"{seq + 1}" if row.seq == seq + 2 else f"{seq + 1} to {row.seq - 1}"
        yield Problem(FACT_MISSING, f"no fact {gap} before fact {row.seq}", "numbers without a gap", _BACKUP, where)
    elif row.prev != prev:
        yield Problem(
            CHAIN_BROKEN,
            f"fact {row.seq} that follows {row.prev[:16]}…",
            f"one that follows {prev[:16]}…",
            _BACKUP,
            where,
        )


def _content(row: Row[Any], where: Where, pictures: dict[str, Where]) -> Iterator[Problem]:
    try:
        item = read_row(row)
    except (ValueError, TypeError) as fault:
        yield Problem(FACT_UNREADABLE, f"fact {row.seq}: {fault}", "a fact of a known kind", _BACKUP, where)
        return
    if digest_of(item, row.body) != row.digest:
        yield Problem(FACT_CHANGED, f"fact {row.seq} with another digest", f"{row.digest[:16]}…", _BACKUP, where)
    wrong = [name for name, agrees in _columns(item, row) if not agrees]
    if wrong:
        yield Problem(
            COLUMN_CHANGED, f"fact {row.seq}: {', '.join(wrong)} not as in the fact", "the same", _BACKUP, where
        )
    for digest in pictures_of(item.fact.body):
        pictures.setdefault(digest, where)


def _columns(item: Accepted, row: Row[Any]) -> tuple[tuple[str, bool], ...]:
    return (
        ("kind", row.kind == kind_of(item.fact.body)),
        ("happened_us", row.happened_us == microseconds(item.fact.happened)),
        ("whole_day", row.yes_or_no in {0, 1}),
        ("received_us", row.received_us == microseconds(item.received)),
        ("happened", row.happened == item.fact.happened.isoformat()),
        ("received", row.received == item.received.astimezone(UTC).isoformat()),
        ("body", row.body == encode_body(item.fact.body)),
    )


def pictures_of(value: object) -> Iterator[str]:
    """Digests of the pictures that a body names, those of a corrected body included."""
    if isinstance(value, tuple):
        for element in value:
            yield from pictures_of(element)
    elif isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            inner = getattr(value, name)
            if name == "picture" and inner is not None:
                yield inner
            elif name in {"pictures", "pages"}:
                yield from cast("tuple[str, ...]", inner)
            else:
                yield from pictures_of(inner)


# ---------------------------------------------------------------------- pictures, what is set aside


def _blobs(connection: Connection, pictures: dict[str, Where]) -> Iterator[Problem]:
    for row in connection.execution_options(stream_results=True, yield_per=10).execute(select(BLOBS)):
        digest = hashlib.sha256(row.data).hexdigest()
        if digest != row.digest:
            yield Problem(PICTURE_CHANGED, f"picture {row.digest[:16]}… of digest {digest[:16]}…", "the same", _BACKUP)
        pictures.pop(row.digest, None)
    for digest, where in pictures.items():
        yield Problem(
            PICTURE_MISSING,
            f"no picture {digest[:16]}…",
            "the picture the fact names",
            "Take it again from the phone that made it.",
            where,
            hard=False,
        )


def _set_aside(connection: Connection) -> Iterator[Problem]:
    for row in connection.execute(select(SET_ASIDE)):
        where = Where(fact=row.id, book=row.book)
        try:
            digest = set_aside_in(row).digest
        except (ValueError, TypeError) as fault:
            yield Problem(FACT_UNREADABLE, f"set aside: {fault}", "a fact of a known kind", _BACKUP, where)
            continue
        if digest != row.digest:
            yield Problem(SET_ASIDE_CHANGED, f"digest {digest[:16]}…", f"{row.digest[:16]}…", _BACKUP, where)
    orphans = select(SETTLED.c.digest).where(SETTLED.c.digest.not_in(select(SET_ASIDE.c.digest)))
    for orphan in connection.scalars(orphans):
        yield Problem(SET_ASIDE_MISSING, f"no fact {orphan[:16]}… set aside", "the one that was settled", _BACKUP)


# ---------------------------------------------------------------------- a printed code


def check_code(connection: Connection, printed: str, book: BookId | None) -> tuple[Problem, ...]:
    """Whether the fact of a printed code is still in its place."""
    read = read_book_code(printed)
    if read is None:
        return (
            Problem(
                CODE_UNREADABLE, f"{printed!r}", "a code like 12-ABCD-EFGH-IJKL-MNOP, letters A to Z and digits 2 to 7"
            ),
        )
    seq, start = read
    heads = {row.book: row.seq for row in connection.execute(heads_query()) if book is None or row.book == book}
    if any(digest.startswith(start) for digest in _numbered(connection, seq, book)):
        return ()
    longest = max(heads.values(), default=0)
    where = Where(book=book)
    if longest < seq:
        subject = "the book" if book is not None else "the longest book"
        return (
            Problem(BOOK_CUT, f"{subject} ends at fact {longest}", f"fact {seq}, {seq - longest} more", _BACKUP, where),
        )
    one = "the book holds another fact" if book is not None else "no book holds the fact of this code"
    hint = (
        _BACKUP if book is not None else f"It was rewritten, or it was cut and only other books reach so far. {_BACKUP}"
    )
    return (Problem(BOOK_REWRITTEN, f"{one} as number {seq}", f"the one whose digest begins {start}", hint, where),)


def _numbered(connection: Connection, seq: int, book: BookId | None) -> list[str]:
    query = select(FACTS.c.digest).where(FACTS.c.seq == seq)
    return list(connection.scalars(query if book is None else query.where(FACTS.c.book == book)))
