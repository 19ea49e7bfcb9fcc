"""The yard's own book: settings for the whole record, shifts and people from their day, cover of a walk-round."""

from __future__ import annotations

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from derive.builders import SHIFTS, ZONE, at, record
from dipmark.derive.yard import YardNow, covered_until, shift_now, telephone_now, yard_now

TICK = timedelta(microseconds=1)

SETTINGS = """
yard-set yard 2026-03-01T06:00:00+01:00 lead
  zone Europe/Berlin
  languages - de-DE

yard-set yard 2026-04-01T06:00:00+01:00 lead
  country DE
  name "Lower yard"
"""


def test_a_new_yard_has_no_country_and_no_shifts() -> None:
    assert yard_now((), at("2026-01-01")) == YardNow()
    assert YardNow().country is None


def test_settings_hold_for_the_whole_record_and_what_is_not_told_stays() -> None:
    yard = yard_now(record(SETTINGS), at("2020-01-01"))
    assert (yard.zone, yard.country, yard.name) == ("Europe/Berlin", "DE", "Lower yard")
    assert yard.languages == ("de-DE",)
    assert yard.units == "metric"


def test_shifts_hold_from_their_own_time() -> None:
    items = record(SHIFTS + "  closed - 2026-12-25\n")
    yard = yard_now(items, at("2026-01-01T00:00:00"))
    assert [shift.name for shift in yard.shifts] == ["early", "late", "night"]
    assert yard.closed == (date(2026, 12, 25),)
    assert yard_now(items, at("2026-01-01T00:00:00") - TICK).shifts == ()


def test_the_last_word_on_a_person_counts() -> None:
    people = """
person-set yard 2026-01-01T06:00:00+01:00 lead
  person ana
  roles - driver

person-set yard 2026-01-02T06:00:00+01:00 lead
  person ana
  roles - driver
  roles - mechanic

person-set yard 2026-01-02T06:00:00+01:00 lead
  person bob
  roles - lead

permit yard 2026-01-02T06:00:00+01:00 lead
  person bob
  what reach
"""
    yard = yard_now(record(people), at("2026-02-01"))
    assert yard.people["ana"].roles == ("driver", "mechanic")  # type: ignore[index]
    assert len(yard.people) == 2
    assert yard_now(record(people), at("2026-01-01T12:00")).people.keys() == {"ana"}


def _until(checked: str, shifts: str = SHIFTS) -> str:
    yard = yard_now(record(shifts), at("2026-12-31"))
    return covered_until(yard.shifts, at(checked), ZONE).astimezone(ZONE).isoformat()


@pytest.mark.parametrize(
    ("checked", "until"),
    [
        # Friday the 20th: early 6 to 14, late 14 to 22, no night shift.
        ("2026-11-20T04:59:59", "2026-11-20T06:00:00+01:00"),  # Thursday's night shift still runs
        ("2026-11-20T05:00:00", "2026-11-20T14:00:00+01:00"),  # an hour before the early shift is its own
        ("2026-11-20T06:00:00", "2026-11-20T14:00:00+01:00"),
        ("2026-11-20T12:59:59", "2026-11-20T14:00:00+01:00"),
        ("2026-11-20T13:00:00", "2026-11-20T22:00:00+01:00"),
        ("2026-11-20T21:59:59", "2026-11-20T22:00:00+01:00"),
        ("2026-11-20T22:00:00", "2026-11-21T00:00:00+01:00"),  # outside every shift: the local day
        ("2026-11-21T10:00:00", "2026-11-22T00:00:00+01:00"),
        # The night shift over midnight.
        ("2026-11-18T21:00:00", "2026-11-19T06:00:00+01:00"),
        ("2026-11-18T23:59:59", "2026-11-19T06:00:00+01:00"),
        ("2026-11-19T00:00:00", "2026-11-19T06:00:00+01:00"),
        # Over the change of the clocks, by the clock on the wall.
        ("2026-10-25T12:00:00", "2026-10-26T00:00:00+01:00"),
    ],
)
def test_a_walk_round_covers_its_shift_else_the_local_day(checked: str, until: str) -> None:
    assert _until(checked) == until


def test_without_a_pattern_it_covers_the_local_day() -> None:
    assert covered_until((), at("2026-11-20T00:00:00"), ZONE) == at("2026-11-21T00:00:00")
    assert covered_until((), at("2026-11-20T00:00:00") - TICK, ZONE) == at("2026-11-20T00:00:00")


@pytest.mark.parametrize(
    ("day", "last", "checked", "until"),
    [
        ("2026-03-28", 6, "2026-03-29T03:30:00+02:00", "2026-03-29T06:00:00+02:00"),
        ("2026-10-24", 6, "2026-10-25T02:30:00+02:00", "2026-10-25T06:00:00+01:00"),
        ("2026-10-24", 6, "2026-10-25T02:30:00+01:00", "2026-10-25T06:00:00+01:00"),
    ],
)
def test_a_night_shift_on_the_night_of_the_clock_change_ends_by_the_wall(
    day: str, last: int, checked: str, until: str
) -> None:
    nights = f"""
shift-pattern yard {day}T00:00:00+01:00 lead
  shifts - {{"name": "night", "days": [{last}], "start": "22:00:00", "end": "06:00:00"}}
"""
    assert _until(checked, nights) == until
    assert _until(at(checked).astimezone(ZoneInfo("UTC")).isoformat(), nights) == until


def test_a_shift_of_a_whole_day_ends_where_it_began() -> None:
    whole = """
shift-pattern yard 2026-01-01T00:00:00+01:00 lead
  shifts - {"name": "on call", "days": [5], "start": "06:00:00", "end": "06:00:00"}
"""
    assert _until("2026-11-20T07:00:00", whole) == "2026-11-21T06:00:00+01:00"


CALLED = """
yard-set yard 2026-01-01T00:00:00+01:00 lead
  telephone 900

shift-pattern yard 2026-01-01T00:00:00+01:00 lead
  shifts - {"name": "early", "days": [1, 2, 3, 4, 5], "start": "06:00:00", "end": "14:00:00", "telephone": "901"}
  shifts - {"name": "late", "days": [1, 2, 3, 4, 5], "start": "13:30:00", "end": "22:00:00", "telephone": "902"}
  shifts - {"name": "night", "days": [4], "start": "22:00:00", "end": "06:00:00"}
  closed - 2026-11-24
"""


@pytest.mark.parametrize(
    ("instant", "number", "shift"),
    [
        ("2026-11-20T05:59:59", "900", "night"),  # a shift without a number of its own: the yard's
        ("2026-11-20T06:00:00", "901", "early"),
        ("2026-11-20T13:29:59", "901", "early"),
        ("2026-11-20T13:30:00", "902", "late"),  # of two the one begun last
        ("2026-11-20T21:59:59", "902", "late"),
        ("2026-11-20T22:00:00", "900", None),
        ("2026-11-24T10:00:00", "900", None),  # closed
    ],
)
def test_whom_to_call_at_any_hour(instant: str, number: str, shift: str | None) -> None:
    yard = yard_now(record(CALLED), at("2026-11-20"))
    assert telephone_now(yard, at(instant), ZONE) == number
    worked = shift_now(yard, at(instant), ZONE)
    assert (worked and worked.shift.name) == shift


def test_a_night_shift_runs_into_a_closed_day() -> None:
    yard = yard_now(record(CALLED.replace("2026-11-24", "2026-11-20")), at("2026-11-20"))
    worked = shift_now(yard, at("2026-11-20T03:00:00"), ZONE)
    assert worked is not None
    assert (worked.day, worked.end) == (date(2026, 11, 19), at("2026-11-20T06:00:00"))
    assert shift_now(yard, at("2026-11-20T10:00:00"), ZONE) is None


def test_a_number_that_was_taken_back_is_called_no_more() -> None:
    gone = (
        CALLED
        + """
yard-set yard 2026-01-02T00:00:00+01:00 lead
  telephone ""
"""
    )
    yard = yard_now(record(gone), at("2026-11-20"))
    assert telephone_now(yard, at("2026-11-20T22:00:00"), ZONE) is None
    assert telephone_now(yard, at("2026-11-20T10:00:00"), ZONE) == "901"
    assert telephone_now(YardNow(), at("2026-11-20"), ZONE) is None
