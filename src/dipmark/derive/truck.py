"""One truck, derived from its book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo
from decimal import Decimal

import msgspec

from dipmark.derive.due import Due, due_now
from dipmark.derive.duty import DutyNow, duties_now, unfit_by
from dipmark.derive.faults import Card, FaultNow, Lock, cards_now, faults_now, locks_now
from dipmark.derive.meter import MeterLife, meters_of
from dipmark.derive.past import Counting, enrolled_in, past
from dipmark.derive.state import State, WalkDone, last_walk, options_of, state_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Accepted, BookId, PersonKey, name_of
from dipmark.facts.custody import HeldBy
from dipmark.facts.truck import Enrolled, Retired
from dipmark.rules.model import Rules


class Held(msgspec.Struct, frozen=True):
    """Who has the truck: the last word on it, and since when."""

    what: HeldBy
    by: PersonKey
    since: datetime


class TruckNow(msgspec.Struct, frozen=True):
    """Everything about one truck at an instant.

    Args:
        book: its book.
        enrolled: what it is.
        counting: the facts that count.
        meters: its hour meters.
        hours: true hours of the last good reading of its first meter; None without one. Never projected.
        faults: all its faults, open and closed.
        cards: out-of-service cards that hang.
        locks: who is working on it.
        held: who has it; None: nobody has said.
        walk: its last walk-round.
        dues: its services.
        duties: its legal examinations.
        state: its state.
        retired: how and when it left, None while it is here.
    """

    book: BookId
    enrolled: Enrolled
    counting: Counting
    meters: tuple[MeterLife, ...]
    hours: Decimal | None
    faults: tuple[FaultNow, ...]
    cards: tuple[Card, ...]
    locks: tuple[Lock, ...]
    held: Held | None
    walk: WalkDone | None
    dues: tuple[Due, ...]
    duties: tuple[DutyNow, ...]
    state: State
    retired: Retired | None = None

    @property
    def name(self) -> str:
        """Its number or name."""
        return name_of(self.book)


def truck_now(
    record: Sequence[Accepted], rules: Rules, yard: YardNow, zone: tzinfo, as_of: datetime, known: int | None = None
) -> TruckNow | None:
    """Derive one truck.

    Args:
        record: its book, whole.
        rules: of today.
        yard: the yard's settings at that instant.
        zone: the yard's time zone.
        as_of: the instant.
        known: judge by facts up to this number only; None: by all.

    Returns:
        The truck, or None where it was not enrolled yet.

    *Edge*: facts effective exactly at as_of count.
    """
    counting = past(record, as_of, known)
    enrolled = enrolled_in(counting)
    if enrolled is None:
        return None
    kind = rules.kind(enrolled.what)
    meters = meters_of(counting, zone)
    faults, cards = faults_now(counting, kind, zone), cards_now(counting)
    dues = due_now(counting, kind, meters, as_of, zone)
    walk = last_walk(counting, kind, yard, zone, rules.digest) if kind else None
    has = {*(options_of(counting, kind) if kind else enrolled.options or ()), *enrolled.uses}
    duties = duties_now(counting, enrolled.what, has, rules, yard.country, as_of, zone)
    examined = (*unfit_by(counting, zone), *(one.stops for one in duties if one.stops is not None))
    all_dues = (*dues, *(one.due for one in duties))
    return TruckNow(
        book=record[0].fact.book,
        enrolled=enrolled,
        counting=counting,
        meters=meters,
        hours=meters[0].hours,
        faults=faults,
        cards=cards,
        locks=locks_now(counting),
        held=_held(counting),
        walk=walk,
        dues=dues,
        duties=duties,
        state=state_now(kind, walk, faults, cards, all_dues, as_of, zone, examined),
        retired=next((one.body for one in counting if isinstance(one.body, Retired)), None),
    )


def _held(counting: Counting) -> Held | None:
    """The last word on who has it."""
    words = [Held(one.body, one.by, one.effective) for one in counting if isinstance(one.body, HeldBy)]
    return words[-1] if words else None
