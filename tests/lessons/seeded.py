"""Invented yards with known truth, made in memory: what is planted is what the lessons have to find."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Final

import msgspec

from derive.builders import ZONE, at, symptom, taken
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import BookId, Fact, FactId, FaultRef, PersonKey, Reading, truck_book
from dipmark.facts.fault import Fault
from dipmark.facts.kinds import AnyBody
from dipmark.facts.truck import Enrolled, Meter
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import PartUsed, Worked
from dipmark.rules.model import Check, Kind, Place, Rules, Service, Source, Task, rules_of
from dipmark.rules.window import Window

FIRST: Final = at("2025-01-06T06:00")
DAYS: Final = 720
AS_OF: Final = FIRST + timedelta(days=DAYS)
DRIVERS: Final = ("ana", "ben", "cleo", "dan", "eve")
BLIND: Final = "eve"
TRUCKS: Final = 8
LIFTED: Final = "lift hose"
CHECKS: Final = ("lamp.work", "tyre.tread", "mast.play", "hose.lift", "seat.belt", "horn.sound")
OILED: Final = ("chain.dry", "pin.dry", "roller.dry")
"""What the service helps against."""

MINUTES: Final = 60
"""Labour of a service, and of a repair: a service is worth one fault."""


class Planted(msgspec.Struct, frozen=True):
    """What is true of a yard; without a word nothing is wrong in it.

    Args:
        wears: the truck whose faults come as the cube of its hours.
        shape: of the lives of lift hoses.
        best: hours of the interval that costs least; the yard keeps 250.
        blind: True where `BLIND` ticks OK without looking.
        returns: the truck and the check whose repairs do not hold.
    """

    wears: str | None = None
    shape: float = 1.0
    best: float = 250.0
    blind: bool = False
    returns: tuple[str, str] | None = None


NOTHING: Final = Planted()
EVERYTHING: Final = Planted("3", 3.0, 125.0, blind=True, returns=("5", "horn.sound"))


def _check(id: str, *, ask: bool = False) -> Check:
    return Check(
        id=id, place="front", text=f"Look at {id}", normal="sound", when="key-off", shift=True,
        symptoms=(symptom("bad", "repair-by", days=30),), source="practice", mark="common practice",
    )  # fmt: skip


def _rules() -> Rules:
    window = Window(early_percent=Decimal(10), late_percent=Decimal(10), source="practice", mark="common practice")
    task = Task(
        id="chain.oil", text="Oil the chains", minutes=MINUTES, window=window, source="practice", mark="common practice"
    )
    service = Service(
        id="250h", text="250 h", tasks=("chain.oil",), interval_hours=Decimal(250), source="practice",
        mark="common practice",
    )  # fmt: skip
    kind = Kind(
        key="reach", text="reach truck", places=(Place(id="front", text="Front", number=0),),
        checks=tuple(map(_check, (*CHECKS, *OILED))), services=(service,), tasks=(task,), meters=("key",),
    )  # fmt: skip
    return rules_of({kind.key: kind}, {}, {"practice": Source(title="common practice")}, "1")


RULES: Final = _rules()
YARD: Final = YardNow(zone="Europe/Berlin", country="GB")


class Pen:
    """Writes the facts of one truck."""

    def __init__(self, number: int, seed: int) -> None:
        self.book: BookId = truck_book(str(number))
        self.rng = Random(f"{seed}:{number}")
        self.facts: list[Fact] = []
        self._base = (seed * 1000 + number) * 100_000

    def write(self, when: datetime, by: str, body: AnyBody) -> FactId:
        number = self._base + len(self.facts)
        id_ = FactId(f"00000000-0000-7000-8000-{number:012x}")
        self.facts.append(Fact(id=id_, book=self.book, happened=when, by=PersonKey(by), body=body))
        return id_


def _arrivals(rng: Random, number: int, hours: float, planted: Planted) -> Iterator[tuple[float, str]]:
    """When which fault arises, by the truck's hours; those of services and hoses come elsewhere."""
    for check in CHECKS:
        if check == "hose.lift":
            continue
        rate = 1 / (400 if planted.returns == (str(number), check) else 1000)
        hour = rng.expovariate(rate)
        while hour < hours:
            yield hour, check
            hour += rng.expovariate(rate)
    if planted.wears == str(number):
        total = 70
        for _ in range(total):
            yield hours * rng.random() ** (1 / 3), rng.choice((*CHECKS[:3], *CHECKS[4:]))


def _since_service(rng: Random, planted: Planted, begin: float, end: float) -> Iterator[float]:
    """Faults at a rate that rises straight since the service: one of them is expected by the best interval."""
    expected = ((end - begin) / planted.best) ** 2
    passed = rng.expovariate(1)
    while passed < expected:
        yield begin + planted.best * passed**0.5
        passed += rng.expovariate(1)


def truck_of(number: int, seed: int, planted: Planted) -> TruckNow:
    """One truck of a yard."""
    pen = Pen(number, seed)
    facts = Life(pen, number, planted).facts()
    found = truck_now(taken((fact, fact.happened) for fact in facts), RULES, YARD, ZONE, AS_OF)
    assert found is not None
    return found


class Life:
    """Two years of one truck, day after day: its walk-round, its faults, its repairs, its services."""

    def __init__(self, pen: Pen, number: int, planted: Planted) -> None:
        self.pen, self.rng, self.number, self.planted = pen, pen.rng, number, planted
        self.hours, self.serviced, self.shown = 0.0, 0.0, Decimal(0)
        self.open: list[tuple[float, str]] = []
        self.spares = sorted(_arrivals(self.rng, number, 3400.0, planted))
        self.hose = self._hose()
        self.oil = list(_since_service(self.rng, planted, 0.0, 260.0))

    def _hose(self) -> float:
        return self.hours + 700 * math.exp(math.log(self.rng.expovariate(1)) / self.planted.shape)

    def facts(self) -> list[Fact]:
        body = Enrolled(what="reach", commissioned=FIRST.date(), start_hours=Decimal(0), meters=(Meter(),))
        self.pen.write(FIRST, "lead", body)
        for day in range(DAYS):
            when = FIRST + timedelta(days=day)
            if when.isoweekday() > 5:
                continue
            self.walk(when + timedelta(minutes=self.rng.randrange(30)))
            self.hours += self.rng.uniform(5, 8)
            self.shown = Decimal(round(self.hours * 10)) / 10
            if self.hours - self.serviced >= 250:
                self.service(when + timedelta(hours=10))
        return self.pen.facts

    @property
    def meter(self) -> Reading:
        return Reading(hours=self.shown)

    def arise(self) -> None:
        while self.spares and self.spares[0][0] <= self.hours:
            self.open.append(self.spares.pop(0))
        while self.oil and self.oil[0] <= self.hours:
            self.open.append((self.oil.pop(0), self.rng.choice(OILED)))
        if self.hose <= self.hours:
            self.open.append((self.hose, "hose.lift"))
            self.hose = float("inf")

    def walk(self, when: datetime) -> None:
        """Whoever drives looks; honest eyes see nineteen faults in twenty."""
        by = self.rng.choice(DRIVERS)
        blind = self.planted.blind and by == BLIND
        self.arise()
        seen = {} if blind else {check: hour for hour, check in self.open if self.rng.random() < 0.95}
        asked = (*CHECKS, *OILED)
        values = {"tyre.tread": Decimal(self.rng.randrange(60, 90))}
        answers = tuple(
            Answer(
                check=check,
                mark="fault" if check in seen else "ok",
                symptom="bad" if check in seen else None,
                seriousness="repair-by" if check in seen else None,
                days=30 if check in seen else None,
                value=values.get(check),
                unit="mm" if check in values else None,
            )
            for check in asked
        )
        seconds = 31 if blind else max(20, round(240 * self.rng.lognormvariate(0, 0.3)))
        id_ = self.pen.write(when, by, WalkRound(answers=answers, meter=self.meter, seconds=seconds))
        for check in seen:
            self.mend(when + timedelta(hours=2), FaultRef(f"{id_}#{check}"), check)

    def mend(self, when: datetime, ref: FaultRef, check: str) -> None:
        """A repair; where it does not hold the fault is back within a few days, four times in five."""
        parts: tuple[PartUsed, ...] = ()
        self.open = [(hour, other) for hour, other in self.open if other != check]
        if check == "hose.lift":
            parts, self.hose = (PartUsed(part=LIFTED),), self._hose()
        if self.planted.returns == (str(self.number), check) and self.rng.random() < 0.8:
            back = self.hours + self.rng.uniform(5, 30)
            self.spares.insert(bisect_right(self.spares, (back, check)), (back, check))
        minutes = round(MINUTES * self.rng.uniform(0.7, 1.3))
        self.pen.write(when, "mona", Worked(mends=(ref,), parts=parts, minutes=minutes, meter=self.meter))

    def service(self, when: datetime) -> None:
        """The service, and what it finds."""
        self.arise()
        minutes = round(MINUTES * self.rng.uniform(0.8, 1.2))
        work = self.pen.write(when, "mona", Worked(services=("250h",), minutes=minutes, meter=self.meter))
        for _, check in list(self.open):
            body = Fault(text=check, seriousness="repair-by", days=30, check=check, symptom="bad", found_in=work)
            ref = FaultRef(self.pen.write(when + timedelta(minutes=30), "mona", body))
            self.mend(when + timedelta(minutes=50), ref, check)
        self.serviced = self.hours
        self.oil = list(_since_service(self.rng, self.planted, self.hours, self.hours + 260))


def yard(seed: int, planted: Planted = NOTHING) -> list[TruckNow]:
    """The trucks of a yard."""
    return [truck_of(number, seed, planted) for number in range(1, TRUCKS + 1)]
