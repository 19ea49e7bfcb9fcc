"""Accounts, sessions, devices and links on every database; and the mark that says that somebody has written."""

from __future__ import annotations

import threading

from adapters.store.builders import Place, reading
from dipmark.adapters.store import Account, Device, Link, Session, Store
from dipmark.facts.base import PersonKey

ANA, BEA = PersonKey("p-ana"), PersonKey("p-bea")


def test_an_account_is_kept_in_place_of_the_one_before_and_its_sessions_end(store: Store) -> None:
    held = store.sign_ins
    assert held.account(ANA) is None
    held.put_account(Account(person=ANA, passphrase="hash"))
    held.begin(Session(token="t", person=ANA, began_us=5, seen_us=5), 0)
    held.begin(Session(token="u", person=BEA, began_us=5, seen_us=5), 0)
    full = Account(person=ANA, passphrase="other", badge="b" * 64, salt=b"\x00\xff", pin_key=bytes(range(32)))
    held.put_account(full)
    held.put_account(Account(person=BEA))
    assert held.account(ANA) == full
    assert held.account_of_badge("b" * 64) == full
    assert held.account_of_badge("c" * 64) is None
    assert held.accounts() == (full, Account(person=BEA))
    assert (held.session("t"), held.session("u")) == (None, None)


def test_a_session_is_seen_and_ends_and_old_ones_are_swept(store: Store) -> None:
    held = store.sign_ins
    for number, token in enumerate("abc"):
        held.begin(Session(token=token, person=ANA, began_us=number, seen_us=number), 0)
    held.seen("c", 99)
    assert held.session("c") == Session(token="c", person=ANA, began_us=2, seen_us=99)
    held.begin(Session(token="d", person=BEA, began_us=9, seen_us=9), 2)
    assert [held.session(token) is None for token in "abcd"] == [True, True, False, False]
    held.end("c")
    held.end_all(BEA)
    assert [held.session(token) for token in "cd"] == [None, None]


def test_devices_are_known_until_they_are_dropped(store: Store) -> None:
    held = store.sign_ins
    later = Device(token="t2", id="2", name="dock", by_key=ANA, made_us=2)
    first = Device(token="t1", id="1", name="gate", by_key=ANA, made_us=1)
    held.add_device(later)
    held.add_device(first)
    assert held.devices() == (first, later)
    assert held.device("t1") == first
    assert (held.drop_device("1"), held.drop_device("1"), held.device("t1")) == (True, False, None)


def test_a_link_is_used_once_and_two_at_once_are_one(store: Store) -> None:
    held = store.sign_ins
    link = Link(token="t", what="device", subject="gate", by_key=ANA, until_us=100)
    held.add_link(link, 0)
    assert (held.link("t", 99), held.link("t", 100), held.link("x", 0)) == (link, None, None)
    got: list[Link | None] = []
    threads = [threading.Thread(target=lambda: got.append(held.use_link("t", 50))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(one is not None for one in got) == [False, False, False, True]


def test_an_ended_link_cannot_be_used_and_a_new_one_of_the_kind_replaces_it(store: Store) -> None:
    held = store.sign_ins
    held.add_link(Link(token="a", what="owner", subject="", by_key=ANA, until_us=100), 0)
    assert held.use_link("a", 100) is None
    held.add_link(Link(token="b", what="owner", subject="", by_key=ANA, until_us=100), 0)
    held.add_link(Link(token="c", what="owner", subject="", by_key=ANA, until_us=100), 0)
    held.add_link(Link(token="d", what="device", subject="gate", by_key=ANA, until_us=100), 0)
    assert [held.link(token, 1) is not None for token in "bcd"] == [False, True, True]


def test_tries_are_counted_together_and_not_while_paused(store: Store) -> None:
    held, who = store.sign_ins, ("account:x", "address:y")
    asked: list[tuple[str, int, int]] = []

    def paused(one: str, wrong: int, last_us: int) -> int:
        asked.append((one, wrong, last_us))
        return 1000 if wrong >= 2 else 0

    assert [held.count_try(who, now, paused) for now in (10, 20, 30, 999)] == [0, 0, 1000, 1000]
    assert held.tries(who) == {"account:x": (2, 20), "address:y": (2, 20)}
    assert held.count_try(who, 1000, paused) == 0
    assert ("account:x", 1, 10) in asked
    held.forgive(*who)
    assert held.tries(who) == {"address:y": (2, 1000)}


def test_many_tries_at_once_are_all_counted(store: Store) -> None:
    threads = [
        threading.Thread(target=lambda: store.sign_ins.count_try(("account:x",), 5, lambda *_: 0)) for _ in range(8)
    ]
    store.sign_ins.count_try(("account:x",), 5, lambda *_: 0)
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert store.sign_ins.tries(("account:x",)) == {"account:x": (9, 5)}


def test_none_of_it_is_part_of_the_record(store: Store) -> None:
    store.append([reading(1)])
    heads = store.heads()
    store.sign_ins.put_account(Account(person=ANA, passphrase="hash"))
    assert store.heads() == heads
    assert store.verify() == ()


def test_the_mark_is_another_after_every_writer_and_the_same_before(lasting: Place) -> None:
    with lasting.open() as mine, lasting.open() as other:
        mine.append([reading(1)])
        before = mine.database.mark()
        mine.book(reading(1).book)
        assert mine.database.mark() == before
        seen = {before}
        for number, writer in enumerate((other, mine, other), start=2):
            writer.append([reading(number)])
            seen.add(mine.database.mark())
        other.sign_ins.put_account(Account(person=ANA))
        seen.add(mine.database.mark())
        assert len(seen) == 5


def test_the_mark_of_a_store_in_memory(store: Store) -> None:
    before = store.database.mark()
    assert store.database.mark() == before
    store.append([reading(1)])
    assert store.database.mark() != before
