"""The workshop: what it has, who is away, and the plan that was published."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated

import msgspec

from dipmark.facts.base import Body, BookId, Key, Part, PersonKey, Text, Whole
from dipmark.facts.people import Weekday
from dipmark.facts.stock import Level
from dipmark.facts.work import Money

Days = Annotated[int, msgspec.Meta(ge=1, le=60)]


class Bays(Part, frozen=True):
    """Bays of one kind.

    Args:
        kind: such as ``pit`` or ``lift``.
        count: how many.
    """

    kind: Key
    count: Whole


class Wanted(Part, frozen=True):
    """Trucks the yard cannot do without in a shift.

    Args:
        what: their kind.
        trucks: so many have to be free to work.
        capacity_kg: of at least this capacity; None: of any.
        shift: its name; None: every shift.
    """

    what: Key
    trucks: Whole
    capacity_kg: Decimal | None = None
    shift: Key | None = None


class Outside(Part, frozen=True):
    """What an outside firm comes for.

    Args:
        firm: its name.
        work: services and examinations it does, by id.
        days: the weekdays on which it comes.
        minutes: of work it does on such a day.
    """

    firm: Key
    work: tuple[Key, ...]
    days: tuple[Weekday, ...]
    minutes: Whole


class Asks(Part, frozen=True):
    """What a job asks for besides time.

    Args:
        of: a service or an examination, or a kind of truck for all that is done to it, by id.
        bay: the kind of bay.
        skill: what whoever does it must have learnt.
        permit: the kind of truck he must be allowed to drive.
    """

    of: Key
    bay: Key | None = None
    skill: Key | None = None
    permit: Key | None = None


class WorkshopSet(Body, frozen=True, tag="workshop-set"):
    """What the workshop has from here on; what is None stays as it was.

    Args:
        minutes: of a shift that a mechanic has for planned work.
        overtime: minutes that may be added to a shift.
        set_up: minutes of each visit besides its work: fetching, washing, signing off.
        bays: bays there are.
        asks: what jobs ask for besides time.
        wanted: trucks the yard cannot do without.
        firms: outside firms that come.
        hour: what an hour costs in which a wanted truck is in the workshop, or stands out of service.
        extra: what an hour of overtime costs.
        level: per cent of the parts asked for that have to be there.
    """

    minutes: Whole | None = None
    overtime: Whole | None = None
    set_up: Whole | None = None
    bays: tuple[Bays, ...] | None = None
    asks: tuple[Asks, ...] | None = None
    wanted: tuple[Wanted, ...] | None = None
    firms: tuple[Outside, ...] | None = None
    hour: Money | None = None
    extra: Money | None = None
    level: Level | None = None


class Away(Body, frozen=True, tag="away"):
    """A person does not work on some days.

    Args:
        person: who.
        first: the first day.
        last: the last day.
        why: in a word; not of whom it is no business.
    """

    person: PersonKey
    first: date
    last: date
    why: Text | None = None


class PlannedVisit(Part, frozen=True):
    """Jobs of one truck in one stop.

    Args:
        truck: its book.
        jobs: ids of its services, examinations and faults, as the plan names them.
        day: on which the shift begins.
        shift: its name.
        person: the mechanic.
        firm: the outside firm in his place.
    """

    truck: BookId
    jobs: tuple[Key, ...]
    day: date
    shift: Key
    person: PersonKey | None = None
    firm: Key | None = None


class Planned(Body, frozen=True, tag="planned"):
    """The plan that people go by from here on.

    Args:
        first: its first day.
        days: how many.
        visits: all of it.
        note: anything else.
    """

    first: date
    days: Days
    visits: tuple[PlannedVisit, ...] = ()
    note: Text | None = None
