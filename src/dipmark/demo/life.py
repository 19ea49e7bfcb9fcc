"""What else happens to the trucks of the invented yard: they come and go, somebody has them, they are hit."""

from __future__ import annotations

import struct
import zlib
from datetime import timedelta
from decimal import Decimal

import msgspec

from dipmark.adapters.store import Blob
from dipmark.demo.hung import BATTERIES, CYLINDERS
from dipmark.demo.papers import UNTIL, examined
from dipmark.demo.story import Story
from dipmark.demo.trucks import LPG
from dipmark.derive.days import add_months
from dipmark.facts.base import BookId, Digest, FaultRef
from dipmark.facts.custody import HeldBy
from dipmark.facts.document import Line
from dipmark.facts.fault import Released
from dipmark.facts.fitted import Fitted
from dipmark.facts.incident import Incident
from dipmark.facts.truck import Enrolled, PlateRead, PlateValue, Retired
from dipmark.facts.work import WorkBegun, WorkEnded


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
    report = examined(story, truck, after, calendar.ago(UNTIL["3"]))
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
