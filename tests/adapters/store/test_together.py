"""Several programs on one store: no gap, no double, no lost update, one moment for each reader, nothing half."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from adapters.store.builders import Place, as_boss, by_hand, reading
from dipmark.adapters.store import ID_TAKEN, Blob, Store
from dipmark.facts.base import BookId, PersonKey
from dipmark.facts.errors import Refused, StoreError

SEVEN = BookId("truck:7")
CHILD = Path(__file__).with_name("child.py")


def child(place: Place, *words: object) -> subprocess.Popen[str]:
    command = [sys.executable, str(CHILD), place.address, *map(str, words)]
    around = os.environ | {"PYTHONPATH": str(CHILD.parents[2])}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=around)


def test_two_programs_write_in_one_book(lasting: Place) -> None:
    lasting.open().close()
    children = [child(lasting, "truck:7", 1 + 100 * number, 40) for number in range(2)]
    said = [line for process in children for line in process.communicate()[0].split()]
    assert [process.returncode for process in children] == [0, 0]
    with lasting.open() as store:
        items = store.book(SEVEN)
        assert [item.seq for item in items] == list(range(1, 81))
        assert sorted(item.fact.id for item in items) == sorted(said)
        assert store.verify() == ()


def test_threads_write_the_same_facts_in_many_books_at_once(lasting: Place) -> None:
    facts = [reading(number, f"truck:{number % 5}") for number in range(60)]
    taken: list[str] = []
    with lasting.open() as store:

        def some(step: int) -> None:
            for start in range(0, 60, 6):
                part = facts[start : start + 6][:: step or -1]
                taken.extend(item.fact.id for item in store.append(part).accepted)

        threads = [threading.Thread(target=some, args=(step,)) for step in (1, 0, 1)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert sorted(taken) == sorted(fact.id for fact in facts)
        assert sum(seq for seq, _ in store.heads().values()) == 60
        assert store.verify() == ()


def test_one_id_for_two_books_at_once_goes_to_one(lasting: Place) -> None:
    answers: list[str] = []
    with lasting.open() as store:
        for number in range(10):
            ready = threading.Barrier(2)

            def one(book: str, number: int = number, ready: threading.Barrier = ready) -> None:
                ready.wait()
                try:
                    store.append([reading(number, book)])
                    answers.append("taken")
                except Refused as refused:
                    answers.append(refused.problems[0].code)

            threads = [threading.Thread(target=one, args=(book,)) for book in ("truck:7", "truck:8")]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
        assert sorted(answers) == [ID_TAKEN] * 10 + ["taken"] * 10
        assert store.verify() == ()


def test_a_reader_sees_one_moment_while_a_writer_commits(lasting: Place) -> None:
    with lasting.open() as store, lasting.open() as other:
        store.append([reading(1), reading(2, "truck:8")])
        reader = store.record()
        assert next(reader)[0] == "truck:7"
        other.append([reading(3, "truck:8"), reading(4, "truck:9")])
        assert [(book, len(items)) for book, items in reader] == [("truck:8", 1)]
        assert store.heads()[BookId("truck:8")][0] == 2


def test_a_record_in_memory_is_one_moment_too(place: Place, store: Store) -> None:
    store.append([reading(1), reading(2, "truck:8")])
    seen: list[int] = []
    for book, items in store.record():
        store.append([reading(len(seen) + 10, book)])
        seen.append(len(items))
    assert seen == [1, 1]
    assert store.verify() == ()


def test_a_program_killed_between_its_statements_leaves_nothing(lasting: Place) -> None:
    with lasting.open() as store:
        store.append([reading(1)])
        process = child(lasting, "truck:7", 50, 0, "stop-before-commit")
        assert process.stdout is not None
        assert process.stdout.readline() == "written, not committed\n"
        os.kill(process.pid, signal.SIGKILL)
        process.communicate()
        assert store.fact(reading(50).id) is None
        assert [item.seq for item in store.append([reading(2)]).accepted] == [2]
        assert store.verify() == ()


@pytest.mark.parametrize("lasting", ["postgres"], indirect=True)
@pytest.mark.postgres
def test_a_connection_dropped_by_the_server_leaves_nothing(lasting: Place) -> None:
    with lasting.open() as store:
        store.append([reading(1)])
        process = child(lasting, "truck:7", 50, 0, "stop-before-commit")
        assert process.stdout is not None
        process.stdout.readline()
        as_boss(lasting, "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE state = 'idle in transaction'")
        process.kill()
        process.communicate()
        assert [item.seq for item in store.append([reading(2)]).accepted] == [2]

        with pytest.raises(StoreError, match=r"[Tt]ry again"):
            dropped_in_the_middle(lasting, store)
        assert [item.seq for item in store.append([reading(3)]).accepted] == [3]
        assert store.verify() == ()


def dropped_in_the_middle(place: Place, store: Store) -> None:
    with store.database.writing() as connection:
        connection.exec_driver_sql("UPDATE names SET name = 'x'")
        as_boss(place, "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'yard'")
        connection.exec_driver_sql("UPDATE names SET name = 'y'")


def test_a_call_that_fails_in_the_middle_leaves_nothing(store: Store) -> None:
    if store.database.sqlite:
        by_hand(store, "CREATE TRIGGER x BEFORE INSERT ON names BEGIN SELECT RAISE(ABORT, 'no'); END")
    else:
        by_hand(store, "ALTER TABLE blobs ADD CHECK (media <> 'text/never')")
    with pytest.raises(StoreError, match="refuses"):
        store.append([reading(1)], names={PersonKey("p"): "P"}, blobs=[Blob(b"x", "text/never")])
    assert (store.books(), store.names(), store.blob(Blob(b"x", "").digest)) == ((), {}, None)
