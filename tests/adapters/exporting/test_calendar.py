"""Calendars, read back by a parser of another hand, and by what RFC 5545 demands of every line."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import vobject

from dipmark.adapters.exporting.calendar import Entry, calendar

MADE = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)
ZONE = ZoneInfo("Europe/London")
BEGIN = datetime(2026, 12, 1, 6, 15, tzinfo=ZONE)
ODD = "filter; seal, 2 × \\ “long” " + "ñ" * 90 + "\nsecond line"

ENTRIES = (
    Entry(uid="b@yard", title="Truck 7: 150h", text=ODD, start=date(2026, 12, 3), end=date(2026, 12, 3), changed=MADE),
    Entry(
        uid="a@yard",
        title="Truck 9",
        text="",
        start=BEGIN,
        end=BEGIN + timedelta(minutes=55),
        place="Ann Bell",
        changed=MADE,
    ),
)


def test_another_parser_reads_what_was_written() -> None:
    read = vobject.readOne(calendar("Workshop", ENTRIES, MADE).decode())
    first, second = read.vevent_list
    assert (read.version.value, first.uid.value, second.uid.value) == ("2.0", "a@yard", "b@yard")
    assert (first.dtstart.value, first.dtend.value) == (BEGIN, BEGIN + timedelta(minutes=55))
    assert (first.location.value, first.transp.value) == ("Ann Bell", "OPAQUE")
    assert (second.summary.value, second.description.value) == ("Truck 7: 150h", ODD)
    # An all-day event ends on the day after, RFC 5545 3.6.1
    assert (second.dtstart.value, second.dtend.value) == (date(2026, 12, 3), date(2026, 12, 4))
    assert second.dtstamp.value == MADE
    assert int(second.sequence.value) == int(MADE.timestamp()) % 2**31


def test_lines_end_and_fold_as_the_standard_asks() -> None:
    """RFC 5545 3.1: lines end in CR LF and ought not to be longer than 75 octets, line break left out."""
    data = calendar("Workshop", ENTRIES, MADE)
    lines = data.split(b"\r\n")
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    for name in (b"PRODID", b"VERSION", b"UID", b"DTSTAMP", b"DTSTART"):
        assert any(line.startswith(name) for line in lines)


def test_the_same_entries_make_the_same_bytes_in_any_order() -> None:
    assert calendar("Workshop", ENTRIES, MADE) == calendar("Workshop", ENTRIES[::-1], MADE)


def test_nothing_planned_is_a_calendar_all_the_same() -> None:
    assert b"BEGIN:VEVENT" not in calendar("Workshop", (), MADE)
