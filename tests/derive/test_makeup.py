"""What hung on which truck: at, inside and outside every edge, from facts in any order."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.builders import ZONE, at, counting, fid
from dipmark.derive.makeup import Hung, Ran, hours_of_item, hung_of, makeup_at, ran
from dipmark.derive.meter import meters_of
from dipmark.derive.past import Counting
from dipmark.facts.base import BookId

SEVEN, EIGHT, CLAMP, FORKS = (BookId(one) for one in ("truck:7", "truck:8", "item:clamp", "item:forks"))


def enrolled(book: str, what: str = "attachment") -> str:
    return f"\nenrolled {book} 2026-01-01T06:00:00+01:00 lead\n  what {what}\n"


def fitted(truck: str, when: str, item: str = "clamp", rest: str = "") -> str:
    return f"\nfitted {truck} {when} lead\n  item item:{item}\n{rest}"


def removed(truck: str, when: str, item: str = "clamp", rest: str = "") -> str:
    return f"\nremoved {truck} {when} lead\n  item item:{item}\n{rest}"


def read(truck: str, when: str, hours: str) -> str:
    return f"\nmeter-read {truck} {when} lead\n  hours {hours}\n"


ON, OFF = "2026-02-01T08:00:00+01:00", "2026-02-03T08:00:00+01:00"
TRUCK = "enrolled {} 2026-01-01T06:00:00+01:00 lead\n  what engine-pneumatic-lpg\n"


def books(*texts: str) -> dict[BookId, Counting]:
    found = [counting(text) for text in texts]
    return {one[0].item.fact.book: one for one in found}


def stays(*texts: str) -> tuple[Hung, ...]:
    return hung_of(books(*texts))


@pytest.mark.parametrize(
    ("instant", "there"),
    [
        ("2026-02-01T07:59:59.999999", 0),
        ("2026-02-01T08:00:00", 1),
        ("2026-02-03T07:59:59.999999", 1),
        ("2026-02-03T08:00:00", 0),
    ],
)
def test_an_item_hangs_from_its_fitting_up_to_its_removal(instant: str, there: int) -> None:
    found = stays(TRUCK.format("truck:7") + fitted("truck:7", ON) + removed("truck:7", OFF))
    assert len(makeup_at(found, SEVEN, at(instant))) == there
    assert makeup_at(found, EIGHT, at(instant)) == ()


def test_fitted_elsewhere_it_has_left_the_truck_before_at_that_instant() -> None:
    later = "2026-02-02T08:00:00+01:00"
    first, second = stays(
        TRUCK.format("truck:7") + fitted("truck:7", ON) + removed("truck:7", OFF),
        TRUCK.format("truck:8") + fitted("truck:8", later),
    )
    assert (first.truck, first.end, first.moved) == (SEVEN, at(later), True)
    assert (second.truck, second.end, second.moved) == (EIGHT, None, False)


def test_fitted_twice_on_one_truck_is_one_stay_and_off_where_it_is_not_is_nothing() -> None:
    (only,) = stays(
        TRUCK.format("truck:7") + fitted("truck:7", ON, rest="  position front\n") + fitted("truck:7", OFF),
        TRUCK.format("truck:8") + removed("truck:8", OFF),
    )
    assert (only.start, only.end, only.position) == (at(ON), None, "front")


@pytest.mark.parametrize("gone", ["truck:7", "item:clamp"])
def test_what_leaves_the_yard_ends_what_hung(gone: str) -> None:
    left = f"\nretired {gone} {OFF} lead\n  how sold\n"
    found = stays(
        TRUCK.format("truck:7") + fitted("truck:7", ON) + (left if gone == "truck:7" else ""),
        enrolled("item:clamp") + (left if gone == "item:clamp" else ""),
        TRUCK.format("truck:8") + fitted("truck:8", ON, "forks"),
    )
    assert {(one.item, one.end) for one in found} == {(CLAMP, at(OFF)), (FORKS, None)}


RUNS = read("truck:7", "2026-02-01T08:00:00+01:00", "100.0") + read("truck:7", "2026-02-05T08:00:00+01:00", "140.0")


def hours(text: str) -> Ran:
    book = counting(TRUCK.format("truck:7") + text)
    (stay,) = hung_of({SEVEN: book})
    return ran(stay, meters_of(book, ZONE))


@pytest.mark.parametrize(
    ("text", "likely"),
    [
        (RUNS + fitted("truck:7", ON), "40.0"),  # it hangs there still: up to the last good reading
        (RUNS + fitted("truck:7", ON) + removed("truck:7", OFF), "20.0"),  # half of four days
        (RUNS + fitted("truck:7", ON) + removed("truck:7", "2026-02-09T08:00:00+01:00"), "40.0"),  # not projected
        (RUNS + fitted("truck:7", "2026-02-09T08:00:00+01:00"), "0.0"),
        (RUNS + fitted("truck:7", "2026-01-20T08:00:00+01:00"), None),  # nobody knows what the meter showed
        (RUNS + fitted("truck:7", "2026-01-20T08:00:00+01:00") + removed("truck:7", "2026-01-21T08:00:00+01:00"), None),
        (fitted("truck:7", ON), None),  # no reading at all
    ],
)
def test_hours_are_the_trucks_while_it_hung(text: str, likely: str | None) -> None:
    found = hours(text)
    assert found.likely == (None if likely is None else Decimal(likely))
    assert found.low <= (found.likely or found.low)
    assert found.high is None or found.high >= (found.likely or found.low)


def test_nothing_is_sure_of_a_truck_without_a_reading() -> None:
    assert hours(fitted("truck:7", ON)) == Ran(None, Decimal(0), None)


def test_hours_of_an_item_are_those_of_all_its_trucks() -> None:
    moved = "2026-02-03T08:00:00+01:00"
    seven = counting(TRUCK.format("truck:7") + RUNS + fitted("truck:7", ON))
    eight = counting(
        TRUCK.format("truck:8")
        + read("truck:8", moved, "10.0")
        + read("truck:8", "2026-02-04T08:00:00+01:00", "13.0")
        + fitted("truck:8", moved)
    )
    found = hung_of({SEVEN: seven, EIGHT: eight})
    meters = {SEVEN: meters_of(seven, ZONE), EIGHT: meters_of(eight, ZONE)}
    assert hours_of_item(CLAMP, found, meters).likely == Decimal("23.0")
    assert hours_of_item(FORKS, found, meters) == Ran()
    assert (Ran() + Ran(None, Decimal(1), None)) == Ran(None, Decimal(1), None)


def test_the_fact_that_ended_a_stay_is_named() -> None:
    (stay,) = stays(TRUCK.format("truck:7") + fitted("truck:7", ON) + removed("truck:7", OFF))
    assert (stay.fitted, stay.off) == (fid(2), fid(3))
