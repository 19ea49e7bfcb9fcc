"""What else happens to the trucks of the invented yard: they come and go, hang on hooks, are hit, and have papers."""

from __future__ import annotations

import struct
import zlib
from datetime import date, timedelta
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.adapters.store import Blob
from dipmark.demo.story import Story
from dipmark.demo.trucks import LPG, Truck
from dipmark.derive.days import add_months
from dipmark.facts.base import BookId, Digest, FaultRef, Value
from dipmark.facts.charging import Charged, ChargeKind
from dipmark.facts.custody import HeldBy
from dipmark.facts.document import Document, Line, Serials
from dipmark.facts.fault import Fault, Released
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.incident import Incident
from dipmark.facts.measure import Measured, Sampled, ToppedUp
from dipmark.facts.truck import Enrolled, PlateRead, PlateValue, Retired
from dipmark.facts.work import Money, PartUsed, Tested, WorkBegun, Worked, WorkEnded

BATTERIES: Final = (BookId("item:battery-A"), BookId("item:battery-B"))
CYLINDERS: Final = tuple(BookId(f"item:cylinder-{number}") for number in (21, 22, 23))
FIRM: Final = "Tollgate Lift Repairs"

LP25: Final = Serials(first="LP25-0280", last="LP25-0420")
"""What the bulletin speaks of."""

UNTIL: Final = {"3": -12, "4": 1}
"""Days since the date that the examiner set for the next examination, where he did not give it the whole year."""


def enrol(story: Story) -> None:
    """Trucks and items come into the yard's care; values are read off their plates."""
    calendar, pen = story.calendar, story.pen
    for number, truck in enumerate(story.trucks.values()):
        spec = truck.spec
        commissioned = add_months(truck.came, -12 * spec.commissioned - (3 * number % 11 if spec.commissioned else 0))
        body = Enrolled(
            what=spec.what,
            commissioned=commissioned,
            start_hours=Decimal(spec.hours).scaleb(-1) if spec.new else None,
            meters=spec.meters,
            options=spec.options or None,
            serial=spec.serial,
            built=commissioned.year,
            capacity_kg=Decimal(spec.capacity),
            place=spec.place,
        )
        when = calendar.at(truck.came, "04:40") + timedelta(minutes=2 * number)
        pen.write(truck.book, body, when, "ruth")
        if spec.what == LPG:
            tyre = PlateValue(name="tyre-pressure", value=Decimal("8.0"), unit="bar", source="plate")
            grease = PlateValue(name="grease-fittings", value=Decimal(14 + number % 3), source="counted")
            pen.write(truck.book, PlateRead(values=(tyre, grease)), when + timedelta(minutes=4), "carl")
    first = calendar.at(calendar.start, "04:30")
    forks = {str(number): BookId(f"item:forks-{number}") for number in range(1, 8)}
    for name, book in forks.items():
        pen.write(book, Enrolled(what="fork-pair", note="40 mm at the heel when new"), first, "ruth")
        fitted = Fitted(item=book, meter=story.trucks[name].read(first))
        pen.write(story.trucks[name].book, fitted, first + timedelta(minutes=40), "carl")
    for number, book in enumerate(BATTERIES):
        body = Enrolled(
            what="traction-battery", commissioned=add_months(calendar.start, -14 - number), serial="24V-620"
        )
        pen.write(book, body, first, "ruth")
    for book in CYLINDERS:
        pen.write(book, Enrolled(what="lpg-cylinder", built=calendar.start.year - 6), first, "ruth")


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


def hold(story: Story) -> None:
    """Who has the trucks: drivers now, a hirer's, another site, laid up, and one that is sold."""
    calendar, pen, keys = story.calendar, story.pen, story.pen.keys
    trucks = story.trucks
    for name, short in (("1", "dan"), ("2", "leila")):
        when = calendar.as_of - timedelta(minutes=1 if name == "2" else 0)
        pen.write(trucks[name].book, HeldBy(who="driver", person=keys[short], place=None), when, short)
    hired = HeldBy(who="hired-in", firm="Quayside Hire", place="Yard", until=calendar.ago(3))
    pen.write(trucks["8"].book, hired, calendar.at(trucks["8"].came, "11:00"), "ruth")
    away = calendar.at(calendar.worked(121), "15:00")
    lent = HeldBy(who="other-site", place="Mill Lane", until=calendar.ago(100), meter=trucks["11"].read(away))
    pen.write(trucks["11"].book, lent, away, "ruth")
    back = calendar.at(calendar.worked(102), "15:30")
    pen.write(trucks["11"].book, HeldBy(who="yard", meter=trucks["11"].read(back)), back, "ruth")
    out = calendar.at(calendar.worked(301), "10:00")
    pen.write(
        trucks["12"].book, HeldBy(who="hired-out", firm="Brook Timber", meter=trucks["12"].read(out)), out, "owen"
    )
    home = calendar.at(calendar.worked(280), "10:00")
    pen.write(trucks["12"].book, HeldBy(who="yard", meter=trucks["12"].read(home)), home, "owen")
    laid = calendar.at(calendar.worked(74), "16:00")
    body = HeldBy(who="laid-up", place="Shed 4", meter=trucks["12"].read(laid), note="battery off, forks down, blocked")
    pen.write(trucks["12"].book, body, laid, "ruth")
    sold = calendar.at(calendar.worked(150), "13:00")
    pen.write(trucks["14"].book, Retired(how="sold", note="to a farm, with its book"), sold, "owen")
    done = sold + timedelta(hours=2)
    pen.write(
        trucks["14"].book, story.called("leaving", "handed over to the farm, receipt in the file", (), 80), done, "owen"
    )


def hit(story: Story) -> None:
    """A hit at night found by the morning's list, and a near miss."""
    calendar, pen, truck = story.calendar, story.pen, story.trucks["3"]
    when = calendar.at(calendar.worked(70), "22:04")
    picture = _picture()
    pen.blobs.append(Blob(picture, "image/png"))
    text = "reversed into the upright of rack 14 while putting it away in the dark; guard post bent, nobody near"
    body = Incident(
        what="hit",
        text=text,
        struck=("counterweight", "rack 14"),
        person=pen.keys["joe"],
        meter=truck.read(when),
        pictures=(Digest(Blob(picture, "image/png").digest),),
    )
    card = FaultRef(pen.write(truck.book, body, when, "joe"))
    check = when + timedelta(minutes=20)
    story.walk(truck, check, "ruth", after_hit=True)
    begun = pen.write(truck.book, WorkBegun(text="look over after the hit"), check + timedelta(minutes=10), "carl")
    ended = check + timedelta(minutes=55)
    pen.write(truck.book, WorkEnded(begun=begun), ended, "carl")
    tests = ("brake-test", "lift-test", "road-test")
    pen.write(truck.book, story.called("after-hit", "counterweight bolts and mast looked at", tests, 45), ended, "carl")
    note = "counterweight bolts and mast looked at, nothing found"
    pen.write(truck.book, Released(clears=(card,), tests=tests, note=note), ended + timedelta(minutes=8), "ruth")
    after = when.date() + timedelta(days=1)
    report = _examined(story, truck, after, calendar.ago(UNTIL["3"]))
    rest = Line(text="Brakes, steering, tyres", duty="inspection", answered=True)
    report = msgspec.structs.replace(report, number="W-3-hit", lines=(*report.lines, rest))
    pen.write(truck.book, report, calendar.at(after, "05:50"), "hugh")
    near = Incident(what="near-miss", text="pedestrian stepped out at the corner of hall B", person=pen.keys["sam"])
    pen.write(story.trucks["7"].book, near, calendar.at(calendar.worked(64), "11:25"), "sam")


def _picture() -> bytes:
    """A small grey picture, made here."""
    rows = b"".join(b"\0" + bytes((16 * x + 8 * y) % 256 for x in range(16)) for y in range(16))

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 16, 16, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


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
                pen.write(truck.book, _examined(story, truck, day, until), calendar.at(day, "16:00"), "hugh")
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
    report = _examined(story, truck, calendar.worked(150), None)
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


def _examined(story: Story, truck: Truck, day: date, until: date | None) -> Document:
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
