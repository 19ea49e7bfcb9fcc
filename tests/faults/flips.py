"""Every byte of a stored book changed in turn: verify names the fact, or says that the store is damaged."""

from __future__ import annotations

import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Final

from dipmark.adapters.store import Blob, Store, open_store
from dipmark.facts.amend import Corrected
from dipmark.facts.base import FactId, Origin, PersonKey
from dipmark.facts.codec import book_code, fact_of
from dipmark.facts.errors import StoreError
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled

NOW: Final = datetime(2026, 11, 20, 6, 0, 0, 123456, tzinfo=UTC)
PICTURE: Final = Blob(bytes(range(256)), "image/png")
TEXT: Final = ("id", "book", "kind", "happened", "by_key", "received", "prev", "digest", "origin_digest")
WHOLE: Final = ("seq", "happened_us", "whole_day", "received_us", "origin_seq")


def small(path: Path) -> None:
    """Three books: enrolled, readings, a fault with a picture, a correction, one merged from elsewhere."""
    bodies = [
        Enrolled(what="reach truck", commissioned=date(2024, 1, 15)),
        MeterRead(hours=Decimal("1204.5"), note="café, ½ tank"),
        Fault(text="Oil under the mast", seriousness="watch", pictures=(PICTURE.digest,)),
        Corrected(target=_id(2), body=MeterRead(hours=Decimal("1204.6")), reason="misread"),
    ]
    facts = [
        fact_of(_id(number), f"truck:{1 + number // 4}", NOW - timedelta(days=40 - number), "p-ana", bodies[number % 4])
        for number in range(1, 11)
    ]
    facts.append(fact_of(_id(11), "truck:3", NOW, "p-ana", bodies[1], whole_day=True))
    origins = [None] * 10 + [Origin(seq=7, digest="5a" * 32)]
    with _open(path, create=True) as store:
        store.append(facts, origins=origins, names={PersonKey("p-ana"): "Ana"}, blobs=[PICTURE])


def _id(number: int) -> FactId:
    return FactId(f"01934567-0000-7000-8000-{number:012x}")


def _open(path: Path, *, create: bool = False) -> Store:
    return open_store(str(path), clock=lambda: NOW, create=create)


def _said(store: Store) -> tuple[object, ...]:
    """All that can be read out of it."""
    book = dict(store.record())
    singly = [store.fact(item.fact.id) for items in book.values() for item in items]
    return book, singly, store.heads(), store.names(), store.blob(PICTURE.digest), store.set_aside_list()


# ---------------------------------------------------------------------- in the columns


def column_flips(folder: Path, masks: tuple[int, ...], every: int = 1) -> Counter[str]:
    """Change bytes of the columns of every fact by a hand that takes the guard away and puts it back.

    Returns:
        How many changes were ``named`` (the very fact), and ``refused`` by the keys of the database itself.
    """
    path, counts = folder / "columns.dip", Counter[str]()
    small(path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("PRAGMA synchronous = OFF")
    (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'facts_no_update'").fetchone()
    with _open(path) as store:
        for number, (id_, column, before, after) in enumerate(_changes(raw, masks)):
            if number % every:
                continue
            try:
                _put(raw, guard, id_, column, after)
            except sqlite3.IntegrityError:
                raw.execute("ROLLBACK")
                counts["refused"] += 1
                continue
            now = after.decode("utf-8", "backslashreplace") if column == "id" and isinstance(after, bytes) else id_
            named = {problem.where.fact for problem in store.verify()}
            assert named & {id_, now}, (id_, column, before, after, named)
            counts["named"] += 1
            _put(raw, guard, now if column != "id" else after, column, before)
        assert store.verify() == ()
    raw.close()
    return counts


_Value = bytes | int


def _changes(raw: sqlite3.Connection, masks: tuple[int, ...]) -> Iterator[tuple[str, str, _Value, _Value]]:
    for column in (*TEXT, "body", *WHOLE):
        query = f"SELECT id, CAST({column} AS BLOB) FROM facts" if column in TEXT else f"SELECT id, {column} FROM facts"
        for id_, value in raw.execute(query).fetchall():
            if value is None:
                continue
            data = value.to_bytes(8, "big", signed=True) if column in WHOLE else value
            for place in range(len(data)):
                for mask in masks:
                    other = data[:place] + bytes([data[place] ^ mask]) + data[place + 1 :]
                    yield id_, column, value, int.from_bytes(other, "big", signed=True) if column in WHOLE else other


def _put(raw: sqlite3.Connection, guard: str, id_: _Value | str, column: str, value: _Value) -> None:
    new, old = "CAST(? AS TEXT)" if column in TEXT else "?", "CAST(? AS TEXT)" if isinstance(id_, bytes) else "?"
    raw.execute("BEGIN IMMEDIATE")
    raw.execute("DROP TRIGGER facts_no_update")
    done = raw.execute(f"UPDATE facts SET {column} = {new} WHERE id = {old}", (value, id_))
    assert done.rowcount == 1
    raw.execute(guard)
    raw.execute("COMMIT")


def by_hand(path: Path, column: str, value: bytes) -> None:
    """Put a value into a column of the first fact."""
    raw = sqlite3.connect(path, isolation_level=None)
    (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'facts_no_update'").fetchone()
    _put(raw, guard, _id(1), column, value)
    raw.close()


# ---------------------------------------------------------------------- in the file


def file_flips(folder: Path, every: int = 1) -> Counter[str]:
    """Change bytes of the pages of the file that hold facts, keys and indexes included.

    Returns:
        How many changes were ``named`` (a fact), found as ``damaged`` (the store), or ``harmless``: read by nobody.
    """
    whole, path, counts = folder / "whole.dip", folder / "flipped.dip", Counter[str]()
    small(whole)
    with _open(whole) as store:
        before = _said(store)
        ids = [item.fact.id for _, items in store.record() for item in items]
    data = whole.read_bytes()
    shutil.copy(whole, path)
    for place in _held(data, ids)[::every]:
        _write(path, place, data[place] ^ (1 << place % 8))
        counts[_looked_at(path, before, place)] += 1
        for rest in ("-wal", "-shm"):
            path.with_name(path.name + rest).unlink(missing_ok=True)
        if path.read_bytes()[:100] != data[:100] or path.stat().st_size != len(data):
            shutil.copy(whole, path)
        _write(path, place, data[place])
    assert path.read_bytes() == data
    return counts


def _held(data: bytes, ids: list[FactId]) -> list[int]:
    """Places of all bytes on pages where the id of a fact stands."""
    size = int.from_bytes(data[16:18], "big")
    pages = [
        start for start in range(0, len(data), size) if any(id_.encode() in data[start : start + size] for id_ in ids)
    ]
    return [place for start in pages for place in range(start, start + size)]


def _write(path: Path, place: int, byte: int) -> None:
    with path.open("r+b") as file:
        file.seek(place)
        file.write(bytes([byte]))


def _looked_at(path: Path, before: tuple[object, ...], place: int) -> str:
    try:
        with _open(path) as store:
            found = store.verify()
            if not found:
                assert _said(store) == before, place
                return "harmless"
    except StoreError:
        return "damaged"
    return "named" if any(problem.where.fact for problem in found) else "damaged"


# ---------------------------------------------------------------------- at the tail


def cut_tails(folder: Path) -> int:
    """Cut every possible tail off every book: the chain that is left is sound, a printed code shows what is gone.

    Returns:
        How many tails were cut.
    """
    whole, cuts = folder / "uncut.dip", 0
    small(whole)
    with _open(whole) as store:
        books = dict(store.record())
    for book, items in books.items():
        printed = book_code(items[-1].seq, items[-1].digest)
        for left in range(len(items)):
            path = folder / f"cut-{cuts}.dip"
            shutil.copy(whole, path)
            raw = sqlite3.connect(path, isolation_level=None)
            (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'facts_no_delete'").fetchone()
            raw.execute("DROP TRIGGER facts_no_delete")
            raw.execute("DELETE FROM facts WHERE book = ? AND seq > ?", (book, left))
            raw.execute(guard)
            raw.close()
            with _open(path) as store:
                assert store.verify() == ()
                (problem,) = store.verify_against(printed, book)
                assert (problem.code, problem.where.book) == ("book-cut", book)
                assert store.verify_against(printed) != ()
            cuts += 1
    return cuts
