"""A PostgreSQL server for the store suite: its own, in a temporary folder, on a socket, ended by its process id."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
import pytest


@dataclass
class Server:
    """A running server; every test gets a database of its own, copied from an empty one."""

    folder: Path
    process: subprocess.Popen[bytes]
    made: int = field(default=0)

    def address(self, database: str, user: str = "yard") -> str:
        return f"postgresql://{user}@/{database}?host={self.folder}"

    def admin(self, statement: str, database: str = "postgres") -> None:
        with psycopg.connect(self.address(database, "boss"), autocommit=True) as connection:
            connection.execute(statement.encode())

    def fresh(self, options: str = "OWNER yard TEMPLATE template0 ENCODING 'UTF8'") -> str:
        """The name of a new, empty database."""
        self.made += 1
        name = f"yard{self.made}"
        self.admin(f"CREATE DATABASE {name} {options}")
        return name

    def drop(self, name: str) -> None:
        self.admin(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def _programs() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3].split(".")[0]))
    return found[-1].parent if found else None


def _unprivileged(folder: Path) -> list[str]:
    """PostgreSQL refuses to run as root: whom to run it as, with the folder made his."""
    if os.geteuid() != 0:
        return []
    names = {entry.pw_name for entry in pwd.getpwall()}
    user = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    os.chown(folder, user.pw_uid, user.pw_gid)
    return ["setpriv", f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups", "--"]


def _start(programs: Path, folder: Path) -> Server:
    as_user = _unprivileged(folder)
    data = folder / "data"
    initdb = [programs / "initdb", "-D", data, "-U", "boss", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
    subprocess.run([*as_user, *map(str, initdb)], check=True, capture_output=True, cwd="/")
    log = (folder / "log").open("wb")
    settings = ["listen_addresses=", f"unix_socket_directories={folder}", "max_connections=40", "fsync=off"]
    command = [str(programs / "postgres"), "-D", str(data), *(part for one in settings for part in ("-c", one))]
    with log:
        process = subprocess.Popen([*as_user, *command], cwd="/", stdout=log, stderr=log)
    server = Server(folder, process)
    for _ in range(300):
        try:
            server.admin("CREATE ROLE yard LOGIN")
        except psycopg.OperationalError:
            time.sleep(0.05)
        else:
            return server
    _stop(server)
    raise RuntimeError((folder / "log").read_text())


def _stop(server: Server) -> None:
    server.process.send_signal(signal.SIGINT)
    with contextlib.suppress(subprocess.TimeoutExpired):
        server.process.wait(20)
    if server.process.poll() is None:
        server.process.kill()
        server.process.wait()


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[Server]:
    wanted = os.environ.get("DIPMARK_TEST_POSTGRES", "")
    programs = _programs()
    if wanted == "skip":
        pytest.skip("DIPMARK_TEST_POSTGRES=skip")
    if programs is None:
        if wanted == "require":
            pytest.fail("PostgreSQL is required and /usr/lib/postgresql/*/bin is not there")
        pytest.skip("PostgreSQL is not installed (/usr/lib/postgresql/*/bin)")
    folder = Path(tempfile.mkdtemp(prefix="dipmark-pg-", dir="/tmp"))
    folder.chmod(0o755)
    server = _start(programs, folder)
    try:
        yield server
    finally:
        _stop(server)
        shutil.rmtree(folder)
