"""A disk that is full at any moment, and one that may only be read: a clear word, nothing half, nothing lost."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from dipmark.adapters.clock import system_clock
from dipmark.adapters.store import Store, backup, open_store, restore
from dipmark.facts.errors import NotFound, StoreError
from dipmark.office.open import Office
from dipmark.office.take import TakeOptions, take
from faults.trials import RULES, batch, contents

SIZE: Final = 800_000
ROOM: Final = range(0, 200_000, 12_288)
"""Bytes left free: from none to enough, three pages at a time."""

FULL: Final = r"full|free room"
TABLES: Final = "Truck,Kind,Date,Hours\n" + "".join(
    f"7,reach truck,2026-03-{day:02d},{day * 9}\n" for day in range(1, 32)
)


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A small disk; only root can mount one."""
    folder = tmp_path / "disk"
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "none", str(folder)]
    if subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("only root can mount a small disk")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


@contextmanager
def only(folder: Path, room: int) -> Iterator[None]:
    """Fill the disk up to so many bytes."""
    ballast = folder / "ballast"
    ballast.write_bytes(bytes(max(0, shutil.disk_usage(folder).free - room)))
    yield
    ballast.unlink()


def opened(path: Path, *, create: bool = True) -> Store:
    return open_store(str(path), clock=system_clock, create=create)


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"ballast"}


def test_appending_until_the_disk_is_full(disk: Path) -> None:
    told: set[str] = set()
    refused = 0
    with opened(disk / "yard.dip") as store:
        for room in ROOM:
            with only(disk, room):
                for step in range(6):
                    facts, picture = batch(f"{room}-{step}")
                    try:
                        told |= {item.fact.id for item in store.append(facts, blobs=[picture]).accepted}
                    except StoreError as fault:
                        refused += 1
                        assert "full" in str(fault), fault
                there = {item.fact.id for _, items in store.record() for item in items}
                assert there == told
            assert store.verify() == ()
    assert refused
    with opened(disk / "yard.dip", create=False) as store:
        assert store.verify() == ()
        assert {item.fact.id for _, items in store.record() for item in items} == told


def test_a_store_is_opened_or_made_on_a_full_disk_or_not_at_all(disk: Path) -> None:
    with opened(disk / "yard.dip") as store:
        store.append(batch("one")[0], blobs=[batch("one")[1]])
        wanted = contents(store)
    for room in ROOM:
        with only(disk, room):
            try:
                with opened(disk / "yard.dip", create=False) as store:
                    assert contents(store) == wanted
            except StoreError as fault:
                assert room < 65_536, fault
            try:
                opened(disk / "new.dip").close()
            except StoreError as fault:
                assert "new.dip" in str(fault)
                assert names(disk) <= {"yard.dip", "yard.dip-wal", "yard.dip-shm"}
        (disk / "new.dip").unlink(missing_ok=True)
    with opened(disk / "yard.dip", create=False) as store:
        assert contents(store) == wanted
        assert store.verify() == ()


def test_a_backup_and_a_restore_onto_a_full_disk(disk: Path, tmp_path: Path) -> None:
    with opened(tmp_path / "yard.dip") as store:
        for number in range(20):
            facts, picture = batch(f"old-{number}")
            store.append(facts, blobs=[picture])
        wanted, done = contents(store), 0
        for room in range(0, 500_000, 32_768):
            with only(disk, room):
                for name in ("backup", "again"):
                    try:
                        _copy(store, tmp_path / "yard.dip", disk / f"{name}.dip")
                    except StoreError:
                        assert names(disk) == set()
                        continue
                    done += 1
                    with opened(disk / f"{name}.dip", create=False) as other:
                        assert contents(other) == wanted
                    (disk / f"{name}.dip").unlink()
    assert 0 < done < 30


def _copy(store: Store, path: Path, to: Path) -> None:
    if to.name == "backup.dip":
        backup(store, to)
    else:
        restore(path, str(to), system_clock)


def test_tables_taken_on_a_full_disk_go_in_whole_and_what_is_refused_is_said(disk: Path) -> None:
    path = disk / "hours.csv"
    path.write_text(TABLES + "7,reach truck,2026-13-01,900\n")
    with Office(opened(disk / "yard.dip"), RULES, system_clock) as office:
        outcomes = set()
        for room in ROOM:
            with only(disk, room):
                try:
                    result = take(office, [path], TakeOptions(zone="Europe/Madrid"))
                except StoreError as fault:
                    assert "full" in str(fault), fault
                    assert office.store.books() == ()
                    outcomes.add("refused")
                    continue
            assert (result.accepted, result.known) in {(31, 0), (0, 31)}
            written = (disk / "hours.refused.csv").exists()
            assert written == (not any("could not be written" in note for note in result.notes))
            assert written == bool(result.refused_files)
            outcomes.add("taken")
        assert outcomes == {"refused", "taken"}
        assert office.store.verify() == ()
        assert names(disk) <= {"hours.csv", "hours.refused.csv", "yard.dip", "yard.dip-wal", "yard.dip-shm"}


def test_a_disk_that_may_only_be_read(disk: Path, tmp_path: Path) -> None:
    path = disk / "hours.csv"
    path.write_text(TABLES + "7,reach truck,2026-13-01,900\n")
    with opened(disk / "yard.dip") as store:
        store.append(batch("one")[0], blobs=[batch("one")[1]])
        wanted = contents(store)
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    with Office(opened(disk / "yard.dip", create=False), RULES, system_clock) as office:
        assert contents(office.store) == wanted
        for refused in (
            lambda: office.store.append(batch("two")[0]),
            lambda: take(office, [path], TakeOptions()),
            lambda: backup(office.store, disk / "backup.dip"),
            lambda: restore(disk / "yard.dip", str(disk / "again.dip"), system_clock),
        ):
            with pytest.raises(StoreError, match=r"read-only|[Rr]ead-only file system|cannot be"):
                refused()
        backup(office.store, tmp_path / "backup.dip")
        with Office(opened(tmp_path / "yard.dip"), RULES, system_clock) as elsewhere:
            result = take(elsewhere, [path], TakeOptions())
            assert result.accepted == 31
            assert any("could not be written beside it" in note for note in result.notes)
    assert names(disk) == {"hours.csv", "yard.dip"}
    with pytest.raises(NotFound):
        opened(disk / "new.dip", create=False)
