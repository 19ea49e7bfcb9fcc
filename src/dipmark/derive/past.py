"""What counts: a book's record with corrections applied, up to an instant, as known at a number."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, tzinfo
from typing import NewType, cast

import msgspec

from dipmark.derive.days import local_day
from dipmark.facts.amend import Corrected, PlainBody, Withdrawn
from dipmark.facts.base import Accepted, FactId, PersonKey
from dipmark.facts.truck import Enrolled


class Counted(msgspec.Struct, frozen=True):
    """A fact as it counts after all corrections known.

    Args:
        item: the fact as it was accepted.
        body: what it says now.
        happened: when, as it says now.
        whole_day: True where only the date is known.
        by: who says so, as it says now.
        effective: when it counts.
        amended: ids of the corrections that were applied.
    """

    item: Accepted
    body: PlainBody
    happened: datetime
    whole_day: bool
    by: PersonKey
    effective: datetime
    amended: tuple[FactId, ...] = ()

    @property
    def id(self) -> FactId:
        """The id of the fact itself."""
        return self.item.fact.id

    def day(self, zone: tzinfo) -> date:
        """The calendar day it is about: as written where only the date is known, else that of its effective time.

        Args:
            zone: the yard's; a date that was written down stays that date when the zone is set later.
        """
        return self.happened.date() if self.whole_day else local_day(self.effective, zone)

    @property
    def order(self) -> tuple[datetime, str]:
        """Facts are ordered by effective time, then by id."""
        return self.effective, self.item.fact.id


Counting = NewType("Counting", tuple[Counted, ...])
"""A record that has been through `past`, in order. Nothing judges any other."""


def past(record: Sequence[Accepted], as_of: datetime, known: int | None = None) -> Counting:
    """The facts of one book that count at an instant.

    A correction or withdrawal acts at its target's time as soon as it is known, whenever it was made; of several
    corrections the last made counts; a withdrawal can itself be withdrawn. The order of arrival changes nothing.
    A truck enrolled without a date counts from its book's first fact.

    Args:
        record: one book's facts.
        as_of: facts whose effective time is later are left out.
        known: facts with a higher number are left out; None: all are known.

    *Edge*: a fact effective exactly at as_of counts.
    """
    items = [item for item in record if known is None or item.seq <= known]
    corrections, gone = _amendments(items)
    counted = [_counted(item, corrections.get(item.fact.id)) for item in items if item.fact.id not in gone]
    facts = [one for one in counted if one is not None]
    first = min((one.effective for one in facts), default=as_of)
    placed = [_enrolled_from(one, first) if isinstance(one.body, Enrolled) else one for one in facts]
    return Counting(tuple(sorted((one for one in placed if one.effective <= as_of), key=lambda one: one.order)))


def enrolled_in(counting: Counting) -> Enrolled | None:
    """What the truck or item is, as it was last enrolled; None where it was not."""
    return next((one.body for one in reversed(counting) if isinstance(one.body, Enrolled)), None)


def _amendments(items: list[Accepted]) -> tuple[dict[FactId, tuple[FactId, Corrected]], set[FactId]]:
    """The correction that counts for each target, and the ids withdrawn; the last made speaks first."""
    made = [(item, body) for item in items if isinstance(body := item.fact.body, Corrected | Withdrawn)]
    corrections: dict[FactId, tuple[FactId, Corrected]] = {}
    gone: set[FactId] = set()
    for item, body in sorted(made, key=lambda one: (one[0].effective, one[0].fact.id), reverse=True):
        if item.fact.id in gone:
            continue
        if isinstance(body, Withdrawn):
            gone.add(body.target)
        else:
            corrections.setdefault(body.target, (item.fact.id, body))
    return corrections, gone


def _counted(item: Accepted, correction: tuple[FactId, Corrected] | None) -> Counted | None:
    fact = item.fact
    if isinstance(fact.body, Corrected | Withdrawn):
        return None
    body, happened, whole_day, by = cast("PlainBody", fact.body), fact.happened, fact.whole_day, fact.by
    amended: tuple[FactId, ...] = ()
    if correction is not None and type(correction[1].body) is type(body):
        amended, change = correction[:1], correction[1]
        body, by = change.body, change.by or by
        if change.happened is not None:
            happened, whole_day = change.happened, change.whole_day
    return Counted(item, body, happened, whole_day, by, min(happened, item.received), amended)


def _enrolled_from(one: Counted, first: datetime) -> Counted:
    """Enrolled counts from the day it was commissioned, without one from the book's first fact."""
    commissioned = one.body.commissioned if isinstance(one.body, Enrolled) else None
    if commissioned is None:
        return msgspec.structs.replace(one, effective=first)
    start = datetime.combine(commissioned, time(), tzinfo=one.happened.tzinfo)
    return msgspec.structs.replace(one, effective=min(start, one.effective))
