"""Backup and restore, from and to every kind of place: everything verbatim, verified, all or nothing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from adapters.store.builders import NOW, Place, Ticking, fault, reading
from adapters.store.test_append_only import unguarded
from dipmark.adapters.store import Blob, Store, backup, open_store, restore
from dipmark.facts.base import Origin, PersonKey
from dipmark.facts.errors import NotFound, StoreError
from dipmark.facts.problems import Problem

PICTURE = Blob(bytes(100_000), "image/png")
ANA, BEA = PersonKey("p-ana"), PersonKey("p-bea")


def fill(store: Store) -> None:
    store.append(
        [reading(1), reading(2, "truck:8"), fault(3, PICTURE.digest)],
        received=[NOW] * 3,
        origins=[Origin(seq=9, digest="ab" * 32), None, None],
        names={ANA: "Ana", BEA: "Bea"},
        blobs=[PICTURE],
    )
    store.blank_name(ANA)
    item = store.set_aside(reading(5), [Problem("any", "one", "other")])
    store.set_aside(reading(6), [])
    store.settle(item.digest, "seen", BEA)


def everything(store: Store) -> object:
    return (dict(store.record()), store.names(), store.blob(PICTURE.digest), store.set_aside_list(), store.heads())


def test_a_backup_brings_everything_back(place: Place, store: Store, tmp_path: Path) -> None:
    fill(store)
    seen: list[tuple[int, int]] = []
    backup(store, tmp_path / "backup.dip", lambda done, total: seen.append((done, total)))
    assert seen[-1] == (9, 9)
    assert not [path for path in tmp_path.iterdir() if path.name.startswith(".")]
    restore(tmp_path / "backup.dip", str(tmp_path / "again.dip"), Ticking())
    for name in ("backup.dip", "again.dip"):
        with open_store(str(tmp_path / name), clock=Ticking(), create=False) as copy:
            assert everything(copy) == everything(store)
            assert copy.verify() == ()


def test_a_backup_is_restored_into_any_place(place: Place, tmp_path: Path) -> None:
    with open_store(str(tmp_path / "first.dip"), clock=Ticking(), create=True) as first:
        fill(first)
        backup(first, tmp_path / "backup.dip")
        expected = everything(first)
    if place.kind != "memory":  # one in memory is gone at the end of restore
        restore(tmp_path / "backup.dip", place.address, Ticking())
        with place.open(create=False) as again:
            assert everything(again) == expected
            assert [item.seq for item in again.append([reading(7)]).accepted] == [3]
            assert again.verify() == ()
    with place.open() as empty, open_store(str(tmp_path / "backup.dip"), clock=Ticking(), create=False) as source:
        if empty.books():
            with pytest.raises(StoreError, match="not empty"):
                source.copy_to(empty)
        else:
            source.copy_to(empty)
            assert everything(empty) == expected


def test_an_empty_store_that_is_there_takes_a_restore(lasting: Place, tmp_path: Path) -> None:
    with open_store(":memory:", clock=Ticking(), create=True) as first:
        fill(first)
        backup(first, tmp_path / "backup.dip")
    lasting.open().close()
    restore(tmp_path / "backup.dip", lasting.address, Ticking())
    with lasting.open(create=False) as store:
        assert len(store.books()) == 2
    with pytest.raises(StoreError, match="not empty"):
        restore(tmp_path / "backup.dip", lasting.address, Ticking())


def test_a_backup_replaces_nothing(store: Store, tmp_path: Path) -> None:
    (tmp_path / "backup.dip").write_bytes(b"mine")
    with pytest.raises(StoreError, match="exists and is left"):
        backup(store, tmp_path / "backup.dip")
    assert (tmp_path / "backup.dip").read_bytes() == b"mine"
    with pytest.raises(StoreError, match="No folder"):
        backup(store, tmp_path / "none" / "backup.dip")
    with pytest.raises(NotFound):
        restore(tmp_path / "none.dip", ":memory:", Ticking())


def test_a_file_that_appears_meanwhile_stays(tmp_path: Path) -> None:
    def appears(_done: int, _total: int) -> None:
        (tmp_path / "backup.dip").write_bytes(b"mine")

    with open_store(":memory:", clock=Ticking(), create=True) as store:
        store.append([reading(1)])
        with pytest.raises(StoreError, match="has come to exist"):
            backup(store, tmp_path / "backup.dip", appears)
    assert (tmp_path / "backup.dip").read_bytes() == b"mine"
    assert len(list(tmp_path.iterdir())) == 1


def test_a_restore_needs_its_folder(tmp_path: Path) -> None:
    with open_store(":memory:", clock=Ticking(), create=True) as store:
        backup(store, tmp_path / "backup.dip")
    with pytest.raises(StoreError, match="No folder"):
        restore(tmp_path / "backup.dip", str(tmp_path / "none" / "yard.dip"), Ticking())


def test_a_store_that_does_not_verify_is_neither_backed_up_nor_restored(
    place: Place, store: Store, tmp_path: Path
) -> None:
    fill(store)
    backup(store, tmp_path / "good.dip")
    unguarded(place, store, "UPDATE facts SET by_key = 'p-bea' WHERE seq = 1")
    with pytest.raises(StoreError, match="does not verify") as said:
        backup(store, tmp_path / "bad.dip")
    assert {problem.code for problem in said.value.problems} == {"fact-changed"}
    with open_store(str(tmp_path / "good.dip"), clock=Ticking(), create=False) as copy:
        unguarded(Place("file", ""), copy, "DELETE FROM facts WHERE book = 'truck:7' AND seq = 1")
    for target in (str(tmp_path / "new.dip"), ":memory:"):
        with pytest.raises(StoreError):
            restore(tmp_path / "good.dip", target, Ticking())
    assert {path.name.split("-")[0] for path in tmp_path.iterdir()} <= {"good.dip", "yard.dip"}


@pytest.fixture
def writer(lasting: Place) -> Iterator[Store]:
    """A store that a thread appends to, all through the test."""
    done = threading.Event()
    with lasting.open() as store:
        store.append([reading(1)])

        def go_on() -> None:
            number = 2
            while not done.is_set():
                store.append([reading(number), reading(number + 1, "truck:8")])
                number += 2

        thread = threading.Thread(target=go_on)
        thread.start()
        yield store
        done.set()
        thread.join()


def test_a_backup_is_one_moment_while_others_write(writer: Store, tmp_path: Path) -> None:
    for number in range(3):
        backup(writer, tmp_path / f"{number}.dip")
        with open_store(str(tmp_path / f"{number}.dip"), clock=Ticking(), create=False) as copy:
            assert copy.verify() == ()
            seven, eight = (copy.heads().get(reading(1, book).book, (0, ""))[0] for book in ("truck:7", "truck:8"))
            assert seven == eight + 1
    assert writer.verify() == ()


def test_a_blanked_name_is_nowhere_in_the_files(tmp_path: Path) -> None:
    with open_store(str(tmp_path / "yard.dip"), clock=Ticking(), create=True) as store:
        store.append([reading(1)], names={ANA: "Anastasia Unmistakable", BEA: "Bea"})
        store.blank_name(ANA)
        backup(store, tmp_path / "backup.dip")
        for path in tmp_path.iterdir():
            assert b"Unmistakable" not in path.read_bytes()
