"""What many send at once is written together, and each is answered after it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import Appended, Blob, Store, open_store
from dipmark.facts.base import BookId, Fact
from dipmark.facts.errors import Refused, StoreError
from dipmark.facts.fault import OutOfService
from dipmark.office.batch import Batch
from dipmark.office.open import Office
from office.taking import NOW


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    store = open_store(str(tmp_path / "yard.db"), clock=lambda: NOW, create=True)
    with Office(store, read_rules(), lambda: NOW) as found:
        yield found


@pytest.fixture
def batch(office: Office) -> Iterator[Batch]:
    made = Batch(office)
    yield made
    made.close()


def fact(office: Office, book: str = "truck:7", reason: str = "leak") -> Fact:
    return office.fact(BookId(book), OutOfService(reason=reason), NOW - timedelta(minutes=1))


class Held:
    """A store that waits at its door: what is sent meanwhile piles up."""

    def __init__(self, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
        self.open = threading.Event()
        self.arrived = threading.Event()
        self.calls: list[int] = []
        real = store.append

        def append(facts: list[Fact], **more: object) -> Appended:
            self.arrived.set()
            assert self.open.wait(10)
            self.calls.append(len(facts))
            return real(facts, **more)  # type: ignore[arg-type]

        monkeypatch.setattr(store, "append", append)


def test_what_waits_is_written_in_one_transaction(
    office: Office, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(office.store, monkeypatch)
    first = batch.submit([fact(office)])
    assert held.arrived.wait(10)
    later = [batch.submit([fact(office), fact(office, "truck:12")]) for _ in range(40)]
    held.open.set()
    assert [len(one.result(10).accepted) for one in (first, *later)] == [1, *[2] * 40]
    assert held.calls == [1, 80]
    assert len(office.book(BookId("truck:7"))) == 41


def test_nothing_is_answered_before_it_is_written(
    office: Office, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(office.store, monkeypatch)
    waiting = batch.submit([fact(office)])
    assert held.arrived.wait(10)
    assert not waiting.done()
    held.open.set()
    (taken,) = waiting.result(10).accepted
    with open_store(office.store.address, clock=lambda: NOW, create=False) as other:
        assert other.fact(taken.fact.id) == taken


def test_the_same_twice_is_taken_once_and_known_after(
    office: Office, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    held, one = Held(office.store, monkeypatch), fact(office)
    sent = [batch.submit([one]) for _ in range(5)]
    held.open.set()
    results = [waiting.result(10) for waiting in sent]
    assert [len(result.accepted) for result in results] == [1, 0, 0, 0, 0]
    assert [result.known for result in results[1:]] == [(one.id,)] * 4
    assert batch.submit([one]).result(10).known == (one.id,)


def test_one_that_is_refused_does_not_stop_the_others(
    office: Office, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = fact(office)
    office.append([there])
    held = Held(office.store, monkeypatch)
    first = batch.submit([fact(office)])
    assert held.arrived.wait(10)
    taken = Fact(id=there.id, book=there.book, happened=there.happened, by=there.by, body=OutOfService(reason="other"))
    bad, good = batch.submit([taken]), batch.submit([fact(office)], [Blob(b"x", "image/png")])
    held.open.set()
    assert len(first.result(10).accepted) == len(good.result(10).accepted) == 1
    with pytest.raises(Refused, match="id of one"):
        bad.result(10)
    assert office.store.blob(Blob(b"x", "image/png").digest) is not None


def test_a_store_that_cannot_be_written_is_told_to_all_and_the_writer_goes_on(
    office: Office, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> Appended:
        raise StoreError("full")

    with monkeypatch.context() as patched:
        patched.setattr(office.store, "append", full)
        for waiting in [batch.submit([fact(office)]) for _ in range(3)]:
            with pytest.raises(StoreError, match="full"):
                waiting.result(10)
    assert len(batch.submit([fact(office)]).result(10).accepted) == 1


def test_closing_writes_what_waits_and_takes_nothing_more(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    batch, held = Batch(office), Held(office.store, monkeypatch)
    waiting = [batch.submit([fact(office)]) for _ in range(10)]
    closing = threading.Thread(target=batch.close)
    closing.start()
    held.open.set()
    closing.join(10)
    assert all(one.done() for one in waiting)
    with pytest.raises(StoreError, match="stopping"):
        batch.submit([fact(office)])


def test_many_threads_lose_nothing(office: Office, batch: Batch) -> None:
    sent: list[Fact] = []

    def send(number: int) -> None:
        facts = [fact(office, f"truck:{number % 5}") for _ in range(20)]
        for one in facts:
            batch.submit([one]).result(30)
        sent.extend(facts)

    threads = [threading.Thread(target=send, args=(number,)) for number in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    there = {item.fact.id for _, items in office.store.record() for item in items}
    assert len(there) == 320
    assert there == {one.id for one in sent}
    assert office.store.verify() == ()
