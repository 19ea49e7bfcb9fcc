"""Trouble below the store: full disk, read-only, locked, damaged. Said so that a person can act; nothing is half."""

from __future__ import annotations

import os
import random
import resource
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import event

from adapters.store.builders import Ticking, fault, reading
from dipmark.adapters.store import Blob, Store, backup, database, open_store
from dipmark.facts.base import BookId
from dipmark.facts.errors import NotFound, StoreError

SEVEN = BookId("truck:7")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 400 kB; only root can mount one."""
    folder = tmp_path / "disk"
    folder.mkdir()
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=400k", "none", str(folder)], capture_output=True, check=False
    )
    if done.returncode:
        pytest.skip("only root can mount a small disk")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def opened(path: Path, *, create: bool = True) -> Store:
    return open_store(str(path), clock=Ticking(), create=create)


def test_a_full_disk_is_said_and_nothing_is_half_written(small_disk: Path) -> None:
    with opened(small_disk / "yard.dip") as store:
        store.append([reading(1)])
        with pytest.raises(StoreError, match="disk is full"):
            store.append([reading(2)], blobs=[Blob(os.urandom(600_000), "image/png")])
        assert [item.fact for item in store.book(SEVEN)] == [reading(1)]
        assert store.verify() == ()
        assert len(store.append([reading(2)]).accepted) == 1
        (small_disk / "more").write_bytes(bytes(max(0, shutil.disk_usage(small_disk).free - 20_000)))
        with pytest.raises(StoreError, match=r"full|cannot be"):
            backup(store, small_disk / "backup.dip")
        assert not [path for path in small_disk.iterdir() if path.name.startswith(".")]
        assert store.verify() == ()


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    with opened(tmp_path / "yard.dip") as store:
        store.append([reading(1)])
        resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, hard))
        try:
            with pytest.raises(StoreError, match="disk"):
                store.append([reading(2)], blobs=[Blob(os.urandom(600_000), "image/png")])
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert len(store.book(SEVEN)) == 1
        assert [item.seq for item in store.append([reading(2)]).accepted] == [2]
        assert store.verify() == ()


def test_a_read_only_disk_is_read_and_not_written(small_disk: Path) -> None:
    with opened(small_disk / "yard.dip") as store:
        store.append([reading(1)])
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with opened(small_disk / "yard.dip", create=False) as store:
        assert len(store.book(SEVEN)) == 1
        assert store.verify() == ()
        with pytest.raises(StoreError, match="read-only"):
            store.append([reading(2)])
    with pytest.raises(StoreError, match=r"read-only|cannot be"):
        opened(small_disk / "new.dip")
    with pytest.raises(NotFound):
        opened(small_disk / "new.dip", create=False)


def test_a_writer_that_holds_the_store_too_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.05)
    with opened(tmp_path / "yard.dip") as store:
        holder = sqlite3.connect(tmp_path / "yard.dip", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match=r"too long\. Try again"):
            store.append([reading(1)])
        assert store.books() == ()  # readers do not wait
        holder.execute("COMMIT")
        holder.close()
        assert len(store.append([reading(1)]).accepted) == 1


def test_a_file_that_cannot_be_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened(tmp_path / "yard.dip").close()

    def denied(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "open", denied)
        with pytest.raises(StoreError, match="Permission denied"):
            opened(tmp_path / "yard.dip")


def test_what_the_database_says_last_is_passed_on() -> None:
    assert database.meaning(sqlite3.OperationalError("odd  thing")) == "it cannot be used (odd thing)"


def test_a_row_that_cannot_be_read_says_which_and_what_to_do(tmp_path: Path) -> None:
    with opened(tmp_path / "yard.dip") as store:
        store.append([reading(1)])
        with store.database.engine.begin() as connection:
            connection.exec_driver_sql("DROP TRIGGER facts_no_update")
            connection.exec_driver_sql("UPDATE facts SET body = CAST('{}' AS BLOB)")
        for attempt in (
            lambda: store.book(SEVEN),
            lambda: store.fact(reading(1).id),
            lambda: store.append([reading(1)]),
        ):
            with pytest.raises(StoreError, match=r"truck:7, fact 1 .* run verify"):
                attempt()


FLIPS = int(os.environ.get("DIPMARK_TEST_FLIPS", "150"))


def test_a_flipped_byte_is_found_or_harms_nothing(tmp_path: Path) -> None:
    """Everything a fact, a picture or a set-aside fact says is proved; bytes that nothing reads may be anything."""
    whole = tmp_path / "whole.dip"
    picture = Blob(bytes(range(200)), "image/png")
    with opened(whole) as store:
        store.append(
            [*(reading(number, f"truck:{number % 3}") for number in range(90)), fault(99, picture.digest)],
            blobs=[picture],
        )
        store.set_aside(reading(100), [])
        before = kept(store, picture)
    rng = random.Random(20261120)
    data = whole.read_bytes()
    copy, found = tmp_path / "copy.dip", 0
    for _ in range(FLIPS):
        place, bit = rng.randrange(len(data)), 1 << rng.randrange(8)
        copy.write_bytes(data[:place] + bytes([data[place] ^ bit]) + data[place + 1 :])
        try:
            with opened(copy, create=False) as store:
                if store.verify():
                    found += 1
                else:
                    assert kept(store, picture) == before, (place, bit)
        except StoreError:
            found += 1
        for rest in ("-wal", "-shm"):
            copy.with_name(copy.name + rest).unlink(missing_ok=True)
    assert found > FLIPS // 4


def kept(store: Store, picture: Blob) -> object:
    held = store.blob(picture.digest)
    return dict(store.record()), None if held is None else held.data, store.set_aside_list(), store.heads()


def test_a_store_copied_with_its_log_is_whole(tmp_path: Path) -> None:
    (tmp_path / "copy").mkdir()
    with opened(tmp_path / "yard.dip") as store:
        store.append([reading(1)])
        for path in tmp_path.glob("yard.dip*"):
            shutil.copy(path, tmp_path / "copy")
    with opened(tmp_path / "copy" / "yard.dip", create=False) as copy:
        assert len(copy.book(SEVEN)) == 1
        assert copy.verify() == ()


def test_a_disk_that_fails_at_the_commit(tmp_path: Path) -> None:
    with opened(tmp_path / "yard.dip") as store:

        def fails(*_: object) -> None:
            raise OSError(5, "Input/output error")

        event.listen(store.database.engine, "commit", fails)
        with pytest.raises(StoreError, match="Input/output error"):
            store.append([reading(1)])
        event.remove(store.database.engine, "commit", fails)
        assert store.books() == ()
        assert len(store.append([reading(1)]).accepted) == 1
