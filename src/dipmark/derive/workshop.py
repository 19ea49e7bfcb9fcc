"""The workshop: what it has, who is away, and the plan people go by."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

import msgspec

from dipmark.derive.past import past
from dipmark.facts.base import Accepted, PersonKey
from dipmark.facts.workshop import Away, Planned, WorkshopSet

USUAL = WorkshopSet(minutes=360, overtime=60, set_up=15, bays=(), asks=(), wanted=(), firms=(), level=95)
"""Where nobody has said anything: six hours of a shift for planned work, an hour more at most. Project rule."""


class PlanNow(msgspec.Struct, frozen=True):
    """The plan people go by.

    Args:
        plan: what it says.
        by: who published it.
        since: when.
    """

    plan: Planned
    by: PersonKey
    since: datetime


class WorkshopNow(msgspec.Struct, frozen=True):
    """The workshop at an instant.

    Args:
        told: what has been set, the rest as `USUAL`.
        away: who is away, past days as well.
        plan: the one published last; None: there was none yet.
    """

    told: WorkshopSet
    away: tuple[Away, ...]
    plan: PlanNow | None

    def works(self, person: PersonKey, day: date) -> bool:
        """Whether somebody is not away on a day; the first and the last day of an absence belong to it."""
        return not any(one.person == person and one.first <= day <= one.last for one in self.away)


def workshop_now(record: Sequence[Accepted], as_of: datetime) -> WorkshopNow:
    """The workshop at an instant, from the yard's book.

    Args:
        record: the yard's book.
        as_of: the instant.
    """
    told, away, plan = USUAL, [], None
    for one in past(record, as_of):
        body = one.body
        if isinstance(body, WorkshopSet):
            new = {name: value for name in body.__struct_fields__ if (value := getattr(body, name)) is not None}
            told = msgspec.structs.replace(told, **new)
        elif isinstance(body, Away):
            away.append(body)
        elif isinstance(body, Planned):
            plan = PlanNow(body, one.by, one.effective)
    return WorkshopNow(told, tuple(away), plan)
