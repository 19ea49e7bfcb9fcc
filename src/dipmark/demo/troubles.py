"""Faults of the invented yard: found, mended, tested, released; or still open."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.demo.pen import Calendar
from dipmark.demo.story import Story, ref
from dipmark.demo.trucks import Truck
from dipmark.facts.base import FaultRef
from dipmark.facts.fault import OutOfService, Released
from dipmark.facts.walk_round import Answer, OpenFault
from dipmark.facts.work import Money, PartUsed, Tested, WorkBegun, Worked, WorkEnded


class Trouble(msgspec.Struct, frozen=True, kw_only=True):
    """A fault found on a walk-round.

    Args:
        truck: its number.
        ago: days since it was found.
        by: who found it.
        check: where.
        symptom: what, by the rules.
        text: in the driver's words.
        days: days until it was mended; None: still open.
        cause: what the mechanic found and did.
        parts: what went in.
        tests: what was tested.
        gone: mended without a mechanic; the next walk-round says so.
        worse: a watched fault that turned worse after so many days.
        stands: days after which the truck stands, because its deadline has passed.
    """

    truck: str
    ago: int
    by: str
    check: str
    symptom: str
    text: str
    days: int | None = None
    cause: str = ""
    parts: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    gone: bool = False
    worse: int | None = None
    stands: int | None = None


STOPS: Final = (
    Trouble(truck="1", ago=410, by="sam", check="seat-belt.works", symptom="fails", text="belt does not lock",
            days=1, cause="retractor jammed with shrink film; new belt", parts=("seat belt",), tests=("belt-test",)),
    Trouble(truck="1", ago=33, by="leila", check="horn.heard", symptom="weak", text="horn only croaks", days=0,
            cause="contact ring in the column dirty; cleaned", tests=("horn-test",)),
    Trouble(truck="2", ago=205, by="dan", check="brake.service", symptom="soft", text="pedal goes soft at the ramp",
            days=2, cause="left wheel cylinder wet; both renewed, bled", parts=("wheel cylinder", "wheel cylinder"),
            tests=("brake-test", "road-test")),
    Trouble(truck="2", ago=49, by="marta", check="alarm.reversing", symptom="dead", text="no sound in reverse",
            days=0,
            cause="plug chafed at the guard; new plug, routed clear", parts=("plug",), tests=("alarm-test",)),
    Trouble(truck="3", ago=318, by="joe", check="hoses.mast", symptom="worn", text="hose at the mast worn to the wire",
            days=1, cause="clamp lost, hose rubbed; hose and clamp renewed", parts=("mast hose", "hose clamp"),
            tests=("lift-test",)),
    Trouble(truck="3", ago=41, by="nadia", check="lpg.tight", symptom="leak", text="smell of gas at the coupling",
            days=0, cause="coupling ring flat; new ring, soap test dry", parts=("coupling ring",),
            tests=("soap-test",)),
    Trouble(truck="5", ago=262, by="sam", check="chain.tension", symptom="slack", text="right chain slacker than left",
            days=3, cause="anchor nut backed off; set equal, new split pins", parts=("split pin",),
            tests=("lift-test-rated-load",)),
    Trouble(truck="6", ago=150, by="leila", check="brake.parking", symptom="slips", text="rolls on the dock slope",
            days=1, cause="cable stretched; adjusted", tests=("parking-brake-test",)),
    Trouble(truck="6", ago=26, by="joe", check="exhaust.tight", symptom="leak", text="blows at the manifold, headache",
            days=2, cause="gasket burnt; renewed, carbon monoxide measured", parts=("manifold gasket",),
            tests=("road-test",)),
    Trouble(truck="7", ago=96, by="dan", check="steering.play", symptom="any", text="a hand of play in the wheel",
            days=2, cause="tie rod end worn; both renewed", parts=("tie rod end", "tie rod end"), tests=("road-test",)),
    Trouble(truck="4", ago=1, by="marta", check="chain.sound", symptom="anchor",
            text="anchor pin of the left chain has no split pin and is walking out"),
)  # fmt: skip

OTHERS: Final = (
    Trouble(truck="1", ago=47, by="nadia", check="tyres.damage", symptom="cut", text="small cut, rear right", days=20,
            gone=True),
    Trouble(truck="2", ago=12, by="sam", check="tyres.damage", symptom="cut", text="staple pressed in, front right"),
    Trouble(truck="3", ago=2, by="leila", check="cylinders.dry", symptom="weeps", text="left tilt rod wet, no drop"),
    Trouble(truck="4", ago=52, by="joe", check="mirrors.whole", symptom="cracked", text="left mirror cracked", days=4,
            cause="new glass", parts=("mirror glass",)),
    Trouble(truck="5", ago=10, by="dan", check="chain.oil", symptom="dry", text="no film on either chain", stands=8),
    Trouble(truck="6", ago=37, by="marta", check="ground.leaks", symptom="wet", text="oil spot under the drive axle",
            days=5, cause="breather blocked, axle seal sweated; breather cleaned"),
    Trouble(truck="7", ago=29, by="sam", check="lights.work", symptom="lit", text="work lamp left out", days=2,
            cause="bulb", parts=("bulb",)),
    Trouble(truck="7", ago=55, by="joe", check="tyres.damage", symptom="cut", text="cut in the front left, no cord",
            worse=14, days=15, cause="cords seen in the cut; tyre renewed", parts=("tyre",), tests=("road-test",)),
)  # fmt: skip


def standing_days(calendar: Calendar) -> dict[str, frozenset[date]]:
    """Days on which a truck stands because it is out of service, by its number."""
    days: dict[str, set[date]] = {}
    for trouble in (*STOPS, *OTHERS):
        first, last = _dates(trouble, calendar)
        if trouble.worse is not None:
            first = _worse_day(trouble, calendar)
        elif trouble.stands is not None:
            first += timedelta(days=trouble.stands)
        elif trouble not in STOPS:
            continue
        days.setdefault(trouble.truck, set()).update(_between(first, last))
    return {truck: frozenset(found) for truck, found in days.items()}


def _dates(trouble: Trouble, calendar: Calendar) -> tuple[date, date]:
    found = calendar.worked(trouble.ago)
    if trouble.days is None:
        return found, calendar.today
    return found, max(found, calendar.worked((calendar.today - found).days - trouble.days))


def _worse_day(trouble: Trouble, calendar: Calendar) -> date:
    found, _ = _dates(trouble, calendar)
    return calendar.worked((calendar.today - found).days - (trouble.worse or 0))


def _between(first: date, last: date) -> list[date]:
    return [first + timedelta(days=number) for number in range((last - first).days + 1)]


def write_troubles(story: Story) -> None:
    """Write every fault of the tables, oldest first, and what became of it."""
    for trouble in sorted((*STOPS, *OTHERS), key=lambda one: -one.ago):
        truck = story.trucks[trouble.truck]
        found, mended = _dates(trouble, story.calendar)
        seen = story.calendar.at(found, f"05:{story.rng.randint(50, 58)}")
        answer = story.fault(trouble.check, trouble.symptom, trouble.text)
        truck.walked.add(found)
        walk = story.walk(truck, seen, trouble.by, found=[answer], full=True)
        fault = ref(walk, trouble.check)
        end = None if trouble.days is None else story.calendar.at(mended, "11:20")
        truck.faults.append((fault, seen, end))
        if trouble.worse is not None:
            _turned_worse(story, truck, trouble, fault)
            _mended(story, truck, trouble, (fault,), mended)
        elif answer.seriousness in ("now", "stop"):
            card = _card(story, truck, trouble, answer, fault, seen + timedelta(minutes=4))
            if end is not None:
                _mended(story, truck, trouble, (fault, card), mended)
        elif trouble.gone and end is not None:
            changed = OpenFault(fault=fault, now="gone", text="tyre renewed at the service")
            truck.walked.add(mended)
            story.walk(truck, end - timedelta(hours=5, minutes=28), "leila", changed=[changed])
        elif end is not None:
            _repaired(story, truck, trouble, (fault,), end)


def _card(story: Story, truck: Truck, trouble: Trouble, answer: Answer, fault: FaultRef, when: datetime) -> FaultRef:
    reason = answer.text or trouble.check
    return FaultRef(story.pen.write(truck.book, OutOfService(reason=reason, faults=(fault,)), when, trouble.by))


def _turned_worse(story: Story, truck: Truck, trouble: Trouble, fault: FaultRef) -> None:
    day = _worse_day(trouble, story.calendar)
    truck.walked.add(day)
    changed = OpenFault(fault=fault, now="worse", text="cords are seen now")
    story.walk(truck, story.calendar.at(day, "05:52"), trouble.by, changed=[changed])


def _repaired(
    story: Story, truck: Truck, trouble: Trouble, faults: tuple[FaultRef, ...], end: datetime, by: str = "carl"
) -> None:
    body = Worked(
        mends=faults[:1],
        text=trouble.cause,
        meter=truck.read(end),
        parts=tuple(PartUsed(part=part) for part in dict.fromkeys(trouble.parts)),
        tests=tuple(Tested(test=test, passed=True) for test in trouble.tests),
        minutes=25 + 20 * len(trouble.parts),
        cost=Money(amount=Decimal(22 + 31 * len(trouble.parts)), currency="GBP"),
    )
    story.pen.write(truck.book, body, end, by)
    story.recheck(truck, body, end)


def _mended(story: Story, truck: Truck, trouble: Trouble, faults: tuple[FaultRef, ...], day: date) -> None:
    """Locked, mended, tested, unlocked, released; on one truck the lock was forgotten."""
    at = story.calendar.at
    begun = story.pen.write(truck.book, WorkBegun(text=trouble.text, place="workshop"), at(day, "08:40"), "carl")
    _repaired(story, truck, trouble, faults, at(day, "11:20"))
    if trouble.check == "brake.parking":
        why = "Carl had left for the day and was reached by telephone; truck and tools seen clear by me and Ruth."
        story.pen.write(truck.book, WorkEnded(begun=begun, owners_exception=why), at(day, "17:05"), "owen")
    else:
        story.pen.write(truck.book, WorkEnded(begun=begun), at(day, "11:32"), "carl")
    body = Released(clears=faults, tests=trouble.tests, note="tested by Carl, released by Ruth")
    story.pen.write(truck.book, body, at(day, "17:20"), "ruth")
