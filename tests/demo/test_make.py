"""The invented yard holds at any instant: every state, every kind of fact, nothing that a record may not hold."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from demo.demo_yard import INSTANTS, NOON, SEED, instant, rules, yard_at
from dipmark.demo import demo_facts, make_demo
from dipmark.demo.pen import ZONE
from dipmark.derive.admit import admit
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import FIRST, YARD, Accepted, BookId
from dipmark.facts.codec import faults_of
from dipmark.facts.errors import Refused
from dipmark.facts.fault import Released
from dipmark.facts.kinds import KINDS, kind_of
from dipmark.facts.notation import parse, write
from dipmark.facts.work import Worked, WorkEnded
from dipmark.office.open import Office, open_office

STATES = {
    "1": "checked",
    "2": "checked",
    "3": "restricted",
    "4": "out-of-service",
    "5": "out-of-service",
    "6": "not-checked",
    "7": "not-checked",
    "8": "checked",
}


@pytest.mark.parametrize("text", INSTANTS)
def test_every_state_is_there_among_trucks_with_rules(text: str) -> None:
    trucks = yard_at(text).trucks
    assert {name: trucks[name].state.code for name in STATES} == STATES
    assert {truck.state.code for name, truck in trucks.items() if name not in STATES} == {"not-checked"}
    assert len(trucks["6"].locks) == 1
    assert [name for name, truck in trucks.items() if truck.retired] == ["14"]


@pytest.mark.parametrize("text", INSTANTS)
def test_services_stand_in_every_way(text: str) -> None:
    trucks = yard_at(text).trucks
    short = {name: next(due.state for due in trucks[name].dues if due.service == "150h") for name in STATES}
    calendar_mark = short.pop("3")
    assert calendar_mark in {"due", "open"}  # after a short month no day lies a day behind a month's mark
    assert short == {
        "1": "later",
        "2": "open",
        "4": "late",
        "5": "later",
        "6": "open",
        "7": "due",
        "8": "unknown",
    }


@pytest.mark.parametrize("text", INSTANTS)
def test_every_kind_of_fact_occurs_and_none_is_unfit(text: str) -> None:
    yard = yard_at(text)
    assert {kind_of(one.fact.body) for one in yard.written} == set(KINDS)
    assert [problem for one in yard.written[::7] for problem in faults_of(one.fact)] == []
    assert len({one.fact.id for one in yard.written}) == len(yard.written)


@pytest.mark.parametrize("text", INSTANTS)
def test_everything_was_received_by_now_and_in_order(text: str) -> None:
    yard = yard_at(text)
    received = [one.received for one in yard.written]
    assert received == sorted(received)
    assert received[-1] <= yard.as_of
    assert received[0] > yard.as_of - timedelta(days=733)


def test_each_fact_fits_the_record_before_it() -> None:
    """What refers to nothing is admitted without deriving the truck: only its book matters."""
    refers = (Released, Worked, WorkEnded, Corrected, Withdrawn)
    books: dict[BookId, list[Accepted]] = {}
    soft = []
    for one in yard_at(NOON).written:
        fact, record = one.fact, books.setdefault(one.fact.book, [])
        truck = None
        if record and fact.book.startswith("truck:") and isinstance(fact.body, refers):
            truck = truck_now(record, rules(), yard_now(books[YARD], one.received), ZONE, one.received)
        problems = admit(fact, truck, tuple(record), one.received)
        assert [problem for problem in problems if problem.hard] == []
        soft += [problem.code for problem in problems]
        record.append(Accepted(fact=fact, received=one.received, seq=len(record) + 1, prev=FIRST, digest=FIRST))
    assert soft == ["in-the-future"]


def test_the_same_seed_and_instant_make_the_same_record_byte_for_byte() -> None:
    first = yard_at(NOON)
    again, pen = demo_facts(instant(NOON), SEED, rules())
    assert write(one.fact for one in again) == write(one.fact for one in first.written)
    assert again == first.written
    assert pen.names == first.pen.names
    assert pen.blobs == first.pen.blobs


def test_another_seed_makes_another_record_with_the_same_states() -> None:
    other = yard_at(NOON, 7)
    assert {one.fact.id for one in other.written}.isdisjoint(one.fact.id for one in yard_at(NOON).written)
    assert {name: other.trucks[name].state.code for name in STATES} == STATES


@pytest.mark.property
def test_it_holds_at_instants_drawn_by_chance() -> None:
    rng = Random(SEED)
    for _ in range(6):
        moment = datetime(2023, 1, 1, tzinfo=UTC) + timedelta(minutes=rng.randrange(1600 * 1440))
        text = moment.astimezone(ZONE).replace(tzinfo=None).isoformat()
        trucks = yard_at(text, rng.randrange(10**6)).trucks
        assert {name: trucks[name].state.code for name in STATES} == STATES, text


def test_the_record_goes_through_the_notation() -> None:
    facts = tuple(one.fact for one in yard_at(NOON).written)
    parsed = parse(write(facts))
    assert parsed.problems == ()
    assert parsed.facts == facts


@pytest.fixture
def office() -> Office:
    return open_office(":memory:", create=True, clock=lambda: instant(NOON))


def test_an_empty_store_is_filled_and_verifies(office: Office) -> None:
    told: list[tuple[int, int]] = []
    assert office.yard.zone == "UTC"
    count = make_demo(office, instant(NOON), progress=lambda done, of: told.append((done, of)))
    assert told == [(0, count), (count, count)]
    assert sum(len(office.store.book(book)) for book in office.store.books()) == count
    assert office.store.verify() == ()
    assert office.yard.country == "GB"
    assert "Ruth Ashby" in office.people.names().values()
    assert office.store.heads()[YARD][1] == yard_at(NOON).books[YARD][-1].digest


def test_without_anybody_watching_it_is_filled_all_the_same(office: Office) -> None:
    assert make_demo(office, instant(NOON), seed=3) > 2000


def test_a_store_with_facts_is_left_alone(office: Office) -> None:
    make_demo(office, instant(NOON))
    heads = office.store.heads()
    with pytest.raises(Refused, match="expected an empty store") as refusal:
        make_demo(office, instant(NOON))
    assert [problem.code for problem in refusal.value.problems] == ["store-not-empty"]
    assert office.store.heads() == heads


@pytest.mark.parametrize("year", [1979, 2151])
def test_an_instant_out_of_range_is_refused(office: Office, year: int) -> None:
    with pytest.raises(Refused, match="expected a year from 1980 to 2150"):
        make_demo(office, datetime(year, 6, 1, tzinfo=UTC))
    assert office.store.books() == ()


@pytest.mark.parametrize("year", [1980, 2150])
def test_the_first_and_last_year_can_be_made(year: int) -> None:
    written, _ = demo_facts(datetime(year, 6, 1, 12, tzinfo=UTC), SEED, rules())
    assert [problem for one in written for problem in faults_of(one.fact)] == []
