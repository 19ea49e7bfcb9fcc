"""The key board follows every writer: pages are told as soon as a fact is added, whoever adds it."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import AsyncIterator
from typing import Final

from anyio import to_thread

from dipmark.facts.errors import StoreError
from dipmark.office.open import Office

EVERY: Final = 0.5
"""Seconds between two looks at the store's mark, while a page follows."""

ALIVE: Final = 15.0
"""Seconds after which a page that was told nothing is told that the server is there."""


class Feed:
    """Tells every page that follows. One task looks for all of them, and only while there are any.

    Args:
        office: the yard.
    """

    def __init__(self, office: Office) -> None:
        self._office = office
        self._pages: set[asyncio.Queue[str | None]] = set()
        self._task: asyncio.Task[None] | None = None
        self._state = ""
        self._closed = False

    def now(self) -> str:
        """A text that changes with every fact of the record and with nothing else."""
        heads = sorted(self._office.store.heads().items())
        return hashlib.sha256(repr(heads).encode()).hexdigest()[:16]

    async def follow(self) -> AsyncIterator[bytes]:
        """What one page is sent, in the form of server-sent events."""
        queue: asyncio.Queue[str | None] = asyncio.Queue()
        self._pages.add(queue)
        if self._task is None or self._task.done():
            self._state = ""
            self._task = asyncio.create_task(self._look())
        elif self._state:
            queue.put_nowait(self._state)
        try:
            yield b"retry: 2000\n\n"
            while not self._closed:
                try:
                    state = await asyncio.wait_for(queue.get(), ALIVE)
                except TimeoutError:
                    yield b": there\n\n"
                    continue
                if state is None:
                    return
                yield f"event: yard\ndata: {state}\n\n".encode()
        finally:
            self._pages.discard(queue)

    def close(self) -> None:
        """Let every page go."""
        self._closed = True
        for queue in self._pages:
            queue.put_nowait(None)

    async def _look(self) -> None:
        mark = ""
        while self._pages and not self._closed:
            try:
                new = await to_thread.run_sync(self._office.store.database.mark)
                if new != mark:
                    mark, before = new, self._state
                    self._state = await to_thread.run_sync(self.now)
                    if self._state != before:
                        for queue in self._pages:
                            queue.put_nowait(self._state)
            except StoreError:
                mark = ""  # a store that cannot be read just now is asked again
            await asyncio.sleep(EVERY)
