"""A process of its own for the store suite: appends to one book and says what was accepted.

Run as ``child.py ADDRESS BOOK START COUNT [stop-before-commit]``: fact START and the COUNT - 1 after it, one by one,
a line with each id once the store has answered.
"""

from __future__ import annotations

import sys
import time

from sqlalchemy import event

from adapters.store.builders import reading
from dipmark.adapters.clock import system_clock
from dipmark.adapters.store import Store, open_store


def main(address: str, book: str, start: int, count: int, *how: str) -> None:
    with open_store(address, clock=system_clock, create=True) as store:
        if how:
            hold(store, book, start)
        for number in range(start, start + count):
            fact = reading(number, book)
            store.append([fact])
            say(fact.id)


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def hold(store: Store, book: str, number: int) -> None:
    """Stop between the statements of a transaction, and say so."""

    def stop(*_: object) -> None:
        say("written, not committed")
        time.sleep(60)

    event.listen(store.database.engine, "commit", stop)
    store.append([reading(number, book), reading(number + 1, book)])


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4]), *sys.argv[5:])
