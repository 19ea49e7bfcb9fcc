"""What stands at the head of every printed page: which sheet, which truck, whose yard, the code of the book."""

from __future__ import annotations

from datetime import datetime, tzinfo

import msgspec

from dipmark.derive.truck import TruckNow
from dipmark.facts.base import BookId
from dipmark.rules.model import Rules
from dipmark.views.service_sheet import ServiceSheet
from dipmark.views.words import hours, moment


class Head(msgspec.Struct, frozen=True, kw_only=True):
    """The head of a page.

    Args:
        yard: name of the yard; None: it has none.
        book: the book whose code it is.
        code: number and digest of that book.
        when: as of when, by the yard's clock.
        rules: version of the rules.
        truck: number of the truck; None: the sheet is about the whole yard.
        kind: its kind for people.
        place: where it works.
    """

    yard: str | None
    book: BookId
    code: str
    when: str
    rules: str
    truck: str | None = None
    kind: str | None = None
    place: str | None = None


class ServicePaper(msgspec.Struct, frozen=True, kw_only=True):
    """The sheet of a service on paper.

    Args:
        head: of its pages.
        sheet: what is to be done.
        hours: of the last good reading.
    """

    head: Head
    sheet: ServiceSheet
    hours: str


def service_paper(truck: TruckNow, sheet: ServiceSheet, head: Head) -> ServicePaper:
    """The sheet of a service with its head.

    Args:
        truck: as it stands.
        sheet: of that truck.
        head: of its pages.
    """
    return ServicePaper(head=head, sheet=sheet, hours=hours(truck.hours))


def yard_head(book: BookId, code: str, yard: str | None, rules: Rules, as_of: datetime, zone: tzinfo) -> Head:
    """The head of a sheet about the whole yard.

    Args:
        book: whose code stands on it.
        code: of that book.
        yard: name of the yard.
        rules: of today.
        as_of: the instant it speaks of.
        zone: the yard's.
    """
    return Head(yard=yard, book=book, code=code, when=moment(as_of, zone, rules.word), rules=rules.version)


def truck_head(truck: TruckNow, code: str, yard: str | None, rules: Rules, as_of: datetime, zone: tzinfo) -> Head:
    """The head of a sheet about one truck; see `yard_head` for the arguments."""
    kind = rules.kind(truck.enrolled.what)
    held = truck.held.what.place if truck.held else None
    return msgspec.structs.replace(
        yard_head(truck.book, code, yard, rules, as_of, zone),
        truck=truck.name,
        kind=kind.text if kind else truck.enrolled.what,
        place=held or truck.enrolled.place,
    )


def shortened(text: str, most: int) -> str:
    """A text of at most so many characters; what is left out of its middle shows as three points.

    Args:
        text: on one line afterwards.
        most: characters, above 9.

    Example:
        >>> shortened("oil under the mast", 12), shortened("horn", 12)
        ('oil … mast', 'horn')
    """
    line = " ".join(text.split())
    if len(line) <= most:
        return line
    head, tail = line[: (most - 3) // 3], line[-((most - 3) - (most - 3) // 3) :]
    return f"{head.rpartition(' ')[0] or head} … {tail.partition(' ')[2] or tail}"
