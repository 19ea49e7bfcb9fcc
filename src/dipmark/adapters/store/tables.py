"""The tables as the statements see them; how they come to be is in `schema`."""

from __future__ import annotations

from typing import Final

from sqlalchemy import BigInteger, Boolean, Column, LargeBinary, MetaData, Select, Table, Text, func, select

METADATA: Final = MetaData()

FACTS: Final = Table(
    "facts",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("book", Text, nullable=False),
    Column("seq", BigInteger, nullable=False),
    Column("kind", Text, nullable=False),
    Column("happened", Text, nullable=False),
    Column("happened_us", BigInteger, nullable=False),
    Column("whole_day", Boolean, nullable=False),
    Column("by_key", Text, nullable=False),
    Column("received", Text, nullable=False),
    Column("received_us", BigInteger, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("prev", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("origin_seq", BigInteger),
    Column("origin_digest", Text),
)

BLOBS: Final = Table(
    "blobs",
    METADATA,
    Column("digest", Text, primary_key=True),
    Column("media", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
)

NAMES: Final = Table("names", METADATA, Column("key", Text, primary_key=True), Column("name", Text))

SET_ASIDE: Final = Table(
    "set_aside",
    METADATA,
    Column("digest", Text, primary_key=True),
    Column("id", Text, nullable=False),
    Column("book", Text, nullable=False),
    Column("happened", Text, nullable=False),
    Column("whole_day", Boolean, nullable=False),
    Column("by_key", Text, nullable=False),
    Column("received", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("problems", LargeBinary, nullable=False),
)

SETTLED: Final = Table(
    "settled",
    METADATA,
    Column("digest", Text, primary_key=True),
    Column("by_key", Text, nullable=False),
    Column("received", Text, nullable=False),
    Column("note", Text, nullable=False),
)

KEPT_TRUCKS: Final = Table(
    "kept_trucks",
    METADATA,
    Column("book", Text, primary_key=True),
    Column("language", Text, primary_key=True),
    Column("key", Text, nullable=False),
    Column("from_us", BigInteger, nullable=False),
    Column("until_us", BigInteger, nullable=False),
    Column("data", LargeBinary, nullable=False),
)
"""What was derived of trucks: no part of the record; it may be thrown away at any time."""

ACCOUNTS: Final = Table(
    "accounts",
    METADATA,
    Column("person", Text, primary_key=True),
    Column("passphrase", Text),
    Column("badge", Text),
    Column("salt", LargeBinary),
    Column("pin_key", LargeBinary),
)
"""How people prove who they are: secrets only as digests or stretched keys, outside the record."""

SESSIONS: Final = Table(
    "sessions",
    METADATA,
    Column("token", Text, primary_key=True),
    Column("person", Text, nullable=False),
    Column("began_us", BigInteger, nullable=False),
    Column("seen_us", BigInteger, nullable=False),
)

DEVICES: Final = Table(
    "devices",
    METADATA,
    Column("token", Text, primary_key=True),
    Column("id", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("by_key", Text, nullable=False),
    Column("made_us", BigInteger, nullable=False),
)

LINKS: Final = Table(
    "links",
    METADATA,
    Column("token", Text, primary_key=True),
    Column("what", Text, nullable=False),
    Column("subject", Text, nullable=False),
    Column("by_key", Text, nullable=False),
    Column("until_us", BigInteger, nullable=False),
)

TRIES: Final = Table(
    "tries",
    METADATA,
    Column("who", Text, primary_key=True),
    Column("wrong", BigInteger, nullable=False),
    Column("last_us", BigInteger, nullable=False),
)
"""Wrong tries to sign in, by account and by address."""

MIGRATIONS: Final = Table(
    "migrations",
    METADATA,
    Column("name", Text, primary_key=True),
    Column("applied", Text, nullable=False),
)


def books_query(prefix: str = "") -> Select[tuple[str]]:
    """Every book once, in bytewise order, by stepping along the index: the record itself is not read."""
    step = select(func.min(FACTS.c.book).label("book")).where(FACTS.c.book >= prefix).cte("step", recursive=True)
    later = FACTS.alias("later")
    following = select(func.min(later.c.book)).where(later.c.book > step.c.book).correlate(step).scalar_subquery()
    step = step.union_all(select(following).where(step.c.book.is_not(None)))
    return select(step.c.book).where(step.c.book.is_not(None), func.substr(step.c.book, 1, len(prefix)) == prefix)


def heads_query() -> Select[tuple[str, int, str]]:
    """The last number and digest of every book."""
    books = books_query().subquery("books")
    same = FACTS.alias("same")
    last = select(func.max(same.c.seq)).where(same.c.book == books.c.book).correlate(books).scalar_subquery()
    return select(FACTS.c.book, FACTS.c.seq, FACTS.c.digest).join(
        books, (FACTS.c.book == books.c.book) & (FACTS.c.seq == last)
    )
