"""What a truck costs: labour, money and standstill for its hours, and whether to keep it for another year."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Final

import msgspec

from dipmark.derive.cost import EconomicLife, NextYear, Year, economic_life, next_year
from dipmark.derive.days import local_day
from dipmark.derive.faults import cards_now
from dipmark.derive.lessons.watched import Watched
from dipmark.derive.past import Counting
from dipmark.derive.yard import YardNow
from dipmark.facts.base import FactId, FaultRef
from dipmark.facts.document import Document
from dipmark.facts.fault import OutOfService, Released
from dipmark.facts.incident import Incident
from dipmark.facts.work import Worked

YEAR: Final = timedelta(days=365)

Span = tuple[datetime, datetime]
"""From, and up to but not including."""


class YearSpent(msgspec.Struct, frozen=True, kw_only=True):
    """A year of a truck, counted back from the day it is looked at.

    Args:
        start: its first instant.
        hours: worked in it.
        minutes: labour written down.
        costs: money written down, by currency.
        jobs: how much work was written down.
        unpriced: how much of it without money.
    """

    start: datetime
    hours: float
    minutes: float
    costs: dict[str, float]
    jobs: int
    unpriced: int


class Priced(msgspec.Struct, frozen=True):
    """What a truck costs new.

    Args:
        price: in `currency`.
        rate: interest a year, 0.1 for 10 %.
        currency: the one in which upkeep is written down.
        loses: the share of its value that it loses each year; 1: it is worth nothing after the first.
    """

    price: float
    rate: float
    currency: str
    loses: float = 1.0


class Life(msgspec.Struct, frozen=True):
    """What a truck costs a year by years kept, and whether to keep it for another."""

    kept: EconomicLife
    next: NextYear


class Upkeep(msgspec.Struct, frozen=True, kw_only=True):
    """What a truck takes. Terms are those of EN 13306 and EN 15341, from memory.

    Args:
        truck: its number.
        kind: its kind.
        years: the last year, as far as it is in the record, then the whole years before it.
        span: days told of in the rest, at most a year.
        required: hours in which it was wanted: shifts, or the whole day where no shift pattern is known.
        by_shift: True where `required` is by shifts.
        down: hours of those in which it was out of service.
        availability: share of the required hours in which it was not.
        stops: times it was taken out of service.
        restore: mean hours by the clock until it was back; None without a stop.
        life: what it costs a year by years kept; None where no price was given, a whole year is without money, or its
            first years are not in the record.
        because: facts of the stops.
    """

    truck: str
    kind: str
    years: tuple[YearSpent, ...]
    span: float
    required: float
    by_shift: bool
    down: float
    availability: float
    stops: int
    restore: float | None
    life: Life | None
    because: tuple[FactId, ...]


def upkeep(
    trucks: Sequence[Watched], yard: YardNow, as_of: datetime, zone: tzinfo, priced: Priced | None = None
) -> tuple[Upkeep, ...]:
    """What every truck took in the last year, and in the years before.

    Args:
        trucks: all of the yard.
        yard: its shifts, as they are worked now.
        as_of: the instant.
        zone: the yard's.
        priced: what a new one costs; None: nothing is said of keeping or replacing.
    """
    shifts: dict[tuple[datetime, datetime], list[Span]] = {}
    found = []
    for one in trucks:
        begin = max(one.since, as_of - YEAR)
        if begin < as_of:
            wanted = shifts.setdefault((begin, as_of), _required(yard, begin, as_of, zone))
            found.append(_upkeep(one, begin, as_of, wanted, priced))
    return tuple(found)


def _upkeep(one: Watched, begin: datetime, as_of: datetime, wanted: Sequence[Span], priced: Priced | None) -> Upkeep:
    stops = [(start, end, fact) for start, end, fact in stopped(one, as_of) if end > begin]
    down = _joined([(max(start, begin), end) for start, end, _ in stops])
    required = sum(_hours(span) for span in wanted)
    lost = sum(_hours(span) for span in _both(down, wanted))
    years = tuple(_years(one, as_of))
    return Upkeep(
        truck=one.name,
        kind=one.kind,
        years=years,
        span=(as_of - begin) / timedelta(days=1),
        required=required,
        by_shift=wanted != [(begin, as_of)],
        down=lost,
        availability=1 - lost / required if required else 1.0,
        stops=len(down),
        restore=sum(_hours(span) for span in down) / len(down) if down else None,
        life=_life(one, years, priced) if priced is not None else None,
        because=tuple(fact for _, _, fact in stops),
    )


def stopped(one: Watched, as_of: datetime) -> Iterator[tuple[datetime, datetime, FactId]]:
    """When a truck was out of service: from, to, and the fact that stopped it. Spans may overlap.

    Args:
        one: the truck.
        as_of: until then where it still is.

    A fault that stops it counts until the release, a card likewise; one to be mended by a day from the end of that day.
    """
    at = {fact.id: fact.effective for fact in one.truck.counting}
    for fault in one.truck.faults:
        over = fault.released if fault.stops else fault.mended
        end = as_of if over is None else at[over]
        begin = fault.since if fault.stops else fault.due
        if begin is not None and begin < end:
            yield begin, end, fault.fact
    acts = [fact for fact in one.truck.counting if isinstance(fact.body, OutOfService | Incident | Released)]
    hanging: dict[FaultRef, datetime] = {}
    for index, fact in enumerate(acts):
        now = {card.ref: card.since for card in cards_now(Counting(tuple(acts[: index + 1])))}
        for ref in [ref for ref in hanging if ref not in now]:
            yield hanging.pop(ref), fact.effective, FactId(ref)
        hanging |= now
    yield from ((since, as_of, FactId(ref)) for ref, since in hanging.items() if since < as_of)


def _joined(spans: Sequence[Span]) -> list[Span]:
    """Spans that touch or overlap, put together."""
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(joined[-1][1], end)
        else:
            joined.append((start, end))
    return joined


def _both(some: Sequence[Span], others: Sequence[Span]) -> Iterator[Span]:
    """What lies in both."""
    for start, end in some:
        for begin, until in others:
            if begin < end and until > start:
                yield max(start, begin), min(end, until)


def _hours(span: Span) -> float:
    return (span[1] - span[0]) / timedelta(hours=1)


def _required(yard: YardNow, begin: datetime, end: datetime, zone: tzinfo) -> list[Span]:
    """The shifts between two instants; without a pattern the whole time."""
    if not yard.shifts:
        return [(begin, end)]
    spans: list[Span] = []
    day, last = local_day(begin, zone) - timedelta(days=1), local_day(end, zone)
    while day <= last:
        for shift in yard.shifts:
            if day.isoweekday() in shift.days and day not in yard.closed:
                ends = day + timedelta(days=shift.end <= shift.start)
                spans.append((_at(day, shift.start, zone), _at(ends, shift.end, zone)))
        day += timedelta(days=1)
    return list(_both(_joined(spans), [(begin, end)]))


def _at(day: date, clock: time, zone: tzinfo) -> datetime:
    return datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)


def _years(one: Watched, as_of: datetime) -> Iterator[YearSpent]:
    """Year for year back to the first work or fault in the record; but for the last only whole ones."""
    end, counting = as_of, one.truck.counting
    told = {fact.body.document for fact in counting if isinstance(fact.body, Worked)}
    spent = [
        (fact.effective, body)
        for fact in counting
        if isinstance(body := fact.body, Worked)
        or (isinstance(body, Document) and body.what == "job-sheet" and fact.id not in told)
    ]
    while end == as_of or end - YEAR >= one.since:
        yield _year(one, end - YEAR, end, [body for at, body in spent if end - YEAR < at <= end])
        end -= YEAR


def _year(one: Watched, begin: datetime, end: datetime, bodies: Sequence[Worked | Document]) -> YearSpent:
    costs: dict[str, float] = {}
    for body in bodies:
        if body.cost is not None:
            costs[body.cost.currency] = costs.get(body.cost.currency, 0.0) + float(body.cost.amount)
    return YearSpent(
        start=begin,
        hours=one.odometer.at(end) - one.odometer.at(begin),
        minutes=float(sum(body.minutes or 0 for body in bodies)),
        costs=costs,
        jobs=len(bodies),
        unpriced=sum(body.cost is None for body in bodies),
    )


def _life(one: Watched, years: Sequence[YearSpent], priced: Priced) -> Life | None:
    """By the whole years in the record, the oldest first; the next is taken to cost as much as the last."""
    whole = [year for year in reversed(years) if year.start >= one.since]
    known = [cost for year in whole if (cost := year.costs.get(priced.currency)) is not None]
    if not one.from_new or not known or len(known) < len(whole):
        return None
    value = [priced.price * (1 - priced.loses) ** at for at in range(1, len(known) + 2)]
    life = economic_life(priced.price, [Year(*pair) for pair in zip(value, known, strict=False)], priced.rate)
    return Life(life, next_year(value[-2], Year(value[-1], known[-1]), priced.rate, life.least))
