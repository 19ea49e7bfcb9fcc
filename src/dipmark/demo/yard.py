"""The invented yard's own book: place, shifts, people, permits, shelf."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Final, Literal

from dipmark.demo.pen import SECOND, SHIFTS, ZONE, Calendar
from dipmark.demo.story import DRIVERS, Story
from dipmark.demo.trucks import LPG
from dipmark.derive.days import add_months
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.people import Familiarised, Permit, PersonSet, ShiftPattern, YardSet
from dipmark.facts.stock import Stock
from dipmark.facts.work import Money

Role = Literal["driver", "mechanic", "lead", "auditor", "owner", "outside-mechanic", "examiner"]

PEOPLE: Final[dict[str, tuple[str, tuple[Role, ...], str | None]]] = {
    "ruth": ("Ruth Ashby", ("lead",), None),
    "owen": ("Owen Marsh", ("owner",), None),
    "carl": ("Carl Voss", ("mechanic",), None),
    "priya": ("Priya Nair", ("mechanic", "driver"), None),
    "dan": ("Dan Pruett", ("driver",), None),
    "leila": ("Leila Hart", ("driver",), None),
    "sam": ("Sam Okoro", ("driver",), None),
    "marta": ("Marta Lind", ("driver",), None),
    "joe": ("Joe Fenn", ("driver",), None),
    "nadia": ("Nadia Rowe", ("driver",), "Harbour Hands"),
    "pete": ("Pete Lowe", ("driver",), None),
    "beth": ("Beth Sand", ("auditor",), None),
    "glen": ("Glen Tasker", ("outside-mechanic",), "Tollgate Lift Repairs"),
    "hugh": ("Hugh Wain", ("examiner",), "Wain Examinations"),
}
"""Everybody by short name: the name for the register, what he does, for which firm."""

NAMES: Final = {short: name for short, (name, _, _) in PEOPLE.items()}

OTHER_KINDS: Final = (
    ("dan", "electric-counterbalanced"),
    ("leila", "reach"),
    ("joe", "tow-tractor"),
    ("sam", "engine-pneumatic-diesel"),
    ("nadia", "pallet"),
)

SHELF: Final = (
    ("engine oil filter", 14, "A3", "9.80"),
    ("outer air element", 4, "A3", "27.50"),
    ("hydraulic return filter", 3, "A4", "31.00"),
    ("coupling ring", 20, "A1", "1.40"),
    ("spark plugs", 2, "A2", "22.00"),
    ("split pin", 60, "B1", "0.12"),
    ("mirror glass", 1, "B2", "14.60"),
)
"""Part, how many were counted at the start, shelf, price."""


def write_yard(story: Story) -> None:
    """Write the yard's settings and shifts, its people, their permits, and the shelf."""
    calendar, pen = story.calendar, story.pen
    first = calendar.at(calendar.start, "07:30")
    settings = YardSet(
        zone="Europe/London",
        country="GB",
        units="metric",
        languages=("en-GB",),
        name="Ninefold Wharf (an invented yard)",
        telephone="+44 1632 960118",
    )
    pen.write(YARD, settings, first, "owen")
    old = ShiftPattern(shifts=SHIFTS[:1], closed=calendar.closed)
    pen.write(YARD, old, first + timedelta(minutes=4), "owen")
    pattern = ShiftPattern(shifts=SHIFTS, closed=calendar.closed)
    pen.write(YARD, pattern, calendar.at(calendar.ago(SECOND), "08:00"), "ruth")
    for number, (short, (_, roles, firm)) in enumerate(PEOPLE.items()):
        body = PersonSet(person=pen.keys[short], roles=roles, firm=firm)
        pen.write(YARD, body, first + timedelta(minutes=10 + number), "owen")
    gone = PersonSet(person=pen.keys["pete"], roles=("driver",), gone=True)
    pen.write(YARD, gone, calendar.at(calendar.worked(130), "16:30"), "ruth")
    _permits(story, first + timedelta(hours=1))
    _shelf(story, first + timedelta(hours=3))


def _permits(story: Story, first: datetime) -> None:
    """Trained and evaluated; one is past its three years, one learns, one lost it, one ends soon."""
    calendar, pen = story.calendar, story.pen
    keys = pen.keys
    for number, short in enumerate((*DRIVERS, "priya", "pete")):
        back = 1180 if short == "joe" else 320 + 70 * number
        day = calendar.ago(back)
        body = Permit(person=keys[short], what=LPG, trained=_years(day, 2), evaluated=day, by=keys["glen"])
        pen.write(YARD, body, first + timedelta(minutes=number), "ruth", received=_typed(calendar, day, first, number))
        led = Familiarised(person=keys[short], truck=truck_book(str(1 + number % 7)), led_by=keys["ruth"])
        pen.write(YARD, led, first + timedelta(days=2, minutes=number), "ruth")
    for number, (short, what) in enumerate(OTHER_KINDS):
        day = calendar.ago(400 + 55 * number)
        pen.write(
            YARD,
            Permit(person=keys[short], what=what, trained=day, evaluated=day, by=keys["glen"], until=_years(day, -3)),
            calendar.at(max(day, calendar.start), "15:40") + timedelta(minutes=number),
            "ruth",
        )
    learner = Permit(person=keys["marta"], what="reach", trainee_under=keys["leila"], until=calendar.today)
    pen.write(YARD, learner, calendar.at(calendar.worked(21), "08:10"), "ruth")
    day = calendar.ago(12)
    card = Permit(
        person=keys["nadia"],
        what="tow-tractor",
        trained=_years(day, 1),
        evaluated=day,
        ends=datetime.combine(calendar.today + timedelta(days=1), time(6), tzinfo=ZONE),
        certificate="agency certificate N-4711, tow tractor, with photo",
    )
    pen.write(YARD, card, calendar.as_of - timedelta(minutes=3), "ruth")
    lost = Permit(person=keys["sam"], what="engine-pneumatic-diesel", withdrawn="drove with the mast raised")
    pen.write(YARD, lost, calendar.at(calendar.worked(88), "14:20"), "ruth")


def _typed(calendar: Calendar, day: date, first: datetime, number: int) -> datetime:
    """A permit older than the record was typed in with the rest; a later one when it was given."""
    return max(first + timedelta(minutes=number, seconds=40), calendar.at(max(day, calendar.start), "15:00"))


def _years(day: date, back: int) -> date:
    return add_months(day, -12 * back)


def _shelf(story: Story, first: datetime) -> None:
    calendar, pen = story.calendar, story.pen
    for number, (part, count, place, price) in enumerate(SHELF):
        money = Money(amount=Decimal(price), currency="GBP")
        counted = Stock(part=part, what="counted", quantity=Decimal(count), place=place, price=money)
        pen.write(YARD, counted, first + timedelta(minutes=number), "priya")
    for back in range(700, 20, -90):
        more = Stock(part="engine oil filter", what="received", quantity=Decimal(21), place="A3")
        pen.write(YARD, more, calendar.at(calendar.worked(back), "09:10"), "priya")
    again = Stock(part="engine oil filter", what="counted", quantity=Decimal(9), place="A3", note="three short")
    pen.write(YARD, again, calendar.at(calendar.worked(95), "09:40"), "priya")
    pen.write(
        YARD,
        Stock(part="spark plugs", what="ordered", quantity=Decimal(4), unit="set", expected=calendar.today),
        calendar.at(calendar.worked(6), "11:00"),
        "priya",
    )
    old = Stock(
        part="brake fluid",
        what="thrown-away",
        quantity=Decimal("0.5"),
        unit="l",
        use_by=calendar.ago(20),
        note="opened",
    )
    pen.write(YARD, old, calendar.at(calendar.worked(15), "11:30"), "carl")
