"""Several programs that write in the same books at the same time: no gap, no double, each fact once.

``python -m faults.together sqlite|postgres PROGRAMS APPENDS`` prints a line of JSON; a program of its own, as it forks.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from functools import partial
from pathlib import Path
from typing import Final

import msgspec

from dipmark.facts.base import BookId, Fact
from faults.forks import Say, side_by_side
from faults.places import FilePlace, Place, ServerPlace
from faults.server import KilledServer
from faults.trials import batch, opened

BOOKS: Final = [f"truck:{number}" for number in range(6)]


class Together(msgspec.Struct, frozen=True):
    """What came of it.

    Args:
        store: SQLite or PostgreSQL.
        programs: how many wrote at the same time.
        facts: how many facts are there.
        shared: how many of them several programs had offered.
    """

    store: str
    programs: int
    facts: int
    shared: int


def together(place: Place, programs: int, appends: int) -> Together:
    """Let programs append batches to overlapping books, their books in any order; some facts come from all of them."""
    address = place.fresh()
    opened(address).close()
    shared = [_for_books(f"shared-{number}", random.Random(number)) for number in range(appends)]
    works = [partial(_append, address, who, shared, appends) for who in range(programs)]
    said = [word for words in side_by_side(list(works)) for word in words]
    with opened(address, create=False) as store:
        record = dict(store.record())
        assert store.verify() == ()
    for book, items in record.items():
        assert [item.seq for item in items] == list(range(1, len(items) + 1)), book
    there = Counter(item.fact.id for items in record.values() for item in items)
    assert set(there.values()) == {1}
    assert Counter(said) == there, "what the programs were told is not what is there"
    offered = sum(map(len, shared))
    assert len(said) == offered + programs * appends * 3
    return Together(place.kind, programs, len(said), offered)


def _for_books(name: str, rng: random.Random) -> list[Fact]:
    """Three facts of one batch, each for any book."""
    return [msgspec.structs.replace(fact, book=BookId(rng.choice(BOOKS))) for fact in batch(name)[0]]


def _append(address: str, who: int, shared: list[list[Fact]], appends: int, say: Say) -> None:
    rng = random.Random(who)
    with opened(address, create=False) as store:
        for number in range(appends):
            own = f"{who}-{number}"
            for name, facts in ((own, _for_books(own, rng)), (f"shared-{number}", rng.sample(shared[number], 3))):
                done = store.append(facts, blobs=[batch(name)[1]])
                assert len(done.accepted) + len(done.known) == 3
                say(*(item.fact.id for item in done.accepted))


def main(where: str, programs: str, appends: str) -> None:
    with tempfile.TemporaryDirectory(prefix="dipmark-together-") as name:
        if where == "sqlite":
            done = together(FilePlace(Path(name)), int(programs), int(appends))
        else:
            with KilledServer() as server:
                done = together(ServerPlace(Path(name), server), int(programs), int(appends))
    sys.stdout.write(msgspec.json.encode(done).decode() + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
