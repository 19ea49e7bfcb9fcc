"""Prove the record: verify it, against a printed code as well; back it up and bring it back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from dipmark.adapters.clock import system_clock
from dipmark.adapters.store import backup as write_backup
from dipmark.adapters.store import restore as read_backup
from dipmark.facts.codec import book_code
from dipmark.facts.problems import Problem
from dipmark.office.open import Office
from dipmark.office.standings import by_number

Progress = Callable[[int, int], None]


def codes(office: Office) -> dict[str, str]:
    """The code of every book, as it is printed on every page: write it down to find a cut or rewritten record later."""
    heads = sorted(office.store.heads().items(), key=lambda head: (head[0].partition(":")[0], by_number(head[0])))
    return {book: book_code(seq, digest) for book, (seq, digest) in heads}


def verify(office: Office, against: str | None = None, progress: Progress | None = None) -> tuple[Problem, ...]:
    """Everything that is wrong with the record; with a printed code also a cut tail or a rewritten book.

    Args:
        office: the yard.
        against: a code printed earlier.
        progress: told how much of how much is done.
    """
    problems = office.store.verify(progress)
    return problems if against is None else (*problems, *office.store.verify_against(against))


def backup(office: Office, path: Path, progress: Progress | None = None) -> None:
    """Write a consistent copy of the whole store beside the running one; see `adapters.store.backup`."""
    write_backup(office.store, path, progress=progress)


def restore(path: Path, address: str, progress: Progress | None = None) -> None:
    """Bring a backup back into an empty or missing store; see `adapters.store.restore`."""
    read_backup(path, address, system_clock, progress=progress)
