"""A PostgreSQL server that may be killed: its own, durable, in a temporary folder, on a socket."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Self

import psycopg

from adapters.conftest import _programs, _unprivileged


class KilledServer:
    """A server with one database ``yard``; used as a context manager, nothing of it is left behind."""

    def __init__(self) -> None:
        programs = _programs()
        assert programs is not None, "PostgreSQL is not installed (/usr/lib/postgresql/*/bin)"
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="dipmark-pg-"))
        self.folder.chmod(0o755)
        self.as_user = _unprivileged(self.folder)
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"postgresql://yard@/yard?host={self.folder}"

    def __enter__(self) -> Self:
        data = self.folder / "data"
        how = ["-D", str(data), "-U", "boss", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
        subprocess.run([*self.as_user, str(self.programs / "initdb"), *how], check=True, capture_output=True, cwd="/")
        self.start()
        self.boss("CREATE ROLE yard LOGIN", "postgres")
        self.boss("CREATE DATABASE yard OWNER yard", "postgres")
        return self

    def __exit__(self, *_: object) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(30)
            self.die()
        shutil.rmtree(self.folder)

    def start(self) -> None:
        """Start it and wait until it answers, recovery included."""
        settings = ["listen_addresses=", f"unix_socket_directories={self.folder}", "max_connections=40", "fsync=on"]
        command = [str(self.programs / "postgres"), "-D", str(self.folder / "data")]
        command += [part for one in settings for part in ("-c", one)]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen([*self.as_user, *command], cwd="/", stdout=log, stderr=log)
        self.ready()

    def ready(self) -> None:
        """Wait until it answers."""
        assert self.process is not None
        for _ in range(600):
            try:
                self.boss("SELECT 1", "postgres")
            except psycopg.OperationalError:
                assert self.process.poll() is None, (self.folder / "log").read_text()[-3000:]
                time.sleep(0.05)
            else:
                return
        raise AssertionError((self.folder / "log").read_text()[-3000:])

    def boss(self, statement: str, database: str = "yard") -> list[tuple[object, ...]]:
        """A statement of one who may do everything."""
        where = f"postgresql://boss@/{database}?host={self.folder}"
        with psycopg.connect(where, autocommit=True) as connection:
            cursor = connection.execute(statement.encode())
            return cursor.fetchall() if cursor.description else []

    def empty(self) -> None:
        """Leave no table in the database."""
        self.boss("DROP SCHEMA public CASCADE; CREATE SCHEMA public AUTHORIZATION yard")

    def quiet(self) -> None:
        """Wait until it has seen that its dead clients are dead."""
        for _ in range(2000):
            if not self.backends():
                return
            time.sleep(0.002)
        raise AssertionError(f"still at work: {self.backends()}")

    def backends(self) -> list[int]:
        """The processes that serve the yard."""
        found = self.boss("SELECT pid FROM pg_stat_activity WHERE usename = 'yard'", "postgres")
        return [pid for (pid,) in found if isinstance(pid, int)]

    def kill_backend(self, rng: random.Random) -> bool:
        """Kill one process that serves the yard; the server then drops everybody and recovers."""
        pids = self.backends()
        if pids:
            with suppress(ProcessLookupError):
                os.kill(pid := rng.choice(pids), signal.SIGKILL)
                _gone(pid)
                return True
        return False

    def die(self) -> None:
        """Kill all of it at once."""
        assert self.process is not None
        children = _children(self.process.pid)
        self.process.kill()
        for pid in children:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.process.wait()
        for pid in children:
            _gone(pid)
        self.process = None


def _gone(pid: int) -> None:
    """Wait until a process has been seen to be dead by its parent."""
    for _ in range(1000):
        if not Path(f"/proc/{pid}").exists():
            return
        time.sleep(0.01)
    raise AssertionError(f"process {pid} is still there")


def _children(parent: int) -> list[int]:
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            after = stat.read_text().rpartition(")")[2].split()
            if int(after[1]) == parent:
                found.append(int(stat.parent.name))
    return found
