"""What many phones send at once is written together: one transaction for all that waits, then each is answered."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Sequence
from concurrent.futures import Future
from typing import Final

import msgspec

from dipmark.adapters.store import Appended, Blob
from dipmark.facts.base import Fact, FactId
from dipmark.facts.errors import Refused, StoreError
from dipmark.office.open import Office

MOST: Final = 256
"""So many submissions at most are written in one transaction."""


class _Waiting(msgspec.Struct, frozen=True):
    facts: tuple[Fact, ...]
    blobs: tuple[Blob, ...]
    done: Future[Appended]


class Batch:
    """Writes facts for many at once. Close it: what waits is written first.

    Args:
        office: the yard.
    """

    def __init__(self, office: Office) -> None:
        self._office = office
        self._waiting: deque[_Waiting] = deque()
        self._changed = threading.Condition()
        self._open = True
        self._writer = threading.Thread(target=self._run, name="dipmark-batch", daemon=True)
        self._writer.start()

    def submit(self, facts: Sequence[Fact], blobs: Sequence[Blob] = ()) -> Future[Appended]:
        """Have facts written, all of them or none.

        Args:
            facts: judged already; in the order they are to stand in their books.
            blobs: pictures they name.

        Returns:
            What became of them, once it is durable; or what `Store.append` raises.

        Raises:
            StoreError: it is closed.
        """
        one = _Waiting(tuple(facts), tuple(blobs), Future())
        with self._changed:
            if not self._open:
                raise StoreError("The server is stopping; nothing was written. Send it again.")
            self._waiting.append(one)
            self._changed.notify()
        return one.done

    def close(self) -> None:
        """Write what waits, then take nothing more."""
        with self._changed:
            self._open = False
            self._changed.notify()
        self._writer.join()

    def _run(self) -> None:
        while batch := self._next():
            self._write(batch)

    def _next(self) -> list[_Waiting]:
        """All that waits, as soon as something does; nothing once it is closed and empty."""
        with self._changed:
            while self._open and not self._waiting:
                self._changed.wait()
            return [self._waiting.popleft() for _ in range(min(MOST, len(self._waiting)))]

    def _write(self, batch: list[_Waiting]) -> None:
        try:
            done = self._office.append(
                [fact for one in batch for fact in one.facts], blobs=[blob for one in batch for blob in one.blobs]
            )
        except Refused as fault:
            if len(batch) == 1:
                batch[0].done.set_exception(fault)
            else:
                for one in batch:  # one of them stopped all: each by itself
                    self._write([one])
        except Exception as fault:  # noqa: BLE001  whoever waits is told, and the next are written
            for one in batch:
                one.done.set_exception(fault)
        else:
            _answer(batch, done)


def _answer(batch: list[_Waiting], done: Appended) -> None:
    """Who was first to send a fact has it accepted; whoever sent it again is told that it is known."""
    taken = {item.fact.id: item for item in done.accepted}
    for one in batch:
        accepted = tuple(taken.pop(fact.id) for fact in one.facts if fact.id in taken)
        new = {item.fact.id for item in accepted}
        known = tuple(FactId(fact.id) for fact in one.facts if fact.id not in new)
        one.done.set_result(Appended(accepted, known))
