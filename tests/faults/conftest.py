"""Programs that fork run on their own: whoever forks may hold no thread, and the tests' runner may hold some."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TypeVar

import msgspec
import pytest

from adapters.conftest import _programs

Kind = TypeVar("Kind")
TESTS = Path(__file__).parents[1]


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def where(request: pytest.FixtureRequest) -> str:
    """The kind of store."""
    wanted = os.environ.get("DIPMARK_TEST_POSTGRES", "")
    if request.param == "postgres" and (wanted == "skip" or (_programs() is None and wanted != "require")):
        pytest.skip("PostgreSQL is not installed (/usr/lib/postgresql/*/bin), or not wanted")
    return str(request.param)


def program(kind: type[Kind], name: str, *words: object) -> list[Kind]:
    """What a program of this folder prints, line by line.

    Args:
        kind: of what each line holds.
        name: the module.
        words: its arguments.
    """
    command = [sys.executable, "-m", f"faults.{name}", *map(str, words)]
    around = os.environ | {"PYTHONPATH": str(TESTS)}
    done = subprocess.run(command, capture_output=True, text=True, env=around, timeout=600, check=False)
    assert done.returncode == 0, done.stderr
    return [msgspec.json.decode(line, type=kind) for line in done.stdout.splitlines()]
