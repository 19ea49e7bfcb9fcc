"""How a store comes to be: each migration is a named function, run once, in a transaction with its own record."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, insert, inspect, select

from dipmark.adapters.store.tables import MIGRATIONS
from dipmark.facts.errors import StoreError

KEPT: Final = ("facts", "blobs", "set_aside", "settled", "migrations")
"""Tables whose rows are never changed, deleted or replaced."""

_WORDS: Final = {
    "sqlite": {"text": "TEXT", "whole": "INTEGER", "yes": "INTEGER", "bytes": "BLOB", "end": "STRICT, WITHOUT ROWID"},
    "postgresql": {"text": 'TEXT COLLATE "C"', "whole": "BIGINT", "yes": "BOOLEAN", "bytes": "BYTEA", "end": ""},
}

_TABLES: Final = (
    """CREATE TABLE facts (
  id {text} NOT NULL PRIMARY KEY,
  book {text} NOT NULL,
  seq {whole} NOT NULL CHECK (seq > 0),
  kind {text} NOT NULL,
  happened {text} NOT NULL,
  happened_us {whole} NOT NULL,
  whole_day {yes} NOT NULL,
  by_key {text} NOT NULL,
  received {text} NOT NULL,
  received_us {whole} NOT NULL,
  body {bytes} NOT NULL,
  prev {text} NOT NULL,
  digest {text} NOT NULL,
  origin_seq {whole},
  origin_digest {text},
  UNIQUE (book, seq)
) {end}""",
    "CREATE TABLE blobs (digest {text} NOT NULL PRIMARY KEY, media {text} NOT NULL, data {bytes} NOT NULL) {end}",
    "CREATE TABLE names (key {text} NOT NULL PRIMARY KEY, name {text}) {end}",
    """CREATE TABLE set_aside (
  digest {text} NOT NULL PRIMARY KEY,
  id {text} NOT NULL,
  book {text} NOT NULL,
  happened {text} NOT NULL,
  whole_day {yes} NOT NULL,
  by_key {text} NOT NULL,
  received {text} NOT NULL,
  body {bytes} NOT NULL,
  problems {bytes} NOT NULL
) {end}""",
    """CREATE TABLE settled (
  digest {text} NOT NULL PRIMARY KEY,
  by_key {text} NOT NULL,
  received {text} NOT NULL,
  note {text} NOT NULL
) {end}""",
    "CREATE TABLE migrations (name {text} NOT NULL PRIMARY KEY, applied {text} NOT NULL) {end}",
)

_CLASH: Final = {
    "facts": "EXISTS (SELECT 1 FROM facts WHERE id = NEW.id)"
    " OR NEW.seq <> 1 + coalesce((SELECT max(seq) FROM facts WHERE book = NEW.book), 0)",
    **{
        table: f"EXISTS (SELECT 1 FROM {table} WHERE {key} = NEW.{key})"
        for table, key in (("blobs", "digest"), ("set_aside", "digest"), ("settled", "digest"), ("migrations", "name"))
    },
}
"""What may not be inserted: what is there already (so that REPLACE replaces nothing), or a number out of turn."""

_SQLITE_GUARDS: Final = tuple(
    statement
    for table in KEPT
    for statement in (
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}"
        f" BEGIN SELECT RAISE(ABORT, 'dipmark: {table} is never changed'); END",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}"
        f" BEGIN SELECT RAISE(ABORT, 'dipmark: nothing is deleted from {table}'); END",
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} WHEN {_CLASH[table]}"
        f" BEGIN SELECT RAISE(ABORT, 'dipmark: {table} has it already, or its number is not the next'); END",
    )
)

POSTGRES_FUNCTIONS: Final = {
    "dipmark_kept": " BEGIN RAISE EXCEPTION 'dipmark: % is never changed', TG_TABLE_NAME; END ",
    **{
        f"dipmark_{table}_new": f" BEGIN IF {_CLASH[table]} THEN RAISE EXCEPTION"
        f" 'dipmark: {table} has it already, or its number is not the next' USING ERRCODE = 'unique_violation';"
        " END IF; RETURN NEW; END "
        for table in KEPT
    },
}
"""The trigger functions by name, as PostgreSQL keeps their source."""

POSTGRES_TRIGGERS: Final = {
    f"{table}_{name}": f"{when} ON {table} FOR EACH {each} EXECUTE FUNCTION {function}()"
    for table in KEPT
    for name, when, each, function in (
        ("no_update", "BEFORE DELETE OR UPDATE", "ROW", "dipmark_kept"),
        ("no_truncate", "BEFORE TRUNCATE", "STATEMENT", "dipmark_kept"),
        ("no_replace", "BEFORE INSERT", "ROW", f"dipmark_{table}_new"),
    )
}
"""The triggers by name, each from its time on."""

POSTGRES_CONSTRAINTS: Final = {
    "facts_pkey": "PRIMARY KEY (id)",
    "facts_book_seq_key": "UNIQUE (book, seq)",
    "facts_seq_check": "CHECK (seq > 0)",
    "blobs_pkey": "PRIMARY KEY (digest)",
    "set_aside_pkey": "PRIMARY KEY (digest)",
    "settled_pkey": "PRIMARY KEY (digest)",
    "migrations_pkey": "PRIMARY KEY (name)",
}
"""What PostgreSQL calls and says of the keys in the tables above."""


def _first(connection: Connection) -> None:
    dialect = connection.dialect.name
    for statement in _TABLES:
        connection.exec_driver_sql(statement.format(**_WORDS[dialect]))
    if dialect == "sqlite":
        for statement in _SQLITE_GUARDS:
            connection.exec_driver_sql(statement)
        return
    for name, source in POSTGRES_FUNCTIONS.items():
        body = source.replace("%", "%%")
        connection.exec_driver_sql(f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $${body}$$")
    for name, rest in POSTGRES_TRIGGERS.items():
        connection.exec_driver_sql(f"CREATE TRIGGER {name} {rest}")
    # The owner could grant himself these again, but not by oversight.
    connection.exec_driver_sql(f"REVOKE UPDATE, DELETE, TRUNCATE ON {', '.join(KEPT)} FROM PUBLIC, CURRENT_USER")


def _kept_trucks(connection: Connection) -> None:
    words = _WORDS[connection.dialect.name]
    connection.exec_driver_sql(
        """CREATE TABLE kept_trucks (
  book {text} NOT NULL PRIMARY KEY,
  key {text} NOT NULL,
  from_us {whole} NOT NULL,
  until_us {whole} NOT NULL,
  data {bytes} NOT NULL
) {end}""".format(**words)
    )


_SIGN_IN: Final = (
    """CREATE TABLE accounts (
  person {text} NOT NULL PRIMARY KEY,
  passphrase {text},
  badge {text} UNIQUE,
  salt {bytes},
  pin_key {bytes}
) {end}""",
    """CREATE TABLE sessions (
  token {text} NOT NULL PRIMARY KEY,
  person {text} NOT NULL,
  began_us {whole} NOT NULL,
  seen_us {whole} NOT NULL
) {end}""",
    """CREATE TABLE devices (
  token {text} NOT NULL PRIMARY KEY,
  id {text} NOT NULL UNIQUE,
  name {text} NOT NULL,
  by_key {text} NOT NULL,
  made_us {whole} NOT NULL
) {end}""",
    """CREATE TABLE links (
  token {text} NOT NULL PRIMARY KEY,
  what {text} NOT NULL,
  subject {text} NOT NULL,
  by_key {text} NOT NULL,
  until_us {whole} NOT NULL
) {end}""",
    """CREATE TABLE tries (
  who {text} NOT NULL PRIMARY KEY,
  wrong {whole} NOT NULL,
  last_us {whole} NOT NULL
) {end}""",
)


def _sign_in(connection: Connection) -> None:
    for statement in _SIGN_IN:
        connection.exec_driver_sql(statement.format(**_WORDS[connection.dialect.name]))


def _kept_in_languages(connection: Connection) -> None:
    connection.exec_driver_sql("DROP TABLE kept_trucks")
    connection.exec_driver_sql(
        """CREATE TABLE kept_trucks (
  book {text} NOT NULL,
  language {text} NOT NULL,
  key {text} NOT NULL,
  from_us {whole} NOT NULL,
  until_us {whole} NOT NULL,
  data {bytes} NOT NULL,
  PRIMARY KEY (book, language)
) {end}""".format(**_WORDS[connection.dialect.name])
    )


STEPS: Final[tuple[tuple[str, Callable[[Connection], None]], ...]] = (
    ("0001 first tables", _first),
    ("0002 what was derived of trucks", _kept_trucks),
    ("0003 accounts, sessions and devices", _sign_in),
    ("0004 what was derived of trucks, in each language", _kept_in_languages),
)
"""Every migration, oldest first. A new one is added at the end; one that has run anywhere is never changed."""


def applied(connection: Connection) -> tuple[str, ...] | None:
    """The migrations that have run, oldest first; None where there is no store.

    Raises:
        StoreError: the tables are not dipmark's.
    """
    look = inspect(connection)
    if not look.has_table(MIGRATIONS.name):
        return None
    if not {column["name"] for column in look.get_columns(MIGRATIONS.name)} >= set(MIGRATIONS.c.keys()):
        raise StoreError("The database has a table `migrations` that is not dipmark's. Give dipmark one of its own.")
    return tuple(connection.scalars(select(MIGRATIONS.c.name).order_by(MIGRATIONS.c.name)))


def pending(done: tuple[str, ...] | None) -> tuple[tuple[str, Callable[[Connection], None]], ...]:
    """The migrations still to run.

    Raises:
        StoreError: a newer program has made or changed the store.
    """
    names = {name for name, _ in STEPS}
    newer = sorted(set(done or ()) - names)
    if newer:
        raise StoreError(
            f"The store was made by a newer dipmark (it knows {newer[-1]!r}; this one ends at {STEPS[-1][0]!r}). "
            "Update this program; the store is left as it is."
        )
    return tuple(step for step in STEPS if step[0] not in (done or ()))


def migrate(connection: Connection, name: str, step: Callable[[Connection], None], now: datetime) -> None:
    """Run one migration and record it, in the transaction of the connection."""
    step(connection)
    connection.execute(insert(MIGRATIONS), {"name": name, "applied": now.isoformat()})
