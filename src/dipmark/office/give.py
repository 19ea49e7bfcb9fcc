"""Hand the record out: as tables that `take` reads again, or in the plain-text notation."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Final, Literal

from dipmark.derive.past import Counted, past
from dipmark.facts.base import BookId, PersonKey, Reading, name_of
from dipmark.facts.meter import MeterRead
from dipmark.facts.notation import write
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.look import book_of
from dipmark.office.open import Office
from dipmark.office.standings import by_number, is_truck

Table = Literal["trucks", "readings", "services"]

HEADERS: Final[dict[Table, tuple[str, ...]]] = {
    "trucks": ("truck", "kind", "commissioned", "start hours", "serial", "built", "capacity kg", "place", "note"),
    "readings": ("truck", "date", "hours", "meter name", "by", "note"),
    "services": ("truck", "date", "service", "hours", "meter name", "by", "note"),
}


def give_table(office: Office, what: Table, as_of: datetime, names: Sequence[str] = ()) -> str:
    """Trucks, readings or services as a table with a header, comma separated.

    A whole day is written as a date; any other time to the second, with its offset, as in ISO 8601.

    Args:
        office: the yard.
        what: which.
        as_of: what counted at that instant, corrections applied.
        names: of trucks; empty means every one.
    """
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(HEADERS[what])
    people = office.people.names()
    for book in _books(office, names):
        for one in past(office.book(book), as_of):
            table.writerows(_rows(office, what, book, one, people))
    return out.getvalue()


def give_notation(office: Office, names: Sequence[str] = ()) -> str:
    """The whole record, or that of some trucks, in the plain-text notation."""
    books = _books(office, names) if names else sorted(office.store.books())
    return "\n".join(write(office.book(book)) for book in books)


def _books(office: Office, names: Sequence[str]) -> list[BookId]:
    if names:
        return [book_of(office, name) for name in names]
    return sorted((book for book in office.store.books() if is_truck(book)), key=by_number)


def _rows(
    office: Office, what: Table, book: BookId, one: Counted, people: dict[PersonKey, str]
) -> Iterator[tuple[str, ...]]:
    name, body = name_of(book), one.body
    local = one.happened.astimezone(office.zone)
    when = local.date().isoformat() if one.whole_day else local.isoformat(timespec="seconds")
    by = "" if one.by == "unnamed" else people.get(one.by, one.by)
    if what == "trucks" and isinstance(body, Enrolled):
        commissioned = body.commissioned.isoformat() if body.commissioned else ""
        built = str(body.built or "")
        start, capacity = _text(body.start_hours), _text(body.capacity_kg)
        yield (
            name,
            body.what,
            commissioned,
            start,
            body.serial or "",
            built,
            capacity,
            body.place or "",
            body.note or "",
        )
    elif what == "readings" and isinstance(body, MeterRead):
        yield name, when, _text(body.hours), _meter(body), by, body.note or ""
    elif what == "services" and isinstance(body, Worked):
        if body.services:
            hours, meter = (_text(body.meter.hours), _meter(body.meter)) if body.meter else ("", "")
            yield name, when, " + ".join(body.services), hours, meter, by, body.text or ""


def _meter(reading: MeterRead | Reading) -> str:
    return "" if reading.meter == "main" else reading.meter


def _text(number: Decimal | None) -> str:
    return "" if number is None else f"{number:f}"
