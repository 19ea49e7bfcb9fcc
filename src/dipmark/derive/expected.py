"""When what falls due is expected to: services by hours or by the calendar, whichever first, and parts that wear."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, tzinfo
from decimal import Decimal

import msgspec

from dipmark.derive.due import WALK_ROUND, Due, meter_of
from dipmark.derive.measures import latest
from dipmark.derive.trend.line import Trend
from dipmark.derive.truck import TruckNow
from dipmark.derive.usage.calendar import Calendar, laid_up
from dipmark.derive.usage.prior import Prior
from dipmark.derive.usage.usage import Ask, Dates, Usage, usage_of
from dipmark.derive.wear import wear_of
from dipmark.facts.base import BookId
from dipmark.rules.model import Rules


class Expected(msgspec.Struct, frozen=True):
    """When something is expected to fall due.

    Args:
        early: not before: one time in ten it is.
        about: as likely before as after.
        late: by: one time in ten it is later.
        ask: where the meter ought to be read first.

    None: not within five years. A day of the calendar is three times the same.
    """

    early: date | None
    about: date | None
    late: date | None
    ask: Ask | None = None


class Worn(msgspec.Struct, frozen=True):
    """A part that wears, and when its trend reaches the limit. For ordering only: the limit decides.

    Args:
        name: the measurement.
        places: where on the truck.
        item: the item measured; None: the truck.
        low: hours of the meter at which the limit may be reached; one time in ten it is earlier.
        middle: as likely before as after.
        high: one time in ten later; None: not in sight.
        expected: the days of these hours.
    """

    name: str
    places: tuple[str, ...]
    item: BookId | None
    low: Decimal
    middle: Decimal
    high: Decimal | None
    expected: Expected


class Pace(msgspec.Struct, frozen=True):
    """How fast the hours of a truck run, as far as people are told.

    Args:
        per_week: hours a week, in the mean of the next four.
        readings: so many it rests on.
        changed: the day it took up another job; None: none was seen.
    """

    per_week: float
    readings: int
    changed: date | None


class Forecast(msgspec.Struct, frozen=True):
    """What lies ahead of one truck.

    Args:
        pace: how fast its hours run; None: no good reading, or laid up.
        dues: by service or duty; what is due, late or not known is not in it.
        worn: parts whose trend reaches their limit.
    """

    pace: Pace | None
    dues: dict[str, Expected]
    worn: tuple[Worn, ...]


def forecast_of(
    truck: TruckNow, rules: Rules, calendar: Calendar, prior: Prior, as_of: datetime, zone: tzinfo
) -> Forecast:
    """What lies ahead of a truck.

    Args:
        truck: as it stands at that instant.
        rules: of today.
        calendar: of the yard, holidays among its closed days.
        prior: of the truck's kind.
        as_of: the instant.
        zone: the yard's.

    *Edge*: laid up, nothing runs and nothing is foretold by hours; a calendar day stays the day it is.
    """
    own = msgspec.structs.replace(calendar, laid=laid_up(truck.counting, zone))
    usages = {id(life): usage_of(life, own, prior, as_of, zone) for life in truck.meters}
    first = usages[id(truck.meters[0])]
    kind = rules.kind(truck.enrolled.what)

    def ahead(due: Due) -> Usage | None:
        service = kind.service(due.service) if kind and due.service else None
        life = meter_of(service, kind, truck.meters) if kind and service else None
        return None if life is None else usages[id(life)]

    dues = (*truck.dues, *(duty.due for duty in truck.duties))
    found = {due.service: one for due in dues if due.service and (one := _expected(due, ahead(due))) is not None}
    moving = first is not None and not first.laid_up
    pace = Pace(first.per_week, len(first.readings), first.changed) if first is not None and moving else None
    return Forecast(pace, found, tuple(_worn(truck, rules, first)) if first is not None else ())


def _expected(due: Due, usage: Usage | None) -> Expected | None:
    """Hours or the calendar, whichever first; None for what is due already, or not known."""
    if due.state not in {"later", "open"}:
        return None
    by_hours = usage.dates(due.hours) if usage is not None and due.hours is not None else None
    dates = by_hours or Dates(None, None, None, None)
    sure = due.day is not None and dates.early is not None and due.day <= dates.early
    sure = sure or due.service == WALK_ROUND  # each one reads the meter
    early, about, late = (_first(day, due.day) for day in (dates.early, dates.about, dates.late))
    return Expected(early, about, late, None if sure else dates.ask)


def _first(one: date | None, other: date | None) -> date | None:
    return min((day for day in (one, other) if day is not None), default=None)


def _worn(truck: TruckNow, rules: Rules, usage: Usage) -> Iterator[Worn]:
    for one in latest(truck.measures):
        wear = wear_of(one, truck.measures, truck.meters, rules)
        if wear is None or not isinstance(wear.trend, Trend):
            continue
        left = wear.trend.left
        low, middle = (usage.hours + round(Decimal(hours)) for hours in (left.low, left.middle))
        high = None if left.high is None else usage.hours + round(Decimal(left.high))
        late = None if high is None else usage.dates(high).late
        expected = Expected(usage.dates(low).early, usage.dates(middle).about, late)
        yield Worn(one.name, one.places, one.item, low, middle, high, expected)
