"""Calendars as other programs read them: iCalendar, RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Final

import icalendar
import msgspec

OURS: Final = "-//dipmark//yard//EN"


class Entry(msgspec.Struct, frozen=True, kw_only=True):
    """Something on a day, or from one instant to another.

    Args:
        uid: the same for the same thing for ever.
        title: in one line.
        text: anything else.
        start: a day, or an instant with its zone.
        end: the last day, itself included, or the instant it ends.
        place: where.
        changed: when it was last changed; the later of two versions counts.
    """

    uid: str
    title: str
    text: str
    start: date | datetime
    end: date | datetime
    place: str = ""
    changed: datetime


def calendar(name: str, entries: Iterable[Entry], made: datetime) -> bytes:
    """A calendar of entries.

    Args:
        name: of the calendar.
        entries: in any order.
        made: when.
    """
    found = icalendar.Calendar()
    found.add("prodid", OURS)
    found.add("version", "2.0")
    found.add("method", "PUBLISH")
    found.add("name", name)
    found.add("x-wr-calname", name)
    for entry in sorted(entries, key=lambda one: one.uid):
        event = icalendar.Event()
        event.add("uid", entry.uid)
        event.add("dtstamp", made)
        event.add("last-modified", entry.changed)
        event.add("sequence", int(entry.changed.timestamp()) % 2**31)
        event.add("summary", entry.title)
        event.add("description", entry.text)
        if entry.place:
            event.add("location", entry.place)
        event.add("dtstart", entry.start)
        whole = not isinstance(entry.end, datetime)
        event.add("dtend", entry.end + timedelta(days=1) if whole else entry.end)
        event.add("transp", "TRANSPARENT" if whole else "OPAQUE")
        found.add_component(event)
    return bytes(found.to_ical())
