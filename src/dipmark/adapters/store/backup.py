"""Backup and restore: a store into one file beside it, and back into an empty place."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from dipmark.adapters.store.database import MEMORY, is_postgres
from dipmark.adapters.store.opening import open_store, placed
from dipmark.adapters.store.store import Store
from dipmark.adapters.store.verify import Progress
from dipmark.facts.errors import StoreError


def backup(store: Store, path: Path, progress: Progress | None = None) -> None:
    """Write all of a store, as it is at one moment, to a new SQLite file, while others go on writing.

    The file appears under its name only when it is whole, on the disk and verified.

    Raises:
        StoreError: something lies at the path, the folder cannot be written, or the store does not verify.
    """
    if path.exists():
        raise StoreError(f"{path} exists and is left as it is. Give the backup a name of its own.")
    if not path.parent.is_dir():
        raise StoreError(f"No folder {path.parent} for the backup. Make it first, or look at the path.")
    _file_from(store, path, progress)


def restore(path: Path, address: str, clock: Callable[[], datetime], progress: Progress | None = None) -> None:
    """Bring a backup back: into a new store, or into one that has no fact yet. All of it, verified, or nothing.

    Raises:
        NotFound: there is no backup at the path.
        StoreError: the place is not empty, or the backup does not verify.
    """
    with open_store(str(path), clock=clock, create=False) as source:
        if not is_postgres(address) and address != MEMORY and not Path(address).exists():
            if not Path(address).parent.is_dir():
                raise StoreError(f"No folder {Path(address).parent} for the store. Make it first, or look at the path.")
            _file_from(source, Path(address), progress)
            return
        with open_store(address, clock=clock, create=True) as target:
            source.copy_to(target, progress)


def _file_from(store: Store, path: Path, progress: Progress | None) -> None:
    try:
        with placed(path) as new, open_store(str(new), clock=store.clock, create=True) as copy:
            store.copy_to(copy, progress)
    except FileExistsError as fault:
        raise StoreError(f"{path} has come to exist meanwhile and is left as it is.") from fault
