"""Where a store under trial lies: a file, or the database of a server that may be killed."""

from __future__ import annotations

from pathlib import Path

from dipmark.adapters.store.database import Database, postgres, sqlite
from faults.server import KilledServer


class FilePlace:
    """A folder in which stores are files."""

    kind = "SQLite"

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.number = 0

    def fresh(self) -> str:
        """An address where nothing lies; what lay at the one before is removed."""
        for path in self.folder.glob(f"yard{self.number}.dip*"):
            path.unlink()
        self.number += 1
        path = self.folder / f"yard{self.number}.dip"
        assert not path.exists()
        return str(path)

    def quiet(self) -> None:
        """A dead program holds no file."""

    def database(self, address: str) -> Database:
        """The bare database."""
        return sqlite(address)


class ServerPlace:
    """The one database of a server."""

    kind = "PostgreSQL"

    def __init__(self, folder: Path, server: KilledServer) -> None:
        self.folder = folder
        self.server = server

    def fresh(self) -> str:
        """Its address, with nothing in it."""
        self.server.quiet()
        self.server.empty()
        return self.server.address

    def quiet(self) -> None:
        """Wait until the server has seen that its client is dead."""
        self.server.quiet()

    def database(self, address: str) -> Database:
        """The bare database."""
        return postgres(address)


Place = FilePlace | ServerPlace


def left_over(folder: Path) -> int:
    """Remove the hidden names that a killed program has left, and say how many there were."""
    hidden = [path for path in folder.iterdir() if path.name.startswith(".")]
    for path in hidden:
        path.unlink()
    return len(hidden)
