"""What hangs on the trucks of the invented yard: cylinders, batteries and their log, a clamp two share, a cage."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Final

from dipmark.demo.story import Story
from dipmark.facts.base import BookId, Value
from dipmark.facts.charging import Charged, ChargeKind
from dipmark.facts.document import Document, Line
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.measure import Measured, ToppedUp
from dipmark.facts.truck import Enrolled, PlateRead, PlateValue

BATTERIES: Final = (BookId("item:battery-A"), BookId("item:battery-B"))
CYLINDERS: Final = tuple(BookId(f"item:cylinder-{number}") for number in (21, 22, 23))


def hang(story: Story) -> None:
    """Items go on and off: gas cylinders, a traction battery, a pair of forks lent for a job."""
    calendar, pen = story.calendar, story.pen
    truck = story.trucks["1"]
    for number, days in enumerate((15, 10, 6, 3)):
        when = calendar.at(calendar.worked(days), "12:10")
        if number:
            off = Removed(item=CYLINDERS[(number - 1) % 3], meter=truck.read(when))
            pen.write(truck.book, off, when, "dan")
        on = Fitted(item=CYLINDERS[number % 3], meter=truck.read(when))
        pen.write(truck.book, on, when + timedelta(minutes=6), "dan")
    truck = story.trucks["9"]
    first = calendar.at(calendar.start + timedelta(days=1), "05:30")
    pen.write(truck.book, Fitted(item=BATTERIES[0], meter=truck.read(first)), first, "carl")
    swap = calendar.at(calendar.worked(190), "05:20")
    pen.write(truck.book, Removed(item=BATTERIES[0], meter=truck.read(swap), note="weak cell"), swap, "carl")
    pen.write(truck.book, Fitted(item=BATTERIES[1]), swap + timedelta(minutes=25), "carl")
    _cells(story)
    _attachments(story)


def _attachments(story: Story) -> None:
    """A clamp that two trucks share, and only one of them has a plate for it; a cage to lift people in."""
    calendar, pen = story.calendar, story.pen
    clamp, cage = BookId("item:clamp-3"), BookId("item:cage-1")
    first = calendar.at(calendar.start, "04:50")
    pen.write(clamp, Enrolled(what="attachment", serial="K-3307"), first, "ruth")
    pen.write(cage, Enrolled(what="work-platform", serial="P-118"), first, "ruth")
    line = Line(text="Platform, gate, chain and locking pin", duty="accessory-examination", answered=True)
    for back in (330, 95):
        day = calendar.worked(back)
        paper = Document(
            what="examination",
            title="Report of thorough examination",
            number=f"W-P118-{day:%y%m}",
            issuer="Wain Examinations",
            person=pen.keys["hugh"],
            valid_from=day,
            fit=True,
            lines=(line,),
        )
        pen.write(cage, paper, calendar.at(day, "15:40"), "hugh")
    named, other = story.trucks["2"], story.trucks["5"]
    capacity = PlateValue(name="capacity", value=Decimal(1650), unit="kg")
    pen.write(named.book, PlateRead(values=(capacity,), fitted=("clamp-3",)), first + timedelta(minutes=5), "carl")
    for truck, on, off in ((named, 40, 33), (other, 31, 28), (named, 20, 14), (other, 5, None)):
        when = calendar.at(calendar.worked(on), "13:05")
        pen.write(truck.book, Fitted(item=clamp, position="carriage", meter=truck.read(when)), when, "carl")
        if off is not None:
            when = calendar.at(calendar.worked(off), "13:20")
            pen.write(truck.book, Removed(item=clamp, meter=truck.read(when)), when, "carl")


def _cells(story: Story) -> None:
    """Both batteries cell by cell, monthly; a low cell is measured again after charge and rest."""
    calendar, pen = story.calendar, story.pen
    for back in (*range(700, 20, -60), 12, 11):
        when = calendar.at(calendar.worked(back), "06:40") + timedelta(hours=(12 - back) * 2 if back < 20 else 0)
        cells = []
        for cell in range(1, 13):
            worn = Decimal(700 - back) / 20000
            value = Decimal("2.13") - worn - Decimal(story.rng.randint(0, 2)) / 100
            if cell == 7 and back in {220, 12}:
                value -= Decimal("0.12")
            cells.append(
                Value(quantity="cell-voltage", value=value.quantize(Decimal("0.01")), unit="V", place=str(cell))
            )
        density = Value(quantity="cell-density", value=Decimal("1.27"), unit="sg", place="7")
        body = Measured(
            subject="battery-cells",
            values=(*cells, density),
            conditions=(Value(quantity="electrolyte-temperature", value=Decimal(24), unit="C"),),
            note="again, charged and rested" if back == 11 else None,
        )
        pen.write(BATTERIES[0 if back > 190 else 1], body, when, "carl")
        water = ToppedUp(fluid="distilled water", amount=Decimal(story.rng.randint(18, 30)).scaleb(-1), unit="l")
        pen.write(BATTERIES[0 if back > 190 else 1], water, when + timedelta(minutes=15), "carl")
    for back in range(40, 0, -2):
        part = back == 4  # in the break at noon
        ended = calendar.at(calendar.worked(back), "12:25" if part else "04:40")
        what: ChargeKind = "opportunity" if part else "equalise" if back in (38, 20) else "charge"
        left = story.rng.randint(22, 46) if back != 6 else 17
        began = ended - (timedelta(minutes=25) if part else timedelta(hours=6))
        pen.write(BATTERIES[1], Charged(what=what, since=began, percent=left), ended, "carl")
