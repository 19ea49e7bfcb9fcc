"""What lies ahead is kept for a day and a book; what is kept says what would be derived; kinds teach for a week."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal

import msgspec
import pytest

from demo.demo_yard import NOON, SEED
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.demo import make_demo
from dipmark.demo.pen import ZONE
from dipmark.derive.expected import Forecast
from dipmark.derive.truck import truck_now
from dipmark.derive.usage.many import learnt_from
from dipmark.facts.base import Accepted, BookId, truck_book
from dipmark.facts.errors import StoreError
from dipmark.facts.meter import MeterRead
from dipmark.office import ahead as module
from dipmark.office.ahead import forecast, forecasts
from dipmark.office.look import due_list, page_of, to_read, truck, trucks
from dipmark.office.open import Office


@pytest.fixture(name="office")
def _office() -> Iterator[Office]:
    now = datetime.fromisoformat(NOON).replace(tzinfo=ZONE)
    with open_store(":memory:", clock=lambda: now, create=True) as store:
        office = Office(store, read_rules(), lambda: now)
        make_demo(office, now, seed=SEED)
        yield office


@pytest.fixture(name="derived")
def _derived(monkeypatch: pytest.MonkeyPatch) -> list[BookId]:
    """The books derived since the list was last emptied."""
    books: list[BookId] = []
    derive = truck_now

    def counted(record: Sequence[Accepted], *rest: object) -> object:
        books.append(record[0].fact.book)
        return derive(record, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "truck_now", counted)
    return books


def ahead(office: Office, later: timedelta = timedelta()) -> dict[BookId, Forecast]:
    as_of = office.clock() + later
    return forecasts(office, trucks(office, as_of), as_of)


def test_kept_for_the_day_and_the_book(office: Office, derived: list[BookId]) -> None:
    first = ahead(office)
    assert sorted(derived) == sorted(first)
    derived.clear()
    assert ahead(office, timedelta(minutes=1)) == first
    assert derived == []
    read = office.fact(truck_book("7"), MeterRead(hours=Decimal("9300.0")), office.clock())
    office.append([read])
    assert ahead(office).keys() == first.keys()
    assert derived == [truck_book("7")]
    derived.clear()
    ahead(office, timedelta(days=1))
    assert len(derived) == len(first)


def test_what_is_kept_is_what_one_truck_says_and_the_pages_show_it(office: Office) -> None:
    now = office.clock()
    found = ahead(office)
    for book in (truck_book("2"), truck_book("6")):
        assert forecast(office, truck(office, book.partition(":")[2], now), now) == found[book]
    rows = {(row.truck, row.service): row for row in due_list(office, now)}
    page = {row.service: row for row in page_of(office, "2", now).due}
    assert page["450h"].expected == rows["2", "450h"].expected
    assert page["450h"].expected is not None
    asked = {book for book, one in found.items() if any(each.ask for each in one.dues.values())}
    assert {truck_book(row.truck) for row in to_read(office, now)} == asked


def test_a_past_instant_is_derived_and_not_kept(office: Office, derived: list[BookId]) -> None:
    ahead(office, timedelta(days=-100))
    derived.clear()
    ahead(office, timedelta(days=-100))
    assert derived


def test_looking_does_not_fail_because_nothing_can_be_written(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_kept: object) -> None:
        raise StoreError("disk full")

    monkeypatch.setattr(office.store.kept, "keep", full)
    assert ahead(office)


def test_a_kind_with_enough_trucks_teaches_for_a_week(
    office: Office, monkeypatch: pytest.MonkeyPatch, derived: list[BookId]
) -> None:
    monkeypatch.setattr(module, "FEWEST", 2)
    taught: list[int] = []
    learn = learnt_from

    def counted(lives: list[tuple[object, object]], *rest: object) -> object:
        taught.append(len(lives))
        return msgspec.structs.replace(learn(lives, *rest), trucks=len(lives))  # type: ignore[arg-type]

    monkeypatch.setattr(module, "learnt_from", counted)
    ahead(office)
    assert taught
    assert min(taught) >= 2
    kinds = len(taught)
    ahead(office, timedelta(days=6))
    assert len(taught) == kinds
    ahead(office, timedelta(days=7))
    assert len(taught) == 2 * kinds


def test_holidays_of_the_country_and_the_patterns_of_the_yard_make_its_calendar(office: Office) -> None:
    calendar = module._calendar(office, office.clock(), office.clock().date())
    assert date(2026, 12, 25) in calendar.closed
    assert calendar.weeks
    assert calendar.weeks[-1].hours[6] == 0
