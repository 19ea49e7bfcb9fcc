"""The make-up of trucks: never on two at once, the same from any order of facts, hours neither made nor lost."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dipmark.derive.makeup import Ran, hours_of_item, hung_of, makeup_at
from dipmark.derive.meter import meters_of
from dipmark.derive.past import Counting, past
from dipmark.facts.base import FIRST, Body, BookId, Fact, FactId, PersonKey, Reading
from dipmark.facts.codec import accept
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled, Retired

pytestmark = pytest.mark.property

TRUCKS: Final = tuple(BookId(f"truck:{one}") for one in range(3))
ITEMS: Final = tuple(BookId(f"item:{one}") for one in "ab")
START: Final = datetime(2026, 1, 1, tzinfo=UTC)
STEPS: Final = 40

DEEDS: Final = st.lists(
    st.tuples(
        st.integers(1, STEPS),
        st.sampled_from(TRUCKS),
        st.sampled_from([*(Fitted(item=one) for one in ITEMS), *(Removed(item=one) for one in ITEMS)])
        | st.just(Retired(how="sold")),
    ),
    max_size=14,
)


def fact(number: int, book: BookId, hours: int, body: Body) -> Fact:
    when = START + timedelta(hours=hours)
    return Fact(
        id=FactId(f"00000000-0000-7000-8000-{number:012x}"), book=book, happened=when, by=PersonKey("p"), body=body
    )


def books(facts: list[Fact], as_of: datetime) -> dict[BookId, Counting]:
    received = START + timedelta(hours=STEPS + 1)
    found = {}
    for book in {one.book for one in facts}:
        own = [one for one in facts if one.book == book]
        found[book] = past([accept(one, received, seq, FIRST) for seq, one in enumerate(own, start=1)], as_of)
    return found


def told(deeds: list[tuple[int, BookId, Body]]) -> list[Fact]:
    return [fact(number, book, hours, body) for number, (hours, book, body) in enumerate(deeds, start=1)]


@given(DEEDS, st.randoms(use_true_random=False), st.integers(0, STEPS + 1))
def test_make_up_is_the_same_from_any_order_and_no_item_is_on_two_trucks(deeds, random, hours) -> None:  # type: ignore[no-untyped-def]
    facts, late = told(deeds), START + timedelta(hours=STEPS + 2)
    stays = hung_of(books(facts, late))
    random.shuffle(facts)
    assert hung_of(books(facts, late)) == stays
    instant = START + timedelta(hours=hours)
    on = [one.item for truck in TRUCKS for one in makeup_at(stays, truck, instant)]
    assert len(on) == len(set(on))
    for one in stays:
        assert one.end is None or one.start <= one.end
    # what was known by then says the same of that minute as what is known now, for nothing later tells of it
    then = hung_of(books(facts, instant))
    for truck in TRUCKS:
        known, later = makeup_at(then, truck, instant), makeup_at(stays, truck, instant)
        assert [one.fitted for one in known] == [one.fitted for one in later]


@given(st.lists(st.sampled_from(ITEMS), min_size=1, max_size=STEPS), st.lists(st.integers(0, 9), min_size=STEPS))
def test_the_hours_of_a_truck_are_those_of_what_hung_on_it_in_turn(turns, uses) -> None:  # type: ignore[no-untyped-def]
    truck, facts, hours = TRUCKS[0], [fact(0, TRUCKS[0], 0, Enrolled(what="reach"))], 0
    before: BookId | None = None
    for step, item in enumerate(turns):
        reading = Reading(hours=Decimal(hours))
        facts.append(fact(3 * step + 1, truck, 10 * step, MeterRead(hours=reading.hours)))
        if before not in {None, item}:
            facts.append(fact(3 * step + 2, truck, 10 * step, Removed(item=before)))
        facts.append(fact(3 * step + 3, truck, 10 * step, Fitted(item=item)))
        before, hours = item, hours + uses[step]
    facts.append(fact(3 * len(turns) + 1, truck, 10 * len(turns), MeterRead(hours=Decimal(hours))))
    late = START + timedelta(hours=10 * STEPS + 1)
    own = [accept(one, one.happened, seq, FIRST) for seq, one in enumerate(facts, start=1)]
    counting = past(own, late)
    stays, meters = hung_of({truck: counting}), {truck: meters_of(counting, UTC)}
    each = [hours_of_item(item, stays, meters) for item in ITEMS]
    total = sum(each, Ran())
    assert total.likely == hours
    assert all(one.likely is not None and 0 <= one.low <= one.likely for one in each)
    assert all(one.high is not None and one.high >= (one.likely or 0) for one in each)
