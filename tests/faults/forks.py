"""Work in a process of its own that is killed at some moment, and what it had said by then.

The process that forks has everything imported and holds no connection and no thread, so that a round costs little.
"""

from __future__ import annotations

import os
import signal
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from typing import NoReturn

Say = Callable[..., None]
"""Says words that no kill takes back: they have left the process."""

Work = Callable[[Say], None]

LONGEST = 120
"""Seconds after which a process that nobody killed ends by itself."""


class Worker:
    """A forked process at its work.

    Args:
        work: what it does.
    """

    def __init__(self, work: Work) -> None:
        self.end, there = os.pipe()
        self.pid = os.fork()
        if self.pid == 0:
            os.close(self.end)
            _go(work, there)
        os.close(there)

    def kill(self) -> None:
        """Kill it, wherever it stands."""
        os.kill(self.pid, signal.SIGKILL)

    def said(self) -> tuple[list[str], bool]:
        """All words it has said, and whether it had come to the end of its work; waits until it is gone.

        Raises:
            AssertionError: it failed by itself.
        """
        with os.fdopen(self.end, "rb") as end:
            text = end.read().decode()
        os.waitpid(self.pid, 0)
        whole, _, fault = text.partition("!")
        assert not fault, fault
        *words, last = whole.split("\n")
        assert last == "", f"half a word: {last!r}"
        done = bool(words) and words[-1] == "."
        return [word for line in words[: -1 if done else None] for word in line.split()], done


def killed(work: Work, after: float) -> tuple[list[str], bool]:
    """Let somebody work and kill him: what he had said, and whether he had come to the end.

    Args:
        work: what he does.
        after: seconds from the fork to the kill.
    """
    worker = Worker(work)
    time.sleep(after)
    worker.kill()
    return worker.said()


def side_by_side(works: list[Work]) -> list[list[str]]:
    """Let several work at the same time, to the end: what each said."""
    ended = []
    for worker in [Worker(_ending(work)) for work in works]:
        said, _ = worker.said()
        ended.append(said)
    return ended


def _ending(work: Work) -> Work:
    def to_the_end(say: Say) -> None:
        work(say)
        say(".")
        os._exit(0)

    return to_the_end


def _go(work: Work, there: int) -> NoReturn:
    def say(*words: str) -> None:
        os.write(there, (" ".join(words) + "\n").encode())

    signal.alarm(LONGEST)
    try:
        work(say)
        say(".")
    except BaseException:  # noqa: BLE001 - it goes to the process that forked
        with suppress(OSError):
            os.write(there, b"!" + traceback.format_exc().encode())
        os._exit(1)
    signal.pause()
    os._exit(0)
