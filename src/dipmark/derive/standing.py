"""Where a truck stands: all that the key board and the due list say of it, and until when it holds."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.due import Due
from dipmark.derive.duty import DutyNow
from dipmark.derive.faults import Card, FaultNow, Lock
from dipmark.derive.measures import Nearest
from dipmark.derive.state import State, WalkDone
from dipmark.facts.base import BookId, PersonKey, name_of
from dipmark.facts.custody import HeldBy
from dipmark.facts.truck import Enrolled, Retired


class Held(msgspec.Struct, frozen=True):
    """Who has the truck: the last word on it, and since when."""

    what: HeldBy
    by: PersonKey
    since: datetime


class Standing(msgspec.Struct, frozen=True, kw_only=True):
    """A truck at an instant, as far as the whole yard is concerned; small enough to be kept.

    It stays true until `state.holds_until` as long as no fact of the truck or of the yard is added and the rules stay.

    Args:
        book: its book.
        enrolled: what it is.
        hours: true hours of the last good reading of its first meter; None without one. Never projected.
        doubtful: how many meter readings do not agree with the others.
        faults: its faults; in what is kept only the open ones.
        cards: out-of-service cards that hang.
        locks: who is working on it.
        held: who has it; None: nobody has said.
        walk: its last walk-round.
        dues: its services.
        duties: its legal examinations.
        state: its state.
        alarms: what the lead hand should look into at once.
        worst: the measured value nearest its limit; None without one.
        retired: how and when it left, None while it is here.
    """

    book: BookId
    enrolled: Enrolled
    hours: Decimal | None
    doubtful: int
    faults: tuple[FaultNow, ...]
    cards: tuple[Card, ...]
    locks: tuple[Lock, ...]
    held: Held | None
    walk: WalkDone | None
    dues: tuple[Due, ...]
    duties: tuple[DutyNow, ...]
    state: State
    alarms: tuple[Because, ...]
    worst: Nearest | None = None
    retired: Retired | None = None

    @property
    def name(self) -> str:
        """Its number or name."""
        return name_of(self.book)

    @property
    def resting(self) -> bool:
        """True while it is laid up: nothing nags then, and all that fell due waits for the day it is woken."""
        return self.held is not None and self.held.what.who == "laid-up"


def kept_of(standing: Standing) -> Standing:
    """The part of a derived truck that is kept: closed faults and the record itself are left out."""
    told = {name: getattr(standing, name) for name in Standing.__struct_fields__}
    return Standing(**{**told, "faults": tuple(fault for fault in standing.faults if fault.open)})
