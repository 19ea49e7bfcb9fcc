"""Small trucks for the lessons: facts at hours of the meter, an hour of which takes two by the clock."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final

import msgspec

from derive.builders import ZONE, at, taken
from dipmark.derive.lessons.watched import Watched, watched
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Fact, FactId, FaultRef, PersonKey, Reading, truck_book
from dipmark.facts.fault import Fault
from dipmark.facts.kinds import AnyBody
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Rules
from lessons.seeded import RULES, YARD

FIRST: Final = at("2026-01-05T06:00")


def when(hours: float) -> datetime:
    """The instant at which a truck has run so many hours."""
    return FIRST + timedelta(hours=2 * hours)


def fid(name: str, place: int) -> FactId:
    """The id of the fact at that place of a truck; its enrolment is at 0."""
    return FactId(f"00000000-0000-7000-8000-{int(name):04x}{place:08x}")


def made(
    *events: tuple[float, AnyBody],
    name: str = "1",
    end: float = 1000,
    new: bool = True,
    kind: str = "reach",
    by: str = "mona",
    rules: Rules = RULES,
    yard: YardNow = YARD,
) -> TruckNow:
    """A truck with facts at its hours, read again at the end."""
    day = FIRST.date() if new else None
    start = Enrolled(what=kind, commissioned=day, start_hours=Decimal(0) if new else None)
    told: list[tuple[float, AnyBody]] = [(0, start), *events, (end, MeterRead(hours=Decimal(str(end))))]
    facts = []
    for place, (hours, body) in enumerate(told):
        if isinstance(body, WalkRound | Fault | Worked) and body.meter is None:
            told_body: AnyBody = msgspec.structs.replace(body, meter=Reading(hours=Decimal(str(hours))))
        else:
            told_body = body
        facts.append(
            Fact(id=fid(name, place), book=truck_book(name), happened=when(hours), by=PersonKey(by), body=told_body)
        )
    found = truck_now(taken((fact, fact.happened) for fact in facts), rules, yard, ZONE, when(end))
    assert found is not None
    return found


def seen(*events: tuple[float, AnyBody], name: str = "1", end: float = 1000, new: bool = True) -> Watched:
    """The same as the lessons see it."""
    found = watched(made(*events, name=name, end=end, new=new))
    assert found is not None
    return found


def fault(check: str | None = "lamp.work", found_in: FactId | None = None) -> Fault:
    """A fault to be mended within a month."""
    return Fault(text=f"{check} bad", seriousness="repair-by", days=30, check=check, found_in=found_in)


def mends(place: int, name: str = "1", **more: object) -> Worked:
    """Work that mends the fault at that place."""
    return Worked(mends=(FaultRef(fid(name, place)),), **more)  # type: ignore[arg-type]


def walk(*faults: str, asked: tuple[str, ...] = ("lamp.work", "horn.sound"), **more: object) -> WalkRound:
    """A walk-round that found these."""
    answers = tuple(
        Answer(check=check, mark="fault", seriousness="repair-by", days=30) if check in faults else Answer(check=check)
        for check in asked
    )
    return WalkRound(answers=answers, **more)  # type: ignore[arg-type]
