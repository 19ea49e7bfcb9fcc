"""What falls due: hours and months, whichever first, counted from the last time it was done."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import Final, Literal, TypeVar

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.called import call_for, done_whole
from dipmark.derive.days import add_months, local_day
from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counted, Counting, enrolled_in
from dipmark.facts.base import FactId
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Kind, Service

_T = TypeVar("_T", Decimal, date)

DueState = Literal["later", "open", "due", "late", "unknown"]

WALK_ROUND: Final = "8h"
"""The service that a walk-round is."""

DELIVERY: Final = Decimal(25)
"""A truck commissioned with at most so many hours on its meter came new. Common practice, no source."""

NO_RULES: Final = says("this kind of truck has no rules yet")
NEVER_DONE: Final = says("no {} is in the record: say when it was last done")
COUNTED: Final = says("counted from {}")
COUNTED_AT: Final = says("counted from {} at {} h")
DONE: Final = says("{} on {}")
WALKED: Final = says("walk-round")
CAME_NEW: Final = says("new on {}")

_ORDER: Final[dict[DueState, int]] = {"unknown": -1, "later": 0, "open": 1, "due": 2, "late": 3}


class Due(msgspec.Struct, frozen=True):
    """One service of one truck.

    Args:
        service: its id; None where the kind of truck has no rules and no service is known.
        state: `later` before it opens, `open` from then to under due, `due` from due up to and including latest,
            `late` after it, by hours or by date, whichever is worse; `unknown` where its history is not known.
        because: why, and what it was counted from.
        hours: true hours at which it is due.
        opens: true hours from which it may be done.
        latest: true hours up to and including which it is still in time.
        day: the calendar limit.
        opens_day: the first day it may be done.
        latest_day: the last day it is still in time.
        now: true hours of the last good reading.
        last: the fact it was last done by.
        start: true hours it is counted from.
    """

    service: str | None
    state: DueState
    because: Because
    hours: Decimal | None = None
    opens: Decimal | None = None
    latest: Decimal | None = None
    day: date | None = None
    opens_day: date | None = None
    latest_day: date | None = None
    now: Decimal | None = None
    last: FactId | None = None
    start: Decimal | None = None


class _Start(msgspec.Struct, frozen=True):
    """What a service is counted from."""

    fact: FactId
    day: date
    hours: Decimal | None
    text: str


def due_now(
    counting: Counting,
    kind: Kind | None,
    meters: tuple[MeterLife, ...],
    as_of: datetime,
    zone: tzinfo,
    word: Word = str,
    uses: Collection[str] = (),
) -> tuple[Due, ...]:
    """Every service of a truck, shortest first.

    Args:
        counting: the truck's record.
        kind: its rules; None: every service it has ever had is `unknown`.
        meters: its hour meters.
        as_of: the instant.
        zone: the yard's, for calendar limits.
        word: says a sentence in the reader's language.
        uses: how it is used where it is now, beside what was said of it as it was enrolled.

    A service that something calls for is there from then until it is done whole: late at once, or within its hours
    where it has some, or open while the truck is laid up still. A service done once is asked for only of a truck that
    came new, until it is done or the next longer one falls due.

    *Edge*: exactly at its opening it is `open`, exactly at its mark `due`, and so it is up to and including its latest
    hour and day; then it is `late`.
    *Source*: `Window` of the rules; hours and months, whichever first: common practice, no source.
    """
    if kind is None:
        named = {name for one in counting if isinstance(one.body, Worked) for name in one.body.services}
        services: list[str | None] = [*sorted(named)] or [None]
        why = Because(word(NO_RULES), "due.no-rules")
        return tuple(Due(service, "unknown", why) for service in services)
    enrolled = enrolled_in(counting)
    asked = kind.services_for(kind.fitted(enrolled.options, enrolled.fuel) if enrolled else kind.fitted(None))
    found = (
        _due(service, asked, kind, counting, meters, as_of, zone, word, (*uses, *(enrolled.uses if enrolled else ())))
        if service.after is None
        else _called(service, kind, counting, meters, zone, word)
        for service in asked
    )
    return tuple(due for due in found if due is not None)


def _due(
    service: Service,
    asked: tuple[Service, ...],
    kind: Kind,
    counting: Counting,
    meters: tuple[MeterLife, ...],
    as_of: datetime,
    zone: tzinfo,
    word: Word,
    uses: Collection[str],
) -> Due | None:
    life = meter_of(service, kind, meters)
    start, done = _start(service, kind, counting, life, zone, word)
    now = life.hours if life else None
    if service.once and (done or start is None or _outrun(service, asked, now, start.hours)):
        return None
    if start is None:
        text = word(NEVER_DONE).format(service.id)
        return Due(service.id, "unknown", Because(text, f"due.{service.id}", service.source), now=now)
    factor, window = service.factor(uses), kind.window(service)
    hours = opens = latest = None
    if start.hours is not None and service.interval_hours is not None:
        interval = service.interval_hours * factor
        hours = _mark(start.hours, interval, window.early_hours(interval)) if service.grid else start.hours + interval
        opens, latest = hours - window.early_hours(interval), hours + window.late_hours(interval)
    day = opens_day = latest_day = None
    if service.months is not None:
        whole = (add_months(start.day, service.months) - start.day).days
        length = int(whole * factor)
        day = add_months(start.day, service.months) if factor == 1 else start.day + timedelta(days=length)
        opens_day = day - timedelta(days=int(length * window.early_percent / 100))
        latest_day = day + timedelta(days=int(length * window.late_percent / 100))
    by_hours = _place(now, opens, hours, latest)
    by_day = _place(local_day(as_of, zone), opens_day, day, latest_day)
    because = Because(_counted(start, word), f"due.{service.id}", service.source, (start.fact,))
    state = max(by_hours, by_day, key=_ORDER.__getitem__)
    return Due(
        service.id, state, because, hours, opens, latest, day, opens_day, latest_day, now, start.fact, start.hours
    )


def _called(
    service: Service, kind: Kind, counting: Counting, meters: tuple[MeterLife, ...], zone: tzinfo, word: Word
) -> Due | None:
    """A service that something calls for; None where nothing has, or it was done after it."""
    call = call_for(service.after, counting, kind, zone, word) if service.after else None
    if call is None or any(one.order > call.one.order and done_whole(one.body, service) for one in counting):
        return None
    why = Because(call.text, f"due.{service.id}", service.source, (call.one.id,))
    if call.waits:
        return Due(service.id, "open", why)
    if service.interval_hours is not None:
        life, window = meter_of(service, kind, meters), kind.window(service)
        start, now = _hours(call.one, life), life.hours if life else None
        if start is None:
            return Due(service.id, "due", why, now=now)
        hours = start + service.interval_hours
        opens, latest = hours - window.early_hours(service.interval_hours), hours
        return Due(service.id, _place(now, opens, hours, latest), why, hours, opens, latest, now=now, start=start)
    return Due(service.id, "late", why, day=call.one.day(zone))


def _counted(start: _Start, word: Word) -> str:
    if start.hours is None:
        return word(COUNTED).format(start.text)
    return word(COUNTED_AT).format(start.text, f"{start.hours:f}")


def _mark(done: Decimal, interval: Decimal, early: Decimal) -> Decimal:
    """The next fixed mark of the meter: what was done from the opening of a mark on has served that mark."""
    return ((done + early) // interval + 1) * interval


def _place(now: _T | None, opens: _T | None, due: _T | None, latest: _T | None) -> DueState:
    if now is None or opens is None or due is None or latest is None:
        return "unknown"
    if now < opens:
        return "later"
    if now < due:
        return "open"
    return "due" if now <= latest else "late"


def meter_of(service: Service, kind: Kind, meters: tuple[MeterLife, ...]) -> MeterLife | None:
    """The meter whose hours a service counts. One that nobody has named is taken for the kind's usual one.

    Args:
        service: which.
        kind: of the truck.
        meters: the truck's.
    """
    usual = next(iter(kind.meters), None)
    for counts in kind.meters if service.meter is None else (service.meter,):
        for life in meters:
            if (life.counts or usual) == counts:
                return life
    return None


def _start(
    service: Service, kind: Kind, counting: Counting, life: MeterLife | None, zone: tzinfo, word: Word
) -> tuple[_Start | None, bool]:
    """The last time the service was done, else the day the truck came new; and whether it was ever done."""
    restarts = {higher.id for higher in kind.services if holds(kind, higher, service)}
    for one in reversed(counting):
        done = _done(one, service, restarts)
        if done is not None:
            day, what = one.day(zone), word(WALKED) if done == WALKED else done
            return _Start(one.id, day, _hours(one, life), word(DONE).format(what, day.isoformat())), True
    for one in counting:
        body = one.body
        if isinstance(body, Enrolled) and body.commissioned and body.start_hours is not None:
            if body.start_hours <= DELIVERY and service.id != WALK_ROUND:
                text = word(CAME_NEW).format(body.commissioned.isoformat())
                return _Start(one.id, body.commissioned, _hours(one, life), text), False
    return None, False


def holds(kind: Kind, higher: Service, service: Service) -> bool:
    """Whether a service counts for another: it includes it, or has every one of its tasks, in whatever rhythm.

    Args:
        kind: of the truck.
        higher: the one that was done.
        service: the one asked about.
    """
    tasks = {task.id for task in kind.all_tasks(higher)}
    return higher == service or service.id in higher.includes or tasks >= set(service.tasks)


def _outrun(service: Service, asked: tuple[Service, ...], now: Decimal | None, start: Decimal | None) -> bool:
    """Whether a service done once has lost its turn: the next longer one that comes back has fallen due instead."""
    hours = [one.interval_hours for one in asked if one.interval_hours is not None and not one.once]
    longer = [one for one in hours if service.interval_hours is not None and one > service.interval_hours]
    return now is not None and start is not None and any(now - start >= one for one in longer)


def _done(one: Counted, service: Service, restarts: set[str]) -> str | None:
    body = one.body
    if isinstance(body, WalkRound):
        return WALKED if service.id == WALK_ROUND else None
    if isinstance(body, Worked) and not set(service.tasks) & set(body.left_out):
        return next((name for name in body.services if name in restarts), None)
    return None


def _hours(one: Counted, life: MeterLife | None) -> Decimal | None:
    """True hours when it was done: the reading in the fact where it is good, else the last good one before."""
    if life is None:
        return None
    own = life.hours_of(one.id)
    return own if own is not None else life.hours_at(one.effective)
