"""Hour meters of the invented yard: weekly readings, every sort of slip, a change, and their corrections."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final

from dipmark.demo.pen import ZONE
from dipmark.demo.story import Story
from dipmark.demo.trucks import LPG, Truck
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.measure import ToppedUp
from dipmark.facts.meter import MeterChanged, MeterRead

CHANGED: Final = 240
"""Days since the meter of truck 3 was replaced."""

TIE: Final = 9
"""Days before now in which truck 11 is read only twice, and the two do not agree."""


def change_meters(story: Story) -> None:
    """Truck 3 gets another meter; before anything that reads it is written."""
    truck = story.trucks["3"]
    when = story.calendar.at(story.calendar.worked(CHANGED), "05:20")
    new = Decimal("0.3")
    body = MeterChanged(new=new, old=truck.shown(when), digits=5, note="display dark; new meter fitted")
    truck.changed = (when, new)
    story.pen.write(truck.book, body, when, "carl")


def read_meters(story: Story) -> None:
    """A reading a week of trucks that are not walked round by the rules."""
    for truck in story.trucks.values():
        if truck.spec.what == LPG:
            continue
        for begin, end, _ in truck.spans:
            late = truck.spec.name == "11" and end > story.calendar.midnight - timedelta(days=TIE)
            if begin.astimezone(ZONE).isoweekday() == 5 and begin.astimezone(ZONE).hour < 12 and not late:
                _read(story, truck, end)
    _two_that_disagree(story)


def _read(story: Story, truck: Truck, when: datetime) -> None:
    whole_day = story.rng.random() < 0.3
    body = MeterRead(hours=truck.shown(when), note="from the week sheet" if whole_day else None)
    story.pen.write(truck.book, body, when, "ruth", whole_day=whole_day, received=when + timedelta(hours=2))
    if len(truck.spec.meters) > 1:
        lift = (truck.shown(when) * 3 / 10).quantize(Decimal("0.1"))
        story.pen.write(truck.book, MeterRead(hours=lift, meter="lift"), when + timedelta(minutes=1), "ruth")


def _two_that_disagree(story: Story) -> None:
    """One of two last readings is wrong, and nobody can tell which."""
    truck, calendar = story.trucks["11"], story.calendar
    first, last = (calendar.at(calendar.worked(days), "22:10") for days in (5, 1))
    before = calendar.at(calendar.ago(TIE), "00:00")
    lower = (truck.shown(before) + truck.shown(first)) / 2
    story.pen.write(truck.book, MeterRead(hours=truck.shown(first)), first, "joe")
    story.pen.write(truck.book, MeterRead(hours=lower.quantize(Decimal("0.1"))), last, "sam")


def slip(story: Story) -> None:
    """Swapped digits, a lost decimal, an extra digit, a copied reading, a wrong date; one of them put right."""
    trucks, calendar, pen = story.trucks, story.calendar, story.pen

    def wrong(name: str, days: int, hours: Decimal, by: str) -> None:
        pen.write(trucks[name].book, MeterRead(hours=hours), calendar.at(calendar.worked(days), "13:10"), by)

    def right(name: str, days: int) -> Decimal:
        return trucks[name].shown(calendar.at(calendar.worked(days), "13:10"))

    hours = right("1", 24)
    when = calendar.at(calendar.worked(24), "13:10")
    typed = pen.write(trucks["1"].book, MeterRead(hours=swapped(hours)), when, "nadia")
    body = Corrected(target=typed, body=MeterRead(hours=hours), reason="two digits swapped; meter read again")
    pen.write(trucks["1"].book, body, when + timedelta(days=1, hours=2), "ruth")
    wrong("2", 31, swapped(right("2", 31)), "marta")
    wrong("5", 27, Decimal(int(right("5", 27) * 10)), "dan")
    wrong("6", 45, _doubled(right("6", 45)), "joe")
    wrong("7", 17, right("6", 17), "sam")
    truck = trucks["9"]
    day = calendar.worked(30)
    late = calendar.at(day, "16:00")
    month_off = MeterRead(hours=truck.shown(late), note="from the week sheet")
    pen.write(truck.book, month_off, late - timedelta(days=42), "ruth", whole_day=True, received=late)


def swapped(hours: Decimal) -> Decimal:
    """The first two neighbouring whole digits that differ, the other way round."""
    text = f"{hours:f}"
    for index in range(text.index(".") - 1):
        if text[index] != text[index + 1]:
            return Decimal(text[:index] + text[index + 1] + text[index] + text[index + 2 :])
    return hours + 100


def _doubled(hours: Decimal) -> Decimal:
    """The first digit typed twice."""
    return Decimal(f"{hours:f}"[0] + f"{hours:f}")


def amend(story: Story) -> None:
    """A top-up noted on the wrong truck, a wrong time put right, and a phone whose clock is a week ahead."""
    calendar, pen = story.calendar, story.pen
    when = calendar.at(calendar.worked(19), "10:15")
    book = story.trucks["6"].book
    wrong = pen.write(book, ToppedUp(fluid="coolant", amount=Decimal("0.8"), unit="l"), when, "joe")
    reason = "that was truck 5"
    pen.write(book, Withdrawn(target=wrong, reason=reason), when + timedelta(hours=3), "joe")
    right = ToppedUp(fluid="coolant", amount=Decimal("0.8"), unit="l", note="noted on truck 6 first")
    pen.write(story.trucks["5"].book, right, when, "joe", received=when + timedelta(hours=3))
    when = calendar.at(calendar.worked(22), "09:00")
    book, body = story.trucks["7"].book, ToppedUp(fluid="hydraulic oil", amount=Decimal("1.5"), unit="l")
    timed = pen.write(book, body, when, "carl")
    again = Corrected(target=timed, body=body, reason="done the evening before", happened=when - timedelta(hours=15))
    pen.write(book, again, when + timedelta(hours=1), "carl")
    truck = story.trucks["10"]
    seen = calendar.as_of - timedelta(hours=2)
    pen.write(truck.book, MeterRead(hours=truck.shown(seen)), seen + timedelta(days=7), "nadia", received=seen)
