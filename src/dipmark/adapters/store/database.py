"""One database, SQLite or PostgreSQL: connections, transactions, and what its faults mean to a person."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from functools import cache
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

import psycopg
from sqlalchemy import Connection, CursorResult, Dialect, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError
from sqlalchemy.pool import QueuePool, StaticPool
from sqlalchemy.sql import ClauseElement
from sqlalchemy.sql.compiler import SQLCompiler

from dipmark.facts.errors import StoreError

MEMORY: Final = ":memory:"
APPLICATION: Final = int.from_bytes(b"Dipm", "big")
"""Marks a SQLite file as a dipmark store."""

BUSY_SECONDS: Final = 10.0
"""How long one writer waits for another on SQLite."""

_SQLITE_SAYS: Final = (
    ("SQLITE_FULL", "the disk is full. Make room; nothing of this was written"),
    (
        "SQLITE_IOERR",
        "the disk cannot be read or written ({}). Look at free room and the disk; nothing of this was written",
    ),
    ("SQLITE_READONLY", "it is read-only. Give the file and its folder write permission, or use another store"),
    ("SQLITE_BUSY", "another program has been writing to it for too long. Try again; nothing of this was written"),
    ("SQLITE_LOCKED", "another program has been writing to it for too long. Try again; nothing of this was written"),
    ("SQLITE_CORRUPT", "it is damaged ({}). Keep the file, and restore from a backup"),
    ("SQLITE_NOTADB", "it is damaged or no SQLite file ({}). Keep the file, and restore from a backup"),
    ("SQLITE_CANTOPEN", "it cannot be opened. Look at the permissions of the file and its folder, and at free room"),
    ("SQLITE_CONSTRAINT", "it refuses ({})"),
)
_POSTGRES_SAYS: Final = (
    ("53100", "its disk is full. Make room on the server; nothing of this was written"),
    ("53300", "it has too many connections. Try again, or allow more"),
    ("25006", "it is read-only. Use the primary server"),
    ("28", "it does not let this user in ({}). Look at user and password"),
    ("3D000", "there is no such database. Make it with createdb"),
    ("42501", "this user may not do that ({}). Give him the rights on the database"),
    ("55P03", "another program holds it for too long. Try again; nothing of this was written"),
    ("57P", "the server ended the connection, perhaps after this was written. Look, then try again"),
    ("23", "it refuses ({})"),
    ("P0001", "it refuses ({})"),
)


class Clash(StoreError):
    """Somebody else wrote the same at the same moment, or the store refuses to hold it twice."""


class Database:
    """Connections to one database. A writer has it alone; a reader sees one moment of it.

    Args:
        address: as a person may see it, without a password.
        engine: SQLAlchemy's.
        path: of the file, where it is one.
    """

    def __init__(self, address: str, engine: Engine, path: str = "") -> None:
        self.address = address
        self.path = path
        self.engine = engine
        self.sqlite = engine.dialect.name == "sqlite"
        self.alone = isinstance(engine.pool, StaticPool)
        self._turn = threading.RLock() if self.alone else nullcontext()
        self._watching = threading.Lock()
        self._watch: sqlite3.Connection | None = None
        reader: dict[str, Any] = (
            {} if self.sqlite else {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        )
        self._reader = engine.execution_options(**reader)

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction: all of it is durable at the end, or none of it happened."""
        with self._turn, self._said(), self.engine.begin() as connection:
            self._begin(connection, "BEGIN IMMEDIATE")
            yield connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One moment of the store, whoever writes meanwhile."""
        with self._turn, self._said(), self._reader.begin() as connection:
            self._begin(connection, "BEGIN")
            yield connection

    def forget(self) -> None:
        """Let nothing that was overwritten linger in SQLite's log."""
        with self._turn, self._said():
            connection = self.engine.raw_connection()
            try:
                connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
            finally:
                connection.close()

    def mark(self) -> str:
        """Another text after whatever anybody has written, this program or another; cheap enough for every request."""
        with self._watching, self._said():
            if not self.sqlite:
                with self._reader.connect() as connection:
                    return str(connection.exec_driver_sql("SELECT pg_current_snapshot()::text").scalar())
            if self.alone:
                with self._turn:
                    watch = self.engine.raw_connection()
                    try:
                        return str(watch.cursor().execute("SELECT total_changes()").fetchone()[0])
                    finally:
                        watch.close()
            if self._watch is None:
                self._watch = _open(_uri(Path(self.path)), uri=True)
            return str(self._watch.execute("PRAGMA data_version").fetchone()[0])

    def close(self) -> None:
        """Give back every connection."""
        with self._watching:
            if self._watch is not None:
                self._watch.close()
                self._watch = None
        self.engine.dispose()

    def _begin(self, connection: Connection, how: str) -> None:
        """On SQLite a transaction begun as a reader could lose another's work unseen; one that means to write says so.

        Said here, not in an event of the engine, since every statement would then look for listeners.
        """
        if self.sqlite:
            connection.connection.cursor().execute(how)

    @contextmanager
    def _said(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as fault:
            original = fault.orig or fault
            text = f"Store {self.address}: {meaning(original)}."
            again = getattr(original, "sqlstate", None) in {"40001", "40P01"}
            raise (Clash if again or isinstance(fault, IntegrityError) else StoreError)(text) from fault
        except (sqlite3.Error, psycopg.Error, OSError, UnicodeDecodeError) as fault:
            raise StoreError(f"Store {self.address}: {meaning(fault)}.") from fault


def quickly(connection: Connection, statement: ClauseElement, values: dict[str, Any]) -> CursorResult[Any]:
    """Run a statement whose text was made once; to make it anew at each fact costs as much as SQLite's own work."""
    text, order, fixed = _text(statement, connection.dialect)
    given = {**fixed, **values}
    return connection.exec_driver_sql(text, given if order is None else tuple(given[name] for name in order))


@cache
def _text(statement: ClauseElement, dialect: Dialect) -> tuple[str, tuple[str, ...] | None, dict[str, Any]]:
    """The text of a statement, the order of its values where they go by place, and the values it has of its own."""
    made = statement.compile(dialect=dialect)
    order = made.positiontup if isinstance(made, SQLCompiler) else None
    fixed = {name: value for name, value in (made.params or {}).items() if value is not None}
    return str(made), None if order is None else tuple(order), fixed


def meaning(fault: BaseException) -> str:
    """What a database's fault means, and what to do about it."""
    text = (fault.diag.message_primary if isinstance(fault, psycopg.Error) else None) or " ".join(str(fault).split())
    name = getattr(fault, "sqlite_errorname", None) or getattr(fault, "sqlstate", None) or ""
    for start, said in _SQLITE_SAYS + _POSTGRES_SAYS:
        if name.startswith(start):
            return said.format(text)
    if isinstance(fault, psycopg.OperationalError):
        what = f"the server cannot be reached or ended the connection ({text})"
        see = "See that it runs and has the database (createdb makes one), and whether this was written"
        return f"{what}. {see}; then try again"
    if text.startswith("Could not decode"):
        return f"it is damaged ({text}). Keep it, run verify to see which facts, and restore from a backup"
    return f"it cannot be used ({text})"


def is_postgres(address: str) -> bool:
    """Whether an address is one of a PostgreSQL database."""
    return address.startswith(("postgresql://", "postgresql+psycopg://", "postgres://"))


def postgres(address: str) -> Database:
    """The database at a ``postgresql://`` address.

    Raises:
        StoreError: the address cannot be read.
    """
    try:
        url = make_url(address).set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError) as fault:
        raise StoreError(
            "The address of the store cannot be read; expected postgresql://USER@HOST/DATABASE."
        ) from fault
    engine = create_engine(url, pool_pre_ping=True)
    event.listen(engine, "connect", _durable)
    return Database(_shown(url), engine)


def _shown(url: URL) -> str:
    return url.set(drivername="postgresql").render_as_string(hide_password=True)


def _durable(connection: Any, _record: Any) -> None:
    """A server set to answer before its disk has it would lose accepted facts; here it waits."""
    connection.execute(
        "SELECT set_config('synchronous_commit', 'on', false) WHERE current_setting('synchronous_commit') = 'off'"
    )
    connection.commit()


def sqlite(path: str, shown: str | None = None) -> Database:
    """The database in a file, or in memory.

    Args:
        path: the file, or ``:memory:``; a missing file is made.
        shown: what to call it in messages, where it is not the path.
    """
    if path == MEMORY:
        engine = create_engine("sqlite://", creator=lambda: _open(MEMORY, uri=False), poolclass=StaticPool)
    else:
        uri = _uri(Path(path))
        engine = create_engine("sqlite://", creator=lambda: _open(uri, uri=True), poolclass=QueuePool)
    return Database(shown or path, engine, path)


def _uri(path: Path) -> str:
    """Read-only media are read as they are; where no log lies beside the file nobody is writing to it."""
    base = f"file:{quote(str(path.absolute()))}"
    if not path.exists() or (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        return f"{base}?mode=rwc"
    log = path.with_name(path.name + "-wal")
    return f"{base}?mode=ro" if log.exists() else f"{base}?mode=ro&immutable=1"


def _open(target: str, *, uri: bool) -> sqlite3.Connection:
    connection = sqlite3.connect(target, timeout=BUSY_SECONDS, isolation_level=None, uri=uri, check_same_thread=False)
    settings = ["synchronous = FULL", "secure_delete = ON", "trusted_schema = OFF"]
    if "mode=ro" not in target:
        settings.insert(0, "journal_mode = WAL")
    try:
        for setting in settings:
            connection.execute(f"PRAGMA {setting}")
    except (sqlite3.Error, UnicodeDecodeError):
        connection.close()
        raise
    return connection
