"""Hits and near misses: what was released after them, what ran in between, and whether the seal holds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

import msgspec

from dipmark.derive.called import done_whole
from dipmark.derive.duty import PROVES
from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FIRST, Accepted, FactId, FaultRef
from dipmark.facts.codec import book_code, digest_of, encode_body, read_book_code
from dipmark.facts.document import Document
from dipmark.facts.fault import Released
from dipmark.facts.incident import Incident
from dipmark.rules.model import Service


class Hit(msgspec.Struct, frozen=True):
    """A hit, a near miss or worse.

    Args:
        one: the fact, as it counts.
        body: what it says.
        released: the release that came after it; None: none has.
        looked: the list that was ticked off whole after it; None: none was.
        examined: the first report after it that proves a duty and finds it fit; None: there is none.
        ran: hours the truck has surely run between it and its release, or since, in h.
        sealed: True where the record up to it is as it was sealed, False where it is not; None: nobody sealed it.
    """

    one: Counted
    body: Incident
    released: FactId | None
    looked: FactId | None
    examined: FactId | None
    ran: Decimal
    sealed: bool | None


def hits_of(
    record: Sequence[Accepted], counting: Counting, meters: Sequence[MeterLife], lists: Sequence[Service] = ()
) -> tuple[Hit, ...]:
    """Every hit and near miss of a truck, the latest first.

    Args:
        record: its book, whole.
        counting: what counts of it.
        meters: its hour meters.
        lists: what a hit calls for, of its kind of truck.

    *Edge*: a release made at the very instant of a hit does not clear it. Hours are the least that good readings
    prove; what the roundings of the readings leave open is not counted.
    *Source*: 29 CFR 1910.178(p)(1): out of service until restored, so that no hours lie between.
    """
    found = [(one, one.body) for one in counting if isinstance(one.body, Incident)]
    return tuple(_hit(one, body, record, counting, meters, lists) for one, body in reversed(found))


def _hit(
    one: Counted,
    body: Incident,
    record: Sequence[Accepted],
    counting: Counting,
    meters: Sequence[MeterLife],
    lists: Sequence[Service],
) -> Hit:
    later = (after for after in counting if isinstance(after.body, Released) and after.effective > one.effective)
    released = next((after for after in later if _clears(after.body, one)), None)
    until = None if released is None else released.effective
    ran = max((_ran(life, one.effective, until) for life in meters), default=Decimal(0))
    sealed = None if body.seal is None else seal_holds(body.seal, record)
    after = [later for later in counting if later.order > one.order]
    return Hit(
        one,
        body,
        None if released is None else released.id,
        next((done.id for done in after if any(done_whole(done.body, asked) for asked in lists)), None),
        next((paper.id for paper in after if _finds_fit(paper.body)), None),
        ran,
        sealed,
    )


def _finds_fit(body: object) -> bool:
    """Whether it is a report that proves a duty and does not say that the truck is unfit."""
    if not isinstance(body, Document) or body.what not in PROVES or body.fit is False:
        return False
    return any(line.duty is not None for line in body.lines)


def _clears(body: object, one: Counted) -> bool:
    return isinstance(body, Released) and (not body.clears or FaultRef(one.id) in body.clears)


def _ran(life: MeterLife, since: datetime, until: datetime | None) -> Decimal:
    """Hours that a meter has surely run between two instants; without the second up to its last good reading."""
    start = life.sure_at(since)
    end = None if until is None else life.sure_at(until)
    low = life.hours if until is None else None if end is None else end.low
    return Decimal(0) if start is None or low is None else max(low - start.high, Decimal(0))


def seal_holds(seal: str, record: Sequence[Accepted]) -> bool:
    """Whether a book still begins as it stood when it was sealed.

    Later facts, corrections and withdrawals among them, change nothing: they stand behind it. A byte changed, taken
    out or put in before it breaks the seal.

    Args:
        seal: the code of the book then, as `facts.codec.book_code` writes it.
        record: the book as it is now.
    """
    told = read_book_code(seal)
    if told is None or not 1 <= told[0] <= len(record):
        return False
    before = FIRST
    for item in record[: told[0]]:
        if item.prev != before or digest_of(item, encode_body(item.fact.body)) != item.digest:
            return False
        before = item.digest
    return book_code(told[0], before) == seal
