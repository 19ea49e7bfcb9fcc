from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from dipmark.facts.base import FIRST, RANK, YARD, Accepted, BookId, folded, iso_day, name_of, truck_book
from dipmark.facts.codec import fact_of
from dipmark.facts.meter import MeterRead
from facts.bodies import FACT

NOW = datetime(2026, 11, 20, 6, tzinfo=UTC)


@pytest.mark.parametrize("ahead", [timedelta(0), timedelta(hours=1), timedelta(days=-3)])
def test_what_counts_is_the_earlier_of_happened_and_received(ahead: timedelta) -> None:
    fact = fact_of(FACT, "truck:7", NOW + ahead, "ana", MeterRead(hours="1"))  # type: ignore[arg-type]
    item = Accepted(fact=fact, received=NOW, seq=1, prev=FIRST, digest=FIRST)
    assert item.effective == min(NOW, NOW + ahead)


def test_books_and_names() -> None:
    assert truck_book("a b") == "truck:a b"
    assert name_of(truck_book("7:8")) == "7:8"
    assert name_of(BookId("item:forks 3")) == "forks 3"
    assert name_of(YARD) == "yard"


@pytest.mark.parametrize(
    ("one", "other"),
    [("T 07", " t  07 "), ("STRASSE", "straße"), ("Ｔ７", "t7"), ("É", "e\u0301"), ("a\u00a0b", "A B")],
)
def test_names_that_people_take_for_the_same(one: str, other: str) -> None:
    assert folded(one) == folded(other)


def test_names_that_people_tell_apart() -> None:
    assert len({folded(name) for name in ("7", "07", "T7", "T-7", "T 7", "é", "e")}) == 7


def test_days_carry_their_weekday() -> None:
    days = [iso_day(date(2026, 11, 16) + timedelta(days=n)) for n in range(7)]
    assert [day[:3] for day in days] == ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
    assert days[6] == "Sun 2026-11-22"


def test_the_worst_comes_highest() -> None:
    assert sorted(RANK, key=RANK.__getitem__) == ["watch", "repair-by", "stop", "now"]
