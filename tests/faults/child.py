"""Appends without end, and backs up now and then, until it is killed: ``child.py STORE FOLDER NUMBER``."""

from __future__ import annotations

import sys
import threading
from decimal import Decimal
from itertools import count
from pathlib import Path

from dipmark.adapters.clock import new_id, system_clock
from dipmark.adapters.store import Blob, Store, backup, open_store
from dipmark.facts.codec import fact_of
from dipmark.facts.meter import MeterRead


def main(address: str, folder: str, number: str) -> None:
    with open_store(address, clock=system_clock, create=True) as store:
        say()
        threading.Thread(target=back_up, args=(store, Path(folder), number), daemon=True).start()
        for step in count():
            picture = Blob(f"{number}-{step}".encode() * 500, "image/png")
            body = MeterRead(hours=Decimal(step), picture=picture.digest)
            facts = [
                fact_of(new_id(), f"truck:{(step + more) % 3}", system_clock(), "p-ana", body) for more in range(2)
            ]
            store.append(facts, blobs=[picture])
            say(*(fact.id for fact in facts))


def say(*words: str) -> None:
    sys.stdout.write(" ".join(words) + "\n")
    sys.stdout.flush()


def back_up(store: Store, folder: Path, number: str) -> None:
    for turn in count():
        backup(store, folder / f"backup-{number}-{turn}.dip")


if __name__ == "__main__":
    main(*sys.argv[1:])
