"""Look at the yard: every truck, or one, derived from the record as it stood at an instant."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from datetime import datetime

from dipmark.derive.days import local_day
from dipmark.derive.past import enrolled_in, past
from dipmark.derive.standing import Standing
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow, yard_now
from dipmark.facts.base import YARD, BookId, folded, name_of
from dipmark.facts.codec import book_code
from dipmark.facts.errors import NotFound
from dipmark.office.ahead import forecast, forecasts
from dipmark.office.open import Office
from dipmark.office.standings import standings
from dipmark.views.due_soon import DueRow, all_rows
from dipmark.views.expected import AskRow, ask_rows
from dipmark.views.log import LogRow, log_rows
from dipmark.views.truck import TruckPage, truck_page
from dipmark.views.yard import YardRow, yard_row


def trucks(
    office: Office, as_of: datetime, *, retired: bool = False, progress: Callable[[int, int], None] | None = None
) -> tuple[Standing, ...]:
    """Every truck enrolled at an instant, in the order of their numbers; derived anew only where something changed.

    Args:
        office: the yard.
        as_of: the instant.
        retired: True includes those that have left.
        progress: told how many of how many are derived.
    """
    found = standings(office, as_of, progress)
    return tuple(truck for truck in found if retired or truck.retired is None)


def truck(office: Office, name: str, as_of: datetime) -> TruckNow:
    """One truck by its number, as people write it.

    Raises:
        NotFound: none of that number is enrolled at that instant; the text names those that come near.
    """
    found = truck_now(office.book(book_of(office, name)), office.rules, _yard(office, as_of), office.zone, as_of)
    if found is None:
        raise NotFound(f"Truck {name} was not enrolled yet at {as_of.isoformat()}.")
    return found


def book_of(office: Office, name: str, sort: str = "truck") -> BookId:
    """The book of a truck or an item by its number or name, as people write it.

    Args:
        office: the yard.
        name: as written.
        sort: ``truck`` or ``item``.

    Raises:
        NotFound: none of that name is in the store; the text names those that come near.
    """
    books = {folded(name_of(book)): book for book in office.store.books() if book.startswith(f"{sort}:")}
    if folded(name) in books:
        return books[folded(name)]
    near = difflib.get_close_matches(folded(name), books, n=3)
    hint = f" Is it {' or '.join(name_of(books[one]) for one in near)}?" if near else ""
    raise NotFound(f"No {sort} {name} is enrolled.{hint}")


def _yard(office: Office, as_of: datetime) -> YardNow:
    return yard_now(office.book(YARD), as_of)


def as_of_or_now(office: Office, text: str | None) -> datetime:
    """The instant asked for; without one, now."""
    return office.clock() if text is None else office.instant(text)


def due_list(office: Office, as_of: datetime, progress: Callable[[int, int], None] | None = None) -> tuple[DueRow, ...]:
    """What falls due in the yard at an instant; see `views.due_soon`."""
    return due_rows(office, trucks(office, as_of, progress=progress), as_of)


def due_rows(office: Office, found: Sequence[Standing], as_of: datetime) -> tuple[DueRow, ...]:
    """What falls due of trucks that are derived already; see `views.due_soon`."""
    return all_rows(found, office.rules, forecasts(office, found, as_of), local_day(as_of, office.zone))


def to_read(office: Office, as_of: datetime) -> tuple[AskRow, ...]:
    """The trucks whose meters ought to be read, those first where it gains most; see `views.expected`."""
    return ask_rows(forecasts(office, trucks(office, as_of), as_of), office.rules.word)


def row_of(office: Office, name: str, as_of: datetime) -> YardRow:
    """The hook of one truck at an instant; see `views.yard`."""
    found = truck(office, name, as_of)
    return yard_row(found, office.rules, office.people.names(), as_of, office.zone)


def page_of(office: Office, name: str, as_of: datetime) -> TruckPage:
    """The page of one truck at an instant; see `views.truck`."""
    found = truck(office, name, as_of)
    seq, digest = office.store.heads()[found.book]
    code = book_code(seq, digest)
    ahead = forecast(office, found, as_of)
    return truck_page(found, office.rules, office.people.names(), as_of, office.zone, code, ahead)


def log_of(office: Office, name: str, as_of: datetime) -> tuple[LogRow, ...]:
    """The logbook of one truck up to an instant; see `views.log`."""
    record = office.book(book_of(office, name))
    counting = past(record, as_of)
    enrolled = enrolled_in(counting)
    kind = office.rules.kind(enrolled.what) if enrolled else None
    checks = {check.id: check.text for check in kind.checks} if kind else {}
    return log_rows(record, counting, office.people.names(), as_of, office.zone, office.rules.word, checks)
