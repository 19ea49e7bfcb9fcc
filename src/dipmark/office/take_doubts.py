"""What is doubtful in accepted rows: shown, never a refusal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, tzinfo

from dipmark.derive.admit import AHEAD, IN_THE_FUTURE, METER_DOUBTFUL, METER_UNLIKELY
from dipmark.derive.meter import Doubtful, MeterLife, meters_of
from dipmark.derive.meter_habit import Unlikely, unlikely
from dipmark.derive.meter_slips import what_to_ask
from dipmark.derive.past import Counted, past
from dipmark.facts.base import FactId, Reading
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, Where
from dipmark.office.take_books import TruckBook
from dipmark.office.take_facts import Moment


def date_ahead(moment: Moment, now: datetime, where: Where) -> Iterator[Problem]:
    """A date more than a day ahead of the clock."""
    if moment.instant > now + AHEAD:
        day = moment.instant.date()
        days = (moment.instant - now).days
        yield Problem(
            IN_THE_FUTURE,
            f"{day.isoformat()}, {days} days ahead",
            f"a day up to {now.date().isoformat()}",
            "It is kept; put it right if the year or the order of day and month is wrong.",
            where,
            hard=False,
        )


def doubtful_readings(
    book: TruckBook, places: Mapping[FactId, Where], now: datetime, zone: tzinfo
) -> Iterator[Problem]:
    """New readings that do not agree with the others of their truck, and those that are not like it."""
    if not book.new:
        return
    counting = past(book.with_new(now), now)
    facts = {one.id: one for one in counting}
    for life in meters_of(counting, zone):
        for doubt in life.doubtful:
            if doubt.fact in places:
                yield _doubt(book.name, life, doubt, facts, places[doubt.fact], zone)
        for odd in unlikely(life):
            if odd.fact in places:
                yield _odd(book.name, odd, facts, places[odd.fact], zone)


def _odd(truck: str, odd: Unlikely, facts: Mapping[FactId, Counted], where: Where, zone: tzinfo) -> Problem:
    found = _reading(facts[odd.fact], zone) or f"{odd.shown} h"
    return Problem(
        METER_UNLIKELY,
        f"truck {truck}, hour meter {found}, {odd.text()}",
        f"no more than {odd.most} h a day",
        "It counts. Put it right if it is wrong.",
        where,
        hard=False,
    )


def _doubt(
    truck: str, life: MeterLife, doubt: Doubtful, facts: Mapping[FactId, Counted], where: Where, zone: tzinfo
) -> Problem:
    others = [text for fact in doubt.against if (text := _reading(facts[fact], zone))]
    if doubt.why == "one of two":
        hint = "Either this or the other is wrong: neither counts until one is corrected or more readings follow."
    else:
        hint = "It is kept and counts for nothing. If the meter was replaced, note that."
    asked = what_to_ask(life, doubt)
    found = _reading(facts[doubt.fact], zone) or f"{doubt.shown} h"
    return Problem(
        METER_DOUBTFUL,
        f"truck {truck}, hour meter {found}",
        f"hours that agree with {', '.join(others) or 'the other readings'}",
        f"{hint} {asked}" if asked else hint,
        where,
        hard=False,
    )


def _reading(one: Counted, zone: tzinfo) -> str | None:
    """Hours and day of a reading, for a person."""
    body = one.body
    if isinstance(body, MeterRead):
        hours = body.hours
    elif isinstance(reading := getattr(body, "meter", None), Reading):
        hours = reading.hours
    elif (start := getattr(body, "start_hours", None)) is not None:
        hours = start
    else:
        return None
    return f"{hours:,} h of {one.happened.astimezone(zone).date().isoformat()}"
