"""The yard's own book: where it lies, its shifts, its people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Final, Literal

import msgspec

from dipmark.derive.days import day_end, local_day
from dipmark.derive.past import past
from dipmark.derive.places import places_now
from dipmark.facts.base import Accepted, PersonKey
from dipmark.facts.people import PersonSet, Shift, ShiftPattern, YardSet
from dipmark.facts.place import PlaceSet


class YardNow(msgspec.Struct, frozen=True):
    """Settings of the yard.

    Args:
        zone: IANA time zone.
        country: None: no legal duty is known.
        units: for screens and sheets.
        languages: the first is the default.
        name: the yard's name.
        telephone: at which somebody who may release is reached at any hour; None or empty: none is known.
        shifts: worked at that instant; empty: no pattern is known.
        closed: closed days.
        people: what each person does.
        places: what is known of each place, by name.
    """

    zone: str = "UTC"
    country: str | None = None
    units: Literal["metric", "us"] = "metric"
    languages: tuple[str, ...] = ("en-GB",)
    name: str | None = None
    telephone: str | None = None
    shifts: tuple[Shift, ...] = ()
    closed: tuple[date, ...] = ()
    people: dict[PersonKey, PersonSet] = {}
    places: dict[str, PlaceSet] = {}


def yard_now(record: Sequence[Accepted], as_of: datetime) -> YardNow:
    """The yard as it was at an instant, as all now known says.

    Zone, country, units, languages, name and telephone are about how things are read, and whom to call today: they hold
    for the whole record, whenever they were set. Shifts, people and places hold from the time of their fact.

    Args:
        record: the yard's book.
        as_of: the instant.
    """
    latest = max((item.received for item in record), default=as_of)
    yard = YardNow()
    for one in past(record, max(latest, as_of)):
        if isinstance(one.body, YardSet):
            told = {name: value for name in YardSet.__struct_fields__ if (value := getattr(one.body, name)) is not None}
            yard = msgspec.structs.replace(yard, **told)
    counting = past(record, as_of)
    yard = msgspec.structs.replace(yard, places=places_now(counting))
    for one in counting:
        if isinstance(one.body, ShiftPattern):
            yard = msgspec.structs.replace(yard, shifts=one.body.shifts, closed=one.body.closed)
        elif isinstance(one.body, PersonSet):
            yard = msgspec.structs.replace(yard, people={**yard.people, one.body.person: one.body})
    return yard


BEFORE_SHIFT: Final = timedelta(hours=1)
"""A walk-round done at most so long before a shift begins is that shift's. Common practice, no source."""


def covered_until(shifts: Sequence[Shift], checked: datetime, zone: tzinfo) -> datetime:
    """Until when a walk-round covers: the end of its shift, without a pattern or outside it the end of the local day.

    Args:
        shifts: the pattern.
        checked: when the walk-round was done.
        zone: the yard's.

    *Edge*: at the returned instant it no longer covers.
    """
    day = local_day(checked, zone)
    instant = checked.astimezone(UTC)
    ends = [one.end for one in _worked(shifts, day, zone) if one.start - BEFORE_SHIFT <= instant < one.end]
    return max(ends, default=day_end(day, zone))


class ShiftWorked(msgspec.Struct, frozen=True):
    """A shift on one day: what it is, the day it starts on, from when to when."""

    shift: Shift
    day: date
    start: datetime
    end: datetime


def _worked(shifts: Sequence[Shift], day: date, zone: tzinfo) -> Iterator[ShiftWorked]:
    """The shifts that start the day before, on that day, or the day after."""
    for start_day in (day - timedelta(days=1), day, day + timedelta(days=1)):
        for shift in shifts:
            if start_day.isoweekday() in shift.days:
                start = datetime.combine(start_day, shift.start, tzinfo=zone).astimezone(UTC)
                end_day = start_day + timedelta(days=shift.end <= shift.start)
                end = datetime.combine(end_day, shift.end, tzinfo=zone).astimezone(UTC)
                yield ShiftWorked(shift, start_day, start, end)


def shift_now(yard: YardNow, instant: datetime, zone: tzinfo) -> ShiftWorked | None:
    """The shift that is worked at an instant; of two the one begun last; None between shifts and on closed days.

    Args:
        yard: its pattern and closed days.
        instant: when.
        zone: the yard's.

    *Edge*: at its start it is worked, at its end no longer; a shift begun before a closed day is worked to its end.
    """
    worked = [
        one
        for one in _worked(yard.shifts, local_day(instant, zone), zone)
        if one.day not in yard.closed and one.start <= instant < one.end
    ]
    return max(worked, key=lambda one: one.start, default=None)


def telephone_now(yard: YardNow, instant: datetime, zone: tzinfo) -> str | None:
    """The number at which somebody who may release is reached: that of the shift worked, else the yard's.

    Args:
        yard: the yard then.
        instant: when.
        zone: the yard's.

    Returns:
        The number as it is dialled; None where none is known.
    """
    worked = shift_now(yard, instant, zone)
    return (worked and worked.shift.telephone) or yard.telephone or None
