"""Made-up lives of hour meters: daily readings by a weekday pattern, turns through zero, changes, and known slips.

One reading in fifty is a slip, in equal parts: two digits swapped, decimal point lost, a digit too many, the day
before copied, a wrong date, a digit misread. What was true stays beside what was written, so that a test can count.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import ROUND_DOWN, Decimal
from random import Random
from typing import Final, Literal, NamedTuple

from derive.builders import ZONE, fid
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId, PersonKey
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.truck import Enrolled, Meter

Slip = Literal["swapped", "point", "extra", "copied", "date", "misread"]

SLIPS: Final[tuple[Slip, ...]] = ("swapped", "point", "extra", "copied", "date", "misread")
BOOK: Final = BookId("truck:7")
START: Final = date(2023, 1, 2)
PATTERNS: Final = ((6, 6, 6, 6, 5, 0, 0), (8, 8, 8, 8, 6, 3, 0), (11, 11, 11, 11, 11, 6, 2), (3, 1, 4, 1, 5, 0, 0))
"""Usual hours from Monday to Sunday: one shift, a long one, two shifts, now and then."""

TENTH: Final = Decimal("0.1")


class Written(NamedTuple):
    """A reading: what the meter showed when, and what was written down.

    Args:
        fact: where it stands.
        day: number of the day it was read, from 0.
        hours: what the meter showed.
        run: true hours then, from the first day on.
        slip: what went wrong in writing; None: nothing.
        written: what was written, in h.
        meter: 0 before the meter was changed, then 1.
    """

    fact: FactId
    day: int
    hours: Decimal
    run: Decimal
    slip: Slip | None
    written: Decimal
    meter: int


class Made(NamedTuple):
    """A made-up truck.

    Args:
        counting: its record.
        readings: all readings in the order they were read.
        digits: of its meter, None where nobody has said.
    """

    counting: Counting
    readings: tuple[Written, ...]
    digits: int | None


def made(rng: Random, days: int = 1000, slips: int = 20, first: int = 1, whole_days: bool | None = None) -> Made:
    """A truck read at the end of every day.

    Args:
        rng: from a fixed seed.
        days: how many.
        slips: so many in a thousand readings are slips.
        first: number of its first fact.
        whole_days: True: only dates are written; False: the time as well; None: one of the two.
    """
    pattern, unit = rng.choice(PATTERNS), rng.choice((TENTH, TENTH, TENTH, Decimal(1)))
    digits = rng.choice((4, 4, 5, None))
    run = Decimal(rng.randrange(20, 80_000 if digits else 40_000)) / 10
    dated = rng.random() < 0.5 if whole_days is None else whole_days
    enrolled = Enrolled(what="reach", meters=(Meter(digits=digits),))
    facts = [_counted(first, START, 0, enrolled)]
    readings: list[Written] = []
    change, offset, begun = (rng.randrange(days) if rng.random() < 0.3 else -1), Decimal(0), run
    for number in range(days):
        day = START + timedelta(days=number)
        usual = pattern[day.weekday()]
        run += Decimal(rng.randrange(int(usual * 6), min(120, usual * 13) + 1)) / 10 if rng.random() < 0.95 else 0
        shown = _shown(run - offset, unit, digits)
        if number == change:
            new, old = Decimal(rng.randrange(30)) / 10, shown if rng.random() < 0.7 else None
            facts.append(_counted(first + days + 1, day, 19, MeterChanged(new=new, old=old)))
            offset, shown = run - new, _shown(new, unit, digits)
        slip = rng.choice(SLIPS) if rng.randrange(1000) < slips and number != change else None
        written, when = shown, day
        if slip == "date":
            when = _other_date(rng, day)
        elif slip is not None:
            before = readings[-1].hours if readings else shown
            written = before if slip == "copied" else slipped(rng, slip, shown)
        slip = slip if (written, when) != (shown, day) else None
        hour = 19 if number == change else 18
        fact = _counted(first + number + 1, when, hour, MeterRead(hours=written), dated, (day - when).days)
        facts.append(fact)
        readings.append(Written(fact.id, number, shown, run - begun, slip, written, int(number >= change >= 0)))
    return Made(Counting(tuple(sorted(facts, key=lambda one: one.order))), tuple(readings), digits)


def _shown(hours: Decimal, unit: Decimal, digits: int | None) -> Decimal:
    return (hours if digits is None else hours % 10**digits).quantize(unit, ROUND_DOWN)


def slipped(rng: Random, slip: Slip, hours: Decimal) -> Decimal:
    """What is written instead of the hours shown; the same where that slip cannot be made of them."""
    text = f"{hours:f}"
    whole = len(text.partition(".")[0])
    if slip == "point":
        return Decimal(text.replace(".", ""))
    place = rng.randrange(whole)
    if slip == "extra":
        return Decimal(text[:place] + rng.choice((text[place], str(rng.randrange(10)))) + text[place:])
    if slip == "misread":
        return Decimal(text[:place] + rng.choice("0123456789".replace(text[place], "")) + text[place + 1 :])
    pairs = [at for at in range(whole - 1) if text[at] != text[at + 1]]
    if not pairs:
        return hours
    at = rng.choice(pairs)
    return Decimal(text[:at] + text[at + 1] + text[at] + text[at + 2 :])


def _other_date(rng: Random, day: date) -> date:
    """Day and month swapped where that is a day, else the month before; now and then the day before."""
    if rng.random() < 0.3:
        return day - timedelta(days=1)
    if day.day <= 12 and day.day != day.month:
        return date(day.year, day.day, day.month)
    return (day.replace(day=1) - timedelta(days=1)).replace(day=min(day.day, 28))


def _counted(
    number: int, day: date, hour: int, body: Enrolled | MeterRead | MeterChanged, dated: bool = False, late: int = 0
) -> Counted:
    """A fact received so many days after the day it is written for."""
    happened = datetime.combine(day, time(0 if dated else hour), tzinfo=ZONE)
    received = datetime.combine(day + timedelta(days=late), time(hour), tzinfo=ZONE)
    fact = Fact(id=fid(number), book=BOOK, happened=happened, by=PersonKey("ana"), body=body, whole_day=dated)
    item = Accepted(fact=fact, received=received, seq=number, prev=FIRST, digest=FIRST)
    return Counted(item, body, happened, dated, fact.by, min(happened, received))
