"""The services of the invented yard, counted back from now, and the wear measured at them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final

from dipmark.demo.pen import ZONE
from dipmark.demo.story import Story
from dipmark.demo.trucks import LPG, Truck
from dipmark.derive.days import add_months, local_day
from dipmark.facts.base import BookId, FactId, Value
from dipmark.facts.measure import Measured
from dipmark.facts.stock import Stock
from dipmark.facts.work import Money, PartUsed, Tested, Worked

LEVELS: Final = ("1800h", "150h", "150h", "450h", "150h", "150h", "900h", "150h", "150h", "450h", "150h", "150h")
"""The level of each service in a cycle of twelve."""

OTHER: Final = {
    "electric-counterbalanced": ("250h", "500h", "250h", "1000h", "250h", "500h", "250h", "2000h"),
    "reach": ("250h", "500h", "250h", "1000h", "250h", "500h", "250h", "2000h"),
    "pallet": ("500h", "1000h", "500h", "2000h"),
    "tow-tractor": ("500h", "1000h", "500h", "2000h"),
}
"""The same of electric trucks; any other kind goes by the engine's rhythm."""

AHEAD: Final = {"later": 17, "open": 1, "due": -1, "late": -14}
"""Days from today to the calendar mark of the short service."""

LEFT_OUT: Final = {"5": ("lpg.carbon-monoxide",)}
"""Tasks left out of the last big service of a truck, which then does not count."""

HEEL: Final = {"1": 391, "2": 384, "3": 379, "4": 372, "5": 368, "6": 377, "7": 374}
"""Tenths of a millimetre left on the worse fork heel by now."""

CHAIN: Final = {"1": 6, "2": 24, "3": 13, "4": 17, "5": 10, "6": 15, "7": 19}
"""Tenths of a percent by which the worse chain is longer now."""

NEW_CHAIN: Final = Decimal("304.8")
"""Twelve pitches of 25.4 mm, in mm."""

NEW_HEEL: Final = Decimal("40.0")
"""Of every fork, in mm."""


def write_services(story: Story) -> None:
    """Write every truck's services and what was measured at them."""
    for truck in story.trucks.values():
        days = list(_days(story, truck))
        for steps_back, instant in enumerate(days):
            level = _level(truck, steps_back)
            if truck.spec.name == "6" and steps_back == 9:
                continue  # forgotten, a whole month
            work = _service(story, truck, instant, level, last=steps_back == 0)
            if level in ("450h", "900h", "1800h"):
                _measure(story, truck, instant + timedelta(minutes=40))
            if steps_back < 3:
                _issue(story, instant, work)


def _days(story: Story, truck: Truck) -> Iterator[datetime]:
    """When it was serviced, the last time first."""
    calendar, spec = story.calendar, truck.spec
    if spec.service == "unknown":
        return
    if spec.service == "by-hours":
        last = truck.when(truck.hours(calendar.as_of) - Decimal(157))
    elif spec.idle:
        last = calendar.at(calendar.worked(spec.idle + 20 if spec.service == "later" else 44), "14:40")
    else:
        last = calendar.at(_last_for(calendar.today, AHEAD[spec.service]), "14:40")
    yield last
    day = local_day(last, ZONE)
    while True:
        gap = (calendar.today - day).days + spec.every + story.rng.randint(-2, 1)
        day = calendar.worked(gap)
        if day <= calendar.start + timedelta(days=12) or day <= truck.came:
            return
        yield calendar.at(day, f"14:{story.rng.randint(10, 50)}")


def _last_for(today: date, ahead: int) -> date:
    """The first day from which a month leads to at least so many days from today."""
    wanted = today + timedelta(days=ahead)
    day = wanted - timedelta(days=32)
    while add_months(day, 1) < wanted:
        day += timedelta(days=1)
    return day


def _level(truck: Truck, steps_back: int) -> str:
    levels = OTHER.get(truck.spec.what, LEVELS)
    return levels[(truck.spec.cycle - steps_back) % len(levels)]


def _service(story: Story, truck: Truck, instant: datetime, level: str, *, last: bool) -> FactId:
    kind = story.kind if truck.spec.what == LPG else None
    service = kind.service(level) if kind else None
    tasks = kind.all_tasks(service) if kind and service else ()
    big = level not in ("150h", "250h")
    parts = dict.fromkeys(part for task in tasks for part in task.parts)
    left_out = LEFT_OUT.get(truck.spec.name, ()) if big and story.calendar.as_of - instant < timedelta(days=100) else ()
    body = Worked(
        services=(level,),
        left_out=left_out,
        text="not done: no analyser at hand" if left_out else None,
        meter=truck.read(instant),
        parts=tuple(PartUsed(part=part) for part in parts),
        tests=(Tested(test="road-test", passed=True),) if big else (),
        minutes=sum(task.minutes for task in tasks) or (55 if big else 35),
        cost=Money(amount=Decimal(180 if big else 48) + len(parts) * 7, currency="GBP"),
        firm="Tollgate Lift Repairs" if level in ("1800h", "1000h") else None,
    )
    by = "glen" if body.firm else "priya" if last else story.rng.choice(("carl", "priya"))
    written = story.pen.write(truck.book, body, instant, by)
    story.recheck(truck, body, instant)
    return written


def _measure(story: Story, truck: Truck, instant: datetime) -> None:
    """Chain and fork heels, worn in step with the hours."""
    if truck.spec.what != LPG:
        return
    first, now = truck.hours(truck.spans[0][0]), truck.hours(story.calendar.as_of)
    part = (truck.hours(instant) - first) / max(now - first, Decimal(1))
    longer = CHAIN[truck.spec.name] * part / 10
    places = (("left upper", 0), ("left lower", -1), ("right upper", -1), ("right lower", -2))
    chain = tuple(
        Value(quantity="length", value=_tenth(NEW_CHAIN * (1 + longer / 100)) + Decimal(off) / 10, unit="mm",
              place=place)
        for place, off in places
    )  # fmt: skip
    story.pen.write(
        truck.book,
        Measured(
            subject="chain",
            values=chain,
            conditions=(
                Value(quantity="new-length", value=NEW_CHAIN, unit="mm"),
                Value(quantity="pitches", value=Decimal(12), unit="count"),
            ),
            instrument="steel rule",
            meter=truck.read(instant),
        ),
        instant,
        "carl",
    )
    heel = NEW_HEEL - (NEW_HEEL - Decimal(HEEL[truck.spec.name]) / 10) * part
    grown = Decimal("0.9") if truck.spec.name == "6" and part < Decimal("0.8") and part > Decimal("0.6") else Decimal(0)
    values = (
        Value(quantity="now", value=_tenth(heel + grown), unit="mm", place="left"),
        Value(quantity="now", value=_tenth(heel + Decimal("0.2")), unit="mm", place="right"),
    )
    body = Measured(
        subject="fork-heel",
        values=values,
        conditions=(Value(quantity="new", value=NEW_HEEL, unit="mm"),),
        instrument="fork caliper",
        item=BookId(f"item:forks-{truck.spec.name}"),
        meter=truck.read(instant),
    )
    story.pen.write(truck.book, body, instant + timedelta(minutes=9), "carl")


def _tenth(value: Decimal) -> Decimal:
    return value.quantize(Decimal("0.1"))


def _issue(story: Story, instant: datetime, work: FactId) -> None:
    """What went off the shelf for it."""
    body = Stock(part="engine oil filter", what="issued", quantity=Decimal(1), place="A3", work=work)
    story.pen.write(BookId("yard"), body, instant + timedelta(minutes=3), "priya")
