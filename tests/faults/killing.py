"""The kills of a whole campaign: ``python -m faults.killing sqlite|postgres KILLS [SEED]``, one line of JSON a trial.

A program of its own, since it forks: whoever forks may hold no thread and no connection.
"""

from __future__ import annotations

import random
import shutil
import signal
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import msgspec

from faults.places import FilePlace, Place, ServerPlace
from faults.rounds import Outcome, rounds, server_rounds
from faults.server import KilledServer
from faults.trials import TRIALS

SEED: Final = 20261120
SHARES: Final = (40, 20, 10, 12, 12, 6)
"""How many kills of a hundred go to each trial, in their order."""


def campaign(where: str, kills: int, seed: int = SEED) -> Iterator[Outcome]:
    """Every trial on one kind of store; of PostgreSQL's kills one in twenty hits the server."""
    folder = Path(tempfile.mkdtemp(prefix="dipmark-kills-"))
    try:
        if where == "sqlite":
            yield from _trials(FilePlace(folder), kills, seed)
        else:
            yield from _on_server(folder, kills, seed)
    except AssertionError:
        raise  # what a failed trial has left stays, to be looked at
    except BaseException:
        shutil.rmtree(folder)
        raise
    shutil.rmtree(folder)


def _on_server(folder: Path, kills: int, seed: int) -> Iterator[Outcome]:
    of_server = max(2, kills // 20)
    with KilledServer() as server:
        place = ServerPlace(folder, server)
        yield from _trials(place, kills - of_server, seed)
        place.fresh()
        yield server_rounds(place, of_server, random.Random(f"{seed} server"))


def _trials(place: Place, kills: int, seed: int) -> Iterator[Outcome]:
    parts = [max(1, kills * share // 100) for share in SHARES]
    parts[0] += kills - sum(parts)
    for kind, part in zip(TRIALS, parts, strict=True):
        yield rounds(kind(place), part, random.Random(f"{seed} {place.kind} {kind.name}"))


def main(where: str, kills: str, seed: str = str(SEED)) -> None:
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the server ends as well
    for outcome in campaign(where, int(kills), int(seed)):
        sys.stdout.write(msgspec.json.encode(outcome).decode() + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
