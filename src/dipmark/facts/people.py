"""The yard's own book: where it lies, its shifts, its people and what they may do."""

from __future__ import annotations

from datetime import date, time
from typing import Annotated, Literal

import msgspec

from dipmark.facts.base import Body, BookId, Instant, Key, Part, PersonKey, Text

Weekday = Annotated[int, msgspec.Meta(ge=1, le=7)]
"""1 Monday to 7 Sunday, as in ISO 8601."""

LocalTime = Annotated[time, msgspec.Meta(tz=False)]
"""A time by the yard's own clock, without offset."""

Telephone = Annotated[str, msgspec.Meta(pattern=r"\A(\+?[0-9]( ?[0-9]){1,14})?\Z")]
"""A number as it is dialled: 2 to 15 digits, single blanks between them, a + in front; empty: none any more.

*Source*: ITU-T E.164, 15 digits at most; the value comes from memory.
"""


class YardSet(Body, frozen=True, tag="yard-set"):
    """Settings of the yard; what is None stays as it was.

    Args:
        zone: IANA time zone.
        country: ISO 3166 code, such as ``GB`` or ``CA-ON``; without one no legal duty is known.
        units: the units that screens and sheets show.
        languages: IETF tags, the first is the default.
        name: the yard's name.
        telephone: the number at which somebody who may release is reached at any hour; a duty telephone, not a
            person's.
    """

    zone: Key | None = None
    country: Annotated[str, msgspec.Meta(pattern=r"\A[A-Z]{2}(-[A-Z0-9]{1,3})?\Z")] | None = None
    units: Literal["metric", "us"] | None = None
    languages: tuple[Key, ...] | None = None
    name: Text | None = None
    telephone: Telephone | None = None


class Shift(Part, frozen=True):
    """A shift by local clock.

    Args:
        name: as the yard calls it.
        days: the weekdays on which it starts.
        start: by local clock.
        end: by local clock; at or before `start` it lies on the next day.
        telephone: the number at which somebody who may release is reached during it, where it has one of its own.
    """

    name: Key
    days: tuple[Weekday, ...]
    start: LocalTime
    end: LocalTime
    telephone: Telephone | None = None


class ShiftPattern(Body, frozen=True, tag="shift-pattern"):
    """The shifts worked from here on.

    Args:
        shifts: the shifts of a week.
        closed: days on which nobody works.
    """

    shifts: tuple[Shift, ...]
    closed: tuple[date, ...] = ()


class PersonSet(Body, frozen=True, tag="person-set"):
    """What a person does in the yard; the name is in the register.

    Args:
        person: who.
        roles: what he may do here.
        firm: the outside firm or agency he comes from.
        gone: True once he has left.
        skills: the kinds of work he can do, by id.
        shifts: the shifts he works, by name; empty: any.
        books: the trucks and items an outside person may see; empty: all that his roles allow.
    """

    person: PersonKey
    roles: tuple[Literal["driver", "mechanic", "lead", "auditor", "owner", "outside-mechanic", "examiner"], ...]
    firm: Key | None = None
    gone: bool = False
    skills: tuple[Key, ...] = ()
    shifts: tuple[Key, ...] = ()
    books: tuple[BookId, ...] = ()


class Permit(Body, frozen=True, tag="permit"):
    """A driver may drive a kind of truck.

    Args:
        person: the driver.
        what: the kind of truck.
        trained: day the training was completed.
        evaluated: day of the last evaluation.
        by: who trained or evaluated.
        until: last day, where the yard sets one.
        ends: the instant a day card ends with its shift.
        trainee_under: the named trainer of somebody still learning.
        certificate: what was seen of his training, such as its kind, number and date; whoever signs the fact saw it.
        withdrawn: why it no longer holds.
    """

    person: PersonKey
    what: Key
    trained: date | None = None
    evaluated: date | None = None
    by: PersonKey | None = None
    until: date | None = None
    ends: Instant | None = None
    trainee_under: PersonKey | None = None
    certificate: Text | None = None
    withdrawn: Text | None = None


class Familiarised(Body, frozen=True, tag="familiarised"):
    """A driver was led round one truck, and both confirm it.

    Args:
        person: the driver.
        truck: the truck's book.
        led_by: who led him.
    """

    person: PersonKey
    truck: BookId
    led_by: PersonKey
