"""The invented yard's workshop: its bay, who comes from outside, who is away, how parts are bought, the last count."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Final

from dipmark.demo.story import Story
from dipmark.demo.trucks import LPG
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.people import PersonSet
from dipmark.facts.place import PlaceSet
from dipmark.facts.stock import PartSet, Stock
from dipmark.facts.work import Money
from dipmark.facts.workshop import Asks, Away, Bays, Outside, Planned, PlannedVisit, Wanted, WorkshopSet

BOUGHT: Final = (
    ("engine oil filter", 3, 6, 6, 9),
    ("outer air element", 5, 9, 1, 2),
    ("hydraulic return filter", 6, 12, 1, 2),
    ("coupling ring", 4, 6, 10, 12),
    ("spark plugs", 4, 8, 1, 3),
    ("split pin", 3, 5, 50, 41),
    ("mirror glass", 8, 15, 1, 1),
)
"""Part, days to come as a rule and at the longest, pack, how many were counted last."""

COUNTED: Final = 9
"""Days ago."""

PLACES: Final = (
    PlaceSet(name="Cold store", cold=True, food=True),
    PlaceSet(name="Paint store", area="I-2-D", note="No truck of the yard goes in."),
    PlaceSet(name="Loading bays", ramp_percent=Decimal(8)),
)
"""Places that ask something of a truck."""


def write_workshop(story: Story) -> None:
    """Write what the workshop has, how parts are bought, what lay on the shelf, and who is away."""
    calendar, pen = story.calendar, story.pen
    told = calendar.at(calendar.worked(40), "09:00")
    workshop = WorkshopSet(
        minutes=330,
        overtime=45,
        set_up=15,
        bays=(Bays(kind="pit", count=1),),
        asks=(
            Asks(of="900h", bay="pit"),
            Asks(of="1800h", bay="pit"),
            Asks(of=LPG, skill="gas"),
        ),
        wanted=(Wanted(what=LPG, trucks=4), Wanted(what="reach", trucks=1)),
        firms=(
            Outside(firm="Wain Examinations", work=("thorough-examination", "inspection"), days=(2, 4), minutes=240),
        ),
        hour=Money(amount=Decimal(35), currency="GBP"),
        extra=Money(amount=Decimal(48), currency="GBP"),
        level=95,
    )
    pen.write(YARD, workshop, told, "ruth")
    for number, (short, roles) in enumerate((("carl", ("mechanic",)), ("priya", ("mechanic", "driver")))):
        skilled = PersonSet(person=pen.keys[short], roles=roles, skills=("gas",))  # type: ignore[arg-type]
        pen.write(YARD, skilled, told + timedelta(minutes=5 + number), "ruth")
    for number, (part, lead, most, pack, count) in enumerate(BOUGHT):
        bought = PartSet(
            part=part, lead_days=lead, lead_most=most, pack=Decimal(pack), supplier="Tollgate Parts Counter"
        )
        pen.write(YARD, bought, told + timedelta(minutes=10 + number), "ruth")
        counted = Stock(part=part, what="counted", quantity=Decimal(count))
        pen.write(YARD, counted, calendar.at(calendar.worked(COUNTED), "15:30") + timedelta(minutes=number), "priya")
    first = calendar.today + timedelta(days=1 if calendar.today.isoweekday() < 5 else 8 - calendar.today.isoweekday())
    visits = tuple(
        PlannedVisit(truck=truck_book(name), jobs=(f"{name} {job}",), day=first, shift="early", person=pen.keys[short])
        for name, job, short in (("5", "450h", "carl"), ("2", "150h", "priya"))
    )
    plan = Planned(first=calendar.today, days=14, visits=visits)
    pen.write(YARD, plan, calendar.at(calendar.worked(1), "13:30"), "ruth")
    day = _next(calendar.today, 3)
    leave = Away(person=pen.keys["priya"], first=day, last=day + timedelta(days=1))
    pen.write(YARD, leave, calendar.at(calendar.worked(6), "10:15"), "ruth")
    for number, place in enumerate(PLACES):
        pen.write(YARD, place, told + timedelta(minutes=30 + number), "ruth")


def _next(today: date, weekday: int) -> date:
    """That weekday of the week after."""
    return today + timedelta(days=7 - today.isoweekday() + weekday)
