"""Run a command as the shell would, in this process: bytes in, bytes out, a number at the end."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch

import msgspec

from dipmark.faces.cli.ending import run
from dipmark.main import app

MORNING: Final = "2026-11-20T06:00"


class Ran(msgspec.Struct, frozen=True):
    """What came of a command."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """What was printed, as a program reads it."""
        return json.loads(self.out)


def dipmark(*words: str, typed: str = "", encoding: str = "utf-8", columns: int = 120, terminal: bool = False) -> Ran:
    """Run a command.

    Args:
        words: what follows the program's name.
        typed: what somebody types, line after line.
        encoding: what the terminal speaks.
        columns: how wide it is.
        terminal: True where output goes to one.
    """
    printed, said = io.BytesIO(), io.BytesIO()
    out, err = (io.TextIOWrapper(kept, encoding=encoding, newline="") for kept in (printed, said))
    stdin = io.TextIOWrapper(io.BytesIO(typed.encode()), encoding="utf-8")
    if terminal:
        for stream in (out, err, stdin):
            stream.isatty = lambda: True  # type: ignore[method-assign]
    screen = {"COLUMNS": str(columns), "LINES": "40", "TERM": "xterm", "NO_COLOR": "1"}
    with (
        patch.object(sys, "stdout", out),
        patch.object(sys, "stderr", err),
        patch.object(sys, "stdin", stdin),
        patch.dict("os.environ", screen),
    ):
        code = run(app, words)
    for stream in (out, err):
        stream.flush()
    return Ran(code, *(kept.getvalue().decode(encoding, "replace") for kept in (printed, said)))


def yard_of(folder: Path, zone: str = "Europe/Madrid") -> tuple[str, str]:
    """A stranger's yard in a new store: the words that name it."""
    trucks = folder / "trucks.csv"
    trucks.write_text(
        "Truck No.;Type;In service since;Hours at start;Hall\n"
        "7;LPG forklift;02.12.2024;;Hall 2\n"
        "9;LPG forklift;03.11.2025;590;Yard\n"
        "12;reach truck;05.01.2026;;Hall 2\n",
        "utf-8",
    )
    store = ("--store", str(folder / "yard.db"))
    ran = dipmark(*store, "take", str(trucks), "--zone", zone, "--dates", "dmy")
    assert (ran.code, ran.out) == (0, "3 rows accepted, 0 known already, 0 refused.\n"), ran
    return store
