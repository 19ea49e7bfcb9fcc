"""Facts in, facts out: chains, known facts, refusals, names, pictures, what is set aside. On every kind of place."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta, timezone
from decimal import Decimal

import msgspec
import pytest

from adapters.store.builders import NOW, Place, fault, reading
from dipmark.adapters.store import ID_TAKEN, Blob, Store
from dipmark.facts.amend import Corrected
from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId, Origin, PersonKey
from dipmark.facts.codec import accept, fact_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem

SEVEN, EIGHT = BookId("truck:7"), BookId("truck:8")
ANA, BEA = PersonKey("p-ana"), PersonKey("p-bea")
HARD = Problem("any", "hours that fall", "hours that rise")


def test_facts_come_back_as_they_went_in_chained_by_book(store: Store) -> None:
    facts = [reading(1), reading(2, "truck:8"), reading(3), reading(4, "yard", note="é漢 ° \u202e"), reading(5)]
    times = [NOW + timedelta(seconds=number) for number in range(5)]
    done = store.append(facts, received=times)
    assert [item.fact for item in done.accepted] == facts
    assert done.known == ()
    assert [item.seq for item in done.accepted] == [1, 1, 2, 1, 3]
    assert store.book(SEVEN) == (done.accepted[0], done.accepted[2], done.accepted[4])
    assert store.book(SEVEN) == chained(facts, times)
    assert store.book(EIGHT)[0].prev == FIRST
    assert store.books() == ("truck:7", "truck:8", "yard")
    assert dict(store.record()) == {book: store.book(book) for book in store.books()}
    assert [book for book, _ in store.record("truck:")] == ["truck:7", "truck:8"]
    assert store.heads()[SEVEN] == (3, done.accepted[4].digest)
    assert store.fact(facts[3].id) == done.accepted[3]
    assert store.verify() == ()


def chained(facts: list[Fact], times: list[datetime]) -> tuple[Accepted, ...]:
    """The book of truck 7, computed without a store."""
    items: list[Accepted] = []
    for fact, time in zip(facts, times, strict=True):
        if fact.book == SEVEN:
            items.append(accept(fact, time, len(items) + 1, items[-1].digest if items else FIRST))
    return tuple(items)


def test_an_empty_store_is_empty(store: Store) -> None:
    assert (store.books(), store.heads(), tuple(store.record()), store.names()) == ((), {}, (), {})
    assert (store.book(SEVEN), store.fact(reading(1).id), store.blob("0" * 64)) == ((), None, None)
    assert (store.append(()).accepted, store.verify(), store.set_aside_list()) == ((), (), ())


def test_the_offset_of_a_time_and_a_whole_day_are_kept(store: Store) -> None:
    local = datetime(2026, 11, 20, tzinfo=timezone(timedelta(hours=-3, minutes=-30)))
    fact = reading(1, happened=local)
    day = reading(2, happened=local)
    store.append([fact, msgspec.structs.replace(day, whole_day=True)])
    assert [item.fact.happened.isoformat() for item in store.book(SEVEN)] == ["2026-11-20T00:00:00-03:30"] * 2
    assert [item.fact.whole_day for item in store.book(SEVEN)] == [False, True]


def test_received_stands_as_given_and_is_kept_in_utc(store: Store) -> None:
    later, earlier = NOW.astimezone(timezone(timedelta(hours=1))), NOW - timedelta(days=3)
    done = store.append([reading(1), reading(2)], received=[later, earlier])
    assert [item.received for item in done.accepted] == [NOW, earlier]
    assert store.book(SEVEN)[0].received.utcoffset() == timedelta(0)
    assert store.verify() == ()


def test_without_times_the_clock_speaks(place: Place) -> None:
    with place.open(clock=lambda: NOW) as store:
        assert [item.received for item in store.append([reading(1), reading(2)]).accepted] == [NOW, NOW]


@pytest.mark.parametrize("received", [[], [NOW, NOW], [NOW.replace(tzinfo=None)]])
def test_times_that_do_not_fit_are_a_fault_of_the_caller(store: Store, received: list[datetime]) -> None:
    with pytest.raises(ValueError, match="times for 1 facts"):
        store.append([reading(1)], received=received)
    with pytest.raises(ValueError, match="origins for 1 facts"):
        store.append([reading(1)], origins=[])


def test_a_merged_fact_keeps_where_it_came_from(store: Store) -> None:
    origin = Origin(seq=41, digest=hashlib.sha256(b"elsewhere").hexdigest())
    store.append([reading(1), reading(2)], origins=[origin, None])
    assert [item.origin for item in store.book(SEVEN)] == [origin, None]
    assert store.verify() == ()


def test_the_same_fact_again_is_known_and_written_once(store: Store) -> None:
    first = store.append([reading(1), reading(2)])
    again = store.append([reading(2), reading(3), reading(3), reading(1)])
    assert again.known == (reading(2).id, reading(3).id, reading(1).id)
    assert [item.fact for item in again.accepted] == [reading(3)]
    assert again.accepted[0].prev == first.accepted[1].digest
    assert store.append([reading(1)]).known == (reading(1).id,)
    assert len(store.book(SEVEN)) == 3


def test_a_taken_id_refuses_the_whole_call_and_names_each(store: Store) -> None:
    store.append([reading(1), reading(2)])
    facts = [reading(3), reading(1, hours=99), reading(2, "truck:8"), reading(4), reading(4, hours=5)]
    with pytest.raises(Refused) as refused:
        store.append(facts, names={ANA: "Ana"}, blobs=[Blob(b"p", "image/png")])
    assert [problem.code for problem in refused.value.problems] == [ID_TAKEN] * 3
    assert [problem.where.fact for problem in refused.value.problems] == [facts[1].id, facts[2].id, facts[4].id]
    assert "And 2 more" in str(refused.value)
    assert (len(store.book(SEVEN)), store.books(), store.names()) == (2, ("truck:7",), {})
    assert store.blob(Blob(b"p", "image/png").digest) is None


def test_what_no_record_may_hold_is_refused_all_at_once(store: Store) -> None:
    bad = [
        reading(1, hours=Decimal("Infinity")),
        reading(2),
        reading(3, by=""),
        reading(4, id="ONE"),
        reading(5, "nowhere"),
    ]
    with pytest.raises(Refused) as refused:
        store.append(bad, names={BEA: " "})
    assert [problem.code for problem in refused.value.problems] == [
        "number-unbounded", "id-unfit", "id-unfit", "id-unfit", "name-unfit",
    ]  # fmt: skip
    assert store.books() == ()


def test_more_facts_than_one_statement_takes(store: Store) -> None:
    facts = [reading(number, f"truck:{number % 7}") for number in range(1, 1302)]
    assert len(store.append(facts).accepted) == 1301
    assert len(store.append([*facts, reading(2000)]).known) == 1301
    seen: list[tuple[int, int]] = []
    assert store.verify(lambda done, total: seen.append((done, total))) == ()
    assert seen == [(1000, 1302), (1302, 1302)]


def test_books_sort_bytewise(store: Store) -> None:
    names = ["truck:a", "truck:Z", "truck:é", "truck:10", "item:x", "truck:9", "yard", "truck:_", "truck:\U0001f600"]
    store.append([reading(number, name) for number, name in enumerate(names)])
    assert store.books() == tuple(sorted(names, key=str.encode))
    assert set(store.heads()) == set(names)
    assert [book for book, _ in store.record("truck:1")] == ["truck:10"]


# ------------------------------------------------------------------------------------------------ names


def test_a_name_lives_in_the_register_and_can_be_blanked(store: Store) -> None:
    store.append([reading(1)], names={ANA: "Ana Ruiz"})
    store.append([], names={ANA: "Other", BEA: "Bea"})
    assert store.names() == {ANA: "Ana Ruiz", BEA: "Bea"}
    assert store.key_of("  ana   RUIZ ") == ANA
    assert store.key_of("Nobody") is None
    store.set_name(ANA, "Ana Ruiz Gil")
    store.set_name(PersonKey("p-new"), "Cy")
    assert store.names()[ANA] == "Ana Ruiz Gil"
    store.blank_name(ANA)
    assert store.names() == {ANA: None, BEA: "Bea", "p-new": "Cy"}
    store.append([], names={ANA: "Ana again"})
    assert store.names()[ANA] is None
    assert store.key_of("Ana Ruiz Gil") is None
    assert store.verify() == ()
    with pytest.raises(NotFound, match="p-nobody"):
        store.blank_name(PersonKey("p-nobody"))


@pytest.mark.parametrize("name", ["", "  ", "x" * 121, "a\x00b", "\ud800"])
def test_a_name_that_cannot_be_kept_is_refused(store: Store, name: str) -> None:
    with pytest.raises(Refused, match="1 to 120 characters"):
        store.set_name(ANA, name)
    assert store.names() == {}


# ------------------------------------------------------------------------------------------------ pictures


def test_a_picture_is_kept_once_by_its_digest(store: Store) -> None:
    data = bytes(range(256)) * 2000
    digest = store.put_blob(data, "image/jpeg")
    assert digest == hashlib.sha256(data).hexdigest()
    assert store.put_blob(data, "image/png") == digest
    assert store.blob(digest) == Blob(data, "image/jpeg")


def test_a_fact_and_its_pictures_go_in_together(store: Store) -> None:
    one, two = Blob(b"one", "image/png"), Blob(b"two", "image/png")
    store.append([fault(1, one.digest, two.digest)], blobs=[one, two, one])
    assert store.verify() == ()
    missing = fault(2, "ab" * 32)
    store.append([missing])
    (problem,) = store.verify()
    assert (problem.code, problem.hard, problem.where.fact) == ("picture-missing", False, missing.id)


def test_a_picture_in_a_reading_or_in_a_correction_is_missed_too(store: Store) -> None:
    body = reading(1, picture="ab" * 32).body
    right = Corrected(target=reading(1).id, body=fault(2, "cd" * 32).body, reason="it leaks")  # type: ignore[arg-type]
    store.append([reading(1, picture="ab" * 32), fact_of(reading(2).id, "truck:7", NOW, "p-ana", right)])
    assert [problem.found for problem in store.verify()] == [f"no picture {'ab' * 8}…", f"no picture {'cd' * 8}…"]
    assert body == store.book(SEVEN)[0].fact.body


# ------------------------------------------------------------------------------------------------ set aside


def test_what_is_set_aside_is_kept_and_shown_until_it_is_settled(store: Store) -> None:
    kept = store.set_aside(reading(1), [HARD])
    assert store.set_aside(reading(1), []) == kept
    other = store.set_aside(reading(1, hours=2), [HARD, HARD])
    third = store.set_aside(reading(3), [HARD])
    assert store.set_aside_list() == (kept, other, third)
    assert store.verify() == ()
    assert store.books() == ()

    store.settle(kept.digest, "typed again by Bea", BEA)
    with pytest.raises(NotFound, match="waiting"):
        store.settle(kept.digest, "twice", BEA)
    with pytest.raises(NotFound, match="waiting"):
        store.settle("0" * 64, "never", BEA)
    store.append([reading(3)])
    settled = [item.settled for item in store.set_aside_list()]
    assert settled == ["typed again by Bea", None, "taken as fact 1 of truck:7"]
    assert store.set_aside_list()[0].problems == (HARD,)


def test_a_taken_id_does_not_settle_what_was_set_aside_for_it(store: Store) -> None:
    store.append([reading(1)])
    store.set_aside(reading(1, hours=2), [HARD])
    assert [item.settled for item in store.set_aside_list()] == [None]


def test_only_what_cannot_be_written_down_is_not_set_aside(store: Store) -> None:
    store.set_aside(reading(1, hours=Decimal("Infinity")), [HARD])
    assert store.set_aside_list()[0].fact.body == reading(1, hours=Decimal("Infinity")).body
    with pytest.raises(Refused):
        store.set_aside(reading(2, note=""), [HARD])
    assert len(store.set_aside_list()) == 1
    assert store.fact(FactId("none")) is None
