"""Opening a store: what lies at an address, making a new one whole or not at all, bringing an older one up to date."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Final

from sqlalchemy import text

from dipmark.adapters.store.database import APPLICATION, MEMORY, Database, is_postgres, postgres, sqlite
from dipmark.adapters.store.schema import STEPS, applied, migrate, pending
from dipmark.adapters.store.store import Store
from dipmark.facts.errors import NotFound, StoreError

_MAGIC: Final = b"SQLite format 3\x00"
_MIGRATING: Final = APPLICATION


def open_store(address: str, *, clock: Callable[[], datetime], create: bool) -> Store:
    """Open the store at an address.

    Args:
        address: a path, ``:memory:``, or ``postgresql://USER@HOST/DATABASE``.
        clock: says when facts are received.
        create: make one where there is none.

    Raises:
        NotFound: there is none, and `create` is False; nothing is made.
        StoreError: what lies there is no dipmark store, or a newer one, or cannot be reached.
    """
    if is_postgres(address):
        database = postgres(address)
    elif address == MEMORY:
        if not create:
            raise NotFound("A store in memory is always new.")
        database = sqlite(MEMORY)
    else:
        path = Path(address)
        if not _is_store(path):
            if not create:
                raise NotFound(f"No store at {path}. Look at the path, or write a first fact to make one.")
            make_file(path, clock)
        database = sqlite(address)
    try:
        _bring_up(database, clock, create=create)
    except BaseException:
        database.close()
        raise
    return Store(database, clock)


def make_file(path: Path, clock: Callable[[], datetime]) -> None:
    """Make an empty store in a new file; where another program made one meanwhile, that one stands."""
    with suppress(FileExistsError), placed(path) as new:
        database = sqlite(str(new), shown=str(path))
        try:
            _bring_up(database, clock, create=True)
        finally:
            database.close()


def _bring_up(database: Database, clock: Callable[[], datetime], *, create: bool) -> None:
    with database.reading() as connection:
        if not database.sqlite and connection.scalar(text("SHOW server_encoding")) != "UTF8":
            raise StoreError(f"Store {database.address}: its database is not in UTF8. Make one with createdb -E UTF8.")
        done = applied(connection)
    if done is None and not create:
        raise NotFound(f"No store at {database.address}. Look at the address, or write a first fact to make one.")
    for name, _ in pending(done):
        with database.writing() as connection:
            if not database.sqlite:
                connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATING})
            waiting = dict(pending(applied(connection)))  # another program may have done it meanwhile
            if name in waiting:
                if database.sqlite and name == STEPS[0][0]:
                    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION}")
                migrate(connection, name, waiting[name], clock())


def _is_store(path: Path) -> bool:
    """Whether a dipmark store lies there; False where nothing does. The file is looked at, not opened as a database."""
    if not path.parent.is_dir():
        raise StoreError(f"No folder {path.parent} for the store. Make it first, or look at the path.")
    if path.is_dir():
        raise StoreError(f"{path} is a folder; expected the file of a store.")
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except FileNotFoundError:
        return False
    except OSError as fault:
        raise StoreError(f"{path} cannot be read ({fault.strerror}). Look at its permissions.") from fault
    if not head:
        raise StoreError(
            f"{path} is empty, so it is no store. If one was here, restore from a backup; if not, remove the file."
        )
    if not head.startswith(_MAGIC) or int.from_bytes(head[68:72], "big") != APPLICATION:
        raise StoreError(f"{path} is no dipmark store. It is left as it is; give another path.")
    return True


@contextmanager
def placed(path: Path) -> Iterator[Path]:
    """A name beside a file that is to be; what is written there takes its place at the end, whole, or nothing does.

    Raises:
        FileExistsError: something lies there; it is left as it is.
        StoreError: the folder cannot be written.
    """
    new = path.with_name(f".{path.name}.{secrets.token_hex(6)}.new")
    try:
        yield new
        _settle(new)
        try:
            os.link(new, path)
        except FileExistsError:
            raise
        except OSError:  # a file system without links
            if path.exists():
                raise FileExistsError(path) from None
            new.rename(path)
        _sync(path.parent)
    except FileExistsError:
        raise
    except OSError as fault:
        raise StoreError(f"{path} cannot be written ({fault.strerror}). Look at permissions and free room.") from fault
    finally:
        for rest in ("", "-wal", "-shm", "-journal"):
            with suppress(OSError):
                new.with_name(new.name + rest).unlink()


def _settle(new: Path) -> None:
    """All of it in one file, on the disk."""
    if new.with_name(new.name + "-wal").exists():
        raise StoreError(f"{new} is still in use.")
    _sync(new)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
