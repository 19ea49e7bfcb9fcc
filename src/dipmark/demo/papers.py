"""Work and papers of the invented yard: an outside firm's jobs and bills, examinations, a bulletin, oil sheets."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Final

from dipmark.demo.hung import CYLINDERS
from dipmark.demo.story import Story
from dipmark.demo.trucks import Truck
from dipmark.derive.days import add_months
from dipmark.facts.base import FaultRef, Value
from dipmark.facts.document import Document, Line, Serials
from dipmark.facts.fault import Fault
from dipmark.facts.measure import Sampled
from dipmark.facts.work import Money, PartUsed, Tested, WorkBegun, Worked

FIRM: Final = "Tollgate Lift Repairs"

LP25: Final = Serials(first="LP25-0280", last="LP25-0420")
"""What the bulletin speaks of."""

UNTIL: Final = {"3": -12, "4": 1}
"""Days since the date that the examiner set for the next examination, where he did not give it the whole year."""


def work(story: Story) -> None:
    """Being worked on now; an outside firm's job that came in late; a fault a mechanic found at the bench."""
    calendar, pen = story.calendar, story.pen
    begun = calendar.as_of - timedelta(minutes=37)
    body = WorkBegun(text="900 h service, transmission drained", place="workshop")
    pen.write(story.trucks["6"].book, body, begun, "priya")
    truck = story.trucks["2"]
    found = calendar.at(calendar.worked(160), "15:20")
    fault = FaultRef(pen.write(truck.book, _loose_line(), found, "priya"))
    done = calendar.at(calendar.worked(146), "12:00")
    job = Worked(
        text="return line renewed with clamps",
        meter=truck.read(done),
        parts=(PartUsed(part="return line"), PartUsed(part="hose clamp", quantity=Decimal(2))),
        tests=(Tested(test="leak-test", passed=True),),
        minutes=75,
        cost=Money(amount=Decimal("164.00"), currency="GBP"),
        firm=FIRM,
    )
    pen.write(truck.book, job, done, "glen", whole_day=True, received=done + timedelta(days=9))
    sheet = Document(
        what="job-sheet",
        title="Job sheet",
        number="TL-20417",
        issuer=FIRM,
        person=pen.keys["glen"],
        lines=(
            Line(text="Return line weeping at the tank: renewed", fault=fault, answered=True),
            Line(text="Rear tyres near the line, to be changed at the next visit"),
        ),
        meter=truck.read(done),
    )
    pen.write(truck.book, sheet, done + timedelta(hours=1), "ruth", received=done + timedelta(days=9, hours=1))
    bill(story, truck, done.date())


def bill(story: Story, truck: Truck, done: date) -> None:
    """A warranty on what went in; and a later bill for the same part, of which nobody in the yard noted anything."""
    calendar, line = story.calendar, PartUsed(part="return line")
    warranty = Document(
        what="warranty",
        title="Warranty",
        number="TL-20417",
        issuer=FIRM,
        valid_from=done,
        valid_until=add_months(done, 6),
        parts=(line,),
    )
    story.pen.write(truck.book, warranty, calendar.at(calendar.worked(136), "10:20"), "ruth")
    again = Document(
        what="job-sheet",
        title="Job sheet",
        number="TL-20588",
        issuer=FIRM,
        valid_from=calendar.worked(63),
        parts=(line, PartUsed(part="tank cap seal")),
        minutes=60,
        cost=Money(amount=Decimal("131.50"), currency="GBP"),
    )
    story.pen.write(truck.book, again, calendar.at(calendar.worked(52), "10:35"), "ruth")


def _loose_line() -> Fault:
    return Fault(
        text="return line weeps at the tank, no drop falls",
        seriousness="repair-by",
        days=21,
        check="ground.leaks",
        symptom="wet",
    )


def file_papers(story: Story) -> None:
    """Examination reports, a certificate, a bulletin, insurance; and laboratory sheets of the oil."""
    calendar, pen = story.calendar, story.pen
    for number, truck in enumerate(story.trucks.values()):
        for back in (660 - 9 * number, 300 - 9 * number):
            day = calendar.worked(back)
            if truck.came < day and truck.spec.what != "pallet":
                until = calendar.ago(UNTIL[truck.spec.name]) if truck.spec.name in UNTIL and back < 365 else None
                pen.write(truck.book, examined(story, truck, day, until), calendar.at(day, "16:00"), "hugh")
    when = calendar.at(calendar.worked(84), "09:30")
    line = Line(text="Pin to be measured at the next service", until=calendar.today + timedelta(days=30))
    paper = Document(
        what="bulletin",
        title="Cylinder bracket: look at the locating pin",
        number="B-118",
        lines=(line,),
        serials=(LP25,),
    )
    pen.write(story.trucks["1"].book, paper, when, "ruth")
    hire = Document(what="other", title="Hire agreement", issuer="Quayside Hire", valid_until=calendar.ago(3))
    truck = story.trucks["8"]
    pen.write(truck.book, hire, calendar.at(truck.came, "11:10"), "ruth")
    report = examined(story, truck, calendar.worked(150), None)
    pen.write(truck.book, report, calendar.at(truck.came, "11:12"), "ruth")
    paper = Document(
        what="certificate", title="Gas cylinder test", number="C-7731", valid_until=add_months(calendar.today, 50)
    )
    pen.write(CYLINDERS[0], paper, when + timedelta(minutes=3), "ruth")
    for number, back in enumerate(range(610, 30, -140)):
        day = calendar.at(calendar.worked(back), "14:20")
        truck = story.trucks["5"]
        sheet = Sampled(
            fluid="engine oil",
            results=(
                Value(quantity="fuel-dilution", value=Decimal(12 + 3 * number).scaleb(-1), unit="%"),
                Value(quantity="water", value=Decimal("0.05"), unit="%"),
            ),
            laboratory="Fallow Laboratory",
            number=f"F-{410 + 37 * number}",
            fluid_hours=Decimal(110 + 4 * number),
            meter=truck.read(day),
        )
        pen.write(truck.book, sheet, day, "ruth", received=day + timedelta(days=8))


def examined(story: Story, truck: Truck, day: date, until: date | None) -> Document:
    """The examiner's report; of the tow tractor, which lifts nothing, on the rest."""
    lifts = truck.spec.what != "tow-tractor"
    duty = "thorough-examination" if lifts else "inspection"
    what = Line(text="Lifting parts" if lifts else "Brakes, steering, coupler and tyres", duty=duty, answered=True)
    chain = (Line(text="Chain at 1 % or more: measure every quarter", answered=True),) if lifts else ()
    return Document(
        what="examination",
        title=f"Report of {duty.replace('-', ' ')}",
        number=f"W-{truck.spec.name}-{day:%y%m}",
        issuer="Wain Examinations",
        person=story.pen.keys["hugh"],
        valid_from=day,
        valid_until=until or add_months(day, 12),
        fit=True,
        lines=(what, *chain),
        meter=truck.read(story.calendar.at(day, "16:00")) if truck.came < day else None,
    )
