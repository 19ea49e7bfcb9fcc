"""The fact, the accepted fact, the book: everything that a record is made of."""

from __future__ import annotations

import unicodedata
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Final, Literal, NewType

import msgspec

from dipmark.facts.said import Word, says

FactId = NewType("FactId", str)
"""A UUID in its 36 lower-case characters, made where the fact was recorded."""

BookId = NewType("BookId", str)
"""``yard``, ``truck:NAME`` or ``item:NAME``."""

PersonKey = NewType("PersonKey", str)
"""The key of a person; the name belonging to it stands in the register, outside the chain."""

FaultRef = NewType("FaultRef", str)
"""A fault: the id of its fact, or ``ID#CHECK`` for an answer of a walk-round."""

YARD: Final = BookId("yard")
UNNAMED: Final = PersonKey("unnamed")

Seriousness = Literal["now", "stop", "repair-by", "watch"]
"""How serious a fault is: don't start · out of service · repair by a date · watch."""

RANK: Final[dict[Seriousness, int]] = {"watch": 0, "repair-by": 1, "stop": 2, "now": 3}

Text = Annotated[str, msgspec.Meta(min_length=1, max_length=4000)]
Key = Annotated[str, msgspec.Meta(min_length=1, max_length=120)]
Digest = Annotated[str, msgspec.Meta(pattern=r"\A[0-9a-f]{64}\Z")]
Instant = Annotated[datetime, msgspec.Meta(tz=True)]
Whole = Annotated[int, msgspec.Meta(ge=0, lt=10**9)]
"""A whole number from 0 to 999,999,999."""


class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A part of a body; strict like the body itself."""


class Body(Part, frozen=True, tag_field="kind"):
    """What a fact says. Every kind is a subclass with its own tag."""


class Reading(Part, frozen=True):
    """Hours read off a meter while something else was recorded.

    Args:
        hours: as shown on the meter, in hours; the last digit written is what the meter shows.
        meter: the name of the meter on that truck.
    """

    hours: Decimal
    meter: Key = "main"


class Value(Part, frozen=True):
    """A value read off an instrument.

    Args:
        quantity: what was measured, such as ``fork-heel`` or ``tyre-pressure``.
        value: as read; the last digit written is the instrument's resolution.
        unit: as in `facts.units`.
        place: where on the truck, such as ``left``.
        resolution: the step it was read in, where that is not the last digit written, as with a rule in sixteenths.
    """

    quantity: Key
    value: Decimal
    unit: Key
    place: Key | None = None
    resolution: Decimal | None = None


class Fact(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Something that somebody saw or did.

    Args:
        id: made where it was recorded; the same id with the same content is the same fact.
        book: the thing it is about.
        happened: when, with its offset. For a whole day the first instant of that local day.
        whole_day: True where only the date is known.
        by: who says so.
        body: what.
    """

    id: FactId
    book: BookId
    happened: Instant
    by: PersonKey
    body: Body
    whole_day: bool = False


class Origin(Part, frozen=True):
    """Where a merged fact came from.

    Args:
        seq: its number in its first home.
        digest: its digest there.
    """

    seq: Whole
    digest: Digest


class Accepted(msgspec.Struct, frozen=True, kw_only=True):
    """A fact with its place in the chain of its book.

    Args:
        fact: the fact.
        received: when the store took it.
        seq: its number in the book, from 1, without gaps.
        prev: digest of the fact before it; 64 zeros for the first.
        digest: SHA-256 over the stored bytes of header and body.
        origin: set where it was merged from another store.
    """

    fact: Fact
    received: Instant
    seq: int
    prev: Digest
    digest: Digest
    origin: Origin | None = None

    @property
    def effective(self) -> datetime:
        """When it counts: the earlier of happened and received, so that a clock ahead hides nothing."""
        return min(self.fact.happened, self.received)


FIRST: Final[str] = "0" * 64
"""The digest before the first fact of a book."""


def truck_book(name: str) -> BookId:
    """The book of a truck.

    Args:
        name: its number or name as enrolled.

    Example:
        >>> truck_book("7")
        'truck:7'
    """
    return BookId(f"truck:{name}")


def name_of(book: BookId) -> str:
    """The name of the thing that a book is about.

    Args:
        book: ``yard``, ``truck:NAME`` or ``item:NAME``.

    Example:
        >>> name_of(BookId("truck:7")), name_of(YARD)
        ('7', 'yard')
    """
    return book.partition(":")[2] or book


def folded(name: str) -> str:
    """A name as people compare it: case, spaces and width do not matter.

    Args:
        name: as somebody wrote it.

    Example:
        >>> folded("  T 07 ") == folded("t  07")
        True
    """
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


WEEKDAYS: Final = tuple(says(day) for day in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))


def iso_day(day: date, word: Word = str) -> str:
    """A date with its weekday, as screens and sheets show it.

    Args:
        day: a local day.
        word: says a word in the reader's language.

    Example:
        >>> iso_day(date(2026, 11, 20))
        'Fri 2026-11-20'
    """
    return f"{word(WEEKDAYS[day.weekday()])} {day.isoformat()}"
