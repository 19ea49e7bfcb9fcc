"""The yard's own book: where it lies, its shifts, its people."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Final, Literal

import msgspec

from dipmark.derive.days import day_end, local_day
from dipmark.derive.past import past
from dipmark.facts.base import Accepted, PersonKey
from dipmark.facts.people import PersonSet, Shift, ShiftPattern, YardSet


class YardNow(msgspec.Struct, frozen=True):
    """Settings of the yard.

    Args:
        zone: IANA time zone.
        country: None: no legal duty is known.
        units: for screens and sheets.
        languages: the first is the default.
        name: the yard's name.
        shifts: worked at that instant; empty: no pattern is known.
        closed: closed days.
        people: what each person does.
    """

    zone: str = "UTC"
    country: str | None = None
    units: Literal["metric", "us"] = "metric"
    languages: tuple[str, ...] = ("en-GB",)
    name: str | None = None
    shifts: tuple[Shift, ...] = ()
    closed: tuple[date, ...] = ()
    people: dict[PersonKey, PersonSet] = {}


def yard_now(record: Sequence[Accepted], as_of: datetime) -> YardNow:
    """The yard as it was at an instant, as all now known says.

    Zone, country, units, languages and name are about how things are read and hold for the whole record, whenever
    they were set; shifts and people hold from the time of their fact.

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
    for one in past(record, as_of):
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
    ends: list[datetime] = []
    for start_day in (day - timedelta(days=1), day, day + timedelta(days=1)):
        for shift in shifts:
            start = datetime.combine(start_day, shift.start, tzinfo=zone).astimezone(UTC)
            end_day = start_day + timedelta(days=shift.end <= shift.start)
            end = datetime.combine(end_day, shift.end, tzinfo=zone).astimezone(UTC)
            if start_day.isoweekday() in shift.days and start - BEFORE_SHIFT <= checked.astimezone(UTC) < end:
                ends.append(end)
    return max(ends, default=day_end(day, zone))
