"""A yard in memory with a fixed clock, and files to take into it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.facts.base import Body, Fact
from dipmark.office.open import Office
from dipmark.office.take import Taken, TakeOptions, take

NOW = datetime(2026, 11, 20, 6, 0, tzinfo=UTC)

TRUCKS = "Truck,Kind,Commissioned\n7,LPG forklift,2024-01-15\n12,reach truck,2023-05-02\n"


@contextmanager
def yard(address: str = ":memory:", now: datetime = NOW) -> Iterator[Office]:
    """An office over a store; in memory unless an address is given."""

    def clock() -> datetime:
        return now

    with Office(open_store(address, clock=clock, create=True), read_rules(), clock) as office:
        yield office


def file(folder: Path, name: str, text: str, encoding: str = "utf-8") -> Path:
    """A file with that text."""
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return path


def taken(office: Office, *files: Path, options: TakeOptions | None = None) -> Taken:
    """Take files."""
    return take(office, files, options or TakeOptions())


def counts(result: Taken) -> tuple[int, int, int]:
    """Rows accepted, known, refused."""
    return result.accepted, result.known, result.refused_rows


def facts(office: Office) -> list[Fact]:
    """Every fact of the store, book by book."""
    return [item.fact for _, items in office.store.record() for item in items]


def bodies(office: Office, kind: type[Body]) -> list[Fact]:
    """Facts of one kind."""
    return [fact for fact in facts(office) if isinstance(fact.body, kind)]
